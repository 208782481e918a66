"""Plucked and struck strings.

The string is the tuned delay loop of Karplus & Strong 1983 (Computer Music Journal 7(2); tuning and
decay after Jaffe & Smith 1983, same issue), as the browser runs it sample by sample. The loop is
linear, so its sound is a sum of modes, each a partial that dies away at its own rate; with arrays
the sum is quicker than the loop: two tables of powers and one product of matrices.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from theorykit.audio.chance import seeded_numbers
from theorykit.audio.modes import Samples, sum_of_modes
from theorykit.audio.string_loop import tuned_loop
from theorykit.audio.voices import StringVoice

_Real = npt.NDArray[np.float64]

#: The level of every note: its RMS over the first seconds.
NOTE_RMS, NOTE_RMS_SECONDS = 0.125, 0.2

#: A buffer that runs out fades for so long: it must not click.
FADE_SECONDS = 0.012

#: Partials below this share of the first are not heard.
_INAUDIBLE = 1e-4


def midi_to_hz(midi: float) -> float:
    """Frequency of a MIDI key: A4 = 440 Hz (ISO 16:1975), equal temperament.

    Examples
    --------
    >>> midi_to_hz(69), round(midi_to_hz(60), 4)
    (440.0, 261.6256)
    """
    return float(440 * 2 ** ((midi - 69) / 12))


def body_gain(frequencies: _Real, body: tuple[tuple[float, float, float], ...]) -> _Real:
    """What a body adds to each frequency."""
    gain = np.ones_like(frequencies)
    for centre, q, level in body:
        ratio = frequencies / centre
        gain += level / np.hypot(1, q * (ratio - 1 / ratio))
    return gain


def pluck_samples(
    hz: float, seconds: float, sample_rate: int, voice: StringVoice, *, seed: int = 1
) -> Samples:
    """A plucked note. Its onset is sample 0, its RMS over the first 200 ms that of all notes.

    Parameters
    ----------
    hz : float
        20 Hz to a fifth of the sample rate.
    seconds : float
    sample_rate : int
    voice : StringVoice
    seed : int
        The same seed gives the same samples.

    Examples
    --------
    >>> from theorykit.audio.voices import VOICES
    >>> samples = pluck_samples(220.0, 0.5, 44100, VOICES["guitar"])
    >>> samples.shape, bool(abs(samples[0]) > 0.3 * abs(samples).max())
    ((22050,), True)
    """
    count = max(1, round(seconds * sample_rate))
    numbers, burst = _burst(hz, sample_rate, voice, seed)
    loops = [tuned_loop(detuned_hz(hz, off), sample_rate, voice) for off in voice.detune_hz]
    modes = [loop.modes(numbers, burst) for loop in loops]
    starts, poles = (np.concatenate(column) for column in zip(*modes, strict=True))
    samples = sum_of_modes(starts, poles, count)
    # Until the burst comes round for the first time it is all that sounds.
    first = min(min(loop.delay for loop in loops), count)
    samples[:first] = burst[:first] * len(loops)
    head = samples[: round(NOTE_RMS_SECONDS * sample_rate)]
    samples *= NOTE_RMS / math.sqrt(float(np.dot(head, head)) / len(head))
    return faded(samples, sample_rate)


def faded(samples: Samples, sample_rate: int) -> Samples:
    """The samples with their end faded out, in place."""
    length = min(round(FADE_SECONDS * sample_rate), len(samples) // 2)
    if length:
        left = np.arange(length - 1, -1, -1)
        samples[-length:] *= (0.5 * (1 - np.cos(np.pi * left / length))).astype(np.float32)
    return samples


def _burst(hz: float, sample_rate: int, voice: StringVoice, seed: int) -> tuple[_Real, _Real]:
    """One period of the string when the pick lets go, and the numbers of its partials.

    The period is a circle, and sample 0 is where it is largest.
    """
    period = round(sample_rate / hz)
    highest = min((period - 1) // 2, int(0.45 * sample_rate / hz))
    numbers = np.arange(1, highest + 1, dtype=np.float64)
    frequencies = numbers * hz
    levels = np.sin(np.pi * numbers * voice.pick_position) / numbers**voice.slope
    levels *= body_gain(frequencies, voice.body) / (1 + (frequencies / voice.bright_hz) ** 2)
    chance = np.array(seeded_numbers(seed, highest))
    turns = np.floor(chance * period) / period
    heard = np.abs(levels) >= _INAUDIBLE * levels[0]
    numbers, levels, turns = numbers[heard], levels[heard], turns[heard]
    spectrum = np.zeros(period // 2 + 1, dtype=np.complex128)
    spectrum[numbers.astype(np.intp)] = levels * np.exp(2j * np.pi * turns)
    burst = np.fft.irfft(spectrum * (period / 2), period)
    return numbers, np.roll(burst, -int(np.argmax(np.abs(burst))))


def detuned_hz(hz: float, offset: float) -> float:
    """The pitch of one string of a course or rank of reeds, at most 0.1 % off."""
    return hz + math.copysign(min(abs(offset), 0.001 * hz), offset)
