"""Signs of a rhythm, with no pitch: what notes and rests are written with."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Tuplet:
    """``actual`` notes in the time of ``normal`` ones."""

    actual: int
    normal: int


@dataclass(frozen=True, slots=True)
class Stroke:
    """A sign with no pitch: one of those that write a note or a rest.

    Parameters
    ----------
    piece : int
        Which note or rest of the bar it belongs to, counted from 0.
    offset, quarters : Fraction
        Where in the bar, and how long it lasts, in quarters.
    base, dots : Fraction, int
        What is written: the undotted value in quarters, and its dots.
    sounds : bool
        False for a rest.
    first, last : bool
        Whether it is its note's first and last sign.
    tuplet : Tuplet, optional
    opens, closes : bool
        Whether it is the first and the last of its tuplet.
    beams : tuple of str
        What each line of the beam does at it, the outermost first.
    """

    piece: int
    offset: Fraction
    quarters: Fraction
    base: Fraction
    dots: int
    sounds: bool
    first: bool = True
    last: bool = True
    tuplet: Tuplet | None = None
    opens: bool = False
    closes: bool = False
    beams: tuple[str, ...] = ()
