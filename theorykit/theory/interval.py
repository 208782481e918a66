"""Intervals: a distance in letters and a distance in half steps."""

from __future__ import annotations

import re
from dataclasses import dataclass

from theorykit.errors import BadInput
from theorykit.theory.pitch import LETTERS, Note, Pitch

#: Half steps of the perfect and major intervals, unison to seventh (any theory handbook).
MAJOR_SEMITONES = (0, 2, 4, 5, 7, 9, 11)
_PERFECT = {0, 3, 4}
_NAME = re.compile(r"(-?)(P|M|m|A{1,3}|d{1,3})([1-9][0-9]?)")


@dataclass(frozen=True, slots=True)
class Interval:
    """How far one note lies above another; negative counts are downwards.

    Parameters
    ----------
    steps : int
        Letters moved: a unison is 0, a third 2, an octave 7.
    semitones : int
        Half steps moved.

    Examples
    --------
    >>> str(Interval.parse("m3")), Interval.parse("m3").semitones
    ('m3', 3)
    >>> str(Interval.between(Note.parse("G"), Note.parse("Bb")))
    'm3'
    """

    steps: int
    semitones: int

    @classmethod
    def parse(cls, text: str) -> Interval:
        """Read ``"P5"``, ``"m3"``, ``"A4"``, ``"d5"``, ``"-M2"``.

        Raises
        ------
        BadInput
            If the text is anything else, or an interval that does not exist (``"P3"``).
        """
        match = _NAME.fullmatch(text.strip()) if isinstance(text, str) else None
        if match is None:
            raise BadInput(
                "interval",
                text,
                "not an interval",
                accepted="P, M, m, A or d and a number, as in P5, m3, A4",
                nearest=_nearest_interval(text) if isinstance(text, str) else None,
            )
        sign, quality, number = match[1], match[2], int(match[3])
        steps = number - 1
        perfect = steps % 7 in _PERFECT
        if (quality == "P") != perfect and quality[0] in "PMm":
            good = f"P{number}" if perfect else f"M{number}"
            raise BadInput("interval", text, "does not exist", nearest=good)
        size = MAJOR_SEMITONES[steps % 7] + 12 * (steps // 7)
        if quality == "m":
            size -= 1
        elif quality[0] == "A":
            size += len(quality)
        elif quality[0] == "d":
            size -= len(quality) + (0 if perfect else 1)
        return cls(-steps, -size) if sign else cls(steps, size)

    @classmethod
    def between(cls, low: Note | Pitch, high: Note | Pitch) -> Interval:
        """From ``low`` up to ``high``; between notes with no octave, within one octave up."""
        if isinstance(low, Pitch) and isinstance(high, Pitch):
            low_step = LETTERS.index(low.note.letter) + 7 * low.octave
            high_step = LETTERS.index(high.note.letter) + 7 * high.octave
            return cls(high_step - low_step, high.midi - low.midi)
        if isinstance(low, Note) and isinstance(high, Note):
            steps = (LETTERS.index(high.letter) - LETTERS.index(low.letter)) % 7
            natural = low.shifted(steps, 0)
            return cls(steps, high.alter - natural.alter)
        raise TypeError("an interval lies between two notes or between two pitches")

    def __str__(self) -> str:
        if self.steps < 0 or (self.steps == 0 and self.semitones < 0):
            return "-" + str(Interval(-self.steps, -self.semitones))
        octaves, step = divmod(self.steps, 7)
        offset = self.semitones - 12 * octaves - MAJOR_SEMITONES[step]
        if step in _PERFECT:
            quality = "P" if offset == 0 else "A" * offset if offset > 0 else "d" * -offset
        elif offset >= 0:
            quality = "M" if offset == 0 else "A" * offset
        else:
            quality = "m" if offset == -1 else "d" * (-offset - 1)
        return f"{quality}{self.steps + 1}"

    def __add__(self, other: Interval) -> Interval:
        return Interval(self.steps + other.steps, self.semitones + other.semitones)

    def __neg__(self) -> Interval:
        return Interval(-self.steps, -self.semitones)

    def above(self, start: Note) -> Note:
        """The note this interval above ``start``."""
        return start.shifted(self.steps, self.semitones)


def _nearest_interval(text: str) -> str | None:
    """A good name at the beginning, a small p taken for a capital one: ``M3`` in ``M3rd``."""
    start = re.match(r"\s*(-?)(p)(?=[1-9])", text)
    name = _NAME.match(f"{start[1]}P{text[start.end() :]}" if start else text.strip())
    if name is None:
        return None
    try:
        return str(Interval.parse(name[0]))
    except BadInput as error:
        return error.nearest
