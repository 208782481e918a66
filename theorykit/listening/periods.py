"""How well each pitch explains the sound at each moment: the periods that a wave repeats in.

A wave of one pitch is unlike itself moved by any lag but its period. The differences at all lags,
each beside the mean of those before it, are the measure of de Cheveigné & Kawahara (2002); that a
lag is taken with a chance for each limit under which it may be the first is of Mauch & Dixon
(2014). Both from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float32]

#: All sound is heard at this rate; a step is 11.6 ms.
RATE, HOP = 22050, 256
STEP_SECONDS = HOP / RATE

#: Frames that are worked out at once: more need more room and are no faster.
_BLOCK = 1024

#: How sharp the limit is: the chance that it lies under x is 1 - (1 - x)^b (1 + b x), the
#: distribution beta(2, b). A take in a room needs more room than a clean one (measured).
_LIMIT = 4.0

#: Parts of a half step that pitches are first told in.
FINE = 10


@dataclass(frozen=True, slots=True, eq=False)
class Periods:
    """For each step, the chance of each pitch.

    Parameters
    ----------
    chances : array
        A row for each step, a column for each tenth of a half step from ``lowest`` on. What is left
        to 1 is the chance that there is no pitch.
    level : array
        Power of each step.
    lowest : float
        MIDI number of the first column.
    """

    chances: Floats
    level: Floats
    lowest: float


def find_periods(samples: Floats, lowest: int, highest: int) -> Periods:
    """The chances of the pitches from one MIDI number to another.

    Parameters
    ----------
    samples : array
        One side, at ``RATE``.
    lowest, highest : int
    """
    # Half a step of room on both sides, and one lag more to tell a trough by.
    longest = int(np.ceil(RATE / _hz(lowest - 0.5))) + 2
    shortest = max(int(RATE / _hz(highest + 0.5)) - 1, 2)
    window = max(512, 2 * longest)
    size = window + longest
    count = len(samples) // HOP + 1
    padded = np.concatenate(
        [np.zeros(size // 2, np.float32), samples, np.zeros(size + HOP, np.float32)]
    )
    frames = np.lib.stride_tricks.sliding_window_view(padded, size)[::HOP][:count]
    first = lowest - 0.5
    columns = round((highest - lowest + 1) * FINE)
    chances = np.zeros((count, columns), np.float32)
    level = np.empty(count, np.float32)
    for start in range(0, count, _BLOCK):
        block = frames[start : start + _BLOCK]
        unlike, power = _unlikeness(block, window, longest)
        level[start : start + _BLOCK] = power
        rows, lags, weights = _weighed(unlike, shortest)
        places = (69 + 12 * np.log2(RATE / lags / 440) - first) * FINE
        column = np.floor(places).astype(np.int64)
        inside = (column >= 0) & (column < columns)
        # Two troughs of a row may fall into one column.
        cells = (rows[inside] + start) * columns + column[inside]
        np.add.at(chances.reshape(-1), cells, weights[inside])
    return Periods(chances, level, first + 0.5 / FINE)


def _hz(midi: float) -> float:
    return float(440 * 2 ** ((midi - 69) / 12))


def _unlikeness(frames: Floats, window: int, longest: int) -> tuple[Floats, Floats]:
    """Differences at the lags 0 to ``longest``, each over the mean up to it; and the power."""
    size = 1 << (window + longest - 1).bit_length()
    whole = np.fft.rfft(frames, size)
    head = np.fft.rfft(frames[:, :window], size)
    alike = np.fft.irfft(whole * head.conj(), size)[:, : longest + 1]
    summed = np.cumsum(frames.astype(np.float64) ** 2, axis=1)
    summed = np.concatenate([np.zeros((len(frames), 1)), summed], axis=1)
    energy = summed[:, window : window + longest + 1] - summed[:, : longest + 1]
    unlike = np.maximum(energy[:, :1] + energy - 2 * alike, 0)
    lags = np.arange(1, longest + 1)
    mean = np.cumsum(unlike[:, 1:], axis=1) / lags
    found = np.ones_like(unlike)
    np.divide(unlike[:, 1:], mean, out=found[:, 1:], where=mean > 1e-12)
    return found.astype(np.float32), (energy[:, 0] / window).astype(np.float32)


def _weighed(
    unlike: Floats, shortest: int
) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.float64], npt.NDArray[np.float64]]:
    """The troughs: row, lag between samples, and the chance that it is the period."""
    left, middle, right = unlike[:, :-2], unlike[:, 1:-1], unlike[:, 2:]
    trough = (middle <= left) & (middle < right)
    trough[:, : shortest - 1] = False
    rows, places = np.nonzero(trough)
    a, b, c = left[rows, places], middle[rows, places], right[rows, places]
    bend = np.maximum(a - 2.0 * b + c, 1e-9)
    off = np.clip(0.5 * (a - c) / bend, -1, 1)
    depth = np.clip(b - 0.25 * (a - c) * off, 0, 1)
    # The lowest of the row's troughs before this one.
    deep = np.ones_like(middle)
    deep[rows, places] = depth
    before = np.minimum.accumulate(deep, axis=1)
    earlier = np.ones_like(depth)
    inner = places > 0
    earlier[inner] = before[rows[inner], places[inner] - 1]
    weight = np.where(depth < earlier, _under(earlier) - _under(depth), 0)
    return rows, places + 1.0 + off, weight


def _under(limit: npt.NDArray[np.floating]) -> npt.NDArray[np.float64]:
    """The chance that the limit lies under a value."""
    return 1 - (1 - limit) ** _LIMIT * (1 + _LIMIT * limit)
