"""Reading MIDI files: notes on a grid, with how far off it they are played."""

from __future__ import annotations

import io
import re
from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass, field
from fractions import Fraction

import mido

from theorykit.errors import BadInput, TuneError
from theorykit.notation.tune import MOST_BARS, MOST_NOTES, MOST_TITLE
from theorykit.score.midi import DRUM_CHANNEL, PROGRAMS
from theorykit.score.score import (
    FASTEST,
    PARTS,
    SLOWEST,
    Part,
    PlacedChord,
    Score,
    ScoreBar,
    ScoreNote,
)
from theorykit.score.signature import spelled_in
from theorykit.theory.chord import Chord
from theorykit.theory.key import Key
from theorykit.theory.meter import Meter, read_meter

#: A MIDI file larger than this holds no tune.
MOST_MIDI_BYTES = 600_000

#: Parts of a quarter: 32nds and the triplets of sixteenths are on it.
GRID = 24

# Bytes above 127 in a row: no text of a tune is so long, and no number, which goes on as long as
# they do.
_ENDLESS = re.compile(rb"[\x80-\xff]{4096}")

_VOICES = {program: voice for voice, program in reversed(PROGRAMS.items())}
_DEFAULT_QUARTER_MICROSECONDS = 500_000


@dataclass(slots=True)
class _Track:
    """What a track plays."""

    name: str = ""
    program: int | None = None
    drums: bool = False
    #: Ticks of start and end, and the key.
    notes: list[tuple[int, int, int, int]] = field(default_factory=list)


@dataclass(slots=True)
class _Conductor:
    """What the file says of the whole: each with its tick."""

    title: str = ""
    tempo: int | None = None
    meters: dict[int, str] = field(default_factory=dict)
    keys: dict[int, Key] = field(default_factory=dict)
    sections: dict[int, str] = field(default_factory=dict)
    chords: dict[int, Chord | None] = field(default_factory=dict)


def read_midi(
    data: bytes, *, grid: int = GRID, pickup: Fraction | int = 0, count_in: Fraction | int = 0
) -> Score:
    """A MIDI file as a score.

    Tracks that are named as the parts of a score are those parts; of any other file the first
    track with notes is the ``line``. A note is written at the nearest place of the grid, and its
    ``shift`` and ``sounding`` hold how it is played. Pitch bends, pedals and all tempos but the
    first are left out.

    Parameters
    ----------
    data : bytes
    grid : int
        Parts of a quarter.
    pickup, count_in : Fraction
        How many beats come before the first bar line; a file does not say.

    Raises
    ------
    TuneError
        If it is no MIDI file, or one that can't be read as a tune.

    Examples
    --------
    >>> from theorykit.score.midi import midi_file
    >>> score = Score((Part("line", (ScoreNote(Fraction(0), Fraction(1), 69),), "guitar"),))
    >>> file = io.BytesIO()
    >>> midi_file(score).save(file=file)
    >>> [str(note.pitch) for note in read_midi(file.getvalue()).part("line").notes]
    ['A4']
    """
    if not 1 <= grid <= 960:
        raise BadInput("grid", grid, "not a grid", accepted="1 to 960 parts of a quarter")
    file = _opened(data)
    told, tracks = _events(file)
    ticks = file.ticks_per_beat
    try:
        meter = read_meter(told.meters.get(min(told.meters, default=0), "4/4"))
    except BadInput as error:
        raise TuneError(str(error)) from None
    zero = max(Fraction(count_in), Fraction(pickup))
    keys = {max(Fraction(0), _near(tick, ticks, grid, meter) - zero): key
            for tick, key in sorted(told.keys.items())}  # fmt: skip
    home = keys.get(min(keys, default=Fraction(0)))
    reading = _Reading(meter, ticks, grid, zero, home.fifths if home is not None else 0)
    parts = [
        Part(name, tuple(reading.notes(track)), _voice(track)) for name, track in _chosen(tracks)
    ]
    last = max((note.start + note.beats for part in parts for note in part.notes), default=zero)
    if last * meter.beat_quarters > 4 * MOST_BARS:
        raise TuneError(f"more than {MOST_BARS} bars")
    bars = tuple(_bars(told, reading, last))
    end = bars[-1].start + bars[-1].beats if bars else last
    microseconds = told.tempo or _DEFAULT_QUARTER_MICROSECONDS
    tempo = 60_000_000 / microseconds / float(meter.beat_quarters)
    return Score(
        tuple(sorted(parts, key=lambda part: PARTS.index(part.name))),
        chords=tuple(_chords(told, reading, end)),
        bars=bars,
        meter=meter.name,
        tempo=min(max(round(tempo, 3), SLOWEST), FASTEST),
        key=home,
        keys=tuple(sorted(keys.items(), key=lambda change: change[0])),
        pickup=Fraction(pickup),
        count_in=Fraction(count_in),
        title=told.title[:MOST_TITLE],
    )


def _opened(data: bytes) -> mido.MidiFile:
    if len(data) > MOST_MIDI_BYTES:
        raise TuneError(f"more than {MOST_MIDI_BYTES // 1000} kB")
    if not data.startswith(b"MThd"):
        raise TuneError("is not a MIDI file")
    # Bit 15 of the division says frames a second, which count no beats (Standard MIDI Files 1.0).
    if len(data) >= 14 and data[12] & 0x80:
        raise TuneError("counts frames, not beats")
    if _ENDLESS.search(data):
        raise TuneError("is not a whole MIDI file (a number without end)")
    try:
        file = mido.MidiFile(file=io.BytesIO(data), clip=True)
    except Exception as error:  # its parser raises whatever a byte out of place leads to
        raise TuneError(f"is not a whole MIDI file ({type(error).__name__})") from None
    if file.type not in {0, 1} or file.ticks_per_beat <= 0:
        raise TuneError("is not a MIDI file of one tune")
    return file


def _events(file: mido.MidiFile) -> tuple[_Conductor, list[_Track]]:
    told = _Conductor()
    tracks: list[_Track] = []
    count = 0
    for index, events in enumerate(file.tracks):
        # A file of type 0 has all channels in one track.
        by_channel: dict[int, _Track] = {}
        sounding: dict[tuple[int, int], deque[tuple[int, int]]] = {}
        now, name = 0, ""
        for event in events:
            now += event.time
            if event.is_meta:
                if event.type == "track_name":
                    name = name or event.name
                _conduct(event, now, told, first=index == 0)
                continue
            if not hasattr(event, "channel"):
                continue
            track = by_channel.setdefault(
                event.channel, _Track(drums=event.channel == DRUM_CHANNEL)
            )
            if event.type == "program_change" and track.program is None:
                track.program = event.program
            elif event.type == "note_on" and event.velocity:
                sounding.setdefault((event.channel, event.note), deque()).append(
                    (now, event.velocity)
                )
            elif event.type in ("note_on", "note_off"):
                begun = sounding.get((event.channel, event.note))
                if begun:
                    start, velocity = begun.popleft()
                    track.notes.append((start, now, event.note, velocity))
                    count += 1
                    if count > MOST_NOTES:
                        raise TuneError(f"more than {MOST_NOTES} notes")
        for track in by_channel.values():
            track.name = name
            if track.notes:
                tracks.append(track)
    return told, tracks


def _conduct(event: mido.MetaMessage, now: int, told: _Conductor, *, first: bool) -> None:
    if event.type == "track_name" and first:
        told.title = " ".join(event.name.split())
    elif event.type == "set_tempo" and told.tempo is None and event.tempo:
        told.tempo = event.tempo
    elif event.type == "time_signature":
        told.meters[now] = f"{event.numerator}/{event.denominator}"
    elif event.type == "key_signature":
        told.keys[now] = Key.parse(event.key)
    elif event.type == "marker":
        told.sections[now] = " ".join(event.text.split())[:40]
    elif event.type == "text" and event.text == "N.C.":
        told.chords[now] = None
    elif event.type == "text":
        try:
            told.chords[now] = Chord.parse(event.text)
        except BadInput:
            return


def _chosen(tracks: list[_Track]) -> Iterable[tuple[str, _Track]]:
    """The tracks to read, with the part that each is."""
    named: dict[str, _Track] = {}
    for track in tracks:
        if track.name in PARTS:
            named.setdefault(track.name, track).notes.extend(
                [] if named[track.name] is track else track.notes
            )
    if named:
        return named.items()
    melodic = [track for track in tracks if not track.drums]
    if not melodic:
        raise TuneError("has no notes")
    return [("line", melodic[0])]


def _voice(track: _Track) -> str:
    if track.drums:
        return "woodblock"
    return _VOICES.get(track.program or 0, "guitar")


def _near(tick: int, ticks: int, grid: int, meter: Meter) -> Fraction:
    """The beat of the nearest place on the grid."""
    return Fraction(round(Fraction(tick * grid, ticks)), grid) / meter.beat_quarters


@dataclass(frozen=True, slots=True)
class _Reading:
    """From ticks to beats."""

    meter: Meter
    ticks: int
    grid: int
    zero: Fraction
    fifths: int

    def near(self, tick: int) -> Fraction:
        return _near(tick, self.ticks, self.grid, self.meter) - self.zero

    def exact(self, tick: int) -> Fraction:
        return Fraction(tick, self.ticks) / self.meter.beat_quarters - self.zero

    def notes(self, track: _Track) -> list[ScoreNote]:
        found: list[ScoreNote] = []
        least = Fraction(1, self.grid) / self.meter.beat_quarters
        for first, last, key, velocity in track.notes:
            start, heard = self.near(first), self.exact(first)
            beats = max(self.near(last) - start, least)
            sounding = max(self.exact(last) - heard, Fraction(1, self.ticks))
            found.append(
                ScoreNote(
                    start,
                    beats,
                    key,
                    None if track.drums else spelled_in(key, self.fifths),
                    level=min(round((velocity / 84) ** 2, 3), 2.0),
                    shift=heard - start,
                    sounding=None if sounding == beats else sounding,
                )
            )
        return sorted(found, key=lambda note: (note.start, note.midi))


def _chords(told: _Conductor, reading: _Reading, end: Fraction) -> Iterable[PlacedChord]:
    placed = {reading.near(tick): chord for tick, chord in told.chords.items()}
    beats = sorted(placed)
    for at, start in enumerate(beats):
        until = beats[at + 1] if at + 1 < len(beats) else max(end, start + 1)
        yield PlacedChord(start, until - start, placed[start])


def _bars(told: _Conductor, reading: _Reading, last: Fraction) -> Iterable[ScoreBar]:
    """Full bars to the end, each in the meter that holds."""
    changes = sorted(
        {reading.near(tick): name for tick, name in sorted(told.meters.items())}.items()
    )
    sections = {reading.near(tick): name for tick, name in sorted(told.sections.items())}
    quarter = 1 / reading.meter.beat_quarters
    at, name, section = Fraction(0), reading.meter.name, ""
    following = count = 0
    while at < last:
        while following < len(changes) and changes[following][0] <= at:
            name = changes[following][1]
            following += 1
        section = sections.get(at, section)
        meter = read_meter(name)
        length = meter.beats * meter.beat_quarters * quarter
        count += 1
        if count > MOST_BARS:
            raise TuneError(f"more than {MOST_BARS} bars")
        own = "" if name == reading.meter.name else name
        yield ScoreBar(at, length, section=section, meter=own)
        at += length
