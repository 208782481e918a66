"""Written note values: which lengths a single sign has, and how others are split into tied ones."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from theorykit.errors import BadInput
from theorykit.theory.meter import Meter

#: A length in quarters: the undotted value, and how many dots it has.
Value = tuple[Fraction, int]

#: The shortest value that is written, in quarters: a 256th.
SHORTEST = Fraction(1, 64)

_LONGEST = Fraction(8)


@lru_cache(maxsize=4096)
def single_value(quarters: Fraction, dots: int = 2) -> Value | None:
    """The one sign that lasts so long, or None.

    Examples
    --------
    >>> single_value(Fraction(3, 2))
    (Fraction(1, 1), 1)
    >>> single_value(Fraction(5, 2)) is None
    True
    """
    for count in range(dots + 1):
        base = quarters / (2 - Fraction(1, 2**count))
        if _is_binary(base) and SHORTEST <= base <= _LONGEST:
            return base, count
    return None


def _is_binary(base: Fraction) -> bool:
    upper, lower = base.numerator, base.denominator
    return upper & (upper - 1) == 0 and lower & (lower - 1) == 0 and upper > 0


def is_dyadic(quarters: Fraction) -> bool:
    """True for a place that halving alone reaches; the others lie in a tuplet."""
    return quarters.denominator & (quarters.denominator - 1) == 0


@lru_cache(maxsize=256)
def grid_units(meter: Meter) -> tuple[Fraction, ...]:
    """The lengths whose multiples a reader's eye looks for, the longest first.

    Half a bar of four beats, the beat, its parts, and on by halves.
    """
    beat = meter.beat_quarters
    units = [2 * beat] if meter.beats % 4 == 0 else []
    units += [beat, beat / meter.beat_parts]
    while units[-1] > SHORTEST:
        units.append(units[-1] / 2)
    return tuple(units)


@lru_cache(maxsize=16384)
def values(
    offset: Fraction, quarters: Fraction, units: tuple[Fraction, ...], *, rest: bool = False
) -> tuple[Fraction, ...]:
    """The lengths of the signs that write a note or rest, each of which is a single sign.

    Parameters
    ----------
    offset, quarters : Fraction
        Where in the bar it starts, and how long it is.
    units : tuple of Fraction
        As `grid_units` gives them. A sign that starts off the beat does not hide the middle of
        a bar, nor any beat of a compound meter (common practice).
    rest : bool
        A rest off the beat shows every beat.

    Raises
    ------
    BadInput
        If it is too short to be written.

    Examples
    --------
    >>> from theorykit.theory.meter import find_meter
    >>> units = grid_units(find_meter("4/4"))
    >>> [str(length) for length in values(Fraction(3, 2), Fraction(3, 2), units)]
    ['1/2', '1']
    """
    end = offset + quarters
    single = single_value(quarters, dots=1 if rest else 2)
    beat = units[1] if len(units) > 1 and units[0] == 2 * units[1] else units[0]
    compound = beat.numerator % 3 == 0
    shown = beat if rest or compound else units[0]
    if single is not None and (offset % beat == 0 or not _inside(offset, end, shown)):
        return (quarters,)
    for unit in units:
        inside = _inside(offset, end, unit)
        for place in reversed(inside):
            if single_value(place - offset, dots=1) is not None:
                return (
                    *values(offset, place - offset, units, rest=rest),
                    *values(place, end - place, units, rest=rest),
                )
        if inside:
            place = inside[0]
            return (
                *values(offset, place - offset, units, rest=rest),
                *values(place, end - place, units, rest=rest),
            )
    raise BadInput("note", quarters, "too short to be written", accepted="a 256th or longer")


def _inside(start: Fraction, end: Fraction, unit: Fraction) -> list[Fraction]:
    """The multiples of a unit that lie between two places."""
    first = start // unit + 1
    count = -(-end // unit) - first
    return [(first + index) * unit for index in range(max(0, count))]
