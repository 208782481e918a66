"""How each note of a scale stands to a chord, with no key: degrees and half steps only."""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.analysis.classification import Harmony, classes, classify
from theorykit.analysis.placement import NoteFit, Placement, home_of, scale_over
from theorykit.analysis.style import CLASSES, Style
from theorykit.analysis.tonality import TuneMode
from theorykit.theory.degree import Degree
from theorykit.theory.numeral import Numeral
from theorykit.theory.scale import ScaleFormula

__all__ = ["Fit", "NoteFit", "Placement", "classes", "classify", "fit", "home_of", "scale_over"]

#: How the score is shared out (stipulated).
CLEAN_SHARE, COVER_SHARE = 0.75, 0.25

_RUBBING_CLASSES = sum(1 << code for code, kind in enumerate(CLASSES) if kind.rubs_against)


@dataclass(frozen=True, slots=True)
class Fit:
    """A scale over a chord in a style: every note, and the figures that sum them up.

    Parameters
    ----------
    placement : Placement
    style : Style
    """

    placement: Placement
    style: Style

    @property
    def notes(self) -> tuple[NoteFit, ...]:
        """Every note of the scale, in its order."""
        places = range(len(self.placement.codes))
        return tuple([self.placement.note(place, self.style) for place in places])

    @property
    def clean(self) -> float:
        """How little the scale rubs, 0 to 1."""
        severities, codes = self.style.severities, self.placement.codes
        return 1.0 - sum([severities[code] for code in codes]) / len(codes)

    @property
    def cover(self) -> float:
        """How much of the chord's sound the scale has, 0 to 1."""
        return self.placement.cover

    @property
    def score(self) -> float:
        """How well the scale serves: three parts cleanness, one part chord members covered."""
        return CLEAN_SHARE * self.clean + COVER_SHARE * self.cover

    @property
    def rubs(self) -> bool:
        """True if any note of the scale rubs at all."""
        held, passed = self.placement.held_classes, self.placement.passed_classes
        return bool((held | passed) & _RUBBING_CLASSES)

    @property
    def has_unwanted(self) -> bool:
        """True if a note is to be left out."""
        return bool(self.placement.held_classes & self.style.switch_classes)

    @property
    def has_careful(self) -> bool:
        """True if a note is to be passed through."""
        care = self.style.care_classes
        ornaments = self.placement.passed_classes & (care | self.style.switch_classes)
        return bool(self.placement.held_classes & care or ornaments)

    @property
    def unwanted_places(self) -> tuple[int, ...]:
        """The places in the scale of the notes to leave out, the worst first."""
        switch, codes = self.style.switch_classes, self.placement.codes
        if not self.placement.held_classes & switch:
            return ()
        ornaments, severities = self.placement.ornaments, self.style.severities
        found = [p for p, c in enumerate(codes) if switch >> c & 1 and p not in ornaments]
        if len(found) > 1:
            found.sort(key=lambda place: -severities[codes[place]])
        return tuple(found)

    @property
    def careful_places(self) -> tuple[int, ...]:
        """The places in the scale of the notes to pass through, in its order."""
        if not self.has_careful:
            return ()
        care, ornaments = self.style.care_classes, self.placement.ornaments
        either = care | self.style.switch_classes
        return tuple(
            [
                place
                for place, code in enumerate(self.placement.codes)
                if (either if place in ornaments else care) >> code & 1
            ]
        )

    @property
    def unwanted(self) -> tuple[NoteFit, ...]:
        """The notes to leave out, the worst first; an ornament is never one of them."""
        return tuple(self.placement.note(place, self.style) for place in self.unwanted_places)

    @property
    def careful(self) -> tuple[NoteFit, ...]:
        """The notes to pass through, in the order of the scale."""
        return tuple(self.placement.note(place, self.style) for place in self.careful_places)


def fit(
    scale: ScaleFormula,
    numeral: Numeral,
    style: Style,
    mode: TuneMode = "major",
    *,
    tonic: Degree | None = None,
) -> Fit:
    """How a scale serves over a chord.

    Parameters
    ----------
    scale : ScaleFormula
    numeral : Numeral
        The chord as it sounds.
    style : Style
    mode : {"major", "minor", "Mixolydian", "Dorian"}
        The tune's.
    tonic : Degree, optional
        Where the scale starts; the key's tonic if not given, the chord's root for chord tones.

    Examples
    --------
    >>> from theorykit.analysis.style import find_style
    >>> from theorykit.theory.scale import find_scale
    >>> result = fit(find_scale("minor pentatonic"), Numeral.parse("V"), find_style("bluegrass"))
    >>> [str(note.degree) for note in result.unwanted]
    ['b3']
    """
    start = tonic or home_of(scale, numeral)
    return Fit(Placement(scale, start, Harmony.of(numeral, mode)), style)
