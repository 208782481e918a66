"""Ideas that come back: the same rhythm with the same moves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from theorykit.review.take import TakeNote

#: An idea has this many notes (stipulated): three are too common to be heard as one.
FEWEST_NOTES, MOST_NOTES = 4, 10
#: A rest or a held note of this many quarters ends an idea.
_GAP = Fraction(2)

_Move = tuple[int, Fraction]


@dataclass(frozen=True, slots=True)
class Motif:
    """An idea that is played more than once.

    Parameters
    ----------
    moves : tuple of (int, Fraction)
        From note to note: half steps, and beats.
    places : tuple of int
        The numbers of the first note of each time, counted from 0.
    """

    moves: tuple[_Move, ...]
    places: tuple[int, ...]

    @property
    def notes(self) -> int:
        """How many notes it has."""
        return len(self.moves) + 1


def motifs(notes: Sequence[TakeNote], quarter: Fraction) -> tuple[Motif, ...]:
    """The ideas that come back, at any pitch, the longest first; none lies in another.

    What is one note over and over, or a scale in even notes, is no idea of its own.

    Parameters
    ----------
    notes : sequence of TakeNote
    quarter : Fraction
        In beats.
    """
    moves = [(after.midi - note.midi, after.start - note.start) for note, after in pairwise(notes)]
    near = [beats < _GAP * quarter for _, beats in moves]
    taken: set[int] = set()
    found: list[Motif] = []
    for size in range(MOST_NOTES - 1, FEWEST_NOTES - 2, -1):
        places: dict[tuple[_Move, ...], list[int]] = {}
        for at in range(len(moves) - size + 1):
            if not all(near[at : at + size]):
                continue
            run = tuple(moves[at : at + size])
            if not _plain(run):
                places.setdefault(run, []).append(at)
        for run, starts in places.items():
            apart: list[int] = []
            for at in starts:
                inside = range(at, at + size + 1)
                if taken.isdisjoint(inside) and (not apart or at > apart[-1] + size):
                    apart.append(at)
            if len(apart) > 1:
                found.append(Motif(run, tuple(apart)))
                taken.update(at + step for at in apart for step in range(size + 1))
    return tuple(found)


def _plain(run: Sequence[_Move]) -> bool:
    steps, lengths = {step for step, _ in run}, {beats for _, beats in run}
    one_way = all(0 < step <= 2 for step in steps) or all(-2 <= step < 0 for step in steps)
    return steps == {0} or (one_way and len(lengths) == 1)
