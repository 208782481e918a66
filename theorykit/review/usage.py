"""Which scale each bar of a take draws on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from theorykit.analysis.ranking import RankedScale, rank_scales
from theorykit.analysis.style import Style
from theorykit.analysis.wording import fill
from theorykit.practice.line_chart import LineChart, Slot
from theorykit.review.role import JudgedNote
from theorykit.theory.scale import SCALES

#: What players of these styles name (common practice), smaller ones first.
_NAMED = (
    "major pentatonic",
    "minor pentatonic",
    "blues",
    "major",
    "Mixolydian",
    "Dorian",
    "natural minor",
    "harmonic minor",
)
#: Fewer different notes are in too many scales to name one.
_FEWEST = 4


@dataclass(frozen=True, slots=True)
class BarUse:
    """What a bar draws on.

    Parameters
    ----------
    bar : int
        Counted from 1.
    chords : tuple of str
    scale : str
        Its name; ``"chord tones"`` where there is nothing else, empty where nothing is played or
        too little to tell.
    outside : tuple of str
        Notes that are not in it.
    """

    bar: int
    chords: tuple[str, ...]
    scale: str
    outside: tuple[str, ...] = ()

    def record(self) -> dict[str, object]:
        """A plain row."""
        return {
            "bar": self.bar,
            "chords": " ".join(self.chords),
            "scale": self.scale,
            "outside": " ".join(self.outside),
        }


def bar_uses(notes: Sequence[JudgedNote], chart: LineChart, style: Style) -> tuple[BarUse, ...]:
    """The scale of every bar: the one that has most of its length, the smallest of such."""
    found = []
    for number in range(len(chart.bars)):
        slots = [slot for slot in chart.slots if slot.bar == number]
        inside = [one for one in notes if one.bar == number + 1 and one.in_form]
        names = tuple(dict.fromkeys(slot.chord.pretty for slot in slots))
        found.append(_use(number + 1, names, slots, inside, chart, style))
    return tuple(found)


def _use(
    bar: int,
    names: tuple[str, ...],
    slots: Sequence[Slot],
    inside: Sequence[JudgedNote],
    chart: LineChart,
    style: Style,
) -> BarUse:
    if not inside:
        return BarUse(bar, names, "")
    if all(one.in_chord for one in inside):
        return BarUse(bar, names, "chord tones")
    tonic = slots[0].tonic
    heard: dict[int, Fraction] = {}
    for one in inside:
        step = (one.note.midi - tonic.pitch_class) % 12
        heard[step] = heard.get(step, Fraction(0)) + one.note.beats
    if len(heard) < _FEWEST:
        return BarUse(bar, names, "")
    places = rank_scales(slots[0].numeral, style, chart.mode, [SCALES[name] for name in _NAMED])

    def badness(place: RankedScale) -> tuple[Fraction, int, int]:
        steps = set(place.fit.placement.steps)
        missed = sum((heard[step] for step in heard if step not in steps), Fraction(0))
        return missed, len(steps), place.rank

    best = min(places, key=badness)
    steps = set(best.fit.placement.steps)
    outside = dict.fromkeys(
        one.name.pretty for one in inside if (one.note.midi - tonic.pitch_class) % 12 not in steps
    )
    return BarUse(bar, names, fill(best.name, tonic, pretty=True), tuple(outside))
