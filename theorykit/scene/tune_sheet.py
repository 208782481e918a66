"""A tune to practise: itself and variations of it, in any key, fingered for any neck."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache

from theorykit.errors import BadInput, TuneError
from theorykit.notation.abc import abc_text
from theorykit.practice.line_compass import playable_notes
from theorykit.practice.line_skeleton import line_from_tune
from theorykit.scene.selection import GRIT_NAMES, GRITS, LEVEL_NAMES, Selection, played_chart
from theorykit.scene.sheet import Sheet
from theorykit.score.score import Score
from theorykit.score.transposed import transposed
from theorykit.theory.key import Key, usual_tonic
from theorykit.tune.reading import read_tune
from theorykit.tune.study import TuneStudy

#: How much of the tune its variations change, in turn (stipulated).
VARIED = (0.35, 0.6, 0.85)

#: No file yet.
NO_TUNE = "Choose a file with a tune: MusicXML, ABC or MIDI."

_TITLE = re.compile(r"^T:(.*)$", re.MULTILINE)
_PRIME, _BITS = 0x01000193, 0xFFFFFFFF


def tune_text(study: TuneStudy) -> str:
    """A tune as a selection keeps it: ABC 2.1, repeats played out, in the key of its study."""
    key = Key(usual_tonic(study.key.tonic), study.key.mode)
    return abc_text(replace(study.score, key=key, keys=(), title=study.title))


def tune_mark(text: str) -> str:
    """A short name for a tune's text: its checksum, as the browser works it out too (FNV-1a)."""
    found = 0x811C9DC5
    for letter in text:
        found = (found ^ ord(letter)) * _PRIME & _BITS
    return f"{found:x}"


def tune_title(text: str) -> str:
    """What a tune is called."""
    match = _TITLE.search(text)
    return match[1].strip() if match and match[1].strip() else "The tune"


def tune_name(selection: Selection, number: int) -> str:
    """What an atlas calls a tune or a variation of it."""
    level, grit = LEVEL_NAMES.index(selection.level), GRIT_NAMES.index(selection.grit)
    words = (
        selection.key,
        selection.progression,
        selection.taste.name,
        selection.instrument,
        f"{level}.{grit}.{number}",
        tune_mark(selection.tune),
    )
    return "tune/" + "/".join(words)


def chosen_tune(selection: Selection, number: int) -> Sheet:
    """The tune under what is chosen, or for a number above 0 a variation of it."""
    return tune_sheet(
        selection.tune,
        selection.key,
        selection.progression,
        selection.style,
        selection.instrument,
        LEVEL_NAMES.index(selection.level) + 1,
        GRITS[selection.grit],
        number,
    )


@lru_cache(maxsize=512)
def tune_sheet(
    text: str,
    key: str,
    progression: str,
    style: str,
    instrument: str,
    level: int,
    grit: float,
    number: int,
) -> Sheet:
    """A tune over a chart, with a reason for each note; the same for the same number."""
    if not text:
        return Sheet(None, problem=NO_TUNE)
    selection = Selection.of(key=key, progression=progression, style=style, instrument=instrument)
    chart = played_chart(selection.progression)
    try:
        compass = playable_notes(selection.neck, None, None)
        score = transposed(_score(text), selection.tonic, compass=compass)
        problem = _unequal(score, len(chart.bars), chart.beats_per_bar)
        if problem:
            return Sheet(None, problem=problem)
        line = line_from_tune(
            score,
            chart,
            Key(selection.tonic, chart.mode),
            vary=0.0 if number == 0 else VARIED[(number - 1) % len(VARIED)],
            level=level,
            grit=grit,
            style=selection.taste,
            instrument=selection.neck,
            seed=number,
        )
    except (BadInput, TuneError) as error:
        return Sheet(None, problem=str(error))
    return Sheet(line.score, line.reasons)


@lru_cache(maxsize=32)
def _score(text: str) -> Score:
    return read_tune(text.encode("utf-8"), name="tune.abc")


def _unequal(score: Score, bars: int, beats: object) -> str:
    """Why the chart does not lie under the tune, if it does not."""
    for number, (bar, after) in enumerate(zip(score.bars, score.bars[1:], strict=False), start=1):
        if after.start - bar.start != beats:
            return f"Bar {number} of this tune is longer or shorter than the chart's bars."
    if score.bars and len(score.bars) != bars:
        return f"The tune has {len(score.bars)} bars and the chart {bars}."
    return ""
