"""Time shared out to the second, and rests put where they must be."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Protocol, TypeVar

#: The longest stretch of playing, and a rest, in seconds (stipulated, after what teachers commonly
#: say: a short pause every ten minutes or so).
LONGEST_STRETCH, REST_SECONDS = 600, 60


class Timed(Protocol):
    """Anything that lasts."""

    @property
    def seconds(self) -> int:
        """How long."""


T = TypeVar("T", bound=Timed)


def shares(seconds: int, weights: Sequence[float]) -> list[int]:
    """Seconds shared out by weight, to the last of them (by largest remainder).

    Examples
    --------
    >>> shares(100, [1, 1, 1])
    [34, 33, 33]
    """
    whole = sum(weights)
    exact = [seconds * weight / whole for weight in weights]
    found = [int(share) for share in exact]
    by_remainder = sorted(
        range(len(weights)), key=lambda place: (found[place] - exact[place], place)
    )
    for place in by_remainder[: seconds - sum(found)]:
        found[place] += 1
    return found


def with_rests(
    plan: Callable[[int], tuple[list[T], list[str]]],
    seconds: int,
    longest: int,
    rest_seconds: int,
    rest: Callable[[int], T],
    cut: Callable[[T, int], tuple[T, T]],
) -> tuple[list[T], list[str]]:
    """A plan with the fewest rests that it can do with, of just so many seconds.

    Parameters
    ----------
    plan : function
        Blocks that fill some seconds, and what they leave out.
    seconds, longest, rest_seconds : int
        All of it, the longest stretch with no rest, and a rest.
    rest : function
        A rest of some seconds.
    cut : function
        A block in two, the first of some seconds.
    """
    rests = 0
    while True:
        blocks, left = plan(seconds - rests * rest_seconds)
        stretches = _stretches(blocks, longest, cut)
        if len(stretches) - 1 <= rests:
            break
        rests += 1
    while len(stretches) - 1 < rests:
        # One rest fewer would do for what is left of the time: the longest stretch takes it.
        place = max(range(len(stretches)), key=lambda at: _length(stretches[at]))
        stretches[place : place + 1] = _halved(stretches[place], cut)
    found = stretches[0]
    for stretch in stretches[1:]:
        found = [*found, rest(rest_seconds), *stretch]
    return found, left


def _length(stretch: Sequence[Timed]) -> int:
    return sum(block.seconds for block in stretch)


def _stretches(
    blocks: Sequence[T], longest: int, cut: Callable[[T, int], tuple[T, T]]
) -> list[list[T]]:
    """The blocks in stretches, each as long as may be; a block that is too long is cut evenly."""
    found: list[list[T]] = [[]]
    for block in blocks:
        parts = -(-block.seconds // longest)
        rest = block
        for length in shares(block.seconds, [1.0] * parts):
            piece, rest = cut(rest, length) if length < rest.seconds else (rest, rest)
            if found[-1] and _length(found[-1]) + length > longest:
                found.append([])
            found[-1].append(piece)
    return found


def _halved(stretch: list[T], cut: Callable[[T, int], tuple[T, T]]) -> list[list[T]]:
    """A stretch in two, between the blocks where that is nearest to the middle."""
    if len(stretch) == 1:
        first, second = cut(stretch[0], stretch[0].seconds // 2)
        return [[first], [second]]
    whole = _length(stretch)
    middle = min(
        range(1, len(stretch)), key=lambda place: abs(2 * _length(stretch[:place]) - whole)
    )
    return [stretch[:middle], stretch[middle:]]
