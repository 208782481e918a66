"""Keys: a tonic and a mode, with the key signature that they imply."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from theorykit.errors import BadInput, nearest
from theorykit.theory.pitch import ACCIDENTAL_PATTERN, LETTERS, Note, nearest_note

Mode = Literal["major", "minor"]

#: Place of the natural letters on the circle of fifths, C at 0 (any theory handbook).
_LETTER_FIFTHS = {"F": -1, "C": 0, "G": 1, "D": 2, "A": 3, "E": 4, "B": 5}


def _key_tonics(names: str) -> tuple[Note, ...]:
    return tuple(Note.parse(name) for name in names.split())


#: The fifteen keys of each mode that have a signature of at most seven signs, flats first.
MAJOR_TONICS = _key_tonics("Cb Gb Db Ab Eb Bb F C G D A E B F# C#")
MINOR_TONICS = _key_tonics("Ab Eb Bb F C G D A E B F# C# G# D# A#")

#: Every tonic of those thirty keys, by letter from C, flat before natural before sharp.
TONICS = tuple(
    sorted(
        {*MAJOR_TONICS, *MINOR_TONICS},
        key=lambda note: (LETTERS.index(note.letter), note.alter),
    )
)


def usual_tonic(note: Note) -> Note:
    """The note itself where a key signature has it for tonic, else the tonic that sounds the same.

    >>> str(usual_tonic(Note.parse("E#"))), str(usual_tonic(Note.parse("F#")))
    ('F', 'F#')
    """
    if note in TONICS:
        return note
    same = [tonic for tonic in TONICS if tonic.pitch_class == note.pitch_class]
    return min(same, key=lambda tonic: abs(tonic.alter))


_KEY = re.compile(f"([A-G]{ACCIDENTAL_PATTERN})(m| +major| +minor)?")


@dataclass(frozen=True, slots=True)
class Key:
    """A tonic and a mode.

    Examples
    --------
    >>> key = Key.parse("Bb")
    >>> str(key), key.fifths
    ('Bb major', -2)
    >>> str(Key.parse("F#m"))
    'F# minor'
    """

    tonic: Note
    mode: Mode = "major"

    @classmethod
    def parse(cls, text: str) -> Key:
        """Read ``"A"``, ``"Bb major"``, ``"F#m"``, ``"F# minor"``.

        Raises
        ------
        BadInput
            If the text is anything else, or a tonic that no key signature has.
        """
        match = _KEY.fullmatch(text.strip()) if isinstance(text, str) else None
        accepted = "a tonic such as A or Bb, with 'minor' or 'major' after it if you like"
        if match is None:
            choices = [f"{tonic}{mode}" for tonic in TONICS for mode in ("", " minor", "m")]
            close = None
            if isinstance(text, str):
                spoken = nearest_note(text) if re.search("flat|sharp", text, re.I) else None
                close = spoken or nearest(text, choices) or nearest_note(text)
            raise BadInput("key", text, "not a key", accepted=accepted, nearest=close)
        tonic = Note.parse(match[1])
        if tonic not in TONICS:
            same = [other for other in TONICS if other.pitch_class == tonic.pitch_class]
            close = f"{min(same, key=lambda note: abs(note.alter))}{match[2] or ''}"
            raise BadInput("key", text, "no key signature has that tonic", nearest=close)
        minor = (match[2] or "").strip() in {"m", "minor"}
        return cls(tonic, "minor" if minor else "major")

    @property
    def fifths(self) -> int:
        """Sharps in the signature (flats are negative)."""
        fifths = _LETTER_FIFTHS[self.tonic.letter] + 7 * self.tonic.alter
        return fifths - 3 if self.mode == "minor" else fifths

    @property
    def signature(self) -> tuple[Note, ...]:
        """The altered notes in the order in which a signature prints them."""
        if self.fifths >= 0:
            return tuple(Note("FCGDAEB"[i % 7], 1 + i // 7) for i in range(self.fifths))
        return tuple(Note("BEADGCF"[i % 7], -1 - i // 7) for i in range(-self.fifths))

    @property
    def relative(self) -> Key:
        """The key of the other mode with the same signature.

        >>> str(Key.parse("Eb").relative), str(Key.parse("F#m").relative)
        ('C minor', 'A major')
        """
        if self.mode == "minor":
            return Key(self.tonic.shifted(2, 3), "major")
        return Key(self.tonic.shifted(-2, -3), "minor")

    def __str__(self) -> str:
        return f"{self.tonic} {self.mode}"

    @property
    def pretty(self) -> str:
        """The name with music signs, e.g. ``"B♭ major"``."""
        return f"{self.tonic.pretty} {self.mode}"
