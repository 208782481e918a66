"""The one event model: what is played, note by note, with the chart that it is played to.

Players, sound files, MIDI and notation are all made from a `Score`. Beats are the meter's own (the
dotted quarter in 12/8) and exact; beat 0 is the first bar line, and a pick-up and a count-in lie
before it. A note's ``start`` and ``beats`` are what would be written; how far it is played
from there (swing, strum, human looseness) stands apart.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any, Literal

from theorykit.errors import BadInput, nearest
from theorykit.theory.chord import Chord
from theorykit.theory.degree import Degree
from theorykit.theory.key import Key
from theorykit.theory.meter import Meter, read_meter
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Pitch

#: The parts that a mixer knows, in the order in which it shows them.
PARTS = ("bass", "comp", "click", "drone", "line")

#: Beats a minute that can be practised to.
SLOWEST, FASTEST = 20, 400

#: The modes of tunes, with how many sharps their signature has more than the major key's on the
#: same tonic (any theory handbook: D dorian has the signature of C).
MODES: dict[str, int] = {
    "ionian": 0,
    "dorian": -2,
    "phrygian": -4,
    "lydian": 1,
    "mixolydian": -1,
    "aeolian": -3,
    "locrian": -5,
}

Articulation = Literal["", "staccato", "tenuto", "accent", "hammer-on", "pull-off", "ghost"]


@dataclass(frozen=True, slots=True)
class Glide:
    """How a note leaves its pitch.

    Parameters
    ----------
    kind : str
        ``"bend"`` of the string, or ``"slide"`` along it.
    points : tuple of (Fraction, float)
        Beats after the note's start, and half steps above its pitch there (negative: below);
        straight lines between them, level before the first and after the last.

    Examples
    --------
    A blue third that starts a half step low and is pushed halfway up:

    >>> push = Glide("bend", ((Fraction(0), 0.0), (Fraction(1, 2), 0.5)))
    >>> push.half_steps(0.25), push.half_steps(2)
    (0.25, 0.5)
    """

    kind: Literal["bend", "slide"]
    points: tuple[tuple[Fraction, float], ...]

    def __post_init__(self) -> None:
        beats = [at for at, _ in self.points]
        if not beats or beats[0] < 0 or beats != sorted(set(beats)):
            raise BadInput(self.kind, beats, "its points must follow one another from beat 0 on")

    def half_steps(self, beats: Fraction | float) -> float:
        """Half steps above the note's pitch, ``beats`` after its start."""
        before = self.points[0]
        for point in self.points:
            if point[0] > beats:
                share = (
                    float((beats - before[0]) / (point[0] - before[0])) if before != point else 0
                )
                return before[1] + share * (point[1] - before[1])
            before = point
        return before[1]


@dataclass(frozen=True, slots=True)
class Vibrato:
    """A pitch that swings evenly about its middle.

    Parameters
    ----------
    hz : float
        Swings a second.
    cents : float
        How far to each side.
    delay_seconds : float
        How long the note is straight before it begins.
    """

    hz: float = 5.5
    cents: float = 18.0
    delay_seconds: float = 0.25


@dataclass(frozen=True, slots=True)
class ScoreNote:
    """A note of a part.

    Parameters
    ----------
    start, beats : Fraction
        Where it is written and how long, in beats.
    midi : int or float
        Its pitch; fractions lie between the keys. On a click, the key of a wood block.
    pitch : Pitch, optional
        How it is spelled, where that is known.
    voice : str
        What sounds it; the part's own voice if empty.
    level : float
        1 is a plain note.
    articulation : str
    shift : Fraction
        How much later than ``start`` it sounds.
    sounding : Fraction, optional
        How long it sounds, where not its written length.
    glide, vibrato : optional
    string, fret, finger : int, optional
        Where it is played.
    degree : Degree, optional
        Above the chord's root, or above the tonic where there is no chord.
    role : str
        What it does there, in the words of ``analysis``.

    Examples
    --------
    >>> note = ScoreNote(Fraction(1, 2), Fraction(1, 2), 64, shift=Fraction(1, 6))
    >>> str(note.onset), str(note.end)
    ('2/3', '7/6')
    """

    start: Fraction
    beats: Fraction
    midi: float
    pitch: Pitch | None = None
    voice: str = ""
    level: float = 1.0
    articulation: Articulation = ""
    shift: Fraction = Fraction(0)
    sounding: Fraction | None = None
    glide: Glide | None = None
    vibrato: Vibrato | None = None
    string: int | None = None
    fret: int | None = None
    finger: int | None = None
    degree: Degree | None = None
    role: str = ""

    def __post_init__(self) -> None:
        if self.beats <= 0 or (self.sounding is not None and self.sounding <= 0):
            raise BadInput("note", self.beats, "a note needs a length", accepted="beats above 0")
        if not 0 <= self.midi <= 127:
            raise BadInput("midi", self.midi, "no such pitch", accepted="0 to 127")
        if not 0 <= self.level <= 2:
            raise BadInput("level", self.level, "out of range", accepted="0 to 2")

    @property
    def onset(self) -> Fraction:
        """The beat at which it is heard."""
        return self.start + self.shift

    @property
    def sounding_beats(self) -> Fraction:
        """How long it is heard."""
        return self.beats if self.sounding is None else self.sounding

    @property
    def end(self) -> Fraction:
        """The beat at which it stops."""
        return self.onset + self.sounding_beats


@dataclass(frozen=True, slots=True)
class Part:
    """What one player plays, and how loud.

    Parameters
    ----------
    name : str
        One of ``PARTS``.
    notes : tuple of ScoreNote
        In the order of their starts.
    voice : str
        What sounds the notes that name no voice.
    volume : float
        1 is the usual balance.
    muted : bool
    pan : float
        -1 is left, 1 is right.
    """

    name: str
    notes: tuple[ScoreNote, ...]
    voice: str
    volume: float = 1.0
    muted: bool = False
    pan: float = 0.0

    def __post_init__(self) -> None:
        if self.name not in PARTS:
            close = nearest(self.name, PARTS) if isinstance(self.name, str) else None
            raise BadInput("part", self.name, "unknown", accepted=", ".join(PARTS), nearest=close)
        if not 0 <= self.volume <= 4:
            raise BadInput("volume", self.volume, "out of range", accepted="0 to 4")
        if not -1 <= self.pan <= 1:
            raise BadInput("pan", self.pan, "out of range", accepted="-1 (left) to 1 (right)")

    def voice_of(self, note: ScoreNote) -> str:
        """The voice that sounds a note."""
        return note.voice or self.voice


@dataclass(frozen=True, slots=True)
class PlacedChord:
    """A chord at its place; ``chord`` is None where none sounds."""

    start: Fraction
    beats: Fraction
    chord: Chord | None
    numeral: Numeral | None = None


@dataclass(frozen=True, slots=True)
class ScoreBar:
    """A bar at its place.

    Parameters
    ----------
    start, beats : Fraction
        In the beats of the score's own meter. A bar that is shorter than its meter says is the
        end of a repeat, or the pick-up to the next one.
    chorus : int
        Counts from 1, and is 0 for the ending.
    section : str
    meter : str
        Its signature, where not the score's.
    """

    start: Fraction
    beats: Fraction
    chorus: int = 1
    section: str = ""
    meter: str = ""

    def __post_init__(self) -> None:
        if self.beats <= 0:
            raise BadInput("bar", self.beats, "a bar needs a length", accepted="beats above 0")
        if self.meter:
            read_meter(self.meter)


@dataclass(frozen=True, slots=True)
class Score:
    """What is played.

    Parameters
    ----------
    parts : tuple of Part
        No two of one name.
    chords : tuple of PlacedChord
    bars : tuple of ScoreBar
    meter : str
    tempo : float
        Beats a minute.
    feel : str
        The name of the feel that was played.
    key : Key, optional
    keys : tuple of (Fraction, Key)
        Changes of key and their beats, the first key included.
    pickup : Fraction
        Beats before the first bar line that belong to the tune.
    count_in : Fraction
        Beats that are counted before beat 0, the pick-up's among them.
    title : str
    remark : str
        What could not be played as asked, and what was played in its place.
    modes : tuple of (Fraction, str)
        From which beats on the signature is that of a mode, one of ``MODES``, on the key's
        tonic; nothing where it is the key's own.

    Examples
    --------
    >>> note = ScoreNote(Fraction(0), Fraction(2), 69)
    >>> score = Score((Part("line", (note,), "guitar"),), tempo=60)
    >>> score.seconds_at(score.end), score.with_mix(line={"volume": 0.5}).part("line").volume
    (2.0, 0.5)
    """

    parts: tuple[Part, ...]
    chords: tuple[PlacedChord, ...] = ()
    bars: tuple[ScoreBar, ...] = ()
    meter: str = "4/4"
    tempo: float = 100.0
    feel: str = ""
    key: Key | None = None
    keys: tuple[tuple[Fraction, Key], ...] = ()
    pickup: Fraction = Fraction(0)
    count_in: Fraction = Fraction(0)
    title: str = ""
    remark: str = field(default="", compare=False)
    modes: tuple[tuple[Fraction, str], ...] = ()

    def __post_init__(self) -> None:
        check_tempo(self.tempo)
        read_meter(self.meter)
        for _, mode in self.modes:
            if mode and mode not in MODES:
                accepted, close = ", ".join(MODES), nearest(mode, MODES)
                raise BadInput("mode", mode, "unknown", accepted=accepted, nearest=close)
        names = [part.name for part in self.parts]
        if len(set(names)) < len(names):
            raise BadInput("parts", " ".join(names), "two parts of one name")

    @property
    def signature(self) -> Meter:
        """The meter as players count it."""
        return read_meter(self.meter)

    @property
    def start(self) -> Fraction:
        """The beat of the first sound: 0, or before it the count-in or the pick-up."""
        onsets = [note.onset for part in self.parts for note in part.notes]
        return min([-self.count_in, -self.pickup, *onsets])

    @property
    def end(self) -> Fraction:
        """The beat at which the last bar and the last note are over."""
        ends = [note.end for part in self.parts for note in part.notes]
        return max([Fraction(0), *(bar.start + bar.beats for bar in self.bars), *ends])

    def seconds_at(self, beat: Fraction | float) -> float:
        """Seconds from the start to a beat."""
        return float((beat - self.start) * 60) / self.tempo

    @property
    def seconds(self) -> float:
        """How long it lasts."""
        return self.seconds_at(self.end)

    def part(self, name: str) -> Part:
        """A part by its name.

        Raises
        ------
        BadInput
            If the score has no such part.
        """
        for part in self.parts:
            if part.name == name:
                return part
        there = [part.name for part in self.parts]
        close = nearest(name, there) if isinstance(name, str) else None
        raise BadInput("part", name, "not in this score", accepted=", ".join(there), nearest=close)

    def with_tempo(self, tempo: float) -> Score:
        """The same at another tempo."""
        return replace(self, tempo=tempo)

    def with_part(self, part: Part) -> Score:
        """The same with a part added, or put in the place of the one of its name."""
        others = [other for other in self.parts if other.name != part.name]
        return replace(self, parts=tuple(sorted([*others, part], key=_place)))

    def with_mix(self, **settings: Mapping[str, Any]) -> Score:
        """The same with volumes, mutes and pans set, by the part's name.

        Raises
        ------
        BadInput
            If there is no such part, setting or value.
        """
        mixed = self
        for name, changes in settings.items():
            for setting in changes:
                if setting not in _SETTINGS:
                    raise BadInput(
                        "setting",
                        setting,
                        "not in the mixer",
                        accepted=", ".join(_SETTINGS),
                        nearest=nearest(setting, _SETTINGS),
                    )
            mixed = mixed.with_part(replace(self.part(name), **changes))
        return mixed

    def records(self) -> list[dict[str, object]]:
        """One plain row for each note, in the order in which they are heard."""
        rows = [
            {
                "part": part.name,
                "start": float(note.onset),
                "beats": float(note.sounding_beats),
                "midi": note.midi,
                "pitch": None if note.pitch is None else str(note.pitch),
                "voice": part.voice_of(note),
                "level": note.level,
            }
            for part in self.parts
            for note in part.notes
        ]
        return sorted(rows, key=lambda row: (row["start"], row["part"], row["midi"]))  # type: ignore[arg-type]


_SETTINGS = ("volume", "muted", "pan")


def _place(part: Part) -> int:
    return PARTS.index(part.name)


def check_tempo(tempo: object) -> None:
    """Refuse what nobody can play to.

    Raises
    ------
    BadInput
    """
    if not isinstance(tempo, (int, float)) or not (
        math.isfinite(tempo) and SLOWEST <= tempo <= FASTEST
    ):
        accepted = f"{SLOWEST} to {FASTEST} beats a minute"
        raise BadInput("tempo", tempo, "out of range", accepted=accepted)
