"""Chord symbols as players write them, and the notes that they stand for."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from theorykit.errors import BadInput, nearest
from theorykit.theory.degree import Degree
from theorykit.theory.pitch import ACCIDENTAL_PATTERN, Note

#: Members of the three-note (and two-note) frames, in degrees above the root (any theory
#: handbook; the power chord is common practice).
TRIADS = {
    "major": "1 3 5",
    "minor": "1 b3 5",
    "diminished": "1 b3 b5",
    "augmented": "1 3 #5",
    "sus2": "1 2 5",
    "sus4": "1 4 5",
    "power": "1 5",
}

#: What an extension adds to a frame. A thirteenth leaves out the eleventh over a major third
#: (common practice); the eleventh is put back over a minor third.
EXTENSIONS = {
    "": "",
    "6": "6",
    "69": "6 9",
    "7": "b7",
    "maj7": "7",
    "9": "b7 9",
    "maj9": "7 9",
    "11": "b7 9 11",
    "maj11": "7 9 11",
    "13": "b7 9 13",
    "maj13": "7 9 13",
}

_ALTERATIONS = ("b5", "#5", "b9", "#9", "#11", "b13")
_ADDED = ("2", "4", "6", "9", "11", "13")

_SUFFIX = re.compile(
    r"(?P<quality>maj|ma(?!dd)|M|Δ|min|mi|m|-|−|dim|°|o|aug|\+|ø)?"
    r"(?P<major>maj|ma|M|Δ|\(maj(?=7\)))?"
    r"(?P<extension>69|6/9|5|6|7|9|11|13)?\)?"
    r"(?P<rest>.*)"
)
_MODIFIER = re.compile(
    r"[\s,()]*(?:(?P<altered>[b♭#♯+\-−](?:5|9|11|13))"
    r"|add(?P<added>[b#♭♯]?(?:2|4|6|9|11|13))"
    r"|sus(?P<suspended>[24]?)"
    r"|(?:no|omit)(?P<omitted>[135])"
    r"|(?P<alt>alt))[\s,()]*"
)
_ROOT = re.compile(f"([A-G]{ACCIDENTAL_PATTERN})")

_ACCEPTED = "a root and a quality, as in G, Am7, Bbmaj7, F#m7b5, D7sus4, E5, C/G"


@dataclass(frozen=True, slots=True)
class ChordType:
    """A chord with no root.

    Parameters
    ----------
    triad : str
        One of ``TRIADS``.
    extension : str
        One of ``EXTENSIONS``.
    alterations, added, omitted : tuple of str
        Such as ``("b9",)``, ``("9",)``, ``("3",)``; in the order in which they are printed.
    altered : bool
        True for ``alt``: the dominant with both fifths and both ninths bent.

    Examples
    --------
    >>> ChordType.parse("m7b5").suffix, " ".join(map(str, ChordType.parse("m7b5").degrees))
    ('m7b5', '1 b3 b5 b7')
    """

    triad: str = "major"
    extension: str = ""
    alterations: tuple[str, ...] = ()
    added: tuple[str, ...] = ()
    omitted: tuple[str, ...] = ()
    altered: bool = False

    @classmethod
    def parse(cls, text: str) -> ChordType:
        """Read what stands after the root: ``""``, ``"m7"``, ``"maj7"``, ``"7b9"``, ``"5"``.

        Raises
        ------
        BadInput
            If any of the text is left over or contradicts itself.
        """
        return _parse_suffix(text.strip())

    @property
    def degrees(self) -> tuple[Degree, ...]:
        """The members above the root, stacked upwards."""
        return _members(self)

    @property
    def semitones(self) -> tuple[int, ...]:
        """Half steps above the root within one octave, in the order of ``degrees``."""
        return tuple(degree.semitones % 12 for degree in self.degrees)

    @property
    def third(self) -> Degree | None:
        """The third, if the chord has one."""
        return next((degree for degree in self.degrees if degree.number == 3), None)

    def without_third(self) -> ChordType:
        """The same chord with its third left out; a bare triad leaves the power chord.

        >>> ChordType.parse("").without_third().suffix, ChordType.parse("7").without_third().suffix
        ('5', '7no3')
        """
        if self.third is None:
            return self
        plain = not (self.extension or self.alterations or self.added or self.omitted)
        if plain and self.triad in {"major", "minor"}:
            return ChordType("power")
        omitted = tuple(sorted({*self.omitted, "3"}))
        return ChordType(
            self.triad, self.extension, self.alterations, self.added, omitted, self.altered
        )

    @property
    def suffix(self) -> str:
        """The symbol in its one printed form; ``parse`` gives the same chord back."""
        return _format_suffix(self)

    @property
    def pretty(self) -> str:
        """The symbol with music signs."""
        return self.suffix.replace("b", "♭").replace("#", "♯")

    def __str__(self) -> str:
        return self.suffix


@dataclass(frozen=True, slots=True)
class Chord:
    """A chord on a root, with a bass note if it is not the root.

    Examples
    --------
    >>> chord = Chord.parse("Bb7")
    >>> str(chord), [str(note) for note in chord.notes]
    ('Bb7', ['Bb', 'D', 'F', 'Ab'])
    """

    root: Note
    type: ChordType
    bass: Note | None = None

    @classmethod
    def parse(cls, text: str) -> Chord:
        """Read a chord symbol.

        Raises
        ------
        BadInput
            If the text is anything else.
        """
        match = _ROOT.match(text.strip()) if isinstance(text, str) else None
        if match is None:
            known = [f"{letter}{suffix}" for letter in "ABCDEFG" for suffix in ("", "m", "7")]
            close = nearest(text, known) if isinstance(text, str) else None
            raise BadInput(
                "chord", text, "does not start with a root", accepted=_ACCEPTED, nearest=close
            )
        rest, bass = text.strip()[match.end() :], None
        head, slash, tail = rest.rpartition("/")
        if slash and _ROOT.fullmatch(tail):
            rest, bass = head, Note.parse(tail)
        root = Note.parse(match[1])
        try:
            kind = ChordType.parse(rest)
        except BadInput as error:
            close = f"{root}{error.nearest}" if error.nearest is not None else None
            raise BadInput("chord", text, error.reason, accepted=_ACCEPTED, nearest=close) from None
        return cls(root, kind, bass if bass != root else None)

    @property
    def notes(self) -> tuple[Note, ...]:
        """The members upwards from the root, spelled; a foreign bass note comes first."""
        members = tuple(degree.at(self.root) for degree in self.type.degrees)
        if self.bass is None or self.bass in members:
            return members
        return (self.bass, *members)

    def __str__(self) -> str:
        return f"{self.root}{self.type.suffix}" + (f"/{self.bass}" if self.bass else "")

    @property
    def pretty(self) -> str:
        """The symbol with music signs, e.g. ``"B♭m7♭5"``."""
        slash = f"/{self.bass.pretty}" if self.bass else ""
        return f"{self.root.pretty}{self.type.pretty}{slash}"


_MINOR = {"min", "mi", "m", "-", "−"}
_MAJOR = {"maj", "ma", "M", "Δ"}
_SUGGESTED = (
    "",
    "m",
    "7",
    "m7",
    "maj7",
    "6",
    "m6",
    "dim",
    "dim7",
    "m7b5",
    "aug",
    "sus2",
    "sus4",
    "9",
    "m9",
    "maj9",
    "add9",
    "69",
    "13",
    "7b9",
    "7#9",
    "7alt",
    "7sus4",
    "5",
)


@lru_cache(maxsize=2048)
def _parse_suffix(text: str) -> ChordType:
    match = _SUFFIX.fullmatch(text)
    if match is None or text.count("(") != text.count(")"):
        raise _bad(text, "its brackets do not match")
    quality, extension = match["quality"] or "", (match["extension"] or "").replace("/", "")
    major_seventh = bool(match["major"]) or (quality in _MAJOR and extension not in {"6", "69"})
    triad = "major"
    alterations: list[str] = []
    if quality in _MINOR:
        triad = "minor"
    elif quality in {"dim", "°", "o"}:
        triad = "diminished"
    elif quality in {"aug", "+"}:
        triad = "augmented"
    elif quality == "ø":
        triad, alterations = "minor", ["b5"]
        if major_seventh or extension not in {"", "7", "9", "11"}:
            raise _bad(text, "a half-diminished chord has a minor seventh")
        extension = extension or "7"
    if extension == "5":
        if quality or major_seventh:
            raise _bad(text, "a fifth alone is neither major nor minor")
        triad, extension = "power", ""
    elif major_seventh and quality not in {"maj", "ma", "M"} and not extension:
        extension = "7"
    elif major_seventh and quality in {"maj", "ma", "M"} and not extension and not match["major"]:
        major_seventh = False  # "Cmaj" is the plain triad
    if major_seventh:
        if f"maj{extension}" not in EXTENSIONS:
            raise _bad(text, "a major seventh does not go with that extension")
        extension = f"maj{extension}"
    return _modified(text, match["rest"], triad, extension, alterations)


def _modified(
    text: str, rest: str, triad: str, extension: str, alterations: list[str]
) -> ChordType:
    """Read the alterations, additions, suspensions and omissions that follow the extension."""
    added: list[str] = []
    omitted: list[str] = []
    altered, position = False, 0
    while position < len(rest):
        part = _MODIFIER.match(rest, position)
        if part is None:
            raise _bad(text, f"'{rest[position:]}' is not part of a chord symbol")
        position = part.end()
        if part["altered"]:
            sign = "b" if part["altered"][0] in "b♭-−" else "#"
            alterations.append(sign + part["altered"][1:])
        elif part["added"]:
            added.append(part["added"].replace("♭", "b").replace("♯", "#"))
        elif part["suspended"] is not None:
            if triad != "major":
                raise _bad(text, "a suspension takes the place of a major third")
            triad = f"sus{part['suspended'] or '4'}"
        elif part["omitted"]:
            omitted.append(part["omitted"])
        else:
            altered = True
    if altered:
        if triad != "major" or extension not in {"", "7"} or alterations:
            raise _bad(text, "'alt' stands for every alteration of a dominant seventh")
        extension = "7"
    for name in alterations:
        if name not in _ALTERATIONS:
            raise _bad(text, f"no chord has {name}")
    if triad == "power" and (extension or alterations or added or omitted):
        raise _bad(text, "root and fifth alone take no additions")
    if triad in {"diminished", "augmented"} and any(name.endswith("5") for name in alterations):
        raise _bad(text, "the fifth is altered twice")
    if triad == "diminished" and extension not in {"", "7", "maj7"}:
        raise _bad(text, "a diminished chord takes no extension but 7")
    for parts in (alterations, added, omitted):
        if len(set(parts)) < len(parts):
            raise _bad(text, "the same part is written twice")
    return _canonical(triad, extension, alterations, added, omitted, altered)


def _canonical(
    triad: str,
    extension: str,
    alterations: list[str],
    added: list[str],
    omitted: list[str],
    altered: bool,
) -> ChordType:
    """One value for one chord, however it was written."""
    bare = not (extension or alterations or added)
    if bare and triad in {"major", "minor"} and omitted == ["3"]:
        return ChordType("power")
    if triad == "augmented" and extension:
        triad, alterations = "major", ["#5", *alterations]
    elif triad == "major" and not extension and alterations == ["#5"]:
        triad, alterations = "augmented", []
    elif triad == "minor" and not extension and alterations == ["b5"]:
        triad, alterations = "diminished", []
    order = sorted(alterations, key=_ALTERATIONS.index)
    return ChordType(
        triad,
        extension,
        tuple(order),
        tuple(sorted(added, key=lambda name: int(name.lstrip("b#")))),
        tuple(sorted(omitted)),
        altered,
    )


@lru_cache(maxsize=2048)
def _members(kind: ChordType) -> tuple[Degree, ...]:
    members = {degree.number: degree for degree in _degrees(TRIADS[kind.triad])}
    extra: list[Degree] = []
    extension = _degrees(EXTENSIONS[kind.extension])
    if kind.triad == "diminished" and kind.extension == "7":
        extension = _degrees("bb7")
    for degree in extension:
        members[degree.number] = degree
    if kind.extension in {"13"} and kind.triad == "minor":
        members[11] = Degree(11)
    for name in ("b5", "#5", "b9", "#9") if kind.altered else kind.alterations:
        degree = Degree.parse(name)
        if degree.number in members and members[degree.number].alter == 0:
            members[degree.number] = degree
        else:
            extra.append(degree)
    for name in kind.added:
        extra.append(Degree.parse(name))
    for name in kind.omitted:
        members.pop(int(name), None)
    every = {*members.values(), *extra}
    return tuple(sorted(every, key=lambda degree: (degree.semitones, degree.number)))


def _degrees(text: str) -> tuple[Degree, ...]:
    return tuple(Degree.parse(token) for token in text.split())


_TRIAD_PREFIX = {
    "major": "",
    "minor": "m",
    "diminished": "dim",
    "augmented": "aug",
    "sus2": "",
    "sus4": "",
    "power": "5",
}


@lru_cache(maxsize=2048)
def _format_suffix(kind: ChordType) -> str:
    text = _TRIAD_PREFIX[kind.triad] + kind.extension
    alterations = "alt" if kind.altered else "".join(kind.alterations)
    # Straight after the root, b5 would read as a flat root's power chord.
    text += alterations if text or kind.altered else f"({alterations})" * bool(alterations)
    if kind.triad.startswith("sus"):
        text += kind.triad
    text += "".join(f"add{name}" for name in kind.added)
    return text + "".join(f"no{name}" for name in kind.omitted)


def _bad(text: str, reason: str) -> BadInput:
    return BadInput(
        "chord quality", text, reason, accepted=_ACCEPTED, nearest=nearest(text, _SUGGESTED)
    )
