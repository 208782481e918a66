"""The rhythmic vocabulary of lines: how bars fall into groups, and what is played on a group.

Lengths are in eighths (the figures are common practice, their weights are stipulated).
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

#: The groups of a bar, in eighths, and which of them have a strong beat (any handbook of meter).
GROUPS: dict[str, tuple[tuple[int, bool], ...]] = {
    "4/4": ((4, True), (4, True)),
    "3/4": ((6, True),),
    "2/4": ((4, True),),
    "2/2": ((4, True), (4, True)),
    "6/8": ((3, True), (3, True)),
    "9/8": ((3, True), (3, False), (3, False)),
    "12/8": ((3, True), (3, False), (3, True), (3, False)),
    "5/4": ((6, True), (4, True)),
    "7/4": ((4, True), (4, True), (6, True)),
    "3/2": ((4, True), (4, False), (4, False)),
    "5/8": ((3, True), (2, True)),
    "7/8": ((2, True), (2, True), (3, True)),
}

#: Meters whose bars are so short that a phrase has four of them.
SHORT_BARS = frozenset({"3/4", "2/4", "6/8", "5/8", "7/8"})

#: For each level and length of a group its figures, with their weights. ``r1`` is a rest of an
#: eighth, which only the first group of a phrase may begin with; ``t`` is a third of a quarter.
FIGURES: dict[int, dict[int, tuple[tuple[str, float], ...]]] = {
    1: {
        2: (("2", 1),),
        3: (("3", 3), ("2 1", 1)),
        4: (("2 2", 5), ("4", 1)),
        6: (("2 2 2", 5), ("4 2", 2), ("2 4", 1)),
    },
    2: {
        2: (("1 1", 2), ("2", 2)),
        3: (("1 1 1", 4), ("2 1", 3), ("3", 1)),
        4: (("1 1 1 1", 4), ("2 1 1", 3), ("1 1 2", 3), ("2 2", 2)),
        6: (("2 1 1 1 1", 3), ("1 1 1 1 2", 3), ("2 1 1 2", 2), ("1 1 1 1 1 1", 2), ("4 1 1", 1)),
    },
    3: {
        2: (("1 1", 3), ("2", 1)),
        3: (("1 1 1", 5), ("2 1", 3), ("1 2", 1), ("r1 1 1", 1)),
        4: (
            ("1 1 1 1", 6),
            ("2 1 1", 2),
            ("1 1 2", 2),
            ("3 1", 2),
            ("1 2 1", 1),
            ("r1 1 1 1", 2),
        ),
        6: (
            ("1 1 1 1 1 1", 4),
            ("2 1 1 1 1", 3),
            ("3 1 1 1", 2),
            ("1 1 1 1 2", 2),
            ("r1 1 1 1 1 1", 2),
        ),
    },
    4: {
        2: (("1 1", 3), ("2", 1)),
        3: (("1 1 1", 4), ("2 1", 4), ("1 2", 1), ("r1 1 1", 2)),
        4: (
            ("1 1 1 1", 4),
            ("1 2 1", 3),
            ("3 1", 2),
            ("1 1 2", 2),
            ("t t t 2", 1),
            ("r1 1 1 1", 3),
            ("r1 1 2", 2),
        ),
        6: (
            ("1 1 1 1 1 1", 3),
            ("3 1 1 1", 2),
            ("1 2 1 2", 2),
            ("2 1 1 1 1", 2),
            ("t t t 2 2", 1),
            ("r1 1 1 1 2", 3),
        ),
    },
}


@lru_cache(maxsize=512)
def figure_lengths(text: str) -> tuple[tuple[Fraction, bool], ...]:
    """The lengths of a figure, and whether each of them sounds."""
    found = []
    for word in text.split():
        length = Fraction(2, 3) if word == "t" else Fraction(word.lstrip("r"))
        found.append((length, not word.startswith("r")))
    return tuple(found)


@lru_cache(maxsize=512)
def figure_edges(text: str) -> frozenset[Fraction]:
    """Where the notes and rests of a figure begin."""
    at, found = Fraction(0), []
    for length, _ in figure_lengths(text):
        found.append(at)
        at += length
    return frozenset(found)


def bar_eighths(meter: str) -> int:
    """How many eighths a bar has.

    >>> bar_eighths("12/8")
    12
    """
    return sum(length for length, _ in GROUPS[meter])


def strong_eighths(meter: str) -> frozenset[int]:
    """Where the strong beats of a bar are.

    >>> sorted(strong_eighths("4/4")), sorted(strong_eighths("3/4"))
    ([0, 4], [0])
    """
    at, found = 0, set()
    for length, strong in GROUPS[meter]:
        if strong:
            found.add(at)
        at += length
    return frozenset(found)
