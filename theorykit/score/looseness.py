"""Playing as loosely as people do: small chance shifts in time and level, the same for a seed."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction

from theorykit.score.score import Part, ScoreNote

# A practised player's onsets scatter by about 10 ms, levels by about half a decibel (stipulated).
_SECONDS = 0.008
_MOST_SECONDS = 0.02
_LEVEL = 0.06
_GRID = 10_000


def loosened(part: Part, tempo: float, seed: int) -> Part:
    """A part with each stroke shifted a little; notes that start together stay together.

    A click stays exact.

    Examples
    --------
    >>> part = Part("line", (ScoreNote(Fraction(0), Fraction(1), 60),), "guitar")
    >>> once, again = loosened(part, 100, 1), loosened(part, 100, 1)
    >>> once == again, once == part
    (True, False)
    """
    if part.name == "click":
        return part
    chance = random.Random(f"{seed} {part.name}")
    drawn: dict[Fraction, tuple[Fraction, float]] = {}
    notes: list[ScoreNote] = []
    for note in part.notes:
        if note.start not in drawn:
            seconds = max(-_MOST_SECONDS, min(chance.gauss(0, _SECONDS), _MOST_SECONDS))
            beats = Fraction(round(seconds * tempo / 60 * _GRID), _GRID)
            drawn[note.start] = beats, max(0.7, min(chance.gauss(1, _LEVEL), 1.3))
        later, louder = drawn[note.start]
        level = min(round(note.level * louder, 4), 2.0)
        notes.append(replace(note, shift=note.shift + later, level=level))
    return replace(part, notes=tuple(notes))
