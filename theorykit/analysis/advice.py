"""Which scale goes over which chord: stay, pass through, leave out, or switch."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache
from typing import Literal

from theorykit.analysis import wording
from theorykit.analysis.advice_chart import AdviceChart
from theorykit.analysis.classification import Harmony
from theorykit.analysis.fit import Fit, NoteFit, Placement, home_of
from theorykit.analysis.style import Style
from theorykit.analysis.tonality import DIATONIC, TuneMode, dominant_target
from theorykit.theory.degree import Degree
from theorykit.theory.numeral import Numeral
from theorykit.theory.progression import Progression
from theorykit.theory.scale import SCALES, ScaleFormula

Verdict = Literal["stay", "pass", "leave", "switch"]

#: What a switch must gain: this much, and more the shorter the chord lasts (stipulated).
LEAST_GAIN = 0.04
SWITCH_COST_BEATS = 0.02
#: A chord shorter than this is over before a switch is heard (stipulated).
LEAST_BEATS = 2

_SEVEN_NOTE = ("major", "Mixolydian", "Dorian", "natural minor")

#: The scale of the key itself that a mode brings in beside the held one (common practice).
_MODE_SCALES: dict[TuneMode, str] = {
    "minor": "harmonic minor",
    "Mixolydian": "Mixolydian",
    "Dorian": "Dorian",
}
_TONIC = Degree(1)


@dataclass(frozen=True, slots=True)
class Advice:
    """What to play over one chord, in degrees.

    Parameters
    ----------
    numeral : Numeral
        The chord as it sounds.
    beats : Fraction
        How long it lasts.
    chosen : ScaleFormula
        The scale that the player holds, on the key's tonic.
    verdict : {"stay", "pass", "leave", "switch"}
    scale, scale_tonic : ScaleFormula, Degree
        What to play.
    fit : Fit
        The chosen scale over the chord.
    """

    numeral: Numeral
    beats: Fraction
    chosen: ScaleFormula
    verdict: Verdict
    scale: ScaleFormula
    scale_tonic: Degree
    fit: Fit

    @property
    def watch(self) -> tuple[NoteFit, ...]:
        """The notes of the chosen scale to leave out, the worst first, then those to pass."""
        return (*self.fit.unwanted, *self.fit.careful)

    @property
    def reason(self) -> str:
        """One plain sentence, its notes as degree tokens; see ``wording.fill``."""
        return wording.sentence(self.verdict, self.scale, self.scale_tonic, self.fit)

    @property
    def short(self) -> str:
        """A few words for a bar of the chart, its notes as degree tokens."""
        return wording.short_words(self.verdict, self.scale, self.scale_tonic, self.fit)


@lru_cache(maxsize=16384)
def advise(
    scale: ScaleFormula,
    numeral: Numeral,
    style: Style,
    mode: TuneMode = "major",
    beats: Fraction = Fraction(4),
) -> Advice:
    """What to do over one chord with a scale on the key's tonic.

    Parameters
    ----------
    scale : ScaleFormula
    numeral : Numeral
        The chord as it sounds: leave a member out of it and the advice follows.
    style : Style
    mode : {"major", "minor", "Mixolydian", "Dorian"}
        The tune's.
    beats : Fraction
        How long the chord lasts.

    Examples
    --------
    >>> from theorykit.analysis.style import find_style
    >>> from theorykit.theory.scale import find_scale
    >>> advice = advise(find_scale("blues"), Numeral.parse("V"), find_style("bluegrass"))
    >>> advice.verdict, str(advice.scale_tonic), advice.scale.name
    ('switch', '5', 'blues')
    """
    held = Placement(scale, home_of(scale, numeral), Harmony.of(numeral, mode))
    return decide(held, style, beats, Alternatives(held))


class Alternatives:
    """The scales that a player would change to, placed over the chord when first asked for.

    Parameters
    ----------
    held : Placement
        The scale that the player holds.
    """

    def __init__(self, held: Placement) -> None:
        self._held = held

    @cached_property
    def placements(self) -> tuple[Placement, ...]:
        """Each of ``candidates`` over the chord."""
        held = self._held
        return tuple(
            Placement(scale, tonic, held.harmony)
            for tonic, scale in candidates(held.scale, held.numeral, held.mode)
        )


def decide(held: Placement, style: Style, beats: Fraction, others: Alternatives) -> Advice:
    """The advice for a held scale in a style; ``advise`` with its parts made beforehand."""
    serves = Fit(held, style)
    verdict: Verdict
    if not serves.has_unwanted:
        verdict = "pass" if serves.has_careful else "stay"
        return Advice(held.numeral, beats, held.scale, verdict, held.scale, held.tonic, serves)
    best: tuple[float, Placement] | None = None
    if beats >= LEAST_BEATS:
        needed = serves.score + LEAST_GAIN + SWITCH_COST_BEATS / float(beats)
        for other in others.placements:
            would = Fit(other, style)
            if would.has_unwanted or would.score < needed:
                continue
            if best is None or would.score > best[0]:
                best = (would.score, other)
    if best is None:
        return Advice(held.numeral, beats, held.scale, "leave", held.scale, held.tonic, serves)
    new = best[1]
    return Advice(held.numeral, beats, held.scale, "switch", new.scale, new.tonic, serves)


def candidates(
    scale: ScaleFormula, numeral: Numeral, mode: TuneMode
) -> list[tuple[Degree, ScaleFormula]]:
    """The scales that a player would change to, each with its tonic.

    The same scale on the chord's root; for the seven-note scales that is the mode whose third and
    seventh the chord has (common practice). In minor, the key's harmonic minor too; in a modal
    tune, the mode's own scale. Over a dominant that leads to a minor chord the seven-note scales
    have the harmonic minor of that chord.

    Examples
    --------
    >>> from theorykit.theory.scale import find_scale
    >>> found = candidates(find_scale("major"), Numeral.parse("III7"), "major")
    >>> [f"{tonic} {scale.name}" for tonic, scale in found]
    ['3 Mixolydian', '6 harmonic minor']
    """
    in_key = [(_TONIC, SCALES[_MODE_SCALES[mode]])] if mode in _MODE_SCALES else []
    on_chord = (numeral.root, _on_chord(scale, numeral, mode))
    if on_chord in in_key:
        in_key = []
    if scale.name not in _SEVEN_NOTE:
        return [on_chord, *in_key]
    target = dominant_target(numeral, mode)
    if target is None or not target.minor:
        return [on_chord, *in_key]
    resolved = (target.root, SCALES["harmonic minor"])
    if target.root == _TONIC:
        # A mode on the dominant would bring notes from outside the key; its own minor has none.
        return [resolved]
    return [on_chord, resolved, *in_key]


def _on_chord(scale: ScaleFormula, numeral: Numeral, mode: TuneMode) -> ScaleFormula:
    if scale.name not in _SEVEN_NOTE:
        return scale
    third = numeral.type.third
    if third is not None:
        minor = third.alter < 0
    else:
        # A third that is left out is still in the ear: the one that the key has there.
        root = numeral.root.semitones
        minor = (root + 4) % 12 not in DIATONIC[mode] and (root + 3) % 12 in DIATONIC[mode]
    if minor:
        return SCALES["Dorian"]
    return SCALES["major" if Degree(7) in numeral.type.degrees else "Mixolydian"]


def advise_progression(
    progression: Progression,
    scale: ScaleFormula,
    style: Style,
    *,
    mode: TuneMode | None = None,
    thirds: bool = True,
) -> AdviceChart:
    """Advice for every chord of a progression, bar by bar.

    Parameters
    ----------
    progression : Progression
    scale : ScaleFormula
        On the key's tonic; where the key changes, on the new one.
    style : Style
    mode : {"major", "minor", "Mixolydian", "Dorian"}, optional
        The tune's; major or minor as the progression tells it if not given.
    thirds : bool
        False to leave the third out of every chord.

    Returns
    -------
    list of list of Advice
        Bars, and in each its chords, counted from the tonic that the bar is in; a notebook shows it
        as a table.
    """
    mode = mode or progression.mode
    bars = []
    for number, bar in enumerate(progression.bars):
        local = [progression.local_numeral(number, chord) for chord in bar]
        bars.append(
            [
                advise(scale, sounded(numeral, thirds=thirds), style, mode, chord.beats)
                for numeral, chord in zip(local, bar, strict=True)
            ]
        )
    return AdviceChart(bars, progression.tonics)


def sounded(numeral: Numeral, *, thirds: bool) -> Numeral:
    """The chord as it sounds, with its third or without."""
    return numeral if thirds else numeral.with_type(numeral.type.without_third())
