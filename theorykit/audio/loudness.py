"""Loudness as broadcasters measure it (ITU-R BS.1770-4; gating as there), in LUFS.

The weighting is applied where it is cheap: to the spectrum of each tenth of a second. By Parseval's
theorem the sum over the spectrum is the power of the weighted sound.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Any

import numpy as np
import numpy.typing as npt

Powers = npt.NDArray[np.float64]

#: Blocks of 400 ms overlap by three quarters: they are made of steps of 100 ms.
STEP_SECONDS = 0.1
_STEPS_A_BLOCK = 4
_OFFSET = -0.691
_ABSOLUTE_GATE, _RELATIVE_GATE = -70.0, -10.0

# The two stages of the K weighting as analogue prototypes, from which the standard's coefficients
# for 48 kHz follow by the bilinear transform (De Man 2014, from memory).
_SHELF_HZ, _SHELF_DB, _SHELF_Q = 1681.974450955533, 3.999843853973347, 0.7071752369554196
_SHELF_SHAPE = 0.4996667741545416
_HIGH_PASS_HZ, _HIGH_PASS_Q = 38.13547087602444, 0.5003270373238773


@lru_cache(maxsize=16)
def weighting(size: int, sample_rate: int) -> npt.NDArray[np.float32]:
    """The K weighting in power, at the frequencies of a real spectrum of ``size`` samples."""
    back = np.exp(-2j * np.pi * np.arange(size // 2 + 1) / size)
    k = math.tan(math.pi * _SHELF_HZ / sample_rate)
    high = 10 ** (_SHELF_DB / 20)
    band = high**_SHELF_SHAPE
    shelf = (
        (high + band * k / _SHELF_Q + k * k)
        + 2 * (k * k - high) * back
        + (high - band * k / _SHELF_Q + k * k) * back**2
    ) / ((1 + k / _SHELF_Q + k * k) + 2 * (k * k - 1) * back + (1 - k / _SHELF_Q + k * k) * back**2)
    k = math.tan(math.pi * _HIGH_PASS_HZ / sample_rate)
    first = 1 + k / _HIGH_PASS_Q + k * k
    pole = 1 + (2 * (k * k - 1) * back + (1 - k / _HIGH_PASS_Q + k * k) * back**2) / first
    gain: npt.NDArray[np.float32] = (np.abs(shelf * (1 - back) ** 2 / pole) ** 2).astype(np.float32)
    return gain


def weighted_powers(samples: npt.NDArray[Any], sample_rate: int) -> Powers:
    """Mean power of the weighted sound in each step of 100 ms, the last filled up with silence."""
    step = round(STEP_SECONDS * sample_rate)
    steps = -(-len(samples) // step)
    padded = np.zeros(steps * step, dtype=np.float32)
    padded[: len(samples)] = samples
    spectrum = np.fft.rfft(padded.reshape(steps, step), axis=1)
    # All but the first and, of an even number, the last stand for two frequencies.
    weights = 2 * weighting(step, sample_rate)
    weights[0] /= 2
    if step % 2 == 0:
        weights[-1] /= 2
    power = spectrum.real**2 + spectrum.imag**2
    found: Powers = np.asarray(power @ weights, dtype=np.float64) / step**2
    return found


def note_powers(samples: npt.NDArray[np.float32], sample_rate: int) -> Powers:
    """The same for a note, quicker: weighted throughout as it is at its start.

    A note grows darker as it dies: where it is soft its power is off by some tenths of a dB.
    """
    step = round(STEP_SECONDS * sample_rate)
    parts = [samples[first : first + step] for first in range(0, len(samples), step)]
    plain = np.array([float(np.dot(part, part)) / step for part in parts])
    if plain[0]:
        plain *= float(weighted_powers(parts[0], sample_rate)[0]) / plain[0]
    return plain


def gated_loudness(powers: Powers) -> float:
    """Integrated loudness from the powers of all channels in steps of 100 ms, in LUFS.

    Silence, or less than a block, is minus infinity.
    """
    if len(powers) < _STEPS_A_BLOCK:
        return -math.inf
    summed = np.concatenate(([0.0], np.cumsum(powers)))
    blocks = np.maximum(summed[_STEPS_A_BLOCK:] - summed[:-_STEPS_A_BLOCK], 0) / _STEPS_A_BLOCK
    heard = blocks[blocks > 10 ** ((_ABSOLUTE_GATE - _OFFSET) / 10)]
    if not len(heard):
        return -math.inf
    gate = float(np.mean(heard)) * 10 ** (_RELATIVE_GATE / 10)
    return _OFFSET + 10 * math.log10(float(np.mean(heard[heard > gate])))


def integrated_loudness(samples: npt.NDArray[Any], sample_rate: int) -> float:
    """Loudness of a whole recording, in LUFS.

    Parameters
    ----------
    samples : array
        One column for each channel, left and right; or mono.
    sample_rate : int

    Examples
    --------
    A full-scale sine of 997 Hz in one channel is -3.01 LUFS (BS.1770-4, annex 1), to 0.1:

    >>> sine = np.sin(2 * np.pi * 997 * np.arange(10 * 48000) / 48000)
    >>> round(integrated_loudness(sine, 48000), 1)
    -3.0
    """
    channels = samples.T if samples.ndim == 2 else samples[None]
    whole = len(channels[0]) // round(STEP_SECONDS * sample_rate)
    powers = sum(weighted_powers(channel, sample_rate)[:whole] for channel in channels)
    return gated_loudness(np.asarray(powers))
