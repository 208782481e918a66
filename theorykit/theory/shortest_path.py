"""The cheapest way through a row of choices."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

Node = TypeVar("Node")

#: A cost: whole numbers of which the first decides, then the second, and so on. Whole, so that
#: sums compare exactly.
Cost = tuple[int, ...]


def cheapest_path(
    layers: Sequence[Sequence[Node]], move: Callable[[Node | None, Node | None], Cost]
) -> tuple[Cost, list[Node]]:
    """One node of each layer, so that the moves between them cost least (dynamic programming).

    Parameters
    ----------
    layers : sequence of sequence
        None of them empty.
    move : callable
        The cost of going from one node to the next; it is asked with None for the node before the
        first and for the one after the last. Every cost has the same length.

    Returns
    -------
    cost : tuple of int
    path : list
        Of paths that cost the same, one whose nodes come early in their layers.

    Examples
    --------
    >>> def distance(one, other):
    ...     return (0,) if one is None or other is None else (abs(one - other),)
    >>> cheapest_path([[1, 9], [8], [0, 6]], distance)
    ((3,), [9, 8, 6])
    """
    ways: list[tuple[Cost, list[Node]]] = [(move(None, node), [node]) for node in layers[0]]
    for layer in layers[1:]:
        reached = []
        for node in layer:
            cost, path = min(
                ((_sum(cost, move(path[-1], node)), path) for cost, path in ways),
                key=_cost_of,
            )
            reached.append((cost, [*path, node]))
        ways = reached
    return min(((_sum(cost, move(path[-1], None)), path) for cost, path in ways), key=_cost_of)


def _cost_of(way: tuple[Cost, list[Node]]) -> Cost:
    return way[0]


def _sum(one: Cost, other: Cost) -> Cost:
    return tuple(a + b for a, b in zip(one, other, strict=True))
