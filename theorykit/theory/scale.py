"""Scales as formulas in degrees, the catalogue of them, and a scale on a tonic."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import pairwise

from theorykit.errors import BadInput, nearest
from theorykit.theory.degree import Degree
from theorykit.theory.pitch import Note
from theorykit.theory.quote import quoted
from theorykit.theory.table import html_table


@dataclass(frozen=True, slots=True)
class ScaleFormula:
    """A scale with no tonic: its degrees, upwards.

    Parameters
    ----------
    name : str
        The trade's name, or the formula itself for a scale that a user typed.
    degrees : tuple of Degree
        Upwards from 1, within one octave. Empty for the chord's own tones, which have no formula.
    alternates : tuple of (Degree or None)
        A second spelling for each degree, used where the first needs a double accidental.
    descending : tuple of Degree
        The way down, written upwards, where it differs; else empty.
    ornaments : tuple of Degree
        Notes added to the scale's frame in passing, as the b5 is to the minor pentatonic: nobody
        rests on them, so they never call for another scale by themselves.
    aliases : tuple of str
        Other names that the parser takes.
    source : str
        Where the formula is from.

    Examples
    --------
    >>> str(find_scale("blues"))
    '1 b3 4 b5 5 b7'
    """

    name: str
    degrees: tuple[Degree, ...]
    alternates: tuple[Degree | None, ...] = ()
    descending: tuple[Degree, ...] = ()
    ornaments: tuple[Degree, ...] = ()
    aliases: tuple[str, ...] = field(default=(), compare=False)
    source: str = field(default="", compare=False)

    @classmethod
    def parse(cls, text: str) -> ScaleFormula:
        """Read a formula such as ``"1 b3 4 5 b7"``.

        Raises
        ------
        BadInput
            If it does not start on 1, does not rise, or holds anything but degrees.
        """
        accepted = "degrees of the major scale rising from 1, as in 1 b3 4 5 b7"
        if not isinstance(text, str) or not text.strip():
            raise BadInput("scale formula", text, "has no notes", accepted=accepted)
        tokens = [token for token in re.split(r"[\s,]+", text) if token]
        try:
            degrees = tuple(Degree.parse(token) for token in tokens)
        except BadInput as error:
            reason = f"{quoted(str(error.value))} is {error.reason}"
            raise BadInput("scale formula", text, reason, accepted=accepted) from None
        if any(degree.number > 7 for degree in degrees):
            raise BadInput(
                "scale formula", text, "has a degree beyond the seventh", accepted=accepted
            )
        if not degrees or degrees[0] != Degree(1):
            raise BadInput("scale formula", text, "does not start on 1", accepted=accepted)
        if len(degrees) < 2:
            raise BadInput("scale formula", text, "has a single note", accepted=accepted)
        steps = [degree.semitones for degree in degrees]
        if any(low >= high for low, high in pairwise(steps)) or steps[-1] > 11:
            raise BadInput(
                "scale formula", text, "does not rise within one octave", accepted=accepted
            )
        known = _by_semitones().get(tuple(steps))
        if known is not None and known.is_spelled(degrees):
            return known
        return cls(" ".join(map(str, degrees)), degrees)

    def is_spelled(self, degrees: tuple[Degree, ...]) -> bool:
        """True when ``degrees`` are this formula, each in its first or its second spelling."""
        if len(degrees) != len(self.degrees):
            return False
        return all(
            degree in {self.degrees[index], self.alternate(index)}
            for index, degree in enumerate(degrees)
        )

    def mode(self, number: int) -> ScaleFormula:
        """The scale that runs from this one's ``number``-th note to its octave, counted from 1.

        It has its own name where the catalogue has one, else its formula for a name. A scale
        with two forms gives the modes of its way up.

        Raises
        ------
        BadInput
            If the scale has no such note.

        Examples
        --------
        >>> find_scale("major").mode(2).name, find_scale("minor pentatonic").mode(2).name
        ('Dorian', 'major pentatonic')
        """
        if self.follows_chord:
            raise BadInput("mode", number, "chord tones have no formula")
        count = len(self.degrees)
        if not 1 <= number <= count:
            raise BadInput("mode", number, f"the scale has {count} notes", accepted=f"1 to {count}")
        root = self.degrees[number - 1]
        degrees = [
            _upwards(degree.minus(root))
            for degree in (*self.degrees[number - 1 :], *self.degrees[: number - 1])
        ]
        known = _by_semitones().get(tuple(degree.semitones for degree in degrees))
        if known is not None:
            return known
        return ScaleFormula(" ".join(map(str, degrees)), tuple(degrees))

    @property
    def follows_chord(self) -> bool:
        """True for the chord's own tones, which change with every chord."""
        return not self.degrees

    @property
    def semitones(self) -> tuple[int, ...]:
        """Half steps above the tonic, rising."""
        return tuple(degree.semitones for degree in self.degrees)

    def degrees_on(self, tonic: Note) -> tuple[Degree, ...]:
        """The degrees as they are printed in the key of ``tonic``."""
        return tuple(
            printed_degree(degree, self.alternate(index), tonic)
            for index, degree in enumerate(self.degrees)
        )

    def alternate(self, index: int) -> Degree | None:
        """The second spelling of the degree at ``index``, if it has one."""
        return self.alternates[index] if self.alternates else None

    def __str__(self) -> str:
        return " ".join(map(str, self.degrees)) or self.name


def printed_degree(degree: Degree, alternate: Degree | None, tonic: Note) -> Degree:
    """Which of two spellings is printed in a key: the first, unless it needs a double accidental.

    >>> str(printed_degree(Degree.parse("b5"), Degree.parse("#4"), Note.parse("Ab")))
    '#4'
    """
    if alternate is None:
        return degree
    first, second = abs(degree.at(tonic).alter), abs(alternate.at(tonic).alter)
    return alternate if first >= 2 and second < first else degree


def _upwards(degree: Degree) -> Degree:
    # In a scale with two notes on one letter, the lower lies a seventh above the upper.
    return Degree(7) if degree == Degree(1, -1) else degree


@dataclass(frozen=True, slots=True)
class Scale:
    """A scale on a tonic, spelled.

    Examples
    --------
    >>> scale = Scale(Note.parse("G"), find_scale("minor pentatonic"))
    >>> str(scale), [str(note) for note in scale.notes]
    ('G minor pentatonic', ['G', 'Bb', 'C', 'D', 'F'])
    """

    tonic: Note
    formula: ScaleFormula

    @classmethod
    def parse(cls, text: str) -> Scale:
        """Read a tonic and a scale's name or formula: ``"G minor pentatonic"``.

        Raises
        ------
        BadInput
            If the text is anything else.
        """
        tonic, _, formula = text.strip().partition(" ") if isinstance(text, str) else ("", "", "")
        if not formula.strip():
            raise BadInput(
                "scale",
                text,
                "not a tonic and a scale",
                accepted="a note and a scale's name, as in G minor pentatonic",
            )
        return cls(Note.parse(tonic), find_scale(formula))

    @property
    def degrees(self) -> tuple[Degree, ...]:
        """The degrees as printed in this key."""
        return self.formula.degrees_on(self.tonic)

    @property
    def notes(self) -> tuple[Note, ...]:
        """The notes upwards from the tonic, the octave left out."""
        return tuple(degree.at(self.tonic) for degree in self.degrees)

    @property
    def notes_descending(self) -> tuple[Note, ...]:
        """The notes of the way down, written upwards from the tonic."""
        if not self.formula.descending:
            return self.notes
        return tuple(degree.at(self.tonic) for degree in self.formula.descending)

    def records(self) -> list[dict[str, object]]:
        """One plain row for each note: degree, note, half steps above the tonic.

        >>> Scale.parse("G blues").records()[1]
        {'degree': 'b3', 'note': 'Bb', 'semitones': 3}
        """
        return [
            {"degree": str(degree), "note": str(note), "semitones": degree.semitones}
            for degree, note in zip(self.degrees, self.notes, strict=True)
        ]

    def _repr_html_(self) -> str:
        rows = [
            [degree.pretty, note.pretty]
            for degree, note in zip(self.degrees, self.notes, strict=True)
        ]
        return html_table(self.pretty, ["degree", "note"], rows)

    def __str__(self) -> str:
        return f"{self.tonic} {self.formula.name}"

    @property
    def pretty(self) -> str:
        """The name with music signs, e.g. ``"B♭ blues"``."""
        return f"{self.tonic.pretty} {self.formula.name}"


def _scale(
    name: str,
    formula: str,
    source: str,
    *aliases: str,
    descending: str = "",
    ornaments: str = "",
) -> ScaleFormula:
    """Read one row of the catalogue; ``b5|#4`` gives a degree its second spelling."""
    firsts: list[Degree] = []
    seconds: list[Degree | None] = []
    for token in formula.split():
        first, _, second = token.partition("|")
        firsts.append(Degree.parse(first))
        seconds.append(Degree.parse(second) if second else None)
    alternates = tuple(seconds) if any(seconds) else ()
    down = tuple(Degree.parse(token) for token in descending.split())
    added = tuple(Degree.parse(token) for token in ornaments.split())
    return ScaleFormula(name, tuple(firsts), alternates, down, added, aliases, source)


# What a formula begins with; a name such as "Dorian #4" may hold a figure too.
_FORMULA = re.compile(r"[\s,]*[b#♭♯x]*[0-9]")

_HANDBOOK = "any handbook of the major-minor system; from memory"
_MODES = "church modes as jazz handbooks list them (Levine 1995); from memory"
_PRACTICE = "common practice"

CHORD_TONES = ScaleFormula("chord tones", (), aliases=("arpeggio",), source=_PRACTICE)

_CATALOGUE = (
    CHORD_TONES,
    _scale("major pentatonic", "1 2 3 5 6", _PRACTICE, "major pent", "pentatonic"),
    _scale("major blues", "1 2 b3|#2 3 5 6", _PRACTICE, ornaments="b3"),
    _scale("major", "1 2 3 4 5 6 7", _HANDBOOK, "ionian", "diatonic"),
    _scale("minor pentatonic", "1 b3 4 5 b7", _PRACTICE, "minor pent"),
    _scale("blues", "1 b3 4 b5|#4 5 b7", _PRACTICE, "minor blues", ornaments="b5"),
    _scale("Mixolydian", "1 2 3 4 5 6 b7", _MODES, "dominant"),
    _scale("Dorian", "1 2 b3 4 5 6 b7", _MODES),
    _scale("natural minor", "1 2 b3 4 5 b6 b7", _HANDBOOK, "aeolian", "minor"),
    _scale("harmonic minor", "1 2 b3 4 5 b6 7", _HANDBOOK),
    _scale(
        "melodic minor",
        "1 2 b3 4 5 6 7",
        _HANDBOOK,
        "jazz minor",
        descending="1 2 b3 4 5 b6 b7",
    ),
    _scale("Phrygian", "1 b2 b3 4 5 b6 b7", _MODES),
    _scale("Lydian", "1 2 3 #4 5 6 7", _MODES),
    _scale("Locrian", "1 b2 b3 4 b5 b6 b7", _MODES),
    _scale("Lydian dominant", "1 2 3 #4 5 6 b7", _MODES, "lydian b7", "overtone"),
    _scale("Phrygian dominant", "1 b2 3 4 5 b6 b7", _MODES),
    _scale("altered", "1 b2 b3 b4 b5 b6 b7", _MODES, "super locrian"),
    _scale(
        "bebop dominant",
        "1 2 3 4 5 6 b7 7",
        "Levine 1995; from memory",
        "bebop",
        ornaments="7",
    ),
    _scale("whole tone", "1 2 3 #4 #5 b7", _HANDBOOK, "whole-tone"),
    _scale(
        "whole-half diminished",
        "1 2 b3 4 b5|#4 b6|#5 6 7",
        "Levine 1995; from memory",
        "diminished",
    ),
    _scale(
        "half-whole diminished",
        "1 b2 b3|#2 3 #4 5 6 b7",
        "Levine 1995; from memory",
        "dominant diminished",
    ),
    _scale(
        "chromatic",
        "1 #1|b2 2 #2|b3 3 4 #4|b5 5 #5|b6 6 #6|b7 7",
        _HANDBOOK,
        descending="1 b2 2 b3 3 4 b5 5 b6 6 b7 7",
        ornaments="#1 #2 #4 #5 #6",
    ),
)

#: The catalogue by name, in the order in which menus show it.
SCALES: dict[str, ScaleFormula] = {scale.name: scale for scale in _CATALOGUE}

_MINOR_MODES = "modes of the harmonic and melodic minor (Levine 1995); from memory"

_FURTHER = (
    _scale("minor sixth pentatonic", "1 b3 4 5 6", _PRACTICE),
    _scale("dominant pentatonic", "1 2 3 5 b7", _PRACTICE),
    _scale("suspended pentatonic", "1 2 4 5 b7", _PRACTICE, "egyptian"),
    _scale("major hexatonic", "1 2 3 4 5 6", _PRACTICE, "major hexachord"),
    _scale("minor hexatonic", "1 2 b3 4 5 b7", _PRACTICE),
    _scale("mixed blues", "1 2 b3|#2 3 4 b5|#4 5 6 b7", _PRACTICE, ornaments="b3 b5"),
    _scale("bebop major", "1 2 3 4 5 #5|b6 6 7", "Levine 1995; from memory", ornaments="#5"),
    _scale("bebop Dorian", "1 2 b3 3 4 5 6 b7", "Levine 1995; from memory", ornaments="3"),
    _scale("Dorian b2", "1 b2 b3 4 5 6 b7", _MINOR_MODES, "phrygian natural 6"),
    _scale("Lydian augmented", "1 2 3 #4 #5 6 7", _MINOR_MODES),
    _scale("Mixolydian b6", "1 2 3 4 5 b6 b7", _MINOR_MODES, "aeolian dominant"),
    _scale(
        "Locrian natural 2",
        "1 2 b3 4 b5 b6 b7",
        _MINOR_MODES,
        "half-diminished",
        "locrian #2",
        "aeolian b5",
    ),
    _scale("Locrian natural 6", "1 b2 b3 4 b5 6 b7", _MINOR_MODES),
    _scale("Ionian augmented", "1 2 3 4 #5 6 7", _MINOR_MODES, "major augmented"),
    _scale("Dorian #4", "1 2 b3 #4 5 6 b7", _MINOR_MODES, "romanian minor"),
    _scale("Lydian #2", "1 #2 3 #4 5 6 7", _MINOR_MODES),
    _scale("harmonic major", "1 2 3 4 5 b6 7", _HANDBOOK),
    _scale("double harmonic", "1 b2 3 4 5 b6 7", _HANDBOOK, "byzantine"),
    _scale("Hungarian minor", "1 2 b3 #4 5 b6 7", _HANDBOOK, "gypsy minor"),
    _scale("Neapolitan minor", "1 b2 b3 4 5 b6 7", _HANDBOOK),
    _scale("Neapolitan major", "1 b2 b3 4 5 6 7", _HANDBOOK),
    _scale("augmented", "1 #2|b3 3 5 #5|b6 7", "Levine 1995; from memory"),
    _scale("hirajoshi", "1 2 b3 5 b6", "handbooks of Japanese music; from memory"),
    _scale("in-sen", "1 b2 4 5 b7", "handbooks of Japanese music; from memory", "insen"),
)

#: Scales that are found by name and known in relations, but that no menu lists.
MORE_SCALES: dict[str, ScaleFormula] = {scale.name: scale for scale in _FURTHER}


def every_scale() -> tuple[ScaleFormula, ...]:
    """The catalogue and then the scales that no menu lists."""
    return (*SCALES.values(), *MORE_SCALES.values())


@lru_cache(maxsize=1)
def _by_semitones() -> dict[tuple[int, ...], ScaleFormula]:
    return {scale.semitones: scale for scale in every_scale()}


@lru_cache(maxsize=1)
def _by_folded_name() -> dict[str, ScaleFormula]:
    names: dict[str, ScaleFormula] = {}
    for scale in every_scale():
        for name in (scale.name, *scale.aliases):
            names[name.casefold()] = scale
    return names


def scale_names() -> tuple[str, ...]:
    """Every name and alias that ``find_scale`` takes, names first."""
    aliases = (alias for scale in every_scale() for alias in scale.aliases)
    return (*SCALES, *MORE_SCALES, *aliases)


def find_scale(text: str) -> ScaleFormula:
    """A scale by name, alias or formula.

    Raises
    ------
    BadInput
        If there is no such scale and the text is no formula.

    Examples
    --------
    >>> find_scale("Aeolian").name, find_scale("1 2 b3 5 6").name
    ('natural minor', '1 2 b3 5 6')
    """
    if not isinstance(text, str):
        raise BadInput("scale", text, "not a text", accepted="a name or a formula")
    folded = " ".join(text.split()).casefold()
    known = _by_folded_name().get(folded)
    if known is None:
        known = _by_folded_name().get(folded.removesuffix(" scale"))
    if known is not None:
        return known
    if _FORMULA.match(text):
        return ScaleFormula.parse(text)
    raise BadInput(
        "scale",
        text,
        "no scale of that name",
        accepted="a name such as blues, or a formula such as 1 b3 4 5 b7",
        nearest=nearest(text, scale_names()),
    )
