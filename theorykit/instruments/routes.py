"""Routes: how a hand moves from one position of a scale to the next."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from theorykit.instruments.fretboard import ScaleCell, stop_distance
from theorykit.instruments.instrument import Instrument
from theorykit.instruments.positions import Position


@dataclass(frozen=True, slots=True)
class Route:
    """A way from one position to the next: two neighbours of the scale on one string.

    Parameters
    ----------
    string : int
    start, end : ScaleCell
        The last note in the old position and the first in the new one.
    fingers : tuple of int
        For the two notes; alike where one finger slides.
    hand_mm : float
        How far the index finger's place moves, towards the bridge; negative towards the nut.
    """

    string: int
    start: ScaleCell
    end: ScaleCell
    fingers: tuple[int, int]
    hand_mm: float


def routes(
    instrument: Instrument, first: Position, second: Position, *, capo: int = 0
) -> list[Route]:
    """Ways to play on from one position into another, the easiest first.

    On each string a note of the first is followed by its neighbour in the scale that lies in the
    second. One finger's slide comes before a change of fingers, a short way before a long one
    (common practice).

    Parameters
    ----------
    instrument : Instrument
    first, second : Position
        Of one scale.
    capo : int

    Examples
    --------
    >>> from theorykit.instruments.catalogue import find_instrument
    >>> from theorykit.instruments.positions import closed_positions
    >>> from theorykit.theory.scale import Scale
    >>> guitar = find_instrument("guitar")
    >>> low, high = closed_positions(guitar, Scale.parse("A minor pentatonic"))[1:3]
    >>> route = routes(guitar, low, high)[0]
    >>> route.string, route.start.cell.fret, route.end.cell.fret, route.fingers
    (1, 8, 10, (4, 4))
    """
    way = 1 if second.index >= first.index else -1
    moved = stop_distance(instrument, second.index + capo) - stop_distance(
        instrument, first.index + capo
    )
    every = sorted({place.cell.midi for place in (*first.places, *second.places)})[::way]
    following = dict(pairwise(every))
    found = []
    for start in first.places:
        for end in second.places:
            goes_on = end.cell.midi == following.get(start.cell.midi)
            if start.cell.string == end.cell.string and goes_on:
                fingers = (first.finger(start.cell.fret), second.finger(end.cell.fret))
                found.append(Route(start.cell.string, start, end, fingers, round(moved, 1)))
    return sorted(
        found,
        key=lambda route: (
            route.fingers[0] != route.fingers[1],
            abs(route.end.cell.fret - route.start.cell.fret),
            route.string,
        ),
    )
