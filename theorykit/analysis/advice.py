"""Which scale goes over which chord: stay, pass through, leave out, or switch."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Literal

from theorykit.analysis import wording
from theorykit.analysis.fit import Fit, NoteFit, fit
from theorykit.analysis.style import Style
from theorykit.theory.degree import Degree
from theorykit.theory.key import Mode
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
        return wording.sentence(
            self.verdict, self.numeral, self.chosen, self.scale, self.scale_tonic, self.fit
        )

    @property
    def short(self) -> str:
        """A few words for a bar of the chart, its notes as degree tokens."""
        return wording.short_words(
            self.verdict, self.scale, self.scale_tonic, self.numeral, self.fit
        )


@lru_cache(maxsize=16384)
def advise(
    scale: ScaleFormula,
    numeral: Numeral,
    style: Style,
    mode: Mode = "major",
    beats: Fraction = Fraction(4),
) -> Advice:
    """What to do over one chord with a scale on the key's tonic.

    Parameters
    ----------
    scale : ScaleFormula
    numeral : Numeral
        The chord as it sounds: leave a member out of it and the advice follows.
    style : Style
    mode : {"major", "minor"}
        The key's.
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
    held = fit(scale, numeral, style, mode)
    home = numeral.root if scale.follows_chord else Degree(1)
    if not held.unwanted:
        verdict: Verdict = "pass" if held.careful else "stay"
        return Advice(numeral, beats, scale, verdict, scale, home, held)
    best: tuple[float, Degree, ScaleFormula] | None = None
    if beats >= LEAST_BEATS:
        needed = held.score + LEAST_GAIN + SWITCH_COST_BEATS / float(beats)
        for tonic, candidate in candidates(scale, numeral, mode):
            other = fit(candidate, numeral, style, mode, tonic=tonic)
            if other.unwanted or other.score < needed:
                continue
            if best is None or other.score > best[0]:
                best = (other.score, tonic, candidate)
    if best is None:
        return Advice(numeral, beats, scale, "leave", scale, home, held)
    return Advice(numeral, beats, scale, "switch", best[2], best[1], held)


def candidates(
    scale: ScaleFormula, numeral: Numeral, mode: Mode
) -> list[tuple[Degree, ScaleFormula]]:
    """The scales that a player would change to, each with its tonic.

    The same scale on the chord's root; for the seven-note scales that is the mode whose third and
    seventh the chord has (common practice). In minor, the key's harmonic minor too.
    """
    in_key = [(Degree(1), SCALES["harmonic minor"])] if mode == "minor" else []
    dominant = numeral.root == Degree(5) and numeral.type.third == Degree(3)
    if in_key and dominant and scale.name in _SEVEN_NOTE:
        # A mode on the dominant would bring notes from outside the key; its own minor has none.
        return in_key
    return [(numeral.root, _on_chord(scale, numeral)), *in_key]


def _on_chord(scale: ScaleFormula, numeral: Numeral) -> ScaleFormula:
    if scale.name not in _SEVEN_NOTE:
        return scale
    third = numeral.type.third
    if third is not None and third.alter < 0:
        return SCALES["Dorian"]
    return SCALES["major" if Degree(7) in numeral.type.degrees else "Mixolydian"]


def advise_progression(
    progression: Progression,
    scale: ScaleFormula,
    style: Style,
    *,
    mode: Mode | None = None,
    thirds: bool = True,
) -> list[list[Advice]]:
    """Advice for every chord of a progression, bar by bar.

    Parameters
    ----------
    progression : Progression
    scale : ScaleFormula
        On the key's tonic.
    style : Style
    mode : {"major", "minor"}, optional
        The key's; the progression's own if not given.
    thirds : bool
        False to leave the third out of every chord.
    """
    mode = mode or progression.mode
    return [
        [
            advise(scale, sounded(chord.numeral, thirds=thirds), style, mode, chord.beats)
            for chord in bar
        ]
        for bar in progression.bars
    ]


def sounded(numeral: Numeral, *, thirds: bool) -> Numeral:
    """The chord as it sounds, with its third or without."""
    return numeral if thirds else numeral.with_type(numeral.type.without_third())
