"""Loudness against the standards' own figures, and beside another meter."""

from __future__ import annotations

import math

import numpy as np
import pyloudnorm
import pytest

from theorykit.audio.loudness import gated_loudness, integrated_loudness
from theorykit.audio.mix import render
from theorykit.score.arrange import arrange

RATES = (44100, 48000)


def sine(hz: float, db: float, seconds: float, sample_rate: int) -> np.ndarray:
    t = np.arange(round(seconds * sample_rate)) / sample_rate
    return 10 ** (db / 20) * np.sin(2 * np.pi * hz * t)


def stereo(mono: np.ndarray) -> np.ndarray:
    return np.stack([mono, mono], axis=1)


@pytest.mark.parametrize("sample_rate", RATES)
def test_a_full_scale_sine_in_one_channel(sample_rate: int) -> None:
    # ITU-R BS.1770-4, annex 1: 0 dBFS at 997 Hz in one front channel reads -3.01 LKFS.
    assert integrated_loudness(sine(997, 0, 20, sample_rate), sample_rate) == pytest.approx(
        -3.01, abs=0.1
    )


@pytest.mark.parametrize("sample_rate", RATES)
@pytest.mark.parametrize("db", [-23.0, -33.0])
def test_steady_tones_of_the_broadcasters(db: float, sample_rate: int) -> None:
    # EBU Tech 3341, cases 1 and 2: stereo 1 kHz at -23 and -33 dBFS for 20 s, +-0.1 LU.
    loudness = integrated_loudness(stereo(sine(1000, db, 20, sample_rate)), sample_rate)
    assert loudness == pytest.approx(db, abs=0.1)


@pytest.mark.parametrize(
    ("sections", "expected"),
    [
        # EBU Tech 3341, cases 3 to 5: levels in dBFS and seconds (from memory), +-0.1 LU.
        (((-36, 10), (-23, 60), (-36, 10)), -23),
        (((-72, 10), (-36, 10), (-23, 60), (-36, 10), (-72, 10)), -23),
        (((-26, 20), (-20, 20.1), (-26, 20)), -23),
    ],
)
def test_soft_stretches_are_gated(
    sections: tuple[tuple[float, float], ...], expected: float
) -> None:
    sound = np.concatenate([sine(1000, db, seconds, 48000) for db, seconds in sections])
    assert integrated_loudness(stereo(sound), 48000) == pytest.approx(expected, abs=0.1)


@pytest.mark.parametrize("hz", [60, 100, 500, 2000, 10000])
def test_the_weighting_beside_another_meter(hz: float) -> None:
    sound = stereo(sine(hz, -20, 10, 48000))
    other = pyloudnorm.Meter(48000).integrated_loudness(sound)
    assert integrated_loudness(sound, 48000) == pytest.approx(other, abs=0.1)


def test_silence_and_less_than_a_block() -> None:
    assert integrated_loudness(np.zeros((48000, 2)), 48000) == -math.inf
    assert gated_loudness(np.ones(3)) == -math.inf


def test_music_beside_another_meter() -> None:
    recording = render(arrange("12-bar blues", "G", feel="bluegrass"))
    other = pyloudnorm.Meter(44100).integrated_loudness(recording.samples.astype(float))
    assert recording.loudness == pytest.approx(other, abs=0.1)
