"""Chords by their place in the key: Roman numerals and number-system figures."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from theorykit.errors import BadInput, nearest
from theorykit.theory.chord import Chord, ChordType
from theorykit.theory.degree import Degree
from theorykit.theory.pitch import ACCIDENTAL_PATTERN, Note, accidental_to_alter
from theorykit.theory.quote import quoted
from theorykit.theory.symbol import quality_of

ROMAN = ("I", "II", "III", "IV", "V", "VI", "VII")

_ROMAN = re.compile(
    f"({ACCIDENTAL_PATTERN})(VII|VI|V|IV|III|II|I|vii|vi|v|iv|iii|ii|i)(?![IViv])(.*)"
)
_FIGURE = re.compile(f"({ACCIDENTAL_PATTERN})([1-7])(.*)")
_BASS_DEGREE = re.compile(f"({ACCIDENTAL_PATTERN})([1-7])")

_ACCEPTED = "a numeral such as I, ii7, bVII, V7/V, or a number such as 1, 4, 2m, b7, 1/3"

# V7/V/V is said; what leads on further is not, and the reader must not recurse without end.
_MOST_TARGETS = 3

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
        sign, name = match[1], match[2]
        rest, *tails = _split_slashes(match[3])
        bass, target = None, None
        bass_match = _BASS_DEGREE.fullmatch(tails[0]) if tails else None
        if bass_match is not None:
            bass = Degree(int(bass_match[2]), accidental_to_alter(bass_match[1]))
            tails = tails[1:]
        if len(tails) > _MOST_TARGETS:
            reason = f"leads on through more than {_MOST_TARGETS} chords"
            raise BadInput("numeral", text, reason, accepted=_ACCEPTED)
        if "" in tails:
            raise BadInput("numeral", text, "nothing stands after the slash", accepted=_ACCEPTED)
        if tails:
            target = _parse_target(stripped, "/".join(tails))
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

    def shifted(self, tonic: Degree) -> Numeral:
        """The same chord counted from the tonic of which this numeral's own tonic is a degree.

        >>> str(Numeral.parse("V7").shifted(Degree.parse("2")))
        'VI7'
        """
        return self._moved(tonic.plus)

    def unshifted(self, tonic: Degree) -> Numeral:
        """The same chord counted from ``tonic``, a degree of this numeral's own tonic.

        >>> str(Numeral.parse("VI7").unshifted(Degree.parse("2")))
        'V7'
        """
        return self._moved(lambda degree: degree.minus(tonic))

    def _moved(self, move: Callable[[Degree], Degree]) -> Numeral:
        bass = move(self.bass) if self.bass is not None else None
        if self.target is not None:
            # An applied chord counts from its target, which alone knows the tonic.
            return Numeral(self.degree, self.type, bass, self.target._moved(move))
        return Numeral(move(self.degree), self.type, bass)

    @property
    def figure(self) -> str:
        """The chord in the number system; an applied chord is counted from the tonic.

        >>> [Numeral.parse(text).figure for text in ("ii7", "viiø7", "I/3", "V7/V")]
        ['2m7', '7ø7', '1/3', '27']
        """
        suffix = self.type.suffix
        for printed, sign in (("m7b5", "ø7"), ("dim", "°")):
            if suffix.startswith(printed):
                suffix = sign + suffix[len(printed) :]
        slash = f"/{self.bass}" if self.bass is not None else ""
        return f"{self.root}{suffix}{slash}"

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
        if self.bass is not None:
            text += f"/{self.bass}"
        return f"{text}/{self.target}" if self.target is not None else text

    @property
    def pretty(self) -> str:
        """The numeral with music signs, e.g. ``"♭VII"``."""
        return str(self).replace("b", "♭").replace("#", "♯")


def _split_slashes(text: str) -> list[str]:
    """Split at the slashes that are no part of a quality: not in brackets, not in ``6/9``."""
    parts = [""]
    depth = 0
    for sign in text:
        depth += (sign == "(") - (sign == ")")
        if sign == "/" and depth == 0:
            parts.append("")
        else:
            parts[-1] += sign
    if len(parts) > 1 and parts[0].endswith("6") and parts[1].startswith("9"):
        parts[:2] = [f"{parts[0]}/{parts[1]}"]
    return parts


def _parse_target(text: str, tail: str) -> Numeral:
    try:
        target = Numeral.parse(tail)
    except BadInput as error:
        reason = f"{quoted(tail)} after the slash: {error.reason}"
        raise BadInput("numeral", text, reason, accepted=_ACCEPTED, nearest=error.nearest) from None
    if target.bass is not None:
        reason = "a bass note stands before what the chord leads to, as in V7/3/V"
        raise BadInput("numeral", text, reason, accepted=_ACCEPTED)
    return target


def _parse_type(text: str, suffix: str, *, lower: bool) -> ChordType:
    """The quality of a numeral: a lower-case one is minor unless its suffix says diminished."""
    quality = quality_of(suffix)
    try:
        if lower and quality == "augmented":
            raise BadInput("chord quality", suffix, "a lower-case numeral has a minor third")
        # "iimaj7" is minor with a major seventh.
        if lower and quality in {None, "major"}:
            return ChordType.parse("m" + suffix)
        return ChordType.parse(suffix)
    except BadInput as error:
        raise BadInput("numeral", text, error.reason, accepted=_ACCEPTED) from None
