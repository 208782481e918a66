"""Degrees of the major scale: ``b3`` is the third, a half step lower.

A degree fixes the letter, so that every key spells itself. Everything that is true in any key
(scales, chords, progressions, advice) is written in degrees.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from theorykit.errors import BadInput
from theorykit.theory.interval import MAJOR_SEMITONES
from theorykit.theory.pitch import (
    ACCIDENTAL_PATTERN,
    LETTERS,
    Note,
    accidental_to_alter,
    alter_to_accidental,
    alter_to_glyphs,
)

_DEGREE = re.compile(f"({ACCIDENTAL_PATTERN})(1[0-3]|[1-9])")

#: What players call the members of a chord and the degrees of a scale.
ORDINALS = {
    1: "root",
    2: "second",
    3: "third",
    4: "fourth",
    5: "fifth",
    6: "sixth",
    7: "seventh",
    8: "octave",
    9: "ninth",
    10: "tenth",
    11: "eleventh",
    12: "twelfth",
    13: "thirteenth",
}


@dataclass(frozen=True, slots=True, order=True)
class Degree:
    """A degree counted from a tonic or a chord's root, 1 to 13, altered by half steps.

    Examples
    --------
    >>> Degree.parse("b3").semitones
    3
    >>> str(Degree.parse("b3").at(Note.parse("G")))
    'Bb'
    """

    number: int
    alter: int = 0

    @classmethod
    def parse(cls, text: str) -> Degree:
        """Read ``"b3"``, ``"♯4"``, ``"bb7"``, ``"13"``.

        Raises
        ------
        BadInput
            If the text is anything else.
        """
        match = _DEGREE.fullmatch(text.strip()) if isinstance(text, str) else None
        if match is None:
            raise BadInput(
                "degree",
                text,
                "not a scale degree",
                accepted="1 to 13 with b, bb, # or ## before it, as in b3",
            )
        return cls(int(match[2]), accidental_to_alter(match[1]))

    @property
    def semitones(self) -> int:
        """Half steps above the tonic (compound degrees above an octave count on)."""
        octaves, step = divmod(self.number - 1, 7)
        return MAJOR_SEMITONES[step] + 12 * octaves + self.alter

    @property
    def ordinal(self) -> str:
        """``"root"``, ``"third"``, ...: the member's plain name, its size not told."""
        return ORDINALS[self.number]

    def __str__(self) -> str:
        return f"{alter_to_accidental(self.alter)}{self.number}"

    @property
    def pretty(self) -> str:
        """The degree with music signs, e.g. ``"♭3"``."""
        return f"{alter_to_glyphs(self.alter)}{self.number}"

    def at(self, tonic: Note) -> Note:
        """The note on this degree above ``tonic``."""
        return tonic.shifted(self.number - 1, self.semitones)

    def plus(self, other: Degree) -> Degree:
        """``other`` counted from this degree, as a degree 1 to 7 of the same tonic.

        >>> str(Degree.parse("5").plus(Degree.parse("b7")))
        '4'
        """
        return _plus(self, other)

    def minus(self, base: Degree) -> Degree:
        """The degree, 1 to 7, counted from ``base``: what ``plus`` adds to ``base`` to get here.

        >>> str(Degree.parse("4").minus(Degree.parse("5")))
        'b7'
        """
        number = (self.number - base.number) % 7 + 1
        surplus = self.semitones - base.semitones - Degree(number).semitones
        return Degree(number, (surplus + 6) % 12 - 6)

    @classmethod
    def between(cls, tonic: Note, note: Note) -> Degree:
        """The degree, 1 to 7, that ``note`` has in the key of ``tonic``."""
        steps = (LETTERS.index(note.letter) - LETTERS.index(tonic.letter)) % 7
        return cls(steps + 1, note.alter - cls(steps + 1).at(tonic).alter)


@lru_cache(maxsize=4096)
def _plus(base: Degree, other: Degree) -> Degree:
    number = (base.number - 1 + other.number - 1) % 7 + 1
    # Both sums name the same letter, so they differ by whole octaves and the alteration.
    surplus = base.semitones + other.semitones - Degree(number).semitones
    return Degree(number, (surplus + 6) % 12 - 6)
