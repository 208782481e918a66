"""The figures that lead into a note of a melody, as data."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from theorykit.errors import BadInput, nearest

#: How an added note lies to its target: letters, and half steps or None for the scale's own step.
Way = tuple[int, int | None]

UPPER, LOWER = (1, None), (-1, None)
HALF_ABOVE, HALF_BELOW = (1, 1), (-1, -1)
WHOLE_ABOVE, WHOLE_BELOW = (1, 2), (-1, -2)


@dataclass(frozen=True, slots=True)
class NeighbourFigure:
    """What is put before a note of the melody.

    Parameters
    ----------
    name : str
    role : {"neighbour", "approach", "enclosure"}
    ways : tuple of Way
        The added notes in their order, each as it lies to the note they lead to.
    words : str
        What it is, in a line.
    """

    name: str
    role: str
    ways: tuple[Way, ...]
    words: str


_ROWS = (
    NeighbourFigure("upper neighbour", "neighbour", (UPPER,), "the scale's next note above"),
    NeighbourFigure("lower neighbour", "neighbour", (LOWER,), "the scale's next note below"),
    NeighbourFigure(
        "chromatic upper neighbour", "neighbour", (HALF_ABOVE,), "the note a half step above"
    ),
    NeighbourFigure(
        "chromatic lower neighbour", "neighbour", (HALF_BELOW,), "the note a half step below"
    ),
    NeighbourFigure(
        "approach from below", "approach", (WHOLE_BELOW, HALF_BELOW), "two half steps up to it"
    ),
    NeighbourFigure(
        "approach from above", "approach", (WHOLE_ABOVE, HALF_ABOVE), "two half steps down to it"
    ),
    NeighbourFigure(
        "enclosure", "enclosure", (UPPER, HALF_BELOW), "the scale's note above, a half step below"
    ),
    NeighbourFigure(
        "enclosure from below",
        "enclosure",
        (HALF_BELOW, UPPER),
        "a half step below, the scale's note above",
    ),
    NeighbourFigure(
        "enclosure in the scale", "enclosure", (UPPER, LOWER), "the scale's notes on both sides"
    ),
    NeighbourFigure(
        "chromatic enclosure", "enclosure", (HALF_ABOVE, HALF_BELOW), "a half step on both sides"
    ),
)

#: The figures by name, in the order in which menus show them (common practice, all of them).
NEIGHBOURS: dict[str, NeighbourFigure] = {figure.name: figure for figure in _ROWS}


def find_figures(names: Iterable[str] | str | None) -> list[NeighbourFigure]:
    """Figures by name; all of them for None.

    Raises
    ------
    BadInput
        If there is none of that name.

    Examples
    --------
    >>> [figure.role for figure in find_figures("enclosure")]
    ['enclosure']
    """
    asked = NEIGHBOURS if names is None else [names] if isinstance(names, str) else [*names]
    found = []
    for name in asked:
        if name not in NEIGHBOURS:
            close = nearest(name, NEIGHBOURS) if isinstance(name, str) else None
            accepted = ", ".join(NEIGHBOURS)
            raise BadInput("figure", name, "unknown", accepted=accepted, nearest=close)
        found.append(NEIGHBOURS[name])
    return found
