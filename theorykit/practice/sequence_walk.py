"""The way of a sequence: its figures in their order, where they turn, when each note falls."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from theorykit.errors import BadInput
from theorykit.practice.rhythm import Rhythm
from theorykit.practice.sequence_ladder import Ladder, Rung
from theorykit.practice.sequence_pattern import SequencePattern
from theorykit.theory.degree import Degree
from theorykit.theory.meter import Meter


@dataclass(frozen=True, slots=True)
class Step:
    """A note on the way, and whether it begins a figure."""

    rung: Rung
    first: bool


class Walk:
    """A pattern on a ladder: the figures that there is room for, and the ways through them."""

    def __init__(self, ladder: Ladder, pattern: SequencePattern, home: Degree) -> None:
        self.ladder, self.pattern, self.home = ladder, pattern, home
        self.up_offsets = pattern.offsets(ladder.count)
        self.down_offsets = pattern.offsets(ladder.count, down=True)
        self.ups = ladder.bases(self.up_offsets)
        self.downs = ladder.bases(self.down_offsets, down=True)
        if not self.ups or not self.downs:
            wide = max(self.up_offsets) - min(self.up_offsets) + 1
            raise BadInput(
                "compass",
                ladder,
                f"too narrow for {pattern.name}",
                accepted=f"{wide} notes of the scale or more",
            )
        tonics = ladder.places_of(home)
        starts = [at for at in tonics if at in self.ups]
        #: The rung of the first figure upwards.
        self.start = starts[0] if starts else self.ups[0]
        first = self.down_offsets[0]
        tops = [at - first for at in tonics if at - first in self.downs]
        #: The rung of the first figure downwards.
        self.top = tops[-1] if tops else self.downs[-1]
        self.at_home = bool(starts)

    def figure(self, base: int, *, down: bool) -> list[Step]:
        """The notes of a figure."""
        offsets = self.down_offsets if down else self.up_offsets
        return [
            Step(self.ladder.rung(base + offset, down=down), not place)
            for place, offset in enumerate(offsets)
        ]

    def up(self, first: int) -> list[list[Step]]:
        """The figures from a rung to the top of the compass."""
        bases = range(first, self.ups[-1] + 1, self.pattern.stride)
        return [self.figure(base, down=False) for base in bases]

    def down(self, first: int) -> list[list[Step]]:
        """The figures from a rung to the bottom of the compass."""
        bases = range(first, self.downs[0] - 1, -self.pattern.stride)
        return [self.figure(base, down=True) for base in bases]

    def landing(self, last: Rung, direction: str = "") -> Rung:
        """The note to end on: where the way there and back began, else the nearest such note."""
        if self.at_home and direction == "up and back":
            return self.ladder.rung(self.start)
        rungs = [self.ladder.rung(at) for at in self.ladder.places_of(self.home)]
        rungs = rungs or [self.ladder.rung(self.start)]
        return min(rungs, key=lambda rung: (abs(rung.midi - last.midi), rung.midi))


def joined(figures: list[list[Step]], before: Step | None) -> Iterator[Step]:
    """Figures in a row; one that would strike the note before again is left out at a turn."""
    if before is not None and figures and figures[0][0].rung.midi == before.rung.midi:
        figures = figures[1:]
    for figure in figures:
        yield from figure


def walked_steps(walk: Walk, direction: str, *, endless: bool) -> Iterator[Step]:
    """The whole way of a direction, or that way over and over."""
    whole = {"up": walk.up(walk.ups[0]), "down": walk.down(walk.downs[-1])}
    if direction.startswith("up"):
        first, back = walk.up(walk.start), "down"
        # What lies below the start is climbed on the way home.
        home = walk.up(walk.ups[0])[: len(range(walk.ups[0], walk.start, walk.pattern.stride))]
    else:
        first, back = walk.down(walk.top), "up"
        home = walk.down(walk.downs[-1])[
            : len(range(walk.downs[-1], walk.top, -walk.pattern.stride))
        ]
    there = "up" if back == "down" else "down"
    legs = [first, whole[back]] if "back" in direction else [first]
    again = [whole[there], whole[back]] if "back" in direction else [first]
    if not endless and "back" in direction:
        legs.append(home)
    before: Step | None = None
    while True:
        for leg in legs:
            for step in joined(leg, before):
                before = step
                yield step
        if not endless:
            return
        legs = again


def placed_steps(
    walk: Walk, direction: str, rhythm: Rhythm, meter: Meter, bars: int | None
) -> list[tuple[Fraction, Fraction, Step]]:
    """Every note at its beat, and the last one made to fill its bar."""
    beats = Fraction(meter.beats)
    lengths = rhythm.lengths(meter)
    steps = walked_steps(walk, direction, endless=bars is not None)
    found: list[tuple[Fraction, Fraction, Step]] = []
    at = Fraction(0)
    if bars is not None:
        # Whole bars of the pattern and one for the last note; of a single bar, its last beat.
        close = (bars - 1) * beats if bars > 1 else beats - 1
        for step, length in zip(steps, lengths, strict=False):
            if at >= close:
                break
            found.append((at, min(length, close - at), step))
            at += length
        end = Step(walk.landing(found[-1][2].rung), True)
        return [*found, (close, bars * beats - close, end)]
    for step in steps:
        length = next(lengths)
        found.append((at, length, step))
        at += length
    start, _, last = found[-1]
    end = Step(walk.landing(last.rung, direction), True)
    if end.rung.midi == last.rung.midi and (start.denominator == 1 or at.denominator > 1):
        # Home already, on a beat; or there is none for it to be struck again on.
        return [*found[:-1], (start, _to_bar_line(start, beats), last)]
    return [*found, (at, _to_bar_line(at, beats), end)]


def _to_bar_line(at: Fraction, beats: Fraction) -> Fraction:
    return beats - at % beats
