"""The rhythm of a bar as signs: note values, dots, ties, tuplets and beams.

Most bars of a tune share a few rhythms, so each is worked out once.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache

from theorykit.errors import BadInput
from theorykit.notation.beaming import beams
from theorykit.notation.note_value import grid_units, is_dyadic, single_value, values
from theorykit.notation.stroke import Stroke, Tuplet
from theorykit.theory.meter import Meter, read_meter

# Within a tuplet signs are grouped as in the plainest of meters.
_TUPLET_UNITS = grid_units(read_meter("4/4"))[1:]


#: A note or rest of a bar: where it begins and ends, in ticks, and whether it sounds.
Piece = tuple[int, int, bool]


@lru_cache(maxsize=4096)
def strokes(
    pieces: tuple[Piece, ...], ticks: int, meter: Meter, lead: Fraction
) -> tuple[Stroke, ...]:
    """The signs that write a voice's bar.

    Parameters
    ----------
    pieces : tuple of Piece
        They fill the bar.
    ticks : int
        To the quarter.
    meter : Meter
    lead : Fraction
        Quarters that a pick-up lacks to a full bar, since its places count from the bar line.

    Raises
    ------
    BadInput
        If a note is too short to be written.

    Examples
    --------
    >>> bar = strokes(((0, 3, True), (3, 8, True)), 2, read_meter("4/4"), Fraction(0))
    >>> [(str(each.base), each.dots, each.last) for each in bar]
    [('1', 1, True), ('1/2', 0, False), ('2', 0, True)]
    """
    units = grid_units(meter)
    found: list[Stroke] = []
    index = 0
    while index < len(pieces):
        stop = index + 1
        while stop < len(pieces) and not is_dyadic(Fraction(pieces[stop - 1][1], ticks)):
            stop += 1
        start, end, _ = pieces[index]
        if stop == index + 1 and is_dyadic(Fraction(end - start, ticks)):
            found += _split(pieces, index, ticks, units, lead)
        else:
            found += _tuplet(pieces, range(index, stop), ticks)
        index = stop
    lines = beams(found, meter, lead)
    return tuple(replace(each, beams=line) for each, line in zip(found, lines, strict=True))


def _tuplet(pieces: Sequence[Piece], run: range, ticks: int) -> list[Stroke]:
    """A run of pieces that together last a plain length, but each of which need not."""
    start = pieces[run[0]][0]
    lower = math.lcm(*(Fraction(pieces[at][1] - pieces[at][0], ticks).denominator for at in run))
    actual = lower // (lower & -lower)
    ratio = Tuplet(actual, 1 << (actual.bit_length() - 1))
    moved = [(first - start, last - start, sounds) for first, last, sounds in pieces]
    found: list[Stroke] = []
    for at in run:
        found += _split(moved, at, ticks, _TUPLET_UNITS, Fraction(0), ratio)
    begin = Fraction(start, ticks)
    found = [replace(each, offset=each.offset + begin, tuplet=ratio) for each in found]
    found[0] = replace(found[0], opens=True)
    found[-1] = replace(found[-1], closes=True)
    return found


def _split(
    pieces: Sequence[Piece],
    index: int,
    ticks: int,
    units: tuple[Fraction, ...],
    lead: Fraction,
    ratio: Tuplet | None = None,
) -> list[Stroke]:
    """The signs of a piece, which in a tuplet are longer than what they last."""
    start, end, sounds = pieces[index]
    stretch = Fraction(1) if ratio is None else Fraction(ratio.actual, ratio.normal)
    at, written = Fraction(start, ticks), Fraction(end - start, ticks) * stretch
    lengths: tuple[Fraction, ...] = (written,)
    if ratio is None or single_value(written) is None:
        lengths = values((at + lead) * stretch, written, units, rest=not sounds)
    found: list[Stroke] = []
    for part, length in enumerate(lengths):
        value = single_value(length)
        if value is None:
            raise BadInput("note", length, "too short to be written")
        first, last = part == 0, part == len(lengths) - 1
        found.append(Stroke(index, at, length / stretch, *value, sounds, first, last))
        at += length / stretch
    return found
