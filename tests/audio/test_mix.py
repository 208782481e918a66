"""Whole scores: every onset at its sample, parts that mix as they should, a calm level."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pyloudnorm
import pytest
from spectrum import Samples, cents, level_db

from theorykit.audio.mix import clear_notes, render, stems
from theorykit.errors import BadInput
from theorykit.score.arrange import arrange
from theorykit.score.feel import FALLBACKS, FEELS
from theorykit.score.score import Glide, Part, Score, ScoreNote, Vibrato
from theorykit.theory.meter import METERS
from theorykit.theory.progression import Progression


def onsets(samples: Samples, *, quiet_frames: int, threshold: float = 1e-3) -> list[int]:
    """Samples above the threshold that follow at least `quiet_frames` below it."""
    loud = np.flatnonzero(np.abs(samples) > threshold)
    before = np.concatenate(([-quiet_frames - 1], loud[:-1]))
    return [int(frame) for frame in loud[loud - before > quiet_frames]]


def line(notes: list[ScoreNote], *, voice: str = "guitar", **more: object) -> Score:
    return Score((Part("line", tuple(notes), voice),), **more)  # type: ignore[arg-type]


@pytest.mark.parametrize("sample_rate", [44100, 48000])
@pytest.mark.parametrize("tempo", [61, 96, 137.5])
def test_onsets_are_where_the_beats_are_over_twenty_choruses(
    tempo: float, sample_rate: int
) -> None:
    beats = [Fraction(48 * chorus + offset) for chorus in range(20) for offset in (0, 7, 24, 41)]
    notes = [ScoreNote(beat, Fraction(1, 4), 64) for beat in beats]
    samples = render(line(notes, tempo=tempo), sample_rate=sample_rate).samples[:, 0]
    expected = [float(beat) * 60 / tempo * sample_rate for beat in beats]
    found = onsets(samples, quiet_frames=int(0.2 * sample_rate))
    assert len(found) == len(expected)
    assert np.max(np.abs(np.array(found) - np.array(expected))) <= 1


def test_each_beat_of_the_click_is_exact_over_twenty_choruses() -> None:
    score = arrange(
        "12-bar blues", "A", choruses=20, tempo=143, click=True, count_in=2, ending=False
    )
    alone = score.with_mix(bass={"muted": True}, comp={"muted": True})
    samples = render(alone).samples[:, 0]
    found = onsets(samples, quiet_frames=8000)
    expected = np.arange(8 + 20 * 48) * 60 / 143 * 44100
    assert len(found) == len(expected)
    assert np.max(np.abs(np.array(found) - expected)) <= 1


@pytest.mark.parametrize("meter", METERS)
@pytest.mark.parametrize("feel", FEELS)
def test_every_feel_is_calm_and_leaves_headroom(feel: str, meter: str) -> None:
    if meter not in FEELS[feel].patterns and FALLBACKS[meter] != feel:
        feel = FALLBACKS[meter]
    chart = Progression.parse(f"{meter} | I | IV | I | V7 | ii7 | V7 | I | I |")
    score = arrange(chart, "D", feel=feel, tempo=90, count_in=1, drone=meter == "4/4")
    recording = render(score)
    meter_says = pyloudnorm.Meter(44100).integrated_loudness(recording.samples.astype(float))
    assert meter_says == pytest.approx(-18, abs=2)
    assert recording.peak_db <= -1


@pytest.mark.parametrize(
    "voice", ["guitar", "mandolin", "banjo", "bass", "piano", "fiddle", "organ"]
)
def test_a_line_alone_is_calm_too(voice: str) -> None:
    low = 28 if voice == "bass" else 55
    notes = [ScoreNote(Fraction(beat), Fraction(1), low + 2 * (beat % 7)) for beat in range(32)]
    recording = render(line(notes, voice=voice, tempo=110))
    assert pyloudnorm.Meter(44100).integrated_loudness(
        recording.samples.astype(float)
    ) == pytest.approx(-18, abs=2)
    assert recording.peak_db <= -1


def test_the_ceiling_holds_for_a_dense_mix() -> None:
    crowd = tuple(
        ScoreNote(Fraction(0), Fraction(4), midi, level=2) for midi in (40, 47, 52, 55, 59, 64, 67)
    )
    parts = tuple(
        Part(name, crowd, voice, volume=4) for name, voice in (("bass", "bass"), ("comp", "banjo"))
    )
    recording = render(Score(parts), loudness=None)
    assert recording.peak_db <= -1


def test_the_sum_of_the_stems_is_the_mix() -> None:
    score = arrange("12-bar blues", "A", tempo=130, drone=True, click=True).with_mix(
        bass={"pan": -0.4}, comp={"pan": 0.6, "volume": 0.8}, click={"muted": True}
    )
    mixed = render(score, loudness=-30)
    apart = stems(score, loudness=-30)
    assert list(apart) == ["bass", "comp", "click", "drone"]
    total = sum(apart[name].samples for name in ("bass", "comp", "drone"))
    assert np.allclose(total, mixed.samples, atol=1e-5)
    assert np.max(np.abs(apart["click"].samples)) > 0.01


def test_mute_volume_and_pan_do_what_they_say() -> None:
    score = arrange("I-V-vi-IV", "C", ending=False)
    score = score.with_mix(comp={"muted": True}, bass={"volume": 0.5})
    plain = render(score, loudness=None).samples
    half = render(score.with_mix(bass={"volume": 0.25}), loudness=None).samples
    assert np.allclose(half, plain / 2, atol=1e-6)
    left = render(score.with_mix(bass={"pan": -1}), loudness=None).samples
    assert np.max(np.abs(left[:, 1])) < 1e-6
    # Equal power: what one side loses the other gains.
    assert level_db(left.reshape(-1)) == pytest.approx(level_db(plain.reshape(-1)), abs=0.1)
    silent = render(score.with_mix(bass={"muted": True}))
    assert np.max(np.abs(silent.samples)) == 0


def test_a_change_of_tempo_moves_the_onsets_and_not_the_pitch() -> None:
    notes = [ScoreNote(Fraction(beat), Fraction(1), 64) for beat in range(4)]
    clear_notes()
    for tempo in (60, 75):
        samples = render(line(notes, tempo=tempo)).samples[:, 0].astype(float)
        found = onsets(np.diff(samples), quiet_frames=1, threshold=0.15)
        assert any(abs(frame - 60 / tempo * 44100) < 2 for frame in found)
        assert abs(cents(samples[:40000], 64, 44100)) < 0.5


def test_a_note_ends_within_its_release() -> None:
    samples = render(line([ScoreNote(Fraction(0), Fraction(1), 40)], tempo=60)).samples[:, 0]
    last = int(np.flatnonzero(np.abs(samples) > 1e-5)[-1])
    assert 44100 < last <= 44100 * 1.041
    # No click at its end: the last steps are no larger than those of the note itself.
    assert np.max(np.abs(np.diff(samples[43000:]))) <= np.max(np.abs(np.diff(samples[38000:43000])))


def test_a_blue_third_lies_where_it_is_bent_to() -> None:
    bend = Glide("bend", ((Fraction(0), 0.0), (Fraction(1), 0.5)))
    note = ScoreNote(Fraction(0), Fraction(4), 60, glide=bend)
    samples = render(line([note], tempo=60)).samples[:, 0].astype(float)
    assert abs(cents(samples[66150 : 66150 + 66150], 60.5, 44100)) < 0.5


def test_a_slide_starts_on_its_first_pitch_and_arrives() -> None:
    slide = Glide("slide", ((Fraction(1), 0.0), (Fraction(2), 2.0)))
    note = ScoreNote(Fraction(0), Fraction(4), 55, glide=slide)
    samples = render(line([note], tempo=60)).samples[:, 0].astype(float)
    assert abs(cents(samples[:44000], 55, 44100)) < 0.5
    assert abs(cents(samples[88200 : 88200 + 70000], 57, 44100)) < 0.5


def test_vibrato_swings_about_the_pitch_and_can_be_still() -> None:
    held = ScoreNote(Fraction(0), Fraction(4), 69)
    swung = render(line([held], voice="fiddle", tempo=60)).samples[:, 0].astype(float)
    still = replace(held, vibrato=Vibrato(cents=0))
    plain = render(line([still], voice="fiddle", tempo=60)).samples[:, 0].astype(float)
    assert abs(cents(plain, 69, 44100)) < 0.1
    assert not np.allclose(swung, plain, atol=0.01)
    # The swings take time from the carrier: its line is lower, and the mean is still the pitch.
    t = np.arange(len(swung)) / 44100
    carrier = [abs(np.mean(s * np.exp(-2j * np.pi * 440 * t))) for s in (swung, plain)]
    assert carrier[0] < 0.95 * carrier[1]


@pytest.mark.parametrize(
    ("score", "options", "words"),
    [
        (line([ScoreNote(Fraction(0), Fraction(1), 60)], voice="kazoo"), {}, "voice 'kazoo'"),
        (line([ScoreNote(Fraction(0), Fraction(1), 120)]), {}, "16 to 112"),
        (Score(()), {"sample_rate": 1000}, "sample rate '1000'"),
    ],
)
def test_what_cannot_be_played_is_said(score: Score, options: dict[str, int], words: str) -> None:
    with pytest.raises(BadInput) as raised:
        render(score, **options)
    assert words in str(raised.value)


def test_an_empty_score_is_a_moment_of_silence() -> None:
    assert np.max(np.abs(render(Score(())).samples)) == 0
