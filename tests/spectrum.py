"""Measures of sound that the tests share."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Samples = npt.NDArray[np.float64]


def equal_tempered_hz(midi: float) -> float:
    """A4 = 440 Hz (ISO 16:1975), equal temperament: f = 440 * 2^((n - 69) / 12)."""
    return float(440.0 * 2.0 ** ((midi - 69) / 12))


def fundamental_hz(samples: Samples, near_hz: float, sample_rate: int) -> float:
    """Peak of the spectrum within a semitone of `near_hz`.

    Kaiser window, zero-padded eightfold, parabola through the logarithms of the three highest bins
    (Smith & Serra 1987, from memory). The first 50 ms, where the pluck is, are left out.
    """
    body = samples[int(0.05 * sample_rate) :]
    size = 1 << int(np.ceil(np.log2(len(body) * 8)))
    spectrum = np.abs(np.fft.rfft(body * np.kaiser(len(body), 9), size))
    low = int(near_hz * 2 ** (-1 / 12) * size / sample_rate)
    high = int(near_hz * 2 ** (1 / 12) * size / sample_rate) + 1
    peak = low + int(np.argmax(spectrum[low:high]))
    left, middle, right = np.log(spectrum[peak - 1 : peak + 2])
    return float((peak + 0.5 * (left - right) / (left - 2 * middle + right)) * sample_rate / size)


def cents(samples: Samples, midi: float, sample_rate: int) -> float:
    """How far a note's fundamental lies above equal temperament."""
    wanted = equal_tempered_hz(midi)
    return float(1200 * np.log2(fundamental_hz(samples, wanted, sample_rate) / wanted))


def centroid_hz(samples: Samples, sample_rate: int) -> float:
    """The mean frequency of the spectrum, weighted by power."""
    power = np.abs(np.fft.rfft(samples)) ** 2
    return float(np.sum(power * np.fft.rfftfreq(len(samples), 1 / sample_rate)) / np.sum(power))


def level_db(samples: Samples) -> float:
    """RMS in dB of full scale."""
    return float(10 * np.log10(np.mean(samples**2)))
