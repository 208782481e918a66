"""The key, the chord and the scale of the moment, from what is chosen."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from theorykit.analysis.advice import Advice, advise, sounded
from theorykit.analysis.fit import scale_over
from theorykit.analysis.tonality import TuneMode, tune_mode
from theorykit.scene.selection import Selection
from theorykit.theory.degree import Degree
from theorykit.theory.key import usual_tonic
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.progression import ChartChord
from theorykit.theory.scale import Scale, ScaleFormula

#: What an explorer shows: a scale over the chord of the moment (on one neck, or on several as an
#: ensemble), a scale with no chord, a scale cut
#: up along the neck, the shapes of a chord, a scale in a sequence, or a line over the changes.
Kind = Literal[
    "progression", "scale", "ensemble", "positions", "shapes", "sequences", "lines", "tunes"
]

#: The chord that stands for the key where no chord sounds.
HOME = Numeral.parse("I")


@dataclass(frozen=True, slots=True)
class Harmony:
    """The key and the chord of the moment; ``numeral`` is the tonic chord where none sounds."""

    tonic: Note
    numeral: Numeral
    mode: TuneMode
    advice: Advice | None
    silent: bool = False


def harmony_of(selection: Selection, kind: Kind) -> Harmony:
    """The harmony of the moment; with no chord, the key's own."""
    if kind != "progression":
        return Harmony(selection.tonic, HOME, "major", None)
    return harmonies(selection)[selection.step][1]


def harmonies(selection: Selection) -> list[tuple[int, Harmony, ChartChord]]:
    """Bar (1 for the first), harmony and place in the chart of every chord."""
    chart = selection.chart
    mode, found = tune_mode(chart), []
    for number, (bar, degree) in enumerate(zip(chart.bars, chart.tonics, strict=True)):
        tonic = usual_tonic(degree.at(selection.tonic))
        for placed in bar:
            local = chart.local_numeral(number, placed)
            numeral = sounded(local, thirds=selection.thirds)
            advice = advise(selection.formula, numeral, selection.taste, mode, placed.beats)
            harmony = Harmony(tonic, numeral, mode, advice, placed.silent)
            found.append((number + 1, harmony, ChartChord(local, placed.beats, placed.silent)))
    return found


def follows(selection: Selection, harmony: Harmony) -> bool:
    """True where another scale than the one that is held is shown, because it is advised."""
    switches = harmony.advice is not None and harmony.advice.verdict == "switch"
    return selection.follow and switches and not harmony.silent


def shown_scale(selection: Selection, harmony: Harmony) -> Scale:
    """The scale on the neck: the one that is held, or the one that is advised."""
    advice = harmony.advice
    if advice is not None and follows(selection, harmony):
        return Scale(advice.scale_tonic.at(harmony.tonic), advice.scale)
    return scale_on(selection.formula, harmony.numeral, harmony.tonic)


def scale_on(formula: ScaleFormula, numeral: Numeral, tonic: Note) -> Scale:
    """A scale on the tonic, or on the chord's root where it follows the chord."""
    start = numeral.root if formula.follows_chord else Degree(1)
    return Scale(start.at(tonic), scale_over(numeral, formula))


def compared_scale(selection: Selection, harmony: Harmony) -> Scale:
    """The scale that is compared; there must be one."""
    assert selection.compared is not None
    return scale_on(selection.compared, harmony.numeral, harmony.tonic)
