"""A recording of one instrument, heard as notes."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path

import numpy as np
import numpy.typing as npt

from theorykit.errors import BadInput, TuneError
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.instrument import Instrument
from theorykit.listening.attacks import attack_strength
from theorykit.listening.heard import Heard, HeardNote, Unheard
from theorykit.listening.path import (
    Stretch,
    half_steps,
    in_tune,
    likeliest,
    stretches,
    strokes,
    with_new,
)
from theorykit.listening.periods import FINE, RATE, STEP_SECONDS, Floats, Periods, find_periods
from theorykit.listening.rising import new_pitches
from theorykit.listening.sound_file import at_rate, read_sound
from theorykit.listening.tempo import beat_of, propose_tempo
from theorykit.listening.unheard import QUIET_DB, unheard_steps
from theorykit.score.score import Part, Score, ScoreBar, ScoreNote, check_tempo
from theorykit.score.signature import spelled_in
from theorykit.theory.key import Key
from theorykit.theory.meter import read_meter

__all__ = ["Heard", "HeardNote", "Unheard", "hear", "take_from_recording"]

#: From the low E of a guitar to above a mandolin's twelfth fret: what is heard where no instrument
#: is named. What can be heard at all.
_LOWEST, _HIGHEST = 40, 96
_LEAST_MIDI, _MOST_MIDI = 28, 100
#: Parts of a quarter, as MIDI files are read.
_GRID = 24
_STAND_IN_TEMPO = 100.0
#: Below this power, full scale squared, a recording is silent: -75 dB.
_SILENT = 10**-7.5
#: A note rings clearly down to so many dB below the loudest.
_LOUD_DB = 35.0
#: Two notes are known from one only so much after their stroke: the window is long.
_FOUND_LATE_SECONDS = 0.25
#: What is less sure is not told as a note (stipulated).
_LEAST_CONFIDENCE = 0.12


def hear(
    source: str | Path | bytes | npt.ArrayLike,
    *,
    sample_rate: int | None = None,
    instrument: Instrument | str | None = None,
    tempo: float | None = None,
    first_beat_seconds: float | None = None,
    tuning_hz: float | None = None,
    meter: str = "4/4",
    key: Key | str | None = None,
) -> Heard:
    """The notes of a recording of one instrument that plays alone, one note at a time.

    Needs the extra ``listen``. The file is only read.

    Parameters
    ----------
    source : str, Path, bytes or array
        A WAV, FLAC, MP3 or Ogg file of up to a quarter of an hour, what is in one, or samples.
    sample_rate : int, optional
        Of samples.
    instrument : Instrument or str, optional
        Who plays: its range keeps octaves apart.
    tempo : float, optional
        What the click was set to; proposed from the notes if not given.
    first_beat_seconds : float, optional
        Where a beat of the click lies in the recording. If it is not given the notes tell it: a
        take that is late throughout then counts as on the beat.
    tuning_hz : float, optional
        What the A above middle C sounds; told from the notes if not given.
    meter : str
    key : Key or str, optional
        In which the notes are spelled.

    Raises
    ------
    TuneError
        If the file can't be read.
    BadInput
        If anything else is out of range.

    Examples
    --------
    >>> from theorykit.audio.mix import render
    >>> from theorykit.practice.line import line_over
    >>> line = line_over("I-IV-V vamp", "G", level=1, instrument="mandolin", seed=3)
    >>> played = render(line.score, sample_rate=22050)
    >>> heard = hear(played.samples, sample_rate=22050, instrument="mandolin", tempo=100)
    >>> [note.midi for note in heard.notes] == [note.midi for note in line.notes]
    True
    """
    neck = find_instrument(instrument) if isinstance(instrument, str) else instrument
    home = Key.parse(key) if isinstance(key, str) else key
    read_meter(meter)
    if tempo is not None:
        check_tempo(tempo)
    if tuning_hz is not None and not 400 <= tuning_hz <= 480:
        raise BadInput("tuning", tuning_hz, "out of range", accepted="400 to 480 Hz")
    samples = _samples(source, sample_rate)
    title = Path(source).stem[:300] if isinstance(source, (str, Path)) else ""
    lowest, highest = _compass(neck)
    notes, cents, unheard = _heard(samples, lowest, highest, tuning_hz)
    onsets = [note.onset for note in notes]
    proposed = propose_tempo(onsets) if tempo is None else None
    used = tempo if tempo is not None else proposed.tempo if proposed else _STAND_IN_TEMPO
    if first_beat_seconds is not None:
        zero = _first_beat(first_beat_seconds, onsets, used)
    else:
        zero = beat_of(onsets, used)
    score = _score(notes, _levels(samples, notes), used, zero, meter, home, neck, title)
    seconds = len(samples) / RATE
    return Heard(score, notes, cents, unheard, round(seconds, 3), proposed, tempo is not None, zero)


def take_from_recording(
    source: str | Path | bytes,
    *,
    tempo: float | None = None,
    instrument: Instrument | str | None = None,
    meter: str = "4/4",
    key: Key | str | None = None,
) -> tuple[Score, Heard]:
    """A recording as a take to be checked, and what was heard in it.

    Raises
    ------
    TuneError
        If the file can't be read, or no note was heard in it.
    """
    heard = hear(source, tempo=tempo, instrument=instrument, meter=meter, key=key)
    if not heard.notes:
        raise TuneError(heard.summary())
    return heard.score, heard


def _samples(source: str | Path | bytes | npt.ArrayLike, sample_rate: int | None) -> Floats:
    if isinstance(source, (str, Path, bytes)):
        return read_sound(source)
    if sample_rate is None or isinstance(sample_rate, bool) or not isinstance(sample_rate, int):
        raise BadInput(
            "sample rate", sample_rate, "samples need one", accepted="samples a second, e.g. 44100"
        )
    return at_rate(source, sample_rate)


def _compass(neck: Instrument | None) -> tuple[int, int]:
    if neck is None:
        return _LOWEST, _HIGHEST
    opens = [string.open.midi for string in neck.strings]
    return max(min(opens), _LEAST_MIDI), min(max(opens) + neck.frets, _MOST_MIDI)


def _heard(
    samples: Floats, lowest: int, highest: int, tuning_hz: float | None
) -> tuple[tuple[HeardNote, ...], float, tuple[Unheard, ...]]:
    periods = find_periods(samples, lowest - 1, highest + 1)
    strength, level = attack_strength(samples)
    loudest = float(np.percentile(periods.level, 95))
    found = np.minimum(periods.chances.sum(axis=1), 1)
    cents = in_tune(periods)[0] if tuning_hz is None else float(1200 * np.log2(tuning_hz / 440))
    heard = periods.level > max(loudest * 10 ** (-QUIET_DB / 10), _SILENT)
    loud = periods.level > max(loudest * 10 ** (-_LOUD_DB / 10), _SILENT)
    struck = [step for step in strokes(strength) if heard[min(step + 2, len(heard) - 1)]]
    chances = half_steps(periods, cents, lowest, highest)
    new = new_pitches(samples, struck, lowest, highest, cents)
    chances = with_new(chances, new, struck, strength, loud)
    path = likeliest(chances, strength, heard)
    unheard: list[Unheard] = []
    if loudest > _SILENT:
        unheard = unheard_steps(samples, path, lowest, cents, periods.level, found)
    notes = [
        _note(stretch, chances, periods, lowest, cents)
        for stretch in stretches(path, strength, level, lowest)
    ]
    kept = [
        note
        for note in notes
        if note.confidence >= _LEAST_CONFIDENCE and not _hidden(note, unheard)
    ]
    told = tuple(stretch for stretch in unheard if not _dies_away(stretch, kept))
    return tuple(kept), round(cents, 1), told


def _note(
    stretch: Stretch, chances: Floats, periods: Periods, lowest: int, cents: float
) -> HeardNote:
    # Its beginning tells most: later it may be faint.
    steps = slice(
        stretch.first + 1, max(min(stretch.beyond, stretch.first + 24), stretch.first + 2)
    )
    confidence = float(np.clip(chances[steps, stretch.midi - lowest].mean(), 0, 1))
    whole = periods.chances[stretch.first : stretch.beyond].sum(axis=0)
    off = (periods.lowest + np.arange(len(whole)) / FINE - stretch.midi) * 100 - cents
    near = np.abs(off) <= 60
    weight = float(whole[near].sum())
    return HeardNote(
        round(max(stretch.start_seconds, 0.0), 4),
        round(max(stretch.beyond * STEP_SECONDS, stretch.start_seconds + STEP_SECONDS), 4),
        stretch.midi,
        round(float((whole[near] * off[near]).sum()) / weight, 1) if weight else 0.0,
        round(confidence, 3),
    )


def _hidden(note: HeardNote, unheard: Sequence[Unheard]) -> bool:
    """True where most of a note lies where several sound at once."""
    covered = 0.0
    for stretch in unheard:
        if stretch.reason == "two notes at once":
            # That they are two is found a little after their stroke.
            early = _FOUND_LATE_SECONDS if note.offset > stretch.start - STEP_SECONDS else 0.0
            start = max(note.onset, stretch.start - early)
            covered += max(min(note.offset, stretch.end) - start, 0.0)
    return covered > 0.5 * (note.offset - note.onset)


def _dies_away(stretch: Unheard, notes: Sequence[HeardNote]) -> bool:
    """True where what is too quiet to be heard is the end of a note that was."""
    return stretch.reason == "too quiet" and any(
        abs(note.offset - stretch.start) < _FOUND_LATE_SECONDS for note in notes
    )


def _first_beat(seconds: float, onsets: Sequence[float], tempo: float) -> float:
    """The given beat, moved by whole beats to just before the first note."""
    if not np.isfinite(seconds) or abs(seconds) > 3600:
        raise BadInput("first beat", seconds, "out of range", accepted="seconds")
    if not onsets:
        return seconds
    period = 60 / tempo
    return float(seconds + np.floor((onsets[0] - seconds) / period + 0.25) * period)


def _levels(samples: Floats, notes: Sequence[HeardNote]) -> list[float]:
    """How loud each note begins, 1 for the middle one."""
    peaks = []
    for note in notes:
        first = round(note.onset * RATE)
        piece = samples[first : first + RATE // 10]
        peaks.append(float(np.sqrt(np.mean(piece**2))) if len(piece) else 0.0)
    middle = float(np.median(peaks)) if peaks else 0.0
    return [min(round(peak / middle, 3), 2.0) if middle else 1.0 for peak in peaks]


def _score(
    notes: Sequence[HeardNote],
    levels: Sequence[float],
    tempo: float,
    zero: float,
    meter_name: str,
    key: Key | None,
    neck: Instrument | None,
    title: str,
) -> Score:
    """Heard notes on a grid, with how far off it they are played."""
    meter = read_meter(meter_name)
    grid = Fraction(1, _GRID) / meter.beat_quarters
    fifths = key.fifths if key is not None else 0

    def beats(seconds: float) -> Fraction:
        return Fraction(round(seconds * tempo / 60 * 10_000), 10_000)

    placed: list[ScoreNote] = []
    for note, level in zip(notes, levels, strict=True):
        heard = beats(note.onset - zero)
        start = round(heard / grid) * grid
        sounding = max(beats(note.offset - note.onset), Fraction(1, 1000))
        length = max(round(sounding / grid) * grid, grid)
        placed.append(
            ScoreNote(
                start,
                length,
                note.midi,
                spelled_in(note.midi, fifths),
                level=level,
                shift=heard - start,
                sounding=None if sounding == length else sounding,
            )
        )
    end = max((note.end for note in placed), default=Fraction(0))
    bar_beats = Fraction(meter.beats)
    bars = tuple(
        ScoreBar(number * bar_beats, bar_beats) for number in range(-int(-end // bar_beats))
    )
    voice = neck.voice if neck is not None else "guitar"
    parts = (Part("line", tuple(placed), voice),) if placed else ()
    return Score(parts, bars=bars, meter=meter.name, tempo=tempo, key=key, title=title)
