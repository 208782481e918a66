"""How each note of a scale stands to a chord, with no key: degrees and half steps only."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from theorykit.analysis import style as styles
from theorykit.analysis.style import NoteClass, Style
from theorykit.theory.degree import Degree
from theorykit.theory.key import Mode
from theorykit.theory.numeral import Numeral
from theorykit.theory.scale import ScaleFormula

#: Half steps above the tonic that belong to the key. Minor has its raised leading note too.
DIATONIC = {
    "major": frozenset({0, 2, 4, 5, 7, 9, 11}),
    "minor": frozenset({0, 2, 3, 5, 7, 8, 10, 11}),
}

#: The key's lowered third, fifth and seventh (common practice).
BLUE_DEGREES = frozenset({3, 6, 10})

#: How much of a chord's sound each member carries (stipulated; the third tells major from minor).
MEMBER_WEIGHTS = {"root": 1.0, "third": 1.0, "seventh": 0.75}
OTHER_MEMBER_WEIGHT = 0.5


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
        is_root = self.kind is styles.CHORD_TONE and self.member == Degree(1)
        return "root" if is_root else self.kind.role


@dataclass(frozen=True, slots=True)
class Fit:
    """A scale over a chord: every note, and the figures that sum them up, each 0 to 1."""

    notes: tuple[NoteFit, ...]
    clean: float
    cover: float

    @property
    def score(self) -> float:
        """How well the scale serves: three parts cleanness, one part chord members covered."""
        return 0.75 * self.clean + 0.25 * self.cover

    @property
    def unwanted(self) -> tuple[NoteFit, ...]:
        """The notes to leave out, the worst first; an ornament is never one of them."""
        found = (n for n in self.notes if n.severity >= styles.SWITCH_AT and not n.ornament)
        return tuple(sorted(found, key=lambda note: -note.severity))

    @property
    def careful(self) -> tuple[NoteFit, ...]:
        """The notes to pass through, in the order of the scale."""
        return tuple(
            note
            for note in self.notes
            if note.severity >= styles.CARE_AT
            and (note.ornament or note.severity < styles.SWITCH_AT)
        )


def classify(semitones: int, numeral: Numeral, mode: Mode) -> tuple[NoteClass, Degree | None]:
    """The class of a note over a chord, and the chord member that decides it.

    Parameters
    ----------
    semitones : int
        The note, in half steps above the tonic.
    numeral : Numeral
        The chord as it sounds: a member left out of it is not counted.
    mode : {"major", "minor"}

    Examples
    --------
    >>> kind, member = classify(3, Numeral.parse("V"), "major")
    >>> kind.name, member.ordinal
    ('avoid, foreign to the key', 'fifth')
    """
    return classes(numeral, mode)[semitones % 12]


@lru_cache(maxsize=4096)
def classes(numeral: Numeral, mode: Mode) -> tuple[tuple[NoteClass, Degree | None], ...]:
    """``classify`` for all twelve notes above the tonic."""
    return tuple(_classify(semitones, numeral, mode) for semitones in range(12))


def _classify(semitones: int, numeral: Numeral, mode: Mode) -> tuple[NoteClass, Degree | None]:
    root = numeral.root.semitones
    above_root = (semitones - root) % 12
    members = {degree.semitones % 12: degree for degree in reversed(numeral.type.degrees)}
    third = numeral.type.third
    if above_root in members:
        return styles.CHORD_TONE, members[above_root]
    diatonic = semitones % 12 in DIATONIC[mode]
    dominant = root % 12 == 7 and third == Degree(3)
    below, above = members.get((above_root - 1) % 12), members.get((above_root + 1) % 12)
    if below is not None:
        if below.number == 3:
            # The fourth over a major third may pass; a major third over a minor one may not.
            kind = styles.PASSING if below.alter == 0 else styles.AVOID_FOREIGN
            return kind, below
        if dominant and mode == "minor" and diatonic and below in (Degree(1), Degree(5)):
            return styles.TENSION, below
        return (styles.AVOID_DIATONIC if diatonic else styles.AVOID_FOREIGN), below
    if above is not None:
        if mode == "minor" and dominant and above.number == 3:
            return styles.LEADING_CONFLICT, above
        if not diatonic:
            own_minor_third = above.number == 3 and above_root == 3
            blue = semitones % 12 in BLUE_DEGREES or own_minor_third
            return (styles.BLUE if blue else styles.APPROACH), above
    return styles.COLOUR, None


def scale_over(chord: Numeral, scale: ScaleFormula) -> ScaleFormula:
    """The scale itself, or the chord's tones where the scale follows the chord."""
    if not scale.follows_chord:
        return scale
    members = sorted(chord.type.degrees, key=lambda degree: degree.semitones % 12)
    folded = (Degree((degree.number - 1) % 7 + 1, degree.alter) for degree in members)
    return ScaleFormula(scale.name, tuple(folded))


def fit(
    scale: ScaleFormula,
    numeral: Numeral,
    style: Style,
    mode: Mode = "major",
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
    mode : {"major", "minor"}
        The key's.
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
    start = tonic or (numeral.root if scale.follows_chord else Degree(1))
    formula = scale_over(numeral, scale)
    table = classes(numeral, mode)
    notes: list[NoteFit] = []
    for index, own_degree in enumerate(formula.degrees):
        degree = start.plus(own_degree)
        own_alternate = formula.alternate(index)
        alternate = start.plus(own_alternate) if own_alternate is not None else None
        kind, member = table[degree.semitones % 12]
        ornament = own_degree in formula.ornaments
        notes.append(NoteFit(degree, alternate, kind, style.severity(kind), member, ornament))
    mean = sum(note.severity for note in notes) / len(notes)
    return Fit(tuple(notes), 1.0 - mean, _cover(notes, numeral))


def _cover(notes: list[NoteFit], numeral: Numeral) -> float:
    present = {note.member for note in notes if note.kind is styles.CHORD_TONE}
    total = covered = 0.0
    for member in numeral.type.degrees:
        weight = MEMBER_WEIGHTS.get(member.ordinal, OTHER_MEMBER_WEIGHT)
        total += weight
        if member in present:
            covered += weight
    return covered / total
