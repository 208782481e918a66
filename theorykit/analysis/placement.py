"""A scale on a tonic over a chord, in no style yet: what every style can share."""

from __future__ import annotations

from dataclasses import dataclass, field

from theorykit.analysis import style as styles
from theorykit.analysis.classification import Harmony
from theorykit.analysis.style import CLASSES, NoteClass, Style
from theorykit.analysis.tonality import TuneMode
from theorykit.theory.degree import Degree
from theorykit.theory.numeral import Numeral
from theorykit.theory.scale import ScaleFormula

_TONIC = Degree(1)


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
        semitones, ornaments = _shape(formula)
        steps = tuple([(start + step) % 12 for step in semitones])
        codes = tuple([table[step] for step in steps])
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


#: The last formula of each name, with its half steps and the places of its ornaments. Working them
#: out anew for every chord takes a tenth of the time of a whole table of advice.
_shapes: dict[str, tuple[ScaleFormula, tuple[int, ...], frozenset[int]]] = {}
_MOST_SHAPES = 256


def _shape(formula: ScaleFormula) -> tuple[tuple[int, ...], frozenset[int]]:
    known = _shapes.get(formula.name)
    if known is None or known[0] is not formula:
        if len(_shapes) >= _MOST_SHAPES:
            _shapes.clear()
        degrees = enumerate(formula.degrees)
        places = frozenset([place for place, degree in degrees if degree in formula.ornaments])
        known = _shapes[formula.name] = (formula, formula.semitones, places)
    return known[1], known[2]
