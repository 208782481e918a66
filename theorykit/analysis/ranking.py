"""Scales ranked by how well they serve over one chord, each with its reason."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from theorykit.analysis.classification import Harmony
from theorykit.analysis.fit import Fit, Placement
from theorykit.analysis.style import Style
from theorykit.analysis.tonality import TuneMode
from theorykit.analysis.wording import listed, note_words, rub_words, scale_words
from theorykit.theory.degree import Degree
from theorykit.theory.numeral import Numeral
from theorykit.theory.scale import SCALES, ScaleFormula

_TONIC = Degree(1)


@dataclass(frozen=True, slots=True)
class RankedScale:
    """A scale's place in the ranking.

    Parameters
    ----------
    rank : int
        1 for the best.
    scale, tonic : ScaleFormula, Degree
    fit : Fit
    """

    rank: int
    scale: ScaleFormula
    tonic: Degree
    fit: Fit

    @property
    def name(self) -> str:
        """The scale's full name as a template, e.g. ``"{5} minor pentatonic"``."""
        return scale_words(self.scale, self.tonic, self.fit.placement.numeral)

    @property
    def reason(self) -> str:
        """Why it stands there, as a template with no full stop."""
        placement = self.fit.placement
        unwanted, careful = self.fit.unwanted_places, self.fit.careful_places
        told = [_told(placement, unwanted, "rubs"), _told(placement, careful, "passes")]
        parts = [part for part in told if part] or ["no note calls for care"]
        return "; ".join([*parts, _members(placement)])


def rank_scales(
    numeral: Numeral,
    style: Style,
    mode: TuneMode = "major",
    scales: Iterable[ScaleFormula] | None = None,
    *,
    tonics: Iterable[Degree] | None = None,
) -> tuple[RankedScale, ...]:
    """Every scale on the key's tonic and on the chord's root, the best first.

    Fewer notes to leave out come first, then the better score, then the key's tonic before the
    chord's root, then the order in which the scales were given.

    Parameters
    ----------
    numeral : Numeral
        The chord as it sounds.
    style : Style
    mode : {"major", "minor", "Mixolydian", "Dorian"}
        The tune's.
    scales : iterable of ScaleFormula, optional
        The whole catalogue if not given, the chord's own tones and the chromatic scale left out.
    tonics : iterable of Degree, optional
        Where the scales may start; the key's tonic and the chord's root if not given.

    Examples
    --------
    >>> from theorykit.analysis.style import find_style
    >>> from theorykit.theory.scale import find_scale
    >>> both = [find_scale("minor pentatonic"), find_scale("major pentatonic")]
    >>> ranking = rank_scales(Numeral.parse("V"), find_style("bluegrass"), scales=both)
    >>> [place.name for place in ranking][0], [place.name for place in ranking][-1]
    ('{5} major pentatonic', '{1} minor pentatonic')
    """
    offered = list(scales) if scales is not None else _catalogue()
    harmony = Harmony.of(numeral, mode)
    starts = list(tonics) if tonics is not None else [_TONIC, numeral.root]
    placed: dict[Placement, None] = {}
    for scale in offered:
        for start in [numeral.root] if scale.follows_chord else starts:
            placed[Placement(scale, start, harmony)] = None
    fits = [Fit(placement, style) for placement in placed]
    fits.sort(
        key=lambda fit: (
            len(fit.unwanted_places),
            -fit.score,
            fit.placement.tonic != _TONIC,
        )
    )
    return tuple(
        RankedScale(rank, fit.placement.scale, fit.placement.tonic, fit)
        for rank, fit in enumerate(fits, start=1)
    )


def _catalogue() -> list[ScaleFormula]:
    return [scale for scale in SCALES.values() if 0 < len(scale.degrees) < 12]


def _told(placement: Placement, places: Sequence[int], verb: str) -> str:
    return ", ".join(
        f"{note_words(placement, place)} {verb} {rub_words(placement, place)}" for place in places
    )


def _members(placement: Placement) -> str:
    """Which chord members the scale has not got."""
    numeral = placement.numeral
    root, present = numeral.root.semitones, set(placement.steps)
    missing = [
        f"{{{numeral.root.plus(member)}}}"
        for member in numeral.type.degrees
        if (root + member.semitones) % 12 not in present
    ]
    return f"it lacks {listed(missing)}" if missing else "it has every chord tone"
