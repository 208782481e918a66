"""Bends, slides and vibrato: how fast a note's sound is read, from moment to moment.

A pitch that moves is the level note read faster or slower, here as in the browser, whose nodes read
their buffers the same way.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from theorykit.audio.modes import Samples
from theorykit.audio.voices import ToneVoice, Voice
from theorykit.score.score import ScoreNote, Vibrato

Curve = npt.NDArray[np.float64]

#: Points of a curve to the second; the line between two is straight.
CURVE_HZ = 100


def pitch_curve(note: ScoreNote, voice: Voice, seconds: float, tempo: float) -> Curve | None:
    """Cents above the note's pitch, ``CURVE_HZ`` times a second; None where it stays.

    Parameters
    ----------
    note : ScoreNote
    voice : Voice
        A bowed voice has a vibrato of its own, which a note without one takes over.
    seconds : float
        How long the note sounds, its release included.
    tempo : float

    Examples
    --------
    >>> from fractions import Fraction
    >>> from theorykit.audio.voices import VOICES
    >>> from theorykit.score.score import Glide
    >>> bend = Glide("bend", ((Fraction(0), 0.0), (Fraction(1), 1.0)))
    >>> note = ScoreNote(Fraction(0), Fraction(2), 60, glide=bend)
    >>> curve = pitch_curve(note, VOICES["guitar"], 2.0, 60)
    >>> [round(float(cents)) for cents in curve[::50]]
    [0, 50, 100, 100, 100]
    """
    vibrato = note.vibrato
    if vibrato is None and isinstance(voice, ToneVoice) and voice.vibrato_cents:
        vibrato = Vibrato(voice.vibrato_hz, voice.vibrato_cents, voice.vibrato_delay_seconds)
    if vibrato is not None and seconds <= vibrato.delay_seconds:
        vibrato = None
    if vibrato is None and note.glide is None:
        return None
    times = np.arange(int(seconds * CURVE_HZ) + 2) / CURVE_HZ
    cents = np.zeros(len(times))
    if note.glide is not None:
        beats = [float(at) for at, _ in note.glide.points]
        heights = [100 * half_steps for _, half_steps in note.glide.points]
        cents += np.interp(times * tempo / 60, beats, heights)
    if vibrato is not None:
        swung = np.sin(2 * np.pi * vibrato.hz * (times - vibrato.delay_seconds))
        cents += np.where(times > vibrato.delay_seconds, vibrato.cents * swung, 0)
    return cents


def bent(samples: Samples, curve: Curve, count: int, sample_rate: int) -> Samples:
    """``count`` samples of a note, read along a curve."""
    at = np.arange(count) * (CURVE_HZ / sample_rate)
    cents = np.interp(at, np.arange(len(curve)), curve)
    speed = 2 ** (cents / 1200)
    place = np.concatenate(([0.0], np.cumsum(speed[:-1])))
    return np.interp(place, np.arange(len(samples)), samples, right=0).astype(np.float32)
