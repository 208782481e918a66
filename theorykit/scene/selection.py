"""What is chosen, and what there is to choose from."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from functools import lru_cache
from typing import Any

from theorykit.analysis.saved_style import read_style
from theorykit.analysis.style import STYLES, Style
from theorykit.errors import BadInput, nearest
from theorykit.instruments.catalogue import Instrument, find_instrument
from theorykit.instruments.fretboard import MOST_CAPO
from theorykit.practice.line_level import LEVELS
from theorykit.practice.rhythm import RHYTHMS
from theorykit.practice.sequence import DIRECTIONS
from theorykit.practice.sequence_pattern import SEQUENCES
from theorykit.score.feel import FEELS, find_feel
from theorykit.theory.chord import Chord, ChordType
from theorykit.theory.form import FORMS, MORE_FORMS, find_progression
from theorykit.theory.key import TONICS, Key
from theorykit.theory.pitch import Note
from theorykit.theory.progression import Progression
from theorykit.theory.scale import ScaleFormula, find_scale
from theorykit.tune.reading import read_tune

#: What is written on the marks.
LABELS = ("notes", "degrees", "hidden")

#: How a scale is cut up along the neck.
PATTERNS = ("positions", "2 notes a string", "3 notes a string")

#: The chord member that is left out of a shape; nothing first.
OMISSIONS = ("", "3", "5", "1")

#: Where on the neck a chord shape lies.
PLACES = (
    "anywhere",
    "with open strings",
    "closed",
    "frets 1 to 4",
    "frets 5 to 8",
    "frets 9 to 12",
)

#: The figures of a sequence, which way it goes, and its rhythm.
FIGURES, WAYS, RHYTHM_NAMES = tuple(SEQUENCES), DIRECTIONS, tuple(RHYTHMS)

#: The levels of a line, and how much of the blues scale it has.
LEVEL_NAMES = tuple(f"{level.number} {level.name}" for level in LEVELS.values())
GRITS = {"plain": 0.0, "some": 0.3, "half and half": 0.6, "gritty": 1.0}
GRIT_NAMES = tuple(GRITS)

#: How the band plays.
FEEL_NAMES = tuple(FEELS)

#: Beats a minute.
SLOWEST, FASTEST = 30, 300

#: The scales of the menus; every other one can be asked for by name or formula.
OFFERED_SCALES = (
    "chord tones",
    "major pentatonic",
    "major blues",
    "major",
    "minor pentatonic",
    "blues",
    "Mixolydian",
    "Dorian",
    "natural minor",
    "harmonic minor",
    "chromatic",
)


#: The forms of the menus; every other one can be asked for by name, and any chart by its text.
OFFERED_FORMS = (
    "I-IV-V vamp",
    "12-bar blues",
    "12-bar blues, plain chords",
    "12-bar blues, quick change",
    "12-bar minor blues",
    "8-bar blues",
    "16-bar blues",
    "two-part dance tune",
    "bVII vamp",
    "ii-V-I",
    "I-vi-ii-V",
    "circle of fourths",
    "waltz",
    "i-iv-V in minor",
    "one chord",
)


#: The necks of the menus; every other one, and any tuning, can be asked for by name.
OFFERED_INSTRUMENTS = (
    "mandolin",
    "guitar",
    "banjo",
    "fiddle",
    "ukulele",
    "bass",
    "tenor banjo",
    "octave mandolin",
    "resonator guitar",
    "viola",
    "cello",
)


#: The kinds of chord that shapes are offered of, as symbols write them after the root.
OFFERED_QUALITIES = ("", "m", "7", "m7", "maj7", "6", "9", "sus4", "dim7", "m7b5")


@dataclass(frozen=True, slots=True)
class Offer:
    """The choices of the menus, by name; keys are always all of them.

    A scale may be a formula, a progression a chart, an instrument a tuning, a quality whatever
    stands after the root of a chord symbol: what ``find_scale``, ``find_progression``,
    ``find_instrument`` and ``Chord.parse`` take.
    """

    scales: tuple[str, ...] = OFFERED_SCALES
    progressions: tuple[str, ...] = OFFERED_FORMS
    styles: tuple[str, ...] = tuple(STYLES)
    instruments: tuple[str, ...] = OFFERED_INSTRUMENTS
    qualities: tuple[str, ...] = OFFERED_QUALITIES

    def including(self, selection: Selection) -> Offer:
        """The offer with the selection's own choices put at the end where they are missing."""
        scales = [selection.scale] + ([selection.compare] if selection.compare else [])
        return self.joined(
            Offer(
                tuple(scales),
                (selection.progression,),
                (selection.style,),
                (selection.instrument,),
                (selection.quality,),
            )
        )

    def joined(self, other: Offer) -> Offer:
        """Both offers in one."""
        return Offer(
            *(
                (*mine, *(item for item in dict.fromkeys(theirs) if item not in mine))
                for mine, theirs in (
                    (getattr(self, field.name), getattr(other, field.name))
                    for field in fields(self)
                )
            )
        )


@dataclass(frozen=True, slots=True)
class Selection:
    """Every choice of a study, checked and by its proper name.

    Make one with ``Selection.of``, which reads names in any of their spellings.

    Parameters
    ----------
    key : str
        A tonic, e.g. ``"Bb"``. The mode is the progression's.
    scale, compare : str
        Names or formulas; ``compare`` is empty when nothing is compared.
    progression : str
        A form's name or a chart.
    style : str
        A name, or a file that holds a saved style.
    feel : str
        How the band plays, one of ``score.feel.FEELS``.
    instrument, labels : str
    capo : int
        The fret that the capo closes; 0 for none.
    tempo : int
        Beats a minute.
    step : int
        Which chord of the chart is current, 0 for the first.
    thirds : bool
        False when the chords are played without their thirds.
    comp_held : bool
        True when the chords are played as the instrument holds them, False for the feel's own way.
    follow : bool
        True to show the scale that is advised instead of the one that is held.
    left_handed : bool
        True to see the neck as a left-handed player does.
    fingers : bool
        True to write the fingers on the marks of a shape or a position.
    pattern : str
        How the scale is cut up along the neck, one of ``PATTERNS``.
    position : int
        Which position stands out, 0 for the first; -1 for none.
    root, quality : str
        The chord whose shapes are shown, e.g. ``"C"`` and ``"m7"``.
    omit : str
        The member that is left out of its shapes, one of ``OMISSIONS``.
    place : str
        Where the shapes lie, one of ``PLACES``.
    shape, beside : int
        Which shape stands on the neck, 0 for the first, and which it is compared with, -1 for none.
    figure, direction, rhythm : str
        Of a sequence: one of ``FIGURES``, ``WAYS`` and ``RHYTHM_NAMES``.
    level, grit : str
        Of a line: one of ``LEVEL_NAMES`` (its number will do) and ``GRIT_NAMES``.
    number, kept : int
        Which line is shown, and which one was kept to compare it with, -1 for none.
    note : int
        Which note of the line or sequence is asked about, 0 for the first; -1 for none.
    tune : str
        A tune as text of ABC 2.1, see ``tune_sheet.tune_text``; empty for none.

    Examples
    --------
    >>> Selection.of(key="A", scale="minor blues").scale
    'blues'
    """

    key: str = "G"
    scale: str = "minor pentatonic"
    compare: str = ""
    progression: str = "12-bar blues"
    style: str = "bluegrass"
    feel: str = "bluegrass"
    instrument: str = "mandolin"
    capo: int = 0
    labels: str = "notes"
    tempo: int = 96
    step: int = 0
    thirds: bool = True
    comp_held: bool = False
    follow: bool = False
    left_handed: bool = False
    fingers: bool = False
    pattern: str = PATTERNS[0]
    position: int = 0
    root: str = "G"
    quality: str = ""
    omit: str = OMISSIONS[0]
    place: str = PLACES[0]
    shape: int = 0
    beside: int = -1
    figure: str = "threes"
    direction: str = WAYS[0]
    rhythm: str = "eighths"
    level: str = LEVEL_NAMES[1]
    grit: str = "some"
    number: int = 0
    kept: int = -1
    note: int = -1
    tune: str = ""

    @classmethod
    def of(cls, **choices: Any) -> Selection:
        """A selection from choices in any spelling; what is not given has its default.

        Raises
        ------
        BadInput
            With the choice that can't be used.
        """
        return cls().changed(**choices)

    def changed(self, **choices: Any) -> Selection:
        """The selection with some choices changed.

        Raises
        ------
        BadInput
            With the choice that can't be used; the selection itself stays as it is.
        """
        names = [field.name for field in fields(self)]
        for name in choices:
            if name not in names:
                raise BadInput(
                    "choice",
                    name,
                    "a study has no such choice",
                    accepted=", ".join(names),
                    nearest=nearest(name, names),
                )
        key = choices.get("key", self.key)
        checked = {name: _proper(name, value, Key(_tonic(key))) for name, value in choices.items()}
        selection = replace(self, **checked)
        last = len(selection.chart.chords) - 1
        if not 0 <= selection.step <= last:
            # A shorter form must not leave the chart pointing past its end.
            if "step" in choices:
                raise BadInput("step", selection.step, "not in the chart", accepted=f"0 to {last}")
            selection = replace(selection, step=0)
        return selection

    @property
    def tonic(self) -> Note:
        """The key's tonic."""
        return Note.parse(self.key)

    @property
    def chord(self) -> Chord:
        """The chord whose shapes are shown, the left-out member still in it."""
        return Chord.parse(f"{self.root}{self.quality}")

    @property
    def formula(self) -> ScaleFormula:
        """The scale that is held."""
        return find_scale(self.scale)

    @property
    def compared(self) -> ScaleFormula | None:
        """The scale that it is compared with."""
        return find_scale(self.compare) if self.compare else None

    @property
    def chart(self) -> Progression:
        """The progression, its repeats and jumps played out."""
        return played_chart(self.progression)

    @property
    def taste(self) -> Style:
        """The style."""
        return read_style(self.style)

    @property
    def neck(self) -> Instrument:
        """The instrument."""
        return find_instrument(self.instrument)


@lru_cache(maxsize=256)
def played_chart(name: str) -> Progression:
    """A form or a chart as it is played, from first bar to last."""
    return find_progression(name).unfolded()


def _tonic(text: str) -> Note:
    key = Key.parse(text)
    if key.mode == "minor":
        raise BadInput(
            "key",
            text,
            "a study's key is a tonic; minor comes from the progression, as in 'i iv V'",
            accepted=", ".join(map(str, TONICS)),
            nearest=str(key.tonic),
        )
    return key.tonic


def _proper(name: str, value: Any, key: Key) -> Any:
    """One choice by its proper name."""
    if name in {"key", "root"}:
        return str(_tonic(value))
    if name == "quality":
        return ChordType.parse(value).suffix
    if name == "scale":
        return find_scale(value).name
    if name == "compare":
        return find_scale(value).name if value else ""
    if name == "progression":
        chart = find_progression(value, key=key)
        # A title names a chart to the reader; only its text finds it again.
        return chart.name if chart.name in FORMS or chart.name in MORE_FORMS else str(chart)
    if name == "style":
        style = read_style(value)
        # A style of one's own is kept by its file, where it is found again.
        return style.name if style.name in STYLES else value.strip()
    if name == "instrument":
        return find_instrument(value).name
    if name == "feel":
        return find_feel(value).name
    if name == "level" and str(value) in map(str, LEVELS):
        return LEVEL_NAMES[int(value) - 1]
    if name in _LISTED:
        return _one_of(name, value, _LISTED[name])
    if name == "tune":
        return _tune(value)
    if name == "tempo":
        return _whole(name, value, SLOWEST, FASTEST)
    if name == "capo":
        return _whole(name, value, 0, MOST_CAPO)
    if name in {"step", "shape", "number"}:
        return _whole(name, value, 0, 10_000)
    if name in {"position", "beside", "kept", "note"}:
        return _whole(name, value, -1, 10_000)
    if not isinstance(value, bool):
        raise BadInput(name, value, "not a yes or no", accepted="True or False")
    return value


#: Choices that are one of a few.
_LISTED = {
    "labels": LABELS,
    "pattern": PATTERNS,
    "omit": OMISSIONS,
    "place": PLACES,
    "figure": FIGURES,
    "direction": WAYS,
    "rhythm": RHYTHM_NAMES,
    "level": LEVEL_NAMES,
    "grit": GRIT_NAMES,
}


def _tune(value: Any) -> str:
    if not isinstance(value, str):
        raise BadInput("tune", value, "is no text", accepted="a tune as text of ABC 2.1")
    if value:
        read_tune(value.encode("utf-8"), name="tune.abc")
    return value


def _one_of(kind: str, value: Any, options: tuple[str, ...]) -> str:
    if value not in options:
        raise BadInput(
            kind,
            value,
            "not one of the choices",
            accepted=", ".join(options),
            nearest=nearest(str(value), options),
        )
    return str(value)


def _whole(kind: str, value: Any, low: int, high: int) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
        raise BadInput(kind, value, "out of range", accepted=f"a whole number {low} to {high}")
    return value
