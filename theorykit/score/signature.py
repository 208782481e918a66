"""Key signatures of a score, modes and all, and the spelling that they suggest."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from theorykit.errors import BadInput
from theorykit.score.score import MODES, Score
from theorykit.theory.key import Key
from theorykit.theory.pitch import Note, Pitch, note_at_midi

#: The most signs that a signature has.
MOST_SIGNS = 7

# Which of the two keys of theorykit a mode is nearest to: the one with the same third.
_MINOR_MODES = ("dorian", "phrygian", "aeolian", "locrian")


@dataclass(frozen=True, slots=True)
class Signature:
    """A key with its mode.

    Parameters
    ----------
    key : Key
    mode : str
        One of ``MODES``, or nothing where the key's own signature holds.

    Examples
    --------
    >>> dorian = Signature(Key.parse("A minor"), "dorian")
    >>> dorian.fifths, dorian.name
    (1, 'A dorian')
    """

    key: Key
    mode: str = ""

    @property
    def fifths(self) -> int:
        """Sharps (flats are negative)."""
        if not self.mode:
            return self.key.fifths
        return Key(self.key.tonic).fifths + MODES[self.mode]

    @property
    def name(self) -> str:
        """The tonic and the mode."""
        return f"{self.key.tonic} {self.mode or self.key.mode}"

    @property
    def alters(self) -> dict[str, int]:
        """The half steps that it puts on letters, those without a sign left out."""
        return _alters(self.fifths)


@lru_cache(maxsize=64)
def _alters(fifths: int) -> dict[str, int]:
    signs = "FCGDAEB"[:fifths] if fifths > 0 else "BEADGCF"[: -fifths or 0] if fifths else ""
    return dict.fromkeys(signs, 1 if fifths > 0 else -1)


def modal(tonic: Note, mode: str) -> Signature:
    """The signature of a mode on a tonic: major and minor are keys, the others have a mode too.

    Raises
    ------
    BadInput
        If nobody prints so many signs.

    Examples
    --------
    >>> modal(Note.parse("D"), "mixolydian")
    Signature(key=Key(tonic=Note(letter='D', alter=0), mode='major'), mode='mixolydian')
    """
    plain = {"ionian": "major", "aeolian": "minor"}.get(mode, mode)
    minor = plain == "minor" or plain in _MINOR_MODES
    found = Signature(Key(tonic, "minor" if minor else "major"), plain if plain in MODES else "")
    if abs(found.fifths) > MOST_SIGNS:
        raise BadInput("key", found.name, f"would need {abs(found.fifths)} signs")
    return found


def signature_changes(score: Score) -> list[tuple[Fraction, Signature]]:
    """Each signature and the beat from which it holds; C major where a score has no key.

    The first one holds for the pick-up too.
    """
    keys = dict(score.keys)
    first = min(keys, default=None)
    if first is None or first > 0:
        keys[Fraction(0)] = score.key or Key(Note("C"))
    modes = dict(score.modes)
    beats = sorted({*keys, *modes})
    found: list[tuple[Fraction, Signature]] = []
    key, mode = keys[min(keys)], ""
    for beat in beats:
        key = keys.get(beat, key)
        mode = modes.get(beat, mode)
        signature = Signature(key, mode)
        if not found or found[-1][1] != signature:
            found.append((beat, signature))
    return found


def spelled_in(midi: int, fifths: int) -> Pitch:
    """A key number as a signature suggests to spell it.

    Notes of the signature as they are, else the fourth and fifth raised or the others lowered:
    from five fifths below the major tonic to six above it.

    Examples
    --------
    >>> str(spelled_in(61, 2)), str(spelled_in(70, -1)), str(spelled_in(66, 0))
    ('C#4', 'Bb4', 'F#4')
    """
    return note_at_midi(_names(fifths)[midi % 12], midi)


@lru_cache(maxsize=64)
def _names(fifths: int) -> dict[int, Note]:
    line = [Note("FCGDAEB"[at % 7], at // 7) for at in range(fifths - 4, fifths + 8)]
    return {note.pitch_class: note for note in line}
