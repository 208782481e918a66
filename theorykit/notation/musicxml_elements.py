"""Single elements of MusicXML, read: numbers, pitches, chord symbols, keys, meters."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Literal
from xml.etree.ElementTree import Element

from theorykit.errors import BadInput, TuneError
from theorykit.notation.chord_kind import KINDS, ChordKind, KindDegree, kind_chord
from theorykit.score.score import MODES
from theorykit.score.signature import MOST_SIGNS, Signature, modal
from theorykit.theory.chord import Chord, ChordType
from theorykit.theory.key import usual_tonic
from theorykit.theory.meter import read_meter
from theorykit.theory.pitch import LETTERS, Note, Pitch

#: Letters and half steps.
Moved = tuple[int, int]

_NUMBER = re.compile(r"[+-]?[0-9]{1,9}(?:\.[0-9]{0,9})?")

#: Letters that so many half steps go up where a transposition does not say it (common practice).
_LETTERS_UP = (0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6)

_MOST_ALTER = 2


def text_of(element: Element, path: str) -> str:
    """The text of the first child at a path, with no space around it."""
    return (element.findtext(path) or "").strip()


def number(text: str) -> Fraction:
    """A number as MusicXML writes them.

    Raises
    ------
    TuneError
    """
    if not _NUMBER.fullmatch(text.strip()):
        raise TuneError(f"{text[:20]!r} is not a number")
    return Fraction(text.strip())


def whole(text: str, otherwise: int) -> int:
    """A count above 0, or what holds otherwise."""
    text = text.strip()
    good = text.isascii() and text.isdigit() and len(text) < 5
    return int(text) or otherwise if good else otherwise


def _alter(text: str) -> int:
    alter = number(text) if text else Fraction(0)
    if abs(alter) > _MOST_ALTER:
        raise TuneError(f"an alteration of {text} half steps")
    # A quarter tone goes to the note that it bends.
    return int(alter)


def _note(element: Element, name: str) -> Note | None:
    letter = text_of(element, f"{name}-step" if name else "step")
    if letter not in LETTERS or len(letter) != 1:
        return None
    return Note(letter, _alter(text_of(element, f"{name}-alter" if name else "alter")))


def pitch_of(element: Element, moved: Moved) -> Pitch | None:
    """What a note sounds, or None for a rest and for a drum."""
    pitch = element.find("pitch")
    if pitch is None:
        return None
    note = _note(pitch, "")
    octave = text_of(pitch, "octave")
    if note is None or len(octave) != 1 or octave not in "0123456789":
        raise TuneError("a pitch with no letter or octave")
    sounding = Pitch(note, int(octave)).shifted(*moved)
    if abs(sounding.note.alter) > _MOST_ALTER or not 0 <= sounding.midi <= 127:
        raise TuneError(f"no such pitch: {sounding}")
    return sounding


def transposition_of(element: Element) -> Moved:
    """How far what sounds lies from what is written."""
    chromatic = int(number(text_of(element, "chromatic") or "0"))
    diatonic = text_of(element, "diatonic")
    octaves = int(number(text_of(element, "octave-change") or "0"))
    letters = int(number(diatonic)) if diatonic else 0
    if not letters:
        up, rest = divmod(chromatic, 12)
        letters = 7 * up + _LETTERS_UP[rest]
    if abs(chromatic) > 48 or abs(letters) > 28 or abs(octaves) > 4:
        raise TuneError("a transposition of more than four octaves")
    return letters + 7 * octaves, chromatic + 12 * octaves


def signature_of(element: Element, moved: Moved) -> Signature | None:
    """The key that sounds; None where it is no key but single signs."""
    fifths = text_of(element, "fifths")
    if not fifths:
        return None
    count = int(number(fifths))
    if abs(count) > MOST_SIGNS:
        raise TuneError(f"a key signature of {abs(count)} signs")
    named = text_of(element, "mode").lower()
    mode = {"major": "ionian", "minor": "aeolian"}.get(named, named)
    if mode not in MODES:
        mode = "ionian"
    # The major tonic lies that many fifths above C, the mode's own as many more as it takes back.
    place = count - MODES[mode] + 1
    tonic = Note("FCGDAEB"[place % 7], place // 7).shifted(*moved)
    try:
        return modal(usual_tonic(tonic), mode)
    except BadInput as error:
        raise TuneError(str(error)) from None


def meter_of(element: Element) -> str | None:
    """The signature of a meter; None for none at all."""
    beats, beat_type = text_of(element, "beats"), text_of(element, "beat-type")
    if element.find("senza-misura") is not None or not beats:
        return None
    upper = sum(whole(part, 0) for part in beats.split("+"))
    return read_meter(f"{upper}/{beat_type}").name


def chord_of(element: Element, moved: Moved) -> Chord | Literal["unknown"] | None:
    """A chord symbol; None for "no chord", and ``"unknown"`` for what a chart does not write."""
    name = text_of(element, "kind")
    if name == "none":
        return None
    root = element.find("root")
    note = _note(root, "root") if root is not None else None
    if note is None:
        return "unknown"
    bass = element.find("bass")
    low = _note(bass, "bass") if bass is not None else None
    kind = _kind(element, name)
    if kind is None:
        return "unknown"
    shifted = [each.shifted(*moved) if each is not None else None for each in (note, low)]
    sounding, under = shifted[0], shifted[1]
    if sounding is None or any(each is not None and abs(each.alter) > 2 for each in shifted):
        return "unknown"
    return Chord(sounding, kind, under if under != sounding else None)


def _kind(element: Element, name: str) -> ChordType | None:
    """The type of a chord: its kind with all degrees, or else its printed text, or the kind."""
    degrees = []
    for degree in element.findall("degree"):
        value = whole(text_of(degree, "degree-value"), 0)
        if not 1 <= value <= 13:
            continue
        alter = _alter(text_of(degree, "degree-alter"))
        degrees.append(KindDegree(value, alter, text_of(degree, "degree-type")))
    try:
        return kind_chord(ChordKind(name, tuple(degrees)))
    except BadInput:
        pass
    text = (element.find("kind").get("text") or "").strip()  # type: ignore[union-attr]
    try:
        if text:
            return ChordType.parse(text)
    except BadInput:
        pass
    return ChordType.parse(KINDS[name]) if name in KINDS else None
