"""Takes with noise, out of tune, on several voices: which notes are heard, by an independent measure."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from soundfonts import pluck, soundfont
from takes import Played, f_measure, line_score, noise, played, short

from theorykit.audio.mix import render
from theorykit.errors import BadInput, TuneError
from theorykit.listening.hearing import Heard, hear, take_from_recording
from theorykit.practice.line import line_over
from theorykit.review.solo import check_solo
from theorykit.score.score import Part, Score, ScoreNote

#: What is asked for: of a clean take, and of one in noise 20 dB below it.
CLEAN, NOISY = 0.95, 0.85


def heard_in(take: Played, instrument: str | None, **options: object) -> Heard:
    return hear(take.sound, sample_rate=take.rate, instrument=instrument, **options)  # type: ignore[arg-type]


# Instrument, voice, level, tempo, cents, dB above the noise, its kind.
CASES = [
    ("mandolin", "mandolin", 3, 140, 30, None, "white"),
    ("guitar", "guitar", 2, 110, -30, 20, "pink"),
    ("banjo", "banjo", 3, 120, 0, 20, "white"),
    ("fiddle", "fiddle", 1, 90, 12, None, "white"),
    ("mandolin", "organ", 2, 80, -20, 20, "white"),
]


@pytest.mark.parametrize(("instrument", "voice", "level", "tempo", "cents", "snr", "kind"), CASES)
def test_notes_are_heard(
    instrument: str,
    voice: str,
    level: int,
    tempo: float,
    cents: float,
    snr: float | None,
    kind: str,
) -> None:
    score = short(line_score(5, instrument, level=level, tempo=tempo, voice=voice), bars=6)
    take = played(score, cents=cents, snr_db=snr, kind=kind)
    heard = heard_in(take, instrument)
    assert f_measure(take, heard) >= (CLEAN if snr is None else NOISY)
    assert abs(heard.tuning_cents - cents) <= 8


def test_notes_of_a_soundfont_are_heard(tmp_path: Path) -> None:
    score = short(line_score(4, "guitar", level=3, tempo=120), bars=6)
    take = played(score, cents=-30, snr_db=20, soundfont=soundfont(tmp_path / "p.sf2", pluck()))
    heard = heard_in(take, "guitar")
    assert f_measure(take, heard) >= NOISY


def test_strokes_on_one_pitch_are_told_apart() -> None:
    notes = tuple(ScoreNote(Fraction(at, 2), Fraction(1, 2), 69) for at in range(12))
    take = played(Score((Part("line", notes, "mandolin"),), tempo=120), snr_db=20)
    heard = heard_in(take, "mandolin")
    assert [note.midi for note in heard.notes] == [69] * 12
    assert max(abs(n.onset - at / 4) for at, n in enumerate(heard.notes)) < 0.02


@pytest.mark.long
def test_many_takes_are_heard(tmp_path: Path) -> None:
    """60 takes: every voice, tempo, level, tuning and noise."""
    font = soundfont(tmp_path / "p.sf2", pluck())
    found: dict[bool, list[float]] = {True: [], False: []}
    plans = [("mandolin", "mandolin"), ("guitar", "guitar"), ("banjo", "banjo"),
             ("fiddle", "fiddle"), ("mandolin", "organ"), ("guitar", "piano")]  # fmt: skip
    for number in range(60):
        instrument, voice = plans[number % 6]
        snr = (None, 20, 20)[number // 6 % 3]
        score = line_score(
            number, instrument, level=number % 3 + 1, tempo=80 + number * 7 % 61, voice=voice
        )
        take = played(
            score,
            cents=(0, 30, -30, 15, -15)[number % 5],
            snr_db=snr,
            kind=("white", "pink")[number % 2],
            soundfont=font if number % 4 == 3 else None,
            seed=number,
        )
        found[snr is None].append(f_measure(take, heard_in(take, instrument)))
    assert np.mean(found[True]) >= CLEAN
    assert np.mean(found[False]) >= NOISY
    assert min(found[True] + found[False]) >= 0.75


@pytest.mark.parametrize("instrument", ["mandolin", "guitar"])
def test_a_recording_is_judged_as_its_line_is(instrument: str, tmp_path: Path) -> None:
    """Line, sound file, notes, review: the roles are those of the line itself."""
    line = line_over("12-bar blues", "A", level=2, instrument=instrument, seed=8, tempo=104)
    path = tmp_path / "take.flac"
    render(replace(line.score, parts=(line.score.part("line"),), chords=())).write(path)
    before = path.read_bytes()
    score, heard = take_from_recording(path, tempo=104, instrument=instrument)
    assert path.read_bytes() == before
    wanted = check_solo(line.score, "12-bar blues", "A")
    found = check_solo(score, "12-bar blues", "A")
    assert [(n.bar, n.beat, n.role, n.note.midi) for n in found.notes] == [
        (n.bar, n.beat, n.role, n.note.midi) for n in wanted.notes
    ]
    assert found.offset == wanted.offset
    assert found.timing is not None
    assert abs(found.timing.mean) < 5
    assert found.timing.deviation < 6
    assert heard.tempo_confidence == 1


def test_the_tempo_is_proposed() -> None:
    score = line_score(11, "banjo", level=2, tempo=116)
    heard = heard_in(played(score, snr_db=30), "banjo")
    assert heard.proposed is not None
    # Half and double are the same beat (common practice).
    assert min(abs(heard.tempo * factor - 116) for factor in (0.5, 1, 2)) < 1.2


def test_a_given_beat_keeps_a_late_take_late() -> None:
    """The click lies at every half second; all is played 40 ms after it."""
    notes = tuple(
        ScoreNote(Fraction(at), Fraction(1), 67 + at % 3, shift=Fraction(8, 100)) for at in range(8)
    )
    take = played(Score((Part("line", notes, "mandolin"),), tempo=120))
    heard = heard_in(take, "mandolin", tempo=120, first_beat_seconds=0.0)
    onsets = [float(note.onset) for note in heard.score.part("line").notes]
    assert np.allclose(onsets, np.arange(8) + 0.08, atol=0.024)


def tones(pairs: list[tuple[float, float, tuple[int, ...]]], seconds: float) -> np.ndarray:
    """Plucked-like tones at 22050 Hz: start, length, keys."""
    sound = np.zeros(round(seconds * 22050))
    for start, length, keys in pairs:
        time = np.arange(round(length * 22050)) / 22050
        for midi in keys:
            hz = 440 * 2 ** ((midi - 69) / 12)
            wave = sum(np.sin(2 * np.pi * hz * k * time) / k for k in range(1, 9))
            first = round(start * 22050)
            sound[first : first + len(time)] += 0.1 * wave * np.exp(-2 * time)
    return sound


def test_what_cannot_be_heard_is_told() -> None:
    """A note, a chord of three, a burst of noise, a note."""
    sound = tones([(0.2, 1, (64,)), (1.5, 1.2, (60, 64, 67)), (4.5, 1, (67,))], 6)
    sound += 1e-5 * noise("white", len(sound), 2)
    burst = slice(round(3.2 * 22050), 4 * 22050)
    sound[burst] += 0.1 * noise("white", burst.stop - burst.start, 1)
    heard = hear(sound, sample_rate=22050, instrument="guitar")
    reasons = {stretch.reason: stretch for stretch in heard.unheard}
    assert {"noise", "two notes at once"} <= set(reasons)
    assert 1.3 < reasons["two notes at once"].start < 1.9
    assert 3.0 < reasons["noise"].start < 3.5
    assert [(round(note.onset, 1), note.midi) for note in heard.notes] == [(0.2, 64), (4.5, 67)]
    assert "noise" in heard.summary()


def test_a_fifth_is_no_note_far_below() -> None:
    """A and the E above it repeat like the A an octave lower."""
    sound = tones([(0.2, 1.5, (57, 64)), (2, 1, (64,))], 3.2)
    heard = hear(sound, sample_rate=22050, instrument="guitar")
    assert [note.midi for note in heard.notes] == [64]
    assert [stretch.reason for stretch in heard.unheard] == ["two notes at once"]


def test_nothing_is_heard_in_silence_and_noise() -> None:
    assert hear(np.zeros(44100), sample_rate=22050).notes == ()
    heard = hear(0.1 * noise("pink", 3 * 22050, 4), sample_rate=22050, instrument="mandolin")
    assert heard.notes == ()
    assert [stretch.reason for stretch in heard.unheard] == ["noise"]


def test_notes_are_spelled_in_the_key() -> None:
    sound = tones([(0.1, 0.8, (66,)), (1.0, 0.8, (70,))], 2)
    named = {
        key: [str(n.pitch) for n in hear(sound, sample_rate=22050, key=key).score.parts[0].notes]
        for key in ("D", "Gb")
    }
    # F sharp is D's third; G flat and B flat are Gb's first and third (any handbook).
    assert named["D"][0] == "F#4"
    assert named["Gb"] == ["Gb4", "Bb4"]


@pytest.mark.parametrize(
    "options",
    [
        {"tempo": 5},
        {"tuning_hz": 300},
        {"instrument": "kazoo"},
        {"first_beat_seconds": float("nan"), "tempo": 100},
        {"meter": "5/0"},
        {"sample_rate": 3},
        {"sample_rate": None},
    ],
)
def test_wrong_input_is_told(options: dict[str, object]) -> None:
    with pytest.raises(BadInput):
        hear(np.zeros(44100), **{"sample_rate": 22050, **options})  # type: ignore[arg-type]


def test_a_take_without_notes_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "silence.wav"
    render(Score((), tempo=60, count_in=Fraction(2)), loudness=None).write(path)
    with pytest.raises(TuneError, match="No notes were heard"):
        take_from_recording(path)
