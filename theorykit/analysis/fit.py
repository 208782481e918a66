"""How each note of a scale stands to a chord, with no key: degrees and half steps only."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from theorykit.analysis import style as styles
from theorykit.analysis.classification import classes, classify
from theorykit.analysis.style import CLASSES, NoteClass, Style
from theorykit.analysis.tonality import TuneMode
from theorykit.theory.degree import Degree
from theorykit.theory.numeral import Numeral
from theorykit.theory.scale import ScaleFormula

__all__ = ["Fit", "NoteFit", "Placement", "classes", "classify", "fit", "home_of", "scale_over"]

#: How much of a chord's sound each member carries (stipulated; the third tells major from minor).
MEMBER_WEIGHTS = {"root": 1.0, "third": 1.0, "seventh": 0.75}
OTHER_MEMBER_WEIGHT = 0.5

#: How the score is shared out (stipulated).
CLEAN_SHARE, COVER_SHARE = 0.75, 0.25

_TONIC = Degree(1)
_RUBBING_CLASSES = sum(1 << i for i, kind in enumerate(CLASSES) if kind.rubs_against)
_CODES = {kind: code for code, kind in enumerate(CLASSES)}


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


# No slots here and in ``Fit``: what is derived is worked out once, and only if asked for.
@dataclass(frozen=True)
class Placement:
    """A scale on a tonic, over a chord, in no style yet.

    Parameters
    ----------
    scale : ScaleFormula
    tonic : Degree
        Where the scale starts, above the key's tonic.
    numeral : Numeral
        The chord as it sounds.
    mode : {"major", "minor", "Mixolydian", "Dorian"}
        The tune's.
    """

    scale: ScaleFormula
    tonic: Degree
    numeral: Numeral
    mode: TuneMode

    @cached_property
    def formula(self) -> ScaleFormula:
        """The scale itself, or the chord's tones where the scale follows the chord."""
        return scale_over(self.numeral, self.scale)

    @cached_property
    def table(self) -> tuple[tuple[NoteClass, Degree | None], ...]:
        """The classes of all twelve notes over the chord."""
        return classes(self.numeral, self.mode)

    @cached_property
    def steps(self) -> tuple[int, ...]:
        """The scale's notes in half steps above the key's tonic, within one octave."""
        start = self.tonic.semitones
        return tuple((start + step) % 12 for step in self.formula.semitones)

    @cached_property
    def codes(self) -> tuple[int, ...]:
        """The place of each note's class in ``CLASSES``."""
        return tuple(_CODES[self.table[step][0]] for step in self.steps)

    @cached_property
    def degrees(self) -> tuple[Degree, ...]:
        """The scale's notes as degrees of the key."""
        if self.tonic == _TONIC:
            return self.formula.degrees
        return tuple(self.tonic.plus(degree) for degree in self.formula.degrees)

    @cached_property
    def ornaments(self) -> tuple[bool, ...]:
        """Which of the notes the scale has in passing only."""
        ornaments = self.formula.ornaments
        if not ornaments:
            return (False,) * len(self.formula.degrees)
        return tuple(degree in ornaments for degree in self.formula.degrees)

    @cached_property
    def classes_held(self) -> int:
        """The classes of the scale's own notes, a bit for each of ``CLASSES``."""
        pairs = zip(self.codes, self.ornaments, strict=True)
        return _bits(code for code, ornament in pairs if not ornament)

    @cached_property
    def classes_passed(self) -> int:
        """The same for the scale's ornaments."""
        pairs = zip(self.codes, self.ornaments, strict=True)
        return _bits(code for code, ornament in pairs if ornament)

    @cached_property
    def cover(self) -> float:
        """How much of the chord's weight the scale has, 0 to 1."""
        present = set(self.steps)
        root = self.numeral.root.semitones
        total = covered = 0.0
        for member in self.numeral.type.degrees:
            weight = MEMBER_WEIGHTS.get(member.ordinal, OTHER_MEMBER_WEIGHT)
            total += weight
            if (root + member.semitones) % 12 in present:
                covered += weight
        return covered / total

    def note(self, index: int, style: Style) -> NoteFit:
        """One note of the scale as a style takes it."""
        alternate = self.formula.alternate(index)
        if alternate is not None:
            alternate = self.tonic.plus(alternate)
        kind, member = self.table[self.steps[index]]
        severity = style.severities[self.codes[index]]
        return NoteFit(
            self.degrees[index], alternate, kind, severity, member, self.ornaments[index]
        )


@dataclass(frozen=True)
class Fit:
    """A scale over a chord in a style: every note, and the figures that sum them up."""

    placement: Placement
    style: Style

    @cached_property
    def notes(self) -> tuple[NoteFit, ...]:
        """Every note of the scale, in its order."""
        count = len(self.placement.codes)
        return tuple(self.placement.note(index, self.style) for index in range(count))

    @property
    def clean(self) -> float:
        """How little the scale rubs, 0 to 1."""
        severities = self.style.severities
        codes = self.placement.codes
        return 1.0 - sum(severities[code] for code in codes) / len(codes)

    @property
    def cover(self) -> float:
        """How much of the chord's weight the scale has, 0 to 1."""
        return self.placement.cover

    @property
    def score(self) -> float:
        """How well the scale serves: three parts cleanness, one part chord members covered."""
        return CLEAN_SHARE * self.clean + COVER_SHARE * self.cover

    @property
    def has_unwanted(self) -> bool:
        """True if a note is to be left out."""
        return bool(self.placement.classes_held & self.style.switch_classes)

    @property
    def has_careful(self) -> bool:
        """True if a note is to be passed through."""
        held, passed = self.placement.classes_held, self.placement.classes_passed
        either = self.style.care_classes | self.style.switch_classes
        return bool(held & self.style.care_classes or passed & either)

    @property
    def rubs(self) -> bool:
        """True if any note of the scale rubs at all."""
        return bool(
            (self.placement.classes_held | self.placement.classes_passed) & _RUBBING_CLASSES
        )

    @cached_property
    def unwanted(self) -> tuple[NoteFit, ...]:
        """The notes to leave out, the worst first; an ornament is never one of them."""
        if not self.has_unwanted:
            return ()
        found = (n for n in self.notes if n.severity >= styles.SWITCH_AT and not n.ornament)
        return tuple(sorted(found, key=lambda note: -note.severity))

    @cached_property
    def careful(self) -> tuple[NoteFit, ...]:
        """The notes to pass through, in the order of the scale."""
        if not self.has_careful:
            return ()
        return tuple(
            note
            for note in self.notes
            if note.severity >= styles.CARE_AT
            and (note.ornament or note.severity < styles.SWITCH_AT)
        )


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
    return Fit(Placement(scale, tonic or home_of(scale, numeral), numeral, mode), style)


def _bits(codes: Iterable[int]) -> int:
    bits = 0
    for code in codes:
        bits |= 1 << code
    return bits
