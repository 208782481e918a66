"""What a fingering costs: prices in a unit of effort, and the cost of a shift of the hand.

That going along the neck, across it and stretching are what a fingering is chosen by: Sayegh 1989,
Computer Music Journal 13(3), from memory. The prices are stipulated; what holds them are fingerings
of handbooks in the tests. None is below 0, so that a longer line never costs less.
"""

from __future__ import annotations

from functools import lru_cache

from theorykit.instruments.fretboard import stop_distance
from theorykit.instruments.instrument import Instrument

#: A stopped note, each fret that the hand is up the neck, and the little finger.
STOPPED, HIGH, LITTLE = 0.3, 0.02, 0.1

#: A fret beyond the hand; and the little finger where each has its fret but the frets are wide.
STRETCH, WIDE = 0.8, 0.1

#: Going to another string, for each that is crossed; and one finger for two frets in a row.
CROSSING, SAME_FINGER = 0.35, 0.8

#: A shift of the hand, and each millimetre of it.
SHIFT, SHIFT_MM = 1.0, 0.05

#: The share of it that is left while an open string rings, which gives the hand time.
SHIFT_FROM_OPEN = 0.5

#: Eighths at 120 beats a minute: a shift costs its price after a note of so many seconds, less
#: after a longer one, and at most ``MOST_HASTE`` times as much.
EASY_SECONDS, MOST_HASTE = 0.25, 2.0


def place_cost(finger: int, position: int, *, stretched: bool = False, wide: bool = False) -> float:
    """What a stopped note costs by itself; an open string costs nothing.

    Parameters
    ----------
    finger, position : int
        The index finger's fret is the position.
    stretched : bool
        True for a fret beyond the hand.
    wide : bool
        True where the frets are so wide that the hand is open as far as it goes.

    Examples
    --------
    >>> place_cost(1, 1) < place_cost(4, 1) < place_cost(4, 1, stretched=True)
    True
    """
    cost = STOPPED + HIGH * position
    if finger == 4:
        cost += LITTLE
    if stretched:
        cost += STRETCH
    elif wide:
        cost += WIDE
    return cost


@lru_cache(maxsize=64)
def shift_costs(instrument: Instrument, capo: int) -> tuple[tuple[float, ...], ...]:
    """What a shift costs, by the index finger's fret after it and before it; 0 is nowhere yet."""
    frets = range(instrument.frets - capo + 1)
    stops = [stop_distance(instrument, fret + capo) for fret in frets]
    return tuple(
        tuple(
            0.0 if not here or here == there else SHIFT + SHIFT_MM * abs(stops[here] - stops[there])
            for here in frets
        )
        for there in frets
    )


def haste(seconds: float) -> float:
    """How many times its price a shift costs after a note of so many seconds.

    >>> haste(0.25), haste(1.0), haste(0.05)
    (1.0, 0.25, 2.0)
    """
    return min(EASY_SECONDS / seconds, MOST_HASTE)
