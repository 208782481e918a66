"""Contours: where a phrase lies as it goes, so that it rises to somewhere and comes back."""

from __future__ import annotations

import random
from collections.abc import Sequence

#: Shapes of a phrase as heights from 0 to 1, evenly spread over it, and how often each is taken;
#: the arch is the commonest shape of a phrase (Huron 1996, Computing in Musicology 10; from
#: memory), the weights are stipulated.
_SHAPES: tuple[tuple[tuple[float, ...], float], ...] = (
    ((0.2, 0.65, 1.0, 0.6, 0.25), 4),
    ((1.0, 0.7, 0.45, 0.3, 0.1), 3),
    ((0.1, 0.3, 0.5, 0.8, 0.9), 2),
    ((0.8, 0.35, 0.0, 0.4, 0.75), 1.5),
    ((0.4, 0.9, 0.35, 0.7, 0.2), 2),
)

#: How many half steps a phrase spans, by level.
_SPANS = {1: 9.0, 2: 11.0, 3: 13.0, 4: 14.0}
#: A solo lies above the middle of what the hand reaches.
_MIDDLE = 0.65


def heights(compass: Sequence[int], points: int, level: int, chance: random.Random) -> list[float]:
    """The contour of a phrase, as MIDI numbers at evenly spread points.

    Examples
    --------
    >>> found = heights(range(55, 84), 8, 2, random.Random(1))
    >>> len(found), all(55 <= height <= 84 for height in found)
    (9, True)
    """
    low, high = compass[0], compass[-1]
    span = min(_SPANS[level] * (0.8 + 0.4 * chance.random()), high - low - 1.0)
    room = high - low - span
    base = low + room * min(max(_MIDDLE + 0.35 * (chance.random() - 0.5), 0.0), 1.0)
    shapes, weights = zip(*_SHAPES, strict=True)
    shape = chance.choices(shapes, weights)[0]
    found = []
    for point in range(points + 1):
        place = point / points * (len(shape) - 1)
        left = min(int(place), len(shape) - 2)
        share = place - left
        found.append(base + span * (shape[left] * (1 - share) + shape[left + 1] * share))
    return found
