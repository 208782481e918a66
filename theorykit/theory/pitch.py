"""Spelled notes and pitches: spelling is identity, the MIDI number is derived."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from theorykit.errors import BadInput

#: Half steps of the natural letters above C (any theory handbook).
LETTER_SEMITONES = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
LETTERS = "CDEFGAB"
_NATURALS = {semitones: letter for letter, semitones in LETTER_SEMITONES.items()}

#: ISO 16:1975: the A above middle C sounds at 440 Hz; MIDI 1.0 numbers that A 69.
A4_HZ = 440.0
A4_MIDI = 69

#: Every way of writing an accidental that the parsers take, with its size in half steps.
ACCIDENTAL_PATTERN = "(?:bb|♭♭|𝄫|b|♭|##|♯♯|𝄪|x|#|♯)?"
_ACCIDENTALS = {
    "": 0,
    "b": -1,
    "♭": -1,
    "bb": -2,
    "♭♭": -2,
    "𝄫": -2,
    "#": 1,
    "♯": 1,
    "##": 2,
    "♯♯": 2,
    "x": 2,
    "𝄪": 2,
}
_NOTE = re.compile(f"([A-G])({ACCIDENTAL_PATTERN})")
_PITCH = re.compile(f"([A-G])({ACCIDENTAL_PATTERN})(-?[0-9]{{1,2}})")


def accidental_to_alter(text: str) -> int:
    """Half steps that a written accidental adds; the text has matched ``ACCIDENTAL_PATTERN``."""
    return _ACCIDENTALS[text]


def alter_to_accidental(alter: int) -> str:
    """The accidental in plain letters, e.g. ``"bb"`` for -2."""
    return "b" * -alter if alter < 0 else "#" * alter


def alter_to_glyphs(alter: int) -> str:
    """The accidental in music signs, e.g. ``"♭♭"`` for -2 (single signs: every font has them)."""
    return "♭" * -alter if alter < 0 else "♯" * alter


@dataclass(frozen=True, slots=True)
class Note:
    """A spelled note with no octave: B-flat and A-sharp are different notes.

    Examples
    --------
    >>> Note.parse("Bb").pitch_class, Note.parse("A#").pitch_class
    (10, 10)
    >>> Note.parse("Bb") == Note.parse("A#")
    False
    """

    letter: str
    alter: int = 0

    @classmethod
    def parse(cls, text: str) -> Note:
        """Read ``"F#"``, ``"B♭"`` and the like; the whole text must be one note.

        Raises
        ------
        BadInput
            If the text is anything else.
        """
        match = _NOTE.fullmatch(text.strip()) if isinstance(text, str) else None
        if match is None:
            raise BadInput(
                "note",
                text,
                "not a note name",
                accepted="a letter A to G in capitals with b, bb, # or ## after it",
                nearest=nearest_note(text),
            )
        return cls(match[1], accidental_to_alter(match[2]))

    @property
    def pitch_class(self) -> int:
        """Half steps above C, 0 to 11."""
        return (LETTER_SEMITONES[self.letter] + self.alter) % 12

    def __str__(self) -> str:
        return self.letter + alter_to_accidental(self.alter)

    @property
    def pretty(self) -> str:
        """The name with music signs, e.g. ``"B♭"``."""
        return self.letter + alter_to_glyphs(self.alter)

    def shifted(self, steps: int, semitones: int) -> Note:
        """The note ``steps`` letters and ``semitones`` half steps higher (negative: lower)."""
        octaves, letter_index = divmod(LETTERS.index(self.letter) + steps, 7)
        letter = LETTERS[letter_index]
        natural = LETTER_SEMITONES[letter] + 12 * octaves
        return Note(letter, LETTER_SEMITONES[self.letter] + self.alter + semitones - natural)

    def simplified(self) -> Note:
        """The plainest name of the same sound: a natural if there is one, else at most one sign.

        The sign stays a flat or a sharp as it was.

        >>> str(Note.parse("Abb").simplified()), str(Note.parse("E##").simplified())
        ('G', 'F#')
        """
        natural = _NATURALS.get(self.pitch_class)
        if natural is not None:
            return Note(natural)
        sign = -1 if self.alter < 0 else 1
        return Note(_NATURALS[(self.pitch_class - sign) % 12], sign)


@dataclass(frozen=True, slots=True)
class Pitch:
    """A spelled note in an octave; C4 is middle C, MIDI 60.

    Examples
    --------
    >>> Pitch.parse("E2").midi, round(Pitch.parse("E2").hz, 4)
    (40, 82.4069)
    """

    note: Note
    octave: int

    @classmethod
    def parse(cls, text: str) -> Pitch:
        """Read ``"G3"``, ``"Bb4"``; the whole text must be one pitch.

        Raises
        ------
        BadInput
            If the text is anything else.
        """
        match = _PITCH.fullmatch(text.strip()) if isinstance(text, str) else None
        if match is None:
            raise BadInput(
                "pitch",
                text,
                "not a note with an octave",
                accepted="a note and an octave number, as in G3 or Bb4 (middle C is C4)",
                nearest=_nearest_pitch(text),
            )
        return cls(Note(match[1], accidental_to_alter(match[2])), int(match[3]))

    @property
    def midi(self) -> int:
        """MIDI note number; middle C = 60 (MIDI 1.0)."""
        return LETTER_SEMITONES[self.note.letter] + self.note.alter + 12 * (self.octave + 1)

    @property
    def hz(self) -> float:
        """Frequency in equal temperament at A4 = 440 Hz (ISO 16:1975)."""
        return A4_HZ * math.pow(2.0, (self.midi - A4_MIDI) / 12)

    def __str__(self) -> str:
        return f"{self.note}{self.octave}"

    @property
    def pretty(self) -> str:
        """The name with music signs, e.g. ``"B♭4"``."""
        return f"{self.note.pretty}{self.octave}"

    def shifted(self, steps: int, semitones: int) -> Pitch:
        """The pitch ``steps`` letters and ``semitones`` half steps higher (negative: lower)."""
        octaves = (LETTERS.index(self.note.letter) + steps) // 7
        return Pitch(self.note.shifted(steps, semitones), self.octave + octaves)


def note_at_midi(note: Note, midi: int) -> Pitch:
    """The pitch that is spelled ``note`` and sounds at ``midi``.

    Raises
    ------
    BadInput
        If that note never sounds at that number.
    """
    if (midi - note.pitch_class) % 12:
        raise BadInput("midi", midi, f"{note} never sounds there")
    octave = (midi - LETTER_SEMITONES[note.letter] - note.alter) // 12 - 1
    return Pitch(note, octave)


def _nearest_pitch(text: object) -> str | None:
    octave = re.search(r"(?<![0-9])[0-9]\Z", text.strip()) if isinstance(text, str) else None
    note = nearest_note(text)
    return f"{note}{octave[0]}" if note is not None and octave is not None else None


def nearest_note(text: object) -> str | None:
    """The note that a text was most likely meant as, for an error's last words."""
    if not isinstance(text, str):
        return None
    spoken = re.match(r"\s*([A-Ga-g])[ -]?(flat|sharp)\b", text, re.IGNORECASE)
    if spoken is not None:
        return spoken[1].upper() + ("b" if spoken[2].lower() == "flat" else "#")
    match = re.match(f"\\s*([A-Ga-g])({ACCIDENTAL_PATTERN})", text)
    if match is not None:
        return match[1].upper() + alter_to_accidental(accidental_to_alter(match[2]))
    # German and Scandinavian schools write H for B natural.
    return "B" if text.strip()[:1] in {"H", "h"} else None
