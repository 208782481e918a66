"""How the advice changes when a member of the chord is left out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.analysis.advice import Advice, advise
from theorykit.analysis.fit import NoteFit
from theorykit.analysis.style import Style
from theorykit.analysis.tonality import TuneMode
from theorykit.analysis.wording import chord_words, listed, token
from theorykit.errors import BadInput
from theorykit.theory.chord import ChordType
from theorykit.theory.numeral import Numeral
from theorykit.theory.scale import ScaleFormula

#: The members that a player can leave out and still have the chord meant.
MEMBERS = ("root", "third", "fifth", "seventh")

_OMITTED = {"root": "1", "third": "3", "fifth": "5"}

#: A triad whose fifth is left out is told by its third.
_WITHOUT_FIFTH = {"diminished": "minor", "augmented": "major"}

#: What is left of an extension without its seventh: another extension, and the members added.
_WITHOUT_SEVENTH: dict[str, tuple[str, ...]] = {
    "7": (),
    "maj7": (),
    "9": ("9",),
    "maj9": ("9",),
    "11": ("9", "11"),
    "maj11": ("9", "11"),
    "13": ("9", "13"),
    "maj13": ("9", "13"),
}


@dataclass(frozen=True, slots=True)
class Omission:
    """The advice over a chord with one member left out, beside the advice over the whole chord.

    Parameters
    ----------
    member : str
        One of ``MEMBERS``.
    whole, without : Advice
    """

    member: str
    whole: Advice
    without: Advice

    @property
    def changes(self) -> bool:
        """True if another verdict comes of it, or other notes to watch."""
        return (self.whole.verdict, _watched(self.whole)) != (
            self.without.verdict,
            _watched(self.without),
        )

    @property
    def freed(self) -> tuple[NoteFit, ...]:
        """The notes that rub no longer."""
        still = {note.degree for note in self.without.fit.notes if note.kind.rubs_against}
        return tuple(
            note
            for note in self.whole.fit.notes
            if note.kind.rubs_against and note.degree not in still
        )

    @property
    def words(self) -> str:
        """One plain sentence, its notes as degree tokens; see ``wording.fill``."""
        chord = chord_words(self.without.numeral)
        start = f"With the {self.member} left out ({chord}), "
        freed = listed([f"{{{token(note.degree, note.alternate)}}}" for note in self.freed])
        rubs = f"{freed} no longer rub{'s' if len(self.freed) == 1 else ''}"
        if not self.changes:
            same = "the advice is the same"
            return f"{start}{same}" + (f", though {rubs}." if freed else ".")
        text = f"{start}{_verdict_words(self.without)}"
        return text + (f": {rubs}." if freed else ".")


def without_member(numeral: Numeral, member: str) -> Numeral | None:
    """The chord with a member left out, or None where it has no such member to spare.

    At least two different tones must be left (stipulated), and a chord symbol must be able to say
    what is left.

    Parameters
    ----------
    numeral : Numeral
    member : {"root", "third", "fifth", "seventh"}

    Raises
    ------
    BadInput
        If ``member`` is anything else.

    Examples
    --------
    >>> str(without_member(Numeral.parse("V7"), "seventh"))
    'V'
    >>> without_member(Numeral.parse("V"), "seventh") is None
    True
    """
    if member not in MEMBERS:
        raise BadInput("chord member", member, "none to leave out", accepted=", ".join(MEMBERS))
    kind = numeral.type
    if member not in {degree.ordinal for degree in kind.degrees}:
        return None
    if len(set(kind.semitones)) < 3:
        return None
    thinner = _thinner(kind, member)
    return numeral.with_type(thinner) if thinner is not None else None


def _thinner(kind: ChordType, member: str) -> ChordType | None:
    if member == "third":
        return kind.without_third()
    if member == "seventh":
        if kind.altered or kind.extension not in _WITHOUT_SEVENTH:
            return None
        added = {*kind.added, *_WITHOUT_SEVENTH[kind.extension]}
        order = sorted(added, key=lambda name: int(name.lstrip("b#")))
        left = replace(kind, extension="", added=tuple(order))
    else:
        left = replace(kind, omitted=tuple(sorted({*kind.omitted, _OMITTED[member]})))
    if member == "fifth":
        kept = tuple(name for name in kind.alterations if not name.endswith("5"))
        left = replace(left, alterations=kept, triad=_WITHOUT_FIFTH.get(kind.triad, kind.triad))
    try:
        # Written and read again, so that one chord has one value however it was come by.
        read = ChordType.parse(left.suffix)
    except BadInput:
        return None
    kept_tones = {degree for degree in kind.degrees if degree.ordinal != member}
    return read if set(read.degrees) == kept_tones else None


def compare_without(
    scale: ScaleFormula,
    numeral: Numeral,
    style: Style,
    mode: TuneMode = "major",
    beats: Fraction = Fraction(4),
) -> tuple[Omission, ...]:
    """What comes of leaving out each member of a chord in turn.

    Parameters
    ----------
    scale : ScaleFormula
        On the key's tonic.
    numeral : Numeral
    style : Style
    mode : {"major", "minor", "Mixolydian", "Dorian"}
    beats : Fraction

    Examples
    --------
    >>> from theorykit.analysis.style import find_style
    >>> from theorykit.theory.scale import find_scale
    >>> found = compare_without(
    ...     find_scale("minor pentatonic"), Numeral.parse("V"), find_style("bluegrass")
    ... )
    >>> [(omission.member, omission.without.verdict) for omission in found]
    [('root', 'switch'), ('third', 'switch'), ('fifth', 'stay')]
    """
    whole = advise(scale, numeral, style, mode, beats)
    found = []
    for member in MEMBERS:
        thinner = without_member(numeral, member)
        if thinner is not None:
            without = advise(scale, thinner, style, mode, beats)
            found.append(Omission(member, whole, without))
    return tuple(found)


def _watched(advice: Advice) -> tuple[object, ...]:
    return (
        {note.degree for note in advice.fit.unwanted},
        {note.degree for note in advice.fit.careful},
        advice.scale,
        advice.scale_tonic,
    )


def _verdict_words(advice: Advice) -> str:
    return "one may stay" if advice.verdict == "stay" else advice.short
