"""Note values: which lengths one sign can write, and how a length is split over a bar.

Lengths are whole ticks, of which a quarter has enough for 64th notes, triplets, quintuplets and
septuplets, so that sums are exact.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import gcd

from theorykit.score.feel import GROUPS
from theorykit.theory.meter import Meter, read_meter

#: Ticks of a quarter note: 64 for sixteenths of sixteenths, times 3, 5 and 7 for tuplets.
QUARTER = 64 * 3 * 5 * 7

#: Parts of a quarter that are written as they are: 64ths, and what triplets, quintuplets and
#: septuplets of eighths and sixteenths make. What is finer was played, not written, and is moved to
#: the nearest sixteenth or eighth of a triplet.
_WRITTEN_PARTS = frozenset([1, 2, 4, 8, 16, 3, 6, 12, 24, 5, 10, 7, 14])
_COARSE = (QUARTER // 4, QUARTER // 3)

_ONE = Fraction(1)

#: Ticks to (value, dots): a whole note is 1, an eighth 8; one dot adds half.
VALUES: dict[int, tuple[int, int]] = {
    length: (name, dots)
    for name in (1, 2, 4, 8, 16, 32, 64, 128)
    for length, dots in ((4 * QUARTER // name, 0), (6 * QUARTER // name, 1))
}
# The shortest that there is has no dot.
VALUES[QUARTER // 64] = (256, 0)

#: Ticks that need no tuplet are multiples of this.
BINARY = QUARTER // 64


def to_ticks(beats: Fraction, beat_quarters: Fraction = _ONE) -> int:
    """Ticks of a length in beats of so many quarters, moved to what can be written.

    >>> to_ticks(Fraction(1, 3)) * 3 == QUARTER, to_ticks(Fraction(239, 480)) * 2 == QUARTER
    (True, True)
    """
    # In whole numbers, because sums of fractions would be half of the time that writing takes.
    above = beats.numerator * beat_quarters.numerator
    below = beats.denominator * beat_quarters.denominator
    if below // gcd(above, below) in _WRITTEN_PARTS:
        return above * QUARTER // below
    exact = above * QUARTER / below
    return min((round(exact / grid) * grid for grid in _COARSE), key=lambda at: abs(at - exact))


@dataclass(frozen=True, slots=True, eq=False)
class Ladder:
    """A bar's divisions, the strongest first: how its rhythms are split and beamed.

    Get one from ``ladder``, which gives the same object for the same meter.

    Parameters
    ----------
    bar : int
        Ticks of a bar.
    beat : int
        Ticks of what is counted; of a group of beats where those are eighths.
    compound : bool
        True where a beat falls into three.
    edges : tuple of tuple of int
        The divisions within the bar, in ticks from its first beat, level by level: groups of
        beats, beats, halves (or thirds) of beats, and so on down.
    """

    bar: int
    beat: int
    compound: bool
    edges: tuple[tuple[int, ...], ...]

    def level(self, at: int) -> int:
        """How strong a place is: 0 for a bar line, 1 for a group, 2 for a beat, and so on."""
        if at % self.bar == 0:
            return 0
        for number, places in enumerate(self.edges, start=1):
            if at in places:
                return number
        return len(self.edges) + 1

    def strongest_between(self, start: int, end: int) -> tuple[int, int] | None:
        """The level and the place of the strongest division strictly within a span."""
        for number, places in enumerate(self.edges, start=1):
            inside = [at for at in places if start < at < end]
            if inside:
                middle = (start + end) / 2
                return number, min(inside, key=lambda at: abs(at - middle))
        return None


@lru_cache(maxsize=32)
def ladder(meter_name: str) -> Ladder:
    """The divisions of a meter's bar (common practice: Read 1969 and Gould 2011, from memory).

    >>> rungs = ladder("6/8")
    >>> rungs.bar // QUARTER, rungs.compound, [at // (QUARTER // 2) for at in rungs.edges[1]]
    (3, True, [3])
    """
    meter: Meter = read_meter(meter_name)
    beat = to_ticks(meter.beat_quarters)
    bar = beat * meter.beats
    groups = tuple(beat * at for at in GROUPS.get(meter_name, ()) if at)
    compound = meter.beat_parts == 3
    parts = 3 if compound else 2
    levels = [groups, tuple(range(beat, bar, beat))]
    part = beat
    while part % parts == 0 and part // parts >= 2 * BINARY:
        part //= parts
        levels.append(tuple(range(part, bar, part)))
        parts = 2
    return Ladder(bar, beat, compound, tuple(levels))


@lru_cache(maxsize=4096)
def split(
    start: int, end: int, rungs: Ladder, *, rest: bool = False
) -> tuple[tuple[int, int], ...]:
    """The spans, each of which one sign can write, that make up a span of a bar.

    A note runs over a division of the bar only if it starts or ends at one as strong, or is a plain
    syncopation (eighth, quarter, eighth); so 4/4 shows its middle. Rests show every beat.

    >>> half = QUARTER // 2
    >>> split(3 * half, 5 * half, ladder("4/4")) == ((3 * half, 4 * half), (4 * half, 5 * half))
    True
    >>> split(half, 3 * half, ladder("4/4")) == ((half, 3 * half),)
    True
    """
    found: list[tuple[int, int]] = []
    todo = [(start, end)]
    while todo:
        first, last = todo.pop()
        if last - first in VALUES and _reads_well(first, last, rungs, rest=rest):
            found.append((first, last))
            continue
        division = rungs.strongest_between(first, last)
        if division is None:
            # Finer than any division: the longest signs first.
            longest = max(length for length in VALUES if length <= last - first)
            found.append((first, first + longest))
            if first + longest < last:
                todo.append((first + longest, last))
            continue
        todo += [(division[1], last), (first, division[1])]
    return tuple(found)


def _reads_well(start: int, end: int, rungs: Ladder, *, rest: bool) -> bool:
    division = rungs.strongest_between(start, end)
    if division is None:
        return True
    number, at = division
    first, last = rungs.level(start), rungs.level(end)
    if rungs.compound and end - start == rungs.beat and first <= 2:
        return True
    if rungs.compound and number <= 2:
        # What is longer than a beat starts and ends on beats.
        return not rest and max(first, last) <= 2
    if rest:
        # Two beats of a half bar, or the two first parts of a beat, are one rest; nothing else.
        _, dots = VALUES[end - start]
        return not dots and first < number and (rungs.compound or last < number)
    if min(first, last) <= number:
        return True
    # A group's edge may be hidden so in 4/4 only, where every reader knows that it is the middle.
    known = number > 1 or 2 * at == rungs.bar
    return known and first == last == number + 1 and at - start == end - at


def add_up(length: int) -> list[int]:
    """Lengths of signs that add up to a length, the longest first."""
    found: list[int] = []
    for sign in sorted(VALUES, reverse=True):
        while sign <= length:
            found.append(sign)
            length -= sign
    return found
