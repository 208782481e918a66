"""What sounds in a recording and is not one note after another."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import numpy.typing as npt

from theorykit.listening.heard import Unheard, Why
from theorykit.listening.periods import HOP, RATE, STEP_SECONDS, Floats

#: Shorter stretches are what lies between two notes.
_LEAST_SECONDS = 0.2
#: A stretch this much louder than the background and this near to the loudest is no rest, in dB.
_ABOVE_BACKGROUND, _BELOW_LOUDEST = 12.0, 25.0
#: What is softer than the loudest by more is too quiet to be a note of the take, in dB.
QUIET_DB, FLOOR_DB = 45.0, 60.0

_WINDOW, _EVERY = 4096, 4
_LOWEST_HZ, _HIGHEST_HZ = 70.0, 5000.0
#: One note alone explains more of the sound (measured: 0.8, less only where one gives way to the
#: next).
_LEAST_EXPLAINED = 0.55
#: Two notes a fifth or a fourth apart repeat like one far below, without most of its partials (one
#: note has at least 0.05 of its power in these, measured on a banjo).
_TELLING = (1, 5, 7, 11, 13)
_LEAST_TELLING = 0.02
#: A few peaks hold this much of what sounds, where it is notes and no noise.
_PEAKS, _LEAST_IN_PEAKS = 12, 0.7


def unheard_steps(
    samples: Floats,
    path: npt.NDArray[np.int64],
    lowest: int,
    cents: float,
    level: Floats,
    found: Floats,
) -> list[Unheard]:
    """The stretches of a recording that could not be heard.

    Parameters
    ----------
    samples : array
    path : array
        For each step the half step above ``lowest``, or -1.
    lowest : int
    cents : float
    level : array
        Power of each step.
    found : array
        The chance at each step that there is a pitch.
    """
    power_db = 10 * np.log10(np.maximum(level, 1e-12))
    loudest = float(np.percentile(power_db, 95))
    background = float(np.percentile(power_db, 5))
    rest = path < 0
    loud = (power_db > loudest - _BELOW_LOUDEST) & (power_db > background + _ABOVE_BACKGROUND)
    if not (~rest).any():
        loud = power_db > loudest - _BELOW_LOUDEST
    kinds = np.zeros(len(path), np.int8)
    quiet = rest & (power_db < loudest - QUIET_DB) & (power_db > loudest - FLOOR_DB) & (found > 0.8)
    kinds[quiet] = 3
    hann = np.hanning(_WINDOW).astype(np.float32)
    hz = np.arange(_WINDOW // 2 + 1) * RATE / _WINDOW
    heard = (hz > _LOWEST_HZ) & (hz < _HIGHEST_HZ)
    for step in range(_EVERY // 2, len(path), _EVERY):
        if not loud[step]:
            continue
        middle = step * HOP
        piece = samples[max(middle - _WINDOW // 2, 0) : middle + _WINDOW // 2]
        if len(piece) < _WINDOW:
            continue
        power = np.abs(np.fft.rfft(piece * hann)) ** 2 * heard
        where = slice(step - _EVERY // 2, step + _EVERY // 2)
        kinds[where] = _kind(power, int(path[step]), lowest, cents)
    return _joined(kinds)


def _kind(power: npt.NDArray[np.floating], column: int, lowest: int, cents: float) -> int:
    """0 for one note, 1 for noise, 2 for several notes."""
    total = float(power.sum())
    if total <= 0:
        return 0
    if column >= 0:
        first_hz = 440 * 2 ** ((lowest + column - 69 + cents / 100) / 12)
        partials = _partials(power, first_hz)
        explained = float(partials.sum())
        telling = sum(float(partials[number - 1]) for number in _TELLING if number <= len(partials))
        if explained >= _LEAST_EXPLAINED * total and telling >= _LEAST_TELLING * explained:
            return 0
    rest = power.copy()
    held = 0.0
    for _ in range(_PEAKS):
        peak = int(np.argmax(rest))
        held += float(rest[max(peak - 2, 0) : peak + 3].sum())
        rest[max(peak - 2, 0) : peak + 3] = 0
    if held >= _LEAST_IN_PEAKS * total:
        return 2
    # A note in noise is still a note.
    return 0 if column >= 0 else 1


def _partials(power: npt.NDArray[np.floating], first_hz: float) -> npt.NDArray[np.float64]:
    """Power near each partial, a quarter tone to both sides and at least the window's lobe."""
    found = []
    for number in range(1, int(_HIGHEST_HZ / first_hz) + 1):
        centre = number * first_hz * _WINDOW / RATE
        # Partials of a stiff string lie a little high, and none reaches into the next.
        reach = min(max(2.5, centre * 0.025), 0.4 * first_hz * _WINDOW / RATE)
        found.append(float(power[max(round(centre - reach), 0) : round(centre + reach) + 1].sum()))
    return np.array(found)


_REASONS: tuple[Why, Why, Why] = ("noise", "two notes at once", "too quiet")


def _joined(kinds: npt.NDArray[np.int8]) -> list[Unheard]:
    edges = np.nonzero(np.diff(kinds))[0] + 1
    bounds = [0, *edges.tolist(), len(kinds)]
    found: list[Unheard] = []
    for first, beyond in pairwise(bounds):
        kind = int(kinds[first])
        if kind and (beyond - first) * STEP_SECONDS >= _LEAST_SECONDS:
            start, end = first * STEP_SECONDS, beyond * STEP_SECONDS
            reason = _REASONS[kind - 1]
            if found and found[-1].reason == reason and start - found[-1].end < _LEAST_SECONDS:
                found[-1] = Unheard(found[-1].start, round(end, 2), reason)
            else:
                found.append(Unheard(round(start, 2), round(end, 2), reason))
    return found
