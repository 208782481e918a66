"""Chords by their place in the key: Roman numerals and number-system figures."""

from __future__ import annotations

import re
from dataclasses import dataclass

from theorykit.errors import BadInput, nearest
from theorykit.theory.chord import Chord, ChordType
from theorykit.theory.degree import Degree
from theorykit.theory.pitch import ACCIDENTAL_PATTERN, Note, accidental_to_alter

ROMAN = ("I", "II", "III", "IV", "V", "VI", "VII")

_ROMAN = re.compile(
    f"({ACCIDENTAL_PATTERN})(VII|VI|V|IV|III|II|I|vii|vi|v|iv|iii|ii|i)(?![IViv])(.*)"
)
_FIGURE = re.compile(f"({ACCIDENTAL_PATTERN})([1-7])(.*)")
_BASS_DEGREE = re.compile(f"({ACCIDENTAL_PATTERN})([1-7])")

_ACCEPTED = "a numeral such as I, ii7, bVII, V7/V, or a number such as 1, 4, 2m, b7, 1/3"

#: How the quality of a lower-case numeral is printed, by chord suffix.
_LOWER_SUFFIX = (("m7b5", "ø7"), ("dim", "°"), ("m", ""))


@dataclass(frozen=True, slots=True)
class Numeral:
    """A chord with no key.

    Degrees are measured against the major scale on the tonic, in minor too (bIII, bVI, bVII), as
    players count; a lower-case numeral has a minor third.

    Parameters
    ----------
    degree : Degree
        The root above the tonic, or above the target of an applied chord.
    type : ChordType
    bass : Degree or None
        A bass note that is not the root, above the tonic.
    target : Numeral or None
        For an applied chord, what it leads to: the last V of ``V7/V``.

    Examples
    --------
    >>> numeral = Numeral.parse("V7/V")
    >>> str(numeral), str(numeral.chord(Note.parse("G")))
    ('V7/V', 'A7')
    """

    degree: Degree
    type: ChordType
    bass: Degree | None = None
    target: Numeral | None = None

    @classmethod
    def parse(cls, text: str) -> Numeral:
        """Read a Roman numeral or a number-system figure.

        Raises
        ------
        BadInput
            If the text is anything else.
        """
        stripped = text.strip() if isinstance(text, str) else ""
        match = _ROMAN.fullmatch(stripped) or _FIGURE.fullmatch(stripped)
        if match is None:
            known = [sign + roman for roman in ROMAN for sign in ("", "b")]
            known += [roman.lower() for roman in ROMAN] + ["V7", "ii7", "I7", "IV7"]
            raise BadInput(
                "numeral",
                text,
                "not a numeral",
                accepted=_ACCEPTED,
                nearest=nearest(stripped, known) if stripped else None,
            )
        sign, name, rest = match[1], match[2], match[3]
        bass, target = None, None
        head, slash, tail = rest.rpartition("/")
        bass_match = _BASS_DEGREE.fullmatch(tail) if slash else None
        if slash and not (head.endswith("6") and tail == "9"):
            rest = head
            if bass_match is not None:
                bass = Degree(int(bass_match[2]), accidental_to_alter(bass_match[1]))
            else:
                target = cls.parse(tail)
        number = int(name) if name.isdigit() else ROMAN.index(name.upper()) + 1
        degree = Degree(number, accidental_to_alter(sign))
        kind = _parse_type(stripped, rest, lower=name.islower())
        numeral = cls(degree, kind, None, target)
        return cls(degree, kind, bass if bass != numeral.root else None, target)

    @classmethod
    def from_chord(cls, chord: Chord, tonic: Note) -> Numeral:
        """The numeral of a chord in the key of ``tonic``."""
        bass = Degree.between(tonic, chord.bass) if chord.bass is not None else None
        return cls(Degree.between(tonic, chord.root), chord.type, bass)

    @property
    def root(self) -> Degree:
        """The root above the tonic, an applied chord's target counted in."""
        return self.target.root.plus(self.degree) if self.target is not None else self.degree

    @property
    def members(self) -> tuple[Degree, ...]:
        """Every member as a degree of the key."""
        return tuple(self.root.plus(member) for member in self.type.degrees)

    def with_type(self, kind: ChordType) -> Numeral:
        """The chord of another quality on the same root."""
        return Numeral(self.degree, kind, self.bass, self.target)

    def chord(self, tonic: Note) -> Chord:
        """The chord symbol in the key of ``tonic``."""
        bass = self.bass.at(tonic) if self.bass is not None else None
        return Chord(self.root.at(tonic), self.type, bass)

    def _format(self, sign: str, quality: str) -> str:
        roman = ROMAN[self.degree.number - 1]
        third = self.type.third
        if third is not None and third.alter < 0:
            roman = roman.lower()
            for prefix, printed in _LOWER_SUFFIX:
                if quality.startswith(prefix):
                    quality = printed + quality[len(prefix) :]
                    break
        return sign + roman + quality

    def __str__(self) -> str:
        sign = str(self.degree).rstrip("1234567890")
        text = self._format(sign, self.type.suffix)
        if self.target is not None:
            return f"{text}/{self.target}"
        return f"{text}/{self.bass}" if self.bass is not None else text

    @property
    def pretty(self) -> str:
        """The numeral with music signs, e.g. ``"♭VII"``."""
        return str(self).replace("b", "♭").replace("#", "♯")


def _parse_type(text: str, suffix: str, *, lower: bool) -> ChordType:
    """The quality of a numeral: a lower-case one is minor unless its suffix says diminished."""
    try:
        if not lower or suffix[:1] in {"°", "o", "ø"} or suffix.startswith(("dim", "m")):
            # "iimaj7" is minor with a major seventh, though its suffix starts with an m.
            if lower and suffix.startswith("maj"):
                return ChordType.parse("m" + suffix)
            kind = ChordType.parse(suffix)
        else:
            kind = ChordType.parse("m" + suffix)
    except BadInput as error:
        raise BadInput("numeral", text, error.reason, accepted=_ACCEPTED) from None
    return kind
