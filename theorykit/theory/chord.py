"""Chord symbols as players write them, and the notes that they stand for."""

from __future__ import annotations

import re
from dataclasses import dataclass

from theorykit.errors import BadInput
from theorykit.theory.degree import Degree
from theorykit.theory.interval import Interval
from theorykit.theory.key import TONICS
from theorykit.theory.pitch import ACCIDENTAL_PATTERN, Note, nearest_note
from theorykit.theory.symbol import ACCEPTED, Parts, members, read_suffix, write_suffix
from theorykit.theory.table import html_table

_ROOT = re.compile(f"([A-G]{ACCIDENTAL_PATTERN})")


@dataclass(frozen=True, slots=True)
class ChordType:
    """A chord with no root.

    Parameters
    ----------
    triad : str
        One of ``symbol.TRIADS``.
    extension : str
        One of ``symbol.EXTENSIONS``.
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
        if not isinstance(text, str):
            raise BadInput("chord quality", text, "not a text", accepted=ACCEPTED)
        return cls(*read_suffix(text.strip()))

    @property
    def parts(self) -> Parts:
        """The fields in the form that the symbol's grammar works on."""
        return Parts(
            self.triad, self.extension, self.alterations, self.added, self.omitted, self.altered
        )

    @property
    def degrees(self) -> tuple[Degree, ...]:
        """The members above the root, stacked upwards."""
        return members(self.parts)

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
        return write_suffix(self.parts)

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
            close = _nearest_chord(text) if isinstance(text, str) else None
            raise BadInput(
                "chord", text, "does not start with a root", accepted=ACCEPTED, nearest=close
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
            raise BadInput("chord", text, error.reason, accepted=ACCEPTED, nearest=close) from None
        return cls(root, kind, bass if bass != root else None)

    def transposed(self, interval: Interval) -> Chord:
        """The same chord on the root that lies ``interval`` above (below, if it is negative).

        The letters move with the interval, so that flats stay flats; only a root that no key
        signature has (E#, Fb, Bbb) takes its plainer name, and the bass goes with it.

        >>> str(Chord.parse("Bbm7/Ab").transposed(Interval.parse("M2")))
        'Cm7/Bb'
        >>> str(Chord.parse("G#/B#").transposed(Interval.parse("A1")))
        'A/C#'
        """
        root = interval.above(self.root)
        bass = interval.above(self.bass) if self.bass is not None else None
        if root not in TONICS:
            plain = root.simplified()
            if bass is not None:
                bass = Interval.between(root, bass).above(plain)
            root = plain
        return Chord(root, self.type, bass)

    @property
    def notes(self) -> tuple[Note, ...]:
        """The members upwards from the root, spelled; a foreign bass note comes first."""
        members = tuple(degree.at(self.root) for degree in self.type.degrees)
        if self.bass is None or self.bass in members:
            return members
        return (self.bass, *members)

    def records(self) -> list[dict[str, object]]:
        """One plain row for each member: degree, note, half steps above the root.

        A bass note that is no member comes first, as a degree 1 to 7 of the root.

        >>> Chord.parse("Am7").records()[1]
        {'degree': 'b3', 'note': 'C', 'semitones': 3}
        """
        degrees = list(self.type.degrees)
        if len(self.notes) > len(degrees) and self.bass is not None:
            degrees.insert(0, Degree.between(self.root, self.bass))
        return [
            {"degree": str(degree), "note": str(note), "semitones": degree.semitones}
            for degree, note in zip(degrees, self.notes, strict=True)
        ]

    def _repr_html_(self) -> str:
        rows = [
            [Degree.parse(str(row["degree"])).pretty, Note.parse(str(row["note"])).pretty]
            for row in self.records()
        ]
        return html_table(self.pretty, ["member", "note"], rows)

    def __str__(self) -> str:
        return f"{self.root}{self.type.suffix}" + (f"/{self.bass}" if self.bass else "")

    @property
    def pretty(self) -> str:
        """The symbol with music signs, e.g. ``"B♭m7♭5"``."""
        slash = f"/{self.bass.pretty}" if self.bass else ""
        return f"{self.root.pretty}{self.type.pretty}{slash}"


def _nearest_chord(text: str) -> str | None:
    """What a text that starts with no root was most likely meant as."""
    name = nearest_note(text)
    if name is None:
        return None
    # A small letter, or the H of German and Scandinavian schools, with a good quality behind it.
    rest = text.strip()[max(1, len(name)) :]
    try:
        return str(Chord.parse(name + rest))
    except BadInput:
        return name
