"""What a quiz is about, and how hard its levels make it."""

from __future__ import annotations

from collections.abc import Container, Iterable
from dataclasses import dataclass, replace
from random import Random

from theorykit.analysis.saved_style import read_style
from theorykit.analysis.style import Style
from theorykit.errors import BadInput
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.fretboard import Cell, cells, shown_frets
from theorykit.instruments.instrument import Instrument
from theorykit.quiz.question import NoteMark
from theorykit.theory.degree import Degree
from theorykit.theory.form import find_progression
from theorykit.theory.key import TONICS, Key
from theorykit.theory.pitch import Note
from theorykit.theory.progression import Progression
from theorykit.theory.scale import SCALES, Scale, ScaleFormula, find_scale

#: The twelve notes above a tonic, as players name them.
CHROMATIC = tuple(
    Degree.parse(text) for text in ["1", "b2", "2", "b3", "3", "4", "b5", "5", "b6", "6", "b7", "7"]
)

#: Of so many places on the neck the rest is not read out.
_MOST_PLACES = 3


@dataclass(frozen=True, slots=True)
class Level:
    """How hard a quiz is.

    Parameters
    ----------
    number : int
    fifths : int
        How far around the circle of fifths its keys lie from the quiz's own.
    frets : int
        How far up the neck it goes.
    options : int
        How many answers are offered.
    words : str
        What a menu says of it.
    """

    number: int
    fifths: int
    frets: int
    options: int
    words: str


#: The levels (stipulated).
LEVELS: dict[int, Level] = {
    level.number: level
    for level in (
        Level(1, 0, 5, 3, "1: your key, frets to 5"),
        Level(2, 1, 7, 4, "2: keys beside it, frets to 7"),
        Level(3, 3, 12, 4, "3: seven keys, frets to 12"),
        Level(4, 6, 15, 5, "4: every key, the whole neck"),
    )
}


def find_level(number: int) -> Level:
    """A level by its number.

    Raises
    ------
    BadInput
        If there is none.
    """
    if isinstance(number, bool) or number not in LEVELS:
        raise BadInput("level", number, "no such level", accepted="1, 2, 3 or 4")
    return LEVELS[number]


@dataclass(frozen=True, slots=True)
class Topic:
    """What a quiz asks about: make one with ``Topic.of``.

    Examples
    --------
    >>> topic = Topic.of(key="A", scale="minor pentatonic", instrument="mandolin")
    >>> topic.where(Cell(2, 4, 73)), topic.named(1)
    ('string 2 (A), fret 4', Note(letter='C', alter=1))
    """

    tonic: Note
    scale: ScaleFormula
    instrument: Instrument
    progression: Progression
    style: Style

    @classmethod
    def of(
        cls,
        *,
        key: str = "A",
        scale: str = "minor pentatonic",
        instrument: str = "mandolin",
        progression: str = "12-bar blues",
        style: str = "bluegrass",
    ) -> Topic:
        """A topic by names; a style may be a file that holds one.

        Raises
        ------
        BadInput
            With the name that is none.
        """
        return cls(
            Key.parse(key).tonic,
            find_scale(scale),
            find_instrument(instrument),
            find_progression(progression),
            read_style(style),
        )

    @property
    def melodic(self) -> ScaleFormula:
        """The scale, or major where the scale is whatever the chord has."""
        return SCALES["major"] if self.scale.follows_chord else self.scale

    def moved(self, level: Level, rng: Random) -> Topic:
        """The same in a key of the level."""
        keys = [
            each for each in range(12) if fifths_apart(self.tonic.pitch_class, each) <= level.fifths
        ]
        return self.in_key(rng.choice(keys))

    def in_mode(self) -> Topic:
        """The same, its tonic spelled as players say it of a tune in the progression's mode."""
        usual = SCALES["natural minor" if self.progression.mode == "minor" else "major"]
        return self.in_key(self.tonic.pitch_class, usual)

    def in_key(self, pitch_class: int, scale: ScaleFormula | None = None) -> Topic:
        """The same in another key, spelled for its scale or for another one."""
        if pitch_class == self.tonic.pitch_class and scale is None:
            return self
        return replace(self, tonic=plain_tonic(pitch_class, scale or self.melodic))

    def cells(self, level: Level) -> list[Cell]:
        """The places of the neck that a level uses."""
        return cells(self.instrument, frets=self.frets(level))

    def frets(self, level: Level) -> int:
        """How far up this neck a level goes."""
        return min(level.frets, shown_frets(self.instrument))

    def named(self, pitch_class: int) -> Note:
        """A note as this key and scale spell it."""
        for note in Scale(self.tonic, self.melodic).notes:
            if note.pitch_class == pitch_class:
                return plainer(note)
        # A white key outside the scale is no B sharp.
        return self.degree(pitch_class).at(self.tonic).simplified()

    def on(self, tonic: str) -> Topic:
        """The same on a tonic that is given by name."""
        return replace(self, tonic=Note.parse(tonic))

    @property
    def names(self) -> list[str]:
        """The twelve notes upwards from C, as this key spells them."""
        return [self.named(pitch_class).pretty for pitch_class in range(12)]

    def degree(self, pitch_class: int) -> Degree:
        """What a note is above the tonic, as the scale counts it."""
        above = (pitch_class - self.tonic.pitch_class) % 12
        own = [each for each in self.melodic.degrees if each.semitones % 12 == above]
        return own[0] if own else CHROMATIC[above]

    def degree_words(self, pitch_class: int) -> str:
        """What a note is in the key, in words: ``"the tonic"``, ``"the ♭3 of A"``."""
        degree = self.degree(pitch_class)
        tonic = self.tonic.pretty
        return "the tonic" if degree == CHROMATIC[0] else f"the {degree.pretty} of {tonic}"

    def where(self, cell: Cell) -> str:
        """A place in words."""
        string = f"string {cell.string} ({self.instrument.string(cell.string).open.note.pretty})"
        if cell.fret == 0:
            return f"open {string}"
        return f"{string}, fret {self.instrument.fret_name(cell.fret)}"

    def places_words(self, found: list[Cell]) -> str:
        """Several places in words, the lowest frets first."""
        nearest = sorted(found, key=lambda cell: (cell.fret, cell.string))
        words = [self.where(cell) for cell in nearest[:_MOST_PLACES]]
        more = len(nearest) - len(words)
        if more:
            words.append(f"and {more} more places" if more > 1 else "and one more place")
        return "; ".join(words)

    def spelled_marks(
        self, notes: Iterable[Note], care: Container[int] = ()
    ) -> tuple[NoteMark, ...]:
        """Notes to mark by their names, each once, some with care."""
        found = {note.pitch_class: plainer(note).pretty for note in notes}
        return tuple(NoteMark(each, label, each in care) for each, label in found.items())


def fifths_apart(one: int, other: int) -> int:
    """Steps between two tonics on the circle of fifths.

    >>> fifths_apart(0, 7), fifths_apart(0, 6)
    (1, 6)
    """
    steps = (other - one) * 7 % 12
    return min(steps, 12 - steps)


def plain_tonic(pitch_class: int, scale: ScaleFormula) -> Note:
    """The tonic of a pitch class on which a scale has the fewest sharps and flats.

    >>> str(plain_tonic(6, find_scale("minor pentatonic")))
    'F#'
    """
    return min(
        (tonic for tonic in TONICS if tonic.pitch_class == pitch_class),
        key=lambda tonic: sum(abs(degree.at(tonic).alter) for degree in scale.degrees),
    )


def plainer(note: Note) -> Note:
    """The note itself, or its plain name where it has two signs.

    >>> str(plainer(Note.parse("Bbb"))), str(plainer(Note.parse("Cb")))
    ('A', 'Cb')
    """
    return note if abs(note.alter) < 2 else note.simplified()
