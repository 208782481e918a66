"""How each note of a scale stands to a chord, with no key: degrees and half steps only."""

from __future__ import annotations

from dataclasses import dataclass, field

from theorykit.analysis import style as styles
from theorykit.analysis.classification import Harmony, classes, classify
from theorykit.analysis.style import CLASSES, NoteClass, Style
from theorykit.analysis.tonality import TuneMode
from theorykit.theory.degree import Degree
from theorykit.theory.numeral import Numeral
from theorykit.theory.scale import ScaleFormula

__all__ = ["Fit", "NoteFit", "Placement", "classes", "classify", "fit", "home_of", "scale_over"]

#: How the score is shared out (stipulated).
CLEAN_SHARE, COVER_SHARE = 0.75, 0.25

_TONIC = Degree(1)
_RUBBING_CLASSES = sum(1 << code for code, kind in enumerate(CLASSES) if kind.rubs_against)


@dataclass(frozen=True, slots=True)
class NoteFit:
    """A scale note over a chord.

    Parameters
    ----------
    degree : Degree
        Above the tonic.
    alternate : Degree or None
        Its second spelling, if it has one.
    kind : NoteClass
    severity : float
        0 to 1.
    member : Degree or None
        The chord member that it is, or that it rubs against, counted above the chord's root.
    ornament : bool
        True for a note that the scale has in passing only.
    """

    degree: Degree
    alternate: Degree | None
    kind: NoteClass
    severity: float
    member: Degree | None
    ornament: bool = False

    @property
    def role(self) -> str:
        """What is drawn for it."""
        is_root = self.kind is styles.CHORD_TONE and self.member == _TONIC
        return "root" if is_root else self.kind.role


@dataclass(frozen=True, slots=True)
class Placement:
    """A scale on a tonic, over a chord, in no style yet.

    Parameters
    ----------
    scale : ScaleFormula
    tonic : Degree
        Where the scale starts, above the key's tonic.
    harmony : Harmony
        The chord.

    Attributes
    ----------
    formula : ScaleFormula
        The scale itself, or the chord's tones where the scale follows the chord.
    steps : tuple of int
        The scale's notes in half steps above the key's tonic, within one octave.
    codes : tuple of int
        The place of each note's class in ``CLASSES``.
    ornaments : frozenset of int
        The places of the notes that the scale has in passing only.
    held_classes, passed_classes : int
        The classes of the scale's own notes and of its ornaments, a bit for each of ``CLASSES``.
    cover : float
        How much of the chord's sound the scale has, 0 to 1.
    words : dict
        What has been said of it already, for ``wording``.
    """

    scale: ScaleFormula
    tonic: Degree
    harmony: Harmony
    formula: ScaleFormula = field(init=False, repr=False, compare=False)
    steps: tuple[int, ...] = field(init=False, repr=False, compare=False)
    codes: tuple[int, ...] = field(init=False, repr=False, compare=False)
    ornaments: frozenset[int] = field(init=False, repr=False, compare=False)
    held_classes: int = field(init=False, repr=False, compare=False)
    passed_classes: int = field(init=False, repr=False, compare=False)
    cover: float = field(init=False, repr=False, compare=False)
    words: dict[object, str] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        formula = scale_over(self.harmony.numeral, self.scale)
        start, table = self.tonic.semitones, self.harmony.codes
        steps = tuple([(start + step) % 12 for step in formula.semitones])
        codes = tuple([table[step] for step in steps])
        ornaments = _ornament_places(formula)
        held = passed = step_bits = 0
        for place, code in enumerate(codes):
            step_bits |= 1 << steps[place]
            if place in ornaments:
                passed |= 1 << code
            else:
                held |= 1 << code
        put = object.__setattr__
        put(self, "formula", formula)
        put(self, "steps", steps)
        put(self, "codes", codes)
        put(self, "ornaments", ornaments)
        put(self, "held_classes", held)
        put(self, "passed_classes", passed)
        put(self, "cover", self.harmony.cover(step_bits))
        put(self, "words", {})

    @property
    def numeral(self) -> Numeral:
        """The chord as it sounds."""
        return self.harmony.numeral

    @property
    def mode(self) -> TuneMode:
        """The tune's mode."""
        return self.harmony.mode

    def degree(self, place: int) -> Degree:
        """A note of the scale as a degree of the key."""
        return self.tonic.plus(self.formula.degrees[place])

    def alternate(self, place: int) -> Degree | None:
        """Its second spelling, if it has one."""
        alternate = self.formula.alternate(place)
        return self.tonic.plus(alternate) if alternate is not None else None

    def member(self, place: int) -> Degree | None:
        """The chord member that it is, or that it rubs against."""
        return self.harmony.members[self.steps[place]]

    def note(self, place: int, style: Style) -> NoteFit:
        """A note of the scale as a style takes it."""
        code = self.codes[place]
        return NoteFit(
            self.degree(place),
            self.alternate(place),
            CLASSES[code],
            style.severities[code],
            self.member(place),
            place in self.ornaments,
        )


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
        return tuple(sorted(found, key=lambda place: -severities[codes[place]]))

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


def scale_over(chord: Numeral, scale: ScaleFormula) -> ScaleFormula:
    """The scale itself, or the chord's tones where the scale follows the chord."""
    if not scale.follows_chord:
        return scale
    members = sorted(chord.type.degrees, key=lambda degree: degree.semitones % 12)
    folded = (Degree((degree.number - 1) % 7 + 1, degree.alter) for degree in members)
    return ScaleFormula(scale.name, tuple(folded))


def home_of(scale: ScaleFormula, numeral: Numeral) -> Degree:
    """Where a held scale starts: the key's tonic, or the chord's root where it follows that."""
    return numeral.root if scale.follows_chord else _TONIC


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


def _ornament_places(formula: ScaleFormula) -> frozenset[int]:
    if not formula.ornaments:
        return frozenset()
    degrees = enumerate(formula.degrees)
    return frozenset([place for place, degree in degrees if degree in formula.ornaments])
