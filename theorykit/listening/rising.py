"""What is new in the sound when something is struck, while what was struck before rings on."""

from __future__ import annotations

import numpy as np

from theorykit.listening.periods import HOP, RATE, STEP_SECONDS, Floats

_WINDOW, _SIZE = 2048, 8192
#: Seconds after a stroke and before it at which the middle of the window lies: so that the whole
#: window hears one of the two alone.
_AFTER, _BEFORE = 0.06, 0.045
#: Partials that are looked for, and how much each counts beside the one before it.
_PARTIALS, _FALL = 8, 0.84

#: How steeply a half step falls behind the best one (stipulated).
_SHARP = 25.0
#: A note's partials stand out from what lies between them by the second share, a noise's best fit
#: by the first (stipulated).
_NOISE_TONAL, _TONAL = 0.3, 0.6


def new_pitches(
    samples: Floats, strokes: list[int], lowest: int, highest: int, cents: float
) -> Floats:
    """For each stroke, the chance that each half step is what is new.

    Of the amplitudes after the stroke those before it are taken away: strings that ring on only
    grow softer. What is left is laid on the partials of each half step. A mere noise leaves all
    chances small.

    Parameters
    ----------
    samples : array
    strokes : list of int
        Steps.
    lowest, highest : int
        MIDI numbers.
    cents : float
        How sharp the take is.
    """
    midis = np.arange(lowest, highest + 1)
    hz = 440 * 2 ** ((midis - 69 + cents / 100) / 12)
    numbers = np.arange(1, _PARTIALS + 1)
    partials = hz[:, None] * numbers
    weights = np.where(partials < 0.45 * RATE, _FALL ** (numbers - 1.0), 0)
    bins = np.minimum(np.round(partials * _SIZE / RATE).astype(int), _SIZE // 2 - 2)
    between = np.round((partials - hz[:, None] / 2) * _SIZE / RATE).astype(int)
    between = np.clip(between, 2, _SIZE // 2 - 2)
    hann = np.hanning(_WINDOW).astype(np.float32)
    chances = np.zeros((len(strokes), len(midis)), np.float32)
    for row, step in enumerate(strokes):
        until = strokes[row + 1] if row + 1 < len(strokes) else step + 99
        after = min(_AFTER, max((until - step) * STEP_SECONDS - 0.03, 0.03))
        new = _amplitudes(samples, step * HOP + round(after * RATE), hann)
        old = _amplitudes(samples, step * HOP - round(_BEFORE * RATE), hann)
        # A bin to each side: the lobes of two windows never lie quite alike.
        wide = np.maximum(np.maximum(old[:-2], old[1:-1]), old[2:])
        left = np.zeros_like(new)
        left[1:-1] = np.maximum(new[1:-1] - 1.1 * wide, 0)
        left = np.sqrt(left)
        near = np.maximum(np.maximum(left[bins - 1], left[bins]), left[bins + 1])
        off = np.maximum(np.maximum(left[between - 1], left[between]), left[between + 1])
        worth = ((near - off) * weights).sum(axis=1)
        top = float(worth.max())
        if top > 0:
            likely = np.exp((worth / top - 1) * _SHARP)
            at = int(np.argmax(worth))
            tonal = top / float((near[at] * weights[at]).sum())
            sure = min(max((tonal - _NOISE_TONAL) / (_TONAL - _NOISE_TONAL), 0.0), 1.0)
            chances[row] = sure * likely / likely.sum()
    return chances


def _amplitudes(samples: Floats, middle: int, hann: Floats) -> Floats:
    first = middle - _WINDOW // 2
    piece = samples[max(first, 0) : max(first + _WINDOW, 0)]
    frame = np.zeros(_WINDOW, np.float32)
    start = max(-first, 0)
    frame[start : start + len(piece)] = piece[: _WINDOW - start]
    return np.abs(np.fft.rfft(frame * hann, _SIZE)).astype(np.float32)
