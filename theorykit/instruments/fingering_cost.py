"""What a fingering costs: prices in a unit of effort, and the cost of a shift of the hand.

That going along the neck, across it and stretching are what a fingering is chosen by: Sayegh 1989,
Computer Music Journal 13(3), from memory. The prices are stipulated:
they were tuned until the handbooks' fingerings in the tests came out, which they did with each of
600 random sets within a twentieth of them as well (measured). None is below 0, so that a longer
line never costs less.
"""

from __future__ import annotations

from functools import lru_cache

from theorykit.instruments.fretboard import stop_distance
from theorykit.instruments.instrument import Instrument
from theorykit.instruments.positions import FINGERS

INFINITE = float("inf")

#: A stopped note; the square of the fret where the hand is, as what is low is known best; and the
#: little finger.
STOPPED, HIGH, LITTLE = 0.6, 0.002, 0.04

#: What a finger does for a fret that is not its own: the index finger goes a fret back or the
#: little finger one on; or, where each has two half steps, ring or little finger lean a half step
#: back, as for a fiddler's low third and fourth.
STRETCHED, LEAN_BACK = "stretched", "lean back"
REACH = {"": 0.0, STRETCHED: 0.9, LEAN_BACK: 0.15}

#: A fret of its own for the little finger, but so far off that the hand is open as far as it goes.
WIDE = 0.12

#: Going to another string, for each that is crossed, and more for each that is skipped.
CROSSING, SKIPPED = 0.45, 0.25

#: One finger for two frets in a row; less if it only slides a half step.
SAME_FINGER, HALF_STEP_SLIDE = 0.9, 0.4

#: A shift of the hand, and each millimetre of it.
SHIFT, SHIFT_MM = 1.2, 0.02

#: The share of it that is left while an open string rings, which gives the hand time.
SHIFT_FROM_OPEN = 0.55

#: Who begins on an open string is in first position but free to go: the share that the way from
#: there costs.
WAY_FROM_FIRST = 0.9

#: Eighths at 120 beats a minute: a shift costs its price after a note of so many seconds, less
#: after a longer one, and at most ``MOST_HASTE`` times as much.
EASY_SECONDS, MOST_HASTE = 0.25, 2.0


def place_cost(finger: int, position: int, *, reach: str = "", wide: bool = False) -> float:
    """What a stopped note costs by itself; an open string costs nothing.

    Parameters
    ----------
    finger, position : int
        The index finger's fret is the position.
    reach : str
        A key of ``REACH``.
    wide : bool
        True where the hand is open as far as it goes, or farther.

    Examples
    --------
    >>> place_cost(1, 1) < place_cost(4, 1) < place_cost(4, 1, reach=STRETCHED)
    True
    """
    cost = STOPPED + HIGH * position * position + REACH[reach]
    if finger == FINGERS:
        cost += LITTLE
    if wide and reach != STRETCHED:
        cost += WIDE
    return cost


@lru_cache(maxsize=64)
def crossing_costs(strings: int, *, roll: bool = False) -> tuple[tuple[float, ...], ...]:
    """What the way to a string costs, by its number and that of the one before, both from 1.

    In a roll no crossing costs anything, and there is no way to strike a string again.

    >>> crossing_costs(2), crossing_costs(2, roll=True)[1][1]
    (((0.0, 0.45, 1.15), (0.45, 0.0, 0.45), (1.15, 0.45, 0.0)), inf)
    """
    numbers = range(strings + 1)
    if roll:
        return tuple(tuple(INFINITE if a == b else 0.0 for b in numbers) for a in numbers)
    return tuple(
        tuple(CROSSING * abs(a - b) + SKIPPED * max(abs(a - b) - 1, 0) for b in numbers)
        for a in numbers
    )


@lru_cache(maxsize=64)
def shift_costs(instrument: Instrument, capo: int) -> tuple[tuple[float, ...], ...]:
    """What a shift costs, by the index finger's fret after it and before it.

    Before it 0 is nowhere yet, while open strings begin a line.
    """
    frets = range(instrument.frets - capo + 1)
    stops = [stop_distance(instrument, fret + capo) for fret in frets]

    def cost(here: int, there: int) -> float:
        if here == there:
            return 0.0
        way = SHIFT_MM * abs(stops[there] - stops[here or 1])
        return SHIFT + way if here else WAY_FROM_FIRST * way

    return tuple(tuple(cost(here, there) for here in frets) for there in frets)


def haste(seconds: float) -> float:
    """How many times its price a shift costs after a note of so many seconds.

    >>> haste(0.25), haste(1.0), haste(0.05)
    (1.0, 0.25, 2.0)
    """
    return min(EASY_SECONDS / seconds, MOST_HASTE)
