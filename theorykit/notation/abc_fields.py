"""Fields of ABC, read: keys and modes, meters, tempos, unit lengths."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction

from theorykit.errors import BadInput, TuneError
from theorykit.score.signature import Signature, modal
from theorykit.theory.key import Key, usual_tonic
from theorykit.theory.meter import read_meter
from theorykit.theory.pitch import Note

#: Modes by their first three letters, which is all of a name that counts (ABC 2.1, 4.6).
_MODES = {
    "maj": "ionian",
    "ion": "ionian",
    "min": "aeolian",
    "aeo": "aeolian",
    "dor": "dorian",
    "phr": "phrygian",
    "lyd": "lydian",
    "mix": "mixolydian",
    "loc": "locrian",
}

_ALTERS = {"^^": 2, "^": 1, "=": 0, "_": -1, "__": -2}

_TONIC = re.compile(r"([A-G])([#b]?)[ \t]*([A-Za-z]*)")
_GLOBAL = re.compile(r"(?:^|(?<=[\s_^=A-Ga-gx]))(\^\^|\^|__|_|=)([A-Ga-g])")
_OCTAVE = re.compile(r"\boctave=([+-]?[0-4])(?![0-9])")
_FRACTION = re.compile(r"([0-9]{1,4})\s*/\s*([0-9]{1,4})")
_NUMBER = re.compile(r"[0-9]{1,5}(?:\.[0-9]{1,4})?")
_LOWEST_LENGTH, _HIGHEST_LENGTH = Fraction(1, 512), Fraction(4)


@dataclass(frozen=True, slots=True)
class AbcKey:
    """What a key field says.

    Parameters
    ----------
    signature : Signature, optional
        None where it names no key.
    alters : dict
        The half steps of each letter, the signature's and those that the field adds.
    octaves : int
        How many octaves the notes are moved.
    """

    signature: Signature | None
    alters: dict[str, int] = field(default_factory=dict)
    octaves: int = 0


def read_key(text: str, line: int) -> AbcKey | None:
    """A key field; None for one that only sets a clef.

    Raises
    ------
    TuneError
        If it is no key.

    Examples
    --------
    >>> read_key("ADor", 1).signature.name, read_key("Em", 1).alters
    ('A dorian', {'F': 1})
    """
    text = text.strip()
    moved = _OCTAVE.search(text)
    octaves = int(moved[1]) if moved else 0
    if text[:2] in ("HP", "Hp"):
        # The pipes' scale; the second spelling prints two of its signs (ABC 2.1, 4.6).
        found = Signature(Key(Note("D"))) if text[:2] == "Hp" else Signature(Key(Note("C")))
        return AbcKey(found, {"F": 1, "C": 1}, octaves)
    if not text or text.lower().startswith("none"):
        return AbcKey(None, {}, octaves)
    match = _TONIC.match(text)
    if match is None:
        if re.match(r"[a-z]+=|[a-z]", text):
            return None
        raise TuneError(f"no key: K:{text}", line=line)
    tonic = Note(match[1], {"#": 1, "b": -1, "": 0}[match[2]])
    word = match[3].lower()
    explicit = word == "exp" or re.search(r"\bexp\b", text) is not None
    mode = "aeolian" if word in {"m", "mi"} else _MODES.get(word[:3], "ionian")
    try:
        signature = modal(tonic, mode)
    except BadInput:
        signature = Signature(Key(usual_tonic(tonic)))
    alters = {} if explicit else dict(signature.alters)
    for sign, letter in _GLOBAL.findall(text[match.end() :]):
        alters[letter.upper()] = _ALTERS[sign]
    return AbcKey(signature, alters, octaves)


def read_abc_meter(text: str, line: int) -> str | None:
    """A meter field; None for free time.

    Raises
    ------
    TuneError

    Examples
    --------
    >>> read_abc_meter("C|", 1), read_abc_meter("(2+3)/8", 1)
    ('2/2', '5/8')
    """
    text = text.strip()
    if text.lower() in {"none", ""}:
        return None
    if text in {"C", "c"}:
        return "4/4"
    if text in {"C|", "c|"}:
        return "2/2"
    upper, slash, lower = text.replace("(", "").replace(")", "").partition("/")
    parts = upper.split("+")
    if not slash or not all(part.strip().isascii() and part.strip().isdigit() for part in parts):
        raise TuneError(f"no meter: M:{text}", line=line)
    if any(len(part) > 3 for part in parts):
        raise TuneError(f"no meter: M:{text[:20]}", line=line)
    try:
        return read_meter(f"{sum(map(int, parts))}/{lower.strip()}").name
    except BadInput as error:
        raise TuneError(str(error), line=line) from None


def read_unit(text: str, line: int) -> Fraction:
    """A unit length, in quarters.

    Raises
    ------
    TuneError
    """
    text = text.strip()
    match = _FRACTION.match(text)
    whole = Fraction(1) if text == "1" else None
    if match is not None and int(match[2]):
        whole = Fraction(int(match[1]), int(match[2]))
    if whole is None or not _LOWEST_LENGTH <= whole <= _HIGHEST_LENGTH:
        raise TuneError(f"no note length: L:{text}", line=line)
    return 4 * whole


def usual_unit(meter: str | None) -> Fraction:
    """The unit length of a tune that gives none, in quarters: a sixteenth in the short meters."""
    if meter is None:
        return Fraction(1, 2)
    return Fraction(1, 4) if Fraction(meter) < Fraction(3, 4) else Fraction(1, 2)


def read_tempo(text: str, unit: Fraction) -> float | None:
    """Quarters a minute; None where a field has words alone.

    Examples
    --------
    >>> read_tempo('"Lively" 3/8=100', Fraction(1, 2)), read_tempo("120", Fraction(1, 2))
    (150.0, 60.0)
    """
    text = re.sub(r'"[^"]*"', "", text).strip()
    beat, equals, speed = text.partition("=")
    number = _NUMBER.fullmatch((speed if equals else text).strip())
    if number is None:
        return None
    quarters = unit
    if equals:
        lengths = [
            Fraction(int(over), int(under)) for over, under in _FRACTION.findall(beat) if int(under)
        ]
        quarters = 4 * sum(lengths, Fraction(0)) or unit
    found = float(quarters) * float(number[0])
    return found if found > 0 else None
