"""MIDI files of a score: one track a part, with tempo, meter, key, sections and chords."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import mido

from theorykit.errors import BadInput, nearest
from theorykit.files import whole_file
from theorykit.score.score import Part, Score, ScoreNote

#: Ticks to a quarter: enough for triplets, swing and a strum.
TICKS = 960

#: General MIDI programs by voice, counted from 0 (GM level 1). There is none for a mandolin; a
#: steel guitar is the nearest of the plucked ones.
PROGRAMS: dict[str, int] = {
    "guitar": 25,
    "mandolin": 25,
    "banjo": 105,
    "bass": 32,
    "piano": 0,
    "fiddle": 110,
    "organ": 20,
}

#: Voices that are drums, and the key of each where its notes do not say it (GM level 1: 76 and 77
#: are the wood blocks, 38 the snare).
DRUMS: dict[str, int | None] = {"woodblock": None, "brush": 38}

DRUM_CHANNEL = 9

_VELOCITY = 84
_BEND_HALF_STEPS = 2
_BEND_RANGE = 8191
_BEND_TICKS = 40


@dataclass(frozen=True, slots=True)
class _Timed:
    """A message at its tick; of those at one tick, ends come before beginnings."""

    tick: int
    order: int
    message: mido.Message | mido.MetaMessage


def midi_file(score: Score) -> mido.MidiFile:
    """The score as a MIDI file of type 1; parts that are muted stay out.

    Notes are where they are heard, swing and all. A pitch between keys is the nearest one, bent.

    Raises
    ------
    BadInput
        If a voice has no program.

    Examples
    --------
    >>> from theorykit.score.arrange import arrange
    >>> file = midi_file(arrange("12-bar blues", "A", feel="shuffle", count_in=1))
    >>> [track.name for track in file.tracks]
    ['12-bar blues', 'bass', 'comp', 'click']
    """
    file = mido.MidiFile(type=1, ticks_per_beat=TICKS)
    file.tracks.append(_conductor(score))
    channels = iter(channel for channel in range(16) if channel != DRUM_CHANNEL)
    for part in score.parts:
        if part.muted:
            continue
        by_voice: dict[str, list[ScoreNote]] = {}
        for note in part.notes:
            by_voice.setdefault(part.voice_of(note), []).append(note)
        for voice, notes in by_voice.items():
            channel = DRUM_CHANNEL if voice in DRUMS else next(channels)
            file.tracks.append(_track(score, part, voice, notes, channel))
    return file


def write_midi(score: Score, path: str | Path) -> None:
    """Write a score as a MIDI file, whole or not at all.

    Raises
    ------
    BadInput
        If a voice has no program, or the file can't be written.
    """
    file = midi_file(score)
    with whole_file(Path(path)) as target:
        file.save(file=target)


def _tick(score: Score, beat: Fraction) -> int:
    return round((beat - score.start) * score.signature.beat_quarters * TICKS)


def _conductor(score: Score) -> mido.MidiTrack:
    numerator, denominator = map(int, score.meter.split("/"))
    meter = score.signature
    quarters_a_minute = score.tempo * float(meter.beat_quarters)
    timed = [
        _Timed(0, 0, mido.MetaMessage("track_name", name=_latin(score.title))),
        _Timed(0, 1, mido.MetaMessage("set_tempo", tempo=mido.bpm2tempo(quarters_a_minute))),
        _Timed(
            0,
            2,
            mido.MetaMessage(
                "time_signature",
                numerator=numerator,
                denominator=denominator,
                clocks_per_click=round(24 * meter.beat_quarters),
            ),
        ),
    ]
    for beat, key in score.keys:
        # The first key holds for the count-in and the pick-up too.
        tick = _tick(score, beat) if beat else 0
        name = f"{key.tonic}{'m' if key.mode == 'minor' else ''}"
        if abs(key.fifths) <= 7:
            timed.append(_Timed(tick, 3, mido.MetaMessage("key_signature", key=name)))
    for bar in score.bars:
        if bar.section:
            marker = mido.MetaMessage("marker", text=_latin(bar.section))
            timed.append(_Timed(_tick(score, bar.start), 4, marker))
    for placed in score.chords:
        text = str(placed.chord) if placed.chord is not None else "N.C."
        timed.append(_Timed(_tick(score, placed.start), 5, mido.MetaMessage("text", text=text)))
    return _written(timed, _tick(score, score.end))


def _track(
    score: Score, part: Part, voice: str, notes: list[ScoreNote], channel: int
) -> mido.MidiTrack:
    timed = [_Timed(0, 0, mido.MetaMessage("track_name", name=part.name))]
    drum = voice in DRUMS
    if not drum:
        if voice not in PROGRAMS:
            raise BadInput(
                "voice",
                voice,
                "has no MIDI program",
                accepted=", ".join([*PROGRAMS, *DRUMS]),
                nearest=nearest(voice, PROGRAMS),
            )
        program = mido.Message("program_change", channel=channel, program=PROGRAMS[voice])
        timed.append(_Timed(0, 1, program))
    for control, value in (
        (7, min(127, round(100 * part.volume))),
        (10, max(0, min(127, round(64 + 63 * part.pan)))),
    ):
        change = mido.Message("control_change", channel=channel, control=control, value=value)
        timed.append(_Timed(0, 2, change))
    for note in notes:
        timed += _note(score, note, channel, DRUMS.get(voice), drum=drum)
    return _written(timed, 0)


def _note(
    score: Score, note: ScoreNote, channel: int, drum_key: int | None, *, drum: bool
) -> list[_Timed]:
    key = round(note.midi) if drum_key is None else drum_key
    first, last = _tick(score, note.onset), _tick(score, note.end)
    last = max(last, first + 1)
    velocity = max(1, min(127, round(_VELOCITY * note.level**0.5)))
    on = mido.Message("note_on", channel=channel, note=key, velocity=velocity)
    off = mido.Message("note_off", channel=channel, note=key)
    found = [_Timed(first, 4, on), _Timed(last, 2, off)]
    if not drum:
        found += _bends(score, note, key, channel, first, last)
    return found


def _bends(
    score: Score, note: ScoreNote, key: int, channel: int, first: int, last: int
) -> list[_Timed]:
    """The pitch wheel along a note's curve, and back to its middle at the end."""
    off_key = note.midi - key
    if note.glide is None and not off_key:
        return []
    found: list[_Timed] = []
    told: int | None = None
    quarters = score.signature.beat_quarters
    for tick in range(first, last, _BEND_TICKS):
        after = Fraction(tick - first, TICKS) / quarters
        half_steps = off_key + (note.glide.half_steps(after) if note.glide is not None else 0)
        wheel = round(half_steps / _BEND_HALF_STEPS * _BEND_RANGE)
        wheel = max(-_BEND_RANGE, min(wheel, _BEND_RANGE))
        if wheel != told:
            message = mido.Message("pitchwheel", channel=channel, pitch=wheel)
            found.append(_Timed(tick, 3, message))
            told = wheel
    return [*found, _Timed(last, 2, mido.Message("pitchwheel", channel=channel, pitch=0))]


def _written(timed: list[_Timed], end: int) -> mido.MidiTrack:
    track = mido.MidiTrack()
    last = 0
    for item in sorted(timed, key=lambda item: (item.tick, item.order)):
        track.append(item.message.copy(time=item.tick - last))
        last = item.tick
    track.append(mido.MetaMessage("end_of_track", time=max(0, end - last)))
    return track


def _latin(text: str) -> str:
    """A text as the files have it, whose texts are in Latin-1."""
    plain = text.replace("♭", "b").replace("♯", "#")
    return plain.encode("latin-1", "replace").decode("latin-1")
