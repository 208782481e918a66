"""Which finger holds what: fingers and barres for a set of frets.

The rules are common practice, as handbooks print chords: the index finger takes the lowest fret,
the others follow fret by fret, at one fret from the last string to the first; the index finger lies
across where it saves a finger.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from theorykit.instruments.shape import Barre, Frets

FINGERS = 4


@dataclass(frozen=True, slots=True)
class Hold:
    """A hand on the strings.

    Parameters
    ----------
    fingers : tuple of int
        String 1 first, 0 where none is.
    barres : tuple of Barre
    used : int
        How many fingers.
    """

    fingers: tuple[int, ...]
    barres: tuple[Barre, ...]
    used: int


def hold(frets: Frets, *, frets_a_finger: int = 1, most: int = FINGERS) -> Hold | None:
    """The usual fingers for some frets, or None where there are too few.

    Parameters
    ----------
    frets : tuple of (int or None)
        String 1 first.
    frets_a_finger : int
        Half steps that a finger covers, 2 on a mandolin.
    most : int
        How many fingers there are.

    Examples
    --------
    The open C chord and the F with a barre, as any guitar handbook prints them:

    >>> hold((0, 1, 0, 2, 3, None)).fingers, hold((1, 1, 2, 3, 3, 1)).fingers
    ((0, 1, 0, 2, 3, 0), (1, 1, 2, 4, 3, 1))
    """
    stopped = [(fret, -number) for number, fret in enumerate(frets, start=1) if fret]
    fingers = [0] * len(frets)
    if not stopped:
        return Hold(tuple(fingers), (), 0)
    lowest = min(stopped)[0]
    under = _barre(frets, lowest)
    above = sorted(place for place in stopped if place[0] > lowest)
    barres: tuple[Barre, ...] = ()
    at_lowest = sorted(place for place in stopped if place[0] == lowest)
    if under is not None and _lies_across(at_lowest, above):
        order, barres = above, (under,)
        for number in range(under.high_string, under.low_string + 1):
            if frets[number - 1] == lowest:
                fingers[number - 1] = 1
    else:
        order = at_lowest + above
    used = len(order) + len(barres)
    if used > most:
        return None
    finger = len(barres)
    for place, (fret, string) in enumerate(order):
        # A finger reaches as far up as it stands from the index finger, if enough are left.
        reach = 1 + (fret - lowest) // max(frets_a_finger, 1)
        finger = max(finger + 1, min(reach, FINGERS + 1 - (len(order) - place)))
        fingers[-string - 1] = finger
    return Hold(tuple(fingers), barres, used)


def _barre(frets: Frets, fret: int) -> Barre | None:
    """The index finger across all strings that it stops, unless it would stop an open one."""
    stops = [number for number, each in enumerate(frets, start=1) if each == fret]
    between = frets[stops[0] - 1 : stops[-1]]
    if len(stops) < 2 or 0 in between:
        return None
    return Barre(1, fret, stops[-1], stops[0])


def _lies_across(at_lowest: list[tuple[int, int]], above: list[tuple[int, int]]) -> bool:
    """True where a player lays the finger across rather than using one for each string."""
    if len(at_lowest) + len(above) > FINGERS or len(at_lowest) == FINGERS:
        return True
    neighbours = any(other - string == 1 for (_, string), (_, other) in pairwise(at_lowest))
    return neighbours and bool(above)
