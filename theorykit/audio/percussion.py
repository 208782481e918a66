"""The wood block that counts and the brush that keeps time."""

from __future__ import annotations

import math

import numpy as np

from theorykit.audio.chance import seeded_numbers
from theorykit.audio.modes import Samples
from theorykit.audio.string import faded
from theorykit.audio.voices import BlockVoice, BrushVoice

#: The peak of every stroke.
STROKE_PEAK = 0.7

_SIXTY_DB = math.log(1000)
# The stick's noise is over after so many times its own length.
_STROKES = 3
_BRUSH_PARTIALS = 200


def click_samples(
    sample_rate: int, voice: BlockVoice, *, accent: bool = False, seed: int = 1
) -> Samples:
    """A stroke on the wood block; with an accent, on the smaller and higher one.

    Examples
    --------
    >>> from theorykit.audio.voices import VOICES
    >>> round(float(np.max(np.abs(click_samples(44100, VOICES["woodblock"])))), 3)
    0.7
    """
    hz = voice.high_hz if accent else voice.low_hz
    t = np.arange(round(voice.decay_seconds * sample_rate)) / sample_rate
    samples = np.zeros(len(t))
    for ratio, level in voice.modes:
        # Higher modes die sooner; cosines, because a sine would begin in silence.
        fall = np.exp(-_SIXTY_DB / voice.decay_seconds * ratio * t)
        samples += level * np.cos(2 * np.pi * hz * ratio * t) * fall
    count = min(round(_STROKES * voice.stroke_seconds * sample_rate), len(t))
    noise = 2 * np.array(seeded_numbers(seed, count)) - 1
    fall = np.exp(-_SIXTY_DB * t[:count] / voice.stroke_seconds)
    samples[:count] += noise * voice.stroke_level * fall
    return _scaled(samples, sample_rate)


def brush_samples(sample_rate: int, voice: BrushVoice, *, seed: int = 1) -> Samples:
    """A stroke of the brush: many partials at chance pitches, which is noise with exact edges."""
    chance = np.array(seeded_numbers(seed, 2 * _BRUSH_PARTIALS))
    t = np.arange(round(voice.decay_seconds * sample_rate)) / sample_rate
    pitches = voice.low_hz + (voice.high_hz - voice.low_hz) * chance[::2]
    phases = 2 * np.pi * chance[1::2]
    samples = np.zeros(len(t))
    for hz, phase in zip(pitches, phases, strict=True):
        samples += np.cos(2 * np.pi * hz * t + phase)
    swell = np.minimum(t / voice.attack_seconds, 1)
    return _scaled(samples * swell * np.exp(-_SIXTY_DB * t / voice.decay_seconds), sample_rate)


def _scaled(samples: np.ndarray[tuple[int], np.dtype[np.float64]], sample_rate: int) -> Samples:
    scaled = samples * (STROKE_PEAK / float(np.max(np.abs(samples))))
    return faded(scaled.astype(np.float32), sample_rate)
