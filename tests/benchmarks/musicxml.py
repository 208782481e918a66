"""How long 32 bars take to become MusicXML, ours and music21's in one run; asserts nothing.

Run it from the project's folder: ``python tests/benchmarks/musicxml.py``.
"""

from __future__ import annotations

import statistics
import time
import warnings
from collections.abc import Callable
from dataclasses import replace

from music21.musicxml.m21ToXml import GeneralObjectExporter

from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.fingering import finger_line
from theorykit.notation.music21_bridge import to_music21
from theorykit.notation.musicxml import musicxml_text
from theorykit.score.arrange import arrange
from theorykit.score.run import scale_run
from theorykit.score.score import Score
from theorykit.theory.scale import Scale

BARS, ROUNDS = 32, 7


def tune() -> Score:
    """Eighths all along, each with its degree, string, fret and finger, a chord in each bar."""
    run = scale_run(Scale.parse("A minor pentatonic"), BARS, lowest=55)
    chart = " | ".join(["I7", "IV7", "I7", "V7"] * (BARS // 4))
    score = arrange(chart, "A", line=run, ending=False)
    pitches = [note.pitch for note in run if note.pitch is not None]
    places = finger_line(find_instrument("mandolin"), pitches).notes
    notes = tuple(
        replace(note, string=place.string, fret=place.fret, finger=place.finger)
        for note, place in zip(run, places, strict=True)
    )
    return Score(
        (replace(score.part("line"), notes=notes),),
        chords=score.chords,
        bars=score.bars,
        key=score.key,
        keys=score.keys,
    )


def milliseconds(work: Callable[[], object]) -> float:
    """The median of some rounds, the first, which fills caches, left out."""
    times = []
    for _ in range(ROUNDS + 1):
        start = time.perf_counter()
        work()
        times.append(1000 * (time.perf_counter() - start))
    return statistics.median(times[1:])


def main() -> None:
    warnings.simplefilter("ignore")
    score, mandolin = tune(), find_instrument("mandolin")
    stream = to_music21(score)
    own = milliseconds(lambda: musicxml_text(score, instrument=mandolin))
    staff = milliseconds(lambda: musicxml_text(score))
    theirs = milliseconds(lambda: GeneralObjectExporter(stream).parse())
    print(f"{BARS} bars, {len(score.part('line').notes)} notes, {len(score.chords)} chords")
    print(f"ours, staff and tablature and diagrams: {own:8.1f} ms")
    print(f"ours, staff alone:                      {staff:8.1f} ms")
    print(f"music21, staff alone:                   {theirs:8.1f} ms")
    print(f"music21 takes {theirs / staff:.1f} times as long for the same staff,")
    print(f"{theirs / own:.1f} times as long as ours with tablature and diagrams")


if __name__ == "__main__":
    main()
