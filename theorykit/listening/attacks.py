"""How strongly something begins, from moment to moment."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from theorykit.listening.periods import HOP, RATE, Floats

_WINDOW = 1024
_BANDS = 60
_LOWEST_HZ, _HIGHEST_HZ = 80.0, 10_000.0
#: What is this far below the loudest is not heard to begin, in dB.
_FLOOR_DB = -50.0
_BLOCK = 1024
_BEFORE = 4


def attack_strength(samples: Floats) -> tuple[Floats, Floats]:
    """For each step, how much louder the bands of the spectrum are than two steps before.

    Bands are weighed as logarithms above the noise of the take, and each beside its neighbours as
    they were, so that a pitch that swings is no attack. Beside it, the power at each step.
    """
    # Silence comes before the first step, for the first note to rise out of.
    count = len(samples) // HOP + 1 + _BEFORE
    before = np.zeros(_WINDOW // 2 + _BEFORE * HOP, np.float32)
    padded = np.concatenate([before, samples, np.zeros(_WINDOW + HOP, np.float32)])
    frames = np.lib.stride_tricks.sliding_window_view(padded, _WINDOW)[::HOP][:count]
    bands = _bands()
    hann = np.hanning(_WINDOW).astype(np.float32)
    power = np.empty((count, _BANDS), np.float32)
    for start in range(0, count, _BLOCK):
        spectrum = np.fft.rfft(frames[start : start + _BLOCK] * hann)
        power[start : start + _BLOCK] = (spectrum.real**2 + spectrum.imag**2) @ bands
    loudest = float(np.percentile(power.sum(axis=1), 95))
    noise = 4 * np.percentile(power, 10, axis=0)
    floor = np.maximum(noise, loudest / _BANDS * 10 ** (_FLOOR_DB / 10) + 1e-20)
    loud = np.log(1 + power / floor)
    around = loud.copy()
    around[:, 1:] = np.maximum(around[:, 1:], loud[:, :-1])
    around[:, :-1] = np.maximum(around[:, :-1], loud[:, 1:])
    strength = np.zeros(count, np.float32)
    strength[2:] = np.maximum(loud[2:] - around[:-2], 0).mean(axis=1)
    level: Floats = power.sum(axis=1, dtype=np.float32)
    return strength[_BEFORE:], level[_BEFORE:]


def _bands() -> npt.NDArray[np.float32]:
    """Triangles, evenly spaced in pitch above and in hertz below 500 Hz."""
    bins = np.arange(_WINDOW // 2 + 1) * RATE / _WINDOW
    edges = _warped_back(np.linspace(_warped(_LOWEST_HZ), _warped(_HIGHEST_HZ), _BANDS + 2))
    rising = (bins[:, None] - edges[None, :-2]) / (edges[1:-1] - edges[:-2])
    falling = (edges[None, 2:] - bins[:, None]) / (edges[2:] - edges[1:-1])
    shape = np.maximum(np.minimum(rising, falling), 0)
    bands: Floats = (shape / np.maximum(shape.sum(axis=0), 1e-9)).astype(np.float32)
    return bands


def _warped(hz: float) -> float:
    return float(np.log1p(hz / 500))


def _warped_back(value: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    return 500 * np.expm1(value)
