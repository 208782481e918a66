"""Bowed strings and reeds: a period of the tone as a table, read at the pitch."""

from __future__ import annotations

import math

import numpy as np

from theorykit.audio.modes import Samples
from theorykit.audio.string import NOTE_RMS, body_gain, detuned_hz, faded
from theorykit.audio.voices import ToneVoice

#: Samples in a period of the table.
TABLE_SIZE = 2048


def tone_samples(hz: float, seconds: float, sample_rate: int, voice: ToneVoice) -> Samples:
    """A tone that swells in the voice's attack and then holds, at the RMS of all notes.

    Parameters
    ----------
    hz : float
        20 Hz to a fifth of the sample rate.
    seconds : float
    sample_rate : int
    voice : ToneVoice

    Examples
    --------
    >>> from theorykit.audio.voices import VOICES
    >>> samples = tone_samples(440.0, 0.5, 44100, VOICES["fiddle"])
    >>> round(float(np.sqrt(np.mean(samples[8820:17640] ** 2))), 3)
    0.125
    """
    count = max(1, round(seconds * sample_rate))
    table = _table(hz, sample_rate, voice)
    # The table once more at its end: reading between two samples never runs off it.
    ends = np.append(table, table[0])
    steps = np.diff(ends)
    samples = np.zeros(count, dtype=np.float32)
    for offset, level in voice.ranks:
        detuned = detuned_hz(hz, offset)
        place = np.arange(count) * (TABLE_SIZE * detuned / sample_rate) % TABLE_SIZE
        whole = place.astype(np.int32)
        samples += (level * (ends[whole] + steps[whole] * (place - whole))).astype(np.float32)
    power = float(np.mean(table**2)) * sum(level**2 for _, level in voice.ranks)
    samples *= NOTE_RMS / math.sqrt(power)
    attack = min(round(voice.attack_seconds * sample_rate), count)
    samples[:attack] *= (0.5 * (1 - np.cos(np.pi * np.arange(attack) / attack))).astype(np.float32)
    return faded(samples, sample_rate)


def _table(
    hz: float, sample_rate: int, voice: ToneVoice
) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    highest = min(int(0.45 * sample_rate / hz), TABLE_SIZE // 2 - 1)
    numbers = np.arange(1, highest + 1, dtype=np.float64)
    levels = body_gain(numbers * hz, voice.body) / numbers**voice.slope
    levels /= 1 + (numbers * hz / voice.bright_hz) ** 2
    levels[1::2] *= voice.even_level
    spectrum = np.zeros(TABLE_SIZE // 2 + 1, dtype=np.complex128)
    # Sines, all from zero upwards: the saw of a bowed string.
    spectrum[1 : highest + 1] = -0.5j * TABLE_SIZE * levels
    return np.fft.irfft(spectrum, TABLE_SIZE)
