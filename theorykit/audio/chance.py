"""Chance that is the same everywhere: the generator that the browser's synthesiser has too."""

from __future__ import annotations

from functools import lru_cache

_GOLDEN = 0x9E3779B1
_WORD = 0xFFFFFFFF


@lru_cache(maxsize=512)
def seeded_numbers(seed: int, count: int) -> tuple[float, ...]:
    """``count`` numbers from 0 to 1: Marsaglia's xorshift32 (2003).

    Examples
    --------
    >>> [round(number, 4) for number in seeded_numbers(1, 3)]
    [0.4395, 0.2513, 0.0882]
    """
    # The multiplier parts neighbouring seeds; zero would be a fixed point.
    state = (seed + 1) * _GOLDEN & _WORD or 1
    numbers = []
    for _ in range(count + 8):
        state ^= state << 13 & _WORD
        state ^= state >> 17
        state ^= state << 5 & _WORD
        numbers.append(state / 2**32)
    return tuple(numbers[8:])
