"""How fast a score becomes sound, beside two synthesisers that play a SoundFont; prints, asserts nothing.

Run it from the project's folder: ``python tests/benchmarks/render.py [SOUNDFONT]``. All three are given
the same notes at the same times and run on one core. The SoundFont is loaded and its first notes are
played before the clock starts; this project's is timed with no note in its bank ("cold"), with all of them
("warm"), and at a tempo at which it has not played yet. The others need Debian's packages fluidsynth and
fluid-soundfont-gm, and tinysoundfont and pyfluidsynth.
"""

from __future__ import annotations

import os

os.environ["OMP_NUM_THREADS"] = os.environ["OPENBLAS_NUM_THREADS"] = "1"

import statistics
import sys
import time
from collections.abc import Callable

import fluidsynth
import numpy as np
import tinysoundfont

from theorykit.audio.mix import clear_notes, render
from theorykit.score.arrange import arrange
from theorykit.score.midi import DRUM_CHANNEL, DRUMS, PROGRAMS
from theorykit.score.score import Score

SOUNDFONT = "/usr/share/sounds/sf2/FluidR3_GM.sf2"
SAMPLE_RATE = 44100
RUNS = 9

CASES = (
    ("12-bar blues", "A", "bluegrass", 120),
    ("12-bar blues", "G", "boom-chuck", 100),
    ("12-bar blues, jazz changes", "Bb", "shuffle", 130),
    ("12-bar blues", "E", "slow blues", 60),
    ("I-V-vi-IV", "C", "straight", 96),
)

Event = tuple[float, bool, int, int]


def events(score: Score) -> list[Event]:
    """Seconds, whether the note begins, channel and key; ends first."""
    found: list[Event] = []
    for channel, part in enumerate(score.parts):
        for note in part.notes:
            drum = part.voice_of(note) in DRUMS
            at = (DRUM_CHANNEL if drum else channel), round(note.midi)
            found.append((score.seconds_at(note.onset), True, *at))
            found.append((score.seconds_at(note.end), False, *at))
    return sorted(found)


def play(
    found: list[Event],
    seconds: float,
    on: Callable[[int, int], object],
    off: Callable[[int, int], object],
    sound: Callable[[int], object],
) -> None:
    done = 0
    for at, begins, channel, key in found:
        frame = round(at * SAMPLE_RATE)
        if frame > done:
            sound(frame - done)
            done = frame
        (on if begins else off)(channel, key)
    sound(round(seconds * SAMPLE_RATE) - done)


def tiny_player(path: str, score: Score) -> Callable[[], None]:
    synth = tinysoundfont.Synth(samplerate=SAMPLE_RATE)
    font = synth.sfload(path)
    for channel, part in enumerate(score.parts):
        synth.program_select(channel, font, 0, PROGRAMS.get(part.voice, 0))
    found, seconds = events(score), score.seconds
    return lambda: play(
        found,
        seconds,
        lambda channel, key: synth.noteon(channel, key, 90),
        synth.noteoff,
        lambda frames: bytes(synth.generate(frames)),
    )


def fluid_player(path: str, score: Score) -> Callable[[], None]:
    synth = fluidsynth.Synth(
        samplerate=float(SAMPLE_RATE), **{"synth.reverb.active": 0, "synth.chorus.active": 0}
    )
    font = synth.sfload(path)
    for channel, part in enumerate(score.parts):
        synth.program_select(channel, font, 0, PROGRAMS.get(part.voice, 0))
    found, seconds = events(score), score.seconds
    return lambda: play(
        found,
        seconds,
        lambda channel, key: synth.noteon(channel, key, 90),
        synth.noteoff,
        synth.get_samples,
    )


def speed(work: Callable[[], object], seconds: float, before: Callable[[], object] = int) -> float:
    """Seconds of sound to a second of work, the median of some runs."""
    times = []
    for _ in range(RUNS):
        before()
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return seconds / statistics.median(times)


def main() -> None:
    path = sys.argv[1] if len(sys.argv) > 1 else SOUNDFONT
    render(arrange("I-V-vi-IV", "F"))  # what is loaded once is no part of any run
    print("times real time, one core; cold/faster: cold beside the faster of the other two")
    print(
        f"{'':46} {'cold':>6} {'warm':>6} {'tempo':>6} {'tiny':>6} {'fluid':>6} {'cold/faster':>12}"
    )
    for form, key, feel, tempo in CASES:
        for choruses in (1, 4):
            score = arrange(form, key, feel=feel, tempo=tempo, choruses=choruses, count_in=1)
            seconds = score.seconds
            cold = speed(lambda s=score: render(s), seconds, clear_notes)
            warm = speed(lambda s=score: render(s), seconds)
            tempos = iter(np.linspace(tempo * 0.8, tempo * 1.25, RUNS))
            changed = speed(lambda s=score, t=tempos: render(s.with_tempo(float(next(t)))), seconds)
            others = []
            for player in (tiny_player, fluid_player):
                work = player(path, score)
                work()
                others.append(speed(work, seconds))
            name = f"{form} in {key}, {feel}, {choruses} x"
            print(
                f"{name:46} {cold:6.0f} {warm:6.0f} {changed:6.0f} {others[0]:6.0f} {others[1]:6.0f}"
                f" {cold / max(others):12.2f}"
            )


if __name__ == "__main__":
    main()
