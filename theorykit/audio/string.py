"""Plucked and struck strings.

The string is the tuned delay loop of Karplus & Strong 1983 (Computer Music Journal 7(2); tuning and
decay after Jaffe & Smith 1983, same issue), as the browser runs it sample by sample. A loop that is
linear is a sum of its modes, each a partial that dies away at its own rate, and with arrays the sum
is quicker than the loop: two tables of powers and one product of matrices.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from theorykit.audio.chance import seeded_numbers
from theorykit.audio.voices import StringVoice

Samples = npt.NDArray[np.float32]
_Complex = npt.NDArray[np.complex128]
_Real = npt.NDArray[np.float64]
_Table = npt.NDArray[np.complex64]

#: The level of every note: its RMS over the first seconds.
NOTE_RMS, NOTE_RMS_SECONDS = 0.125, 0.2

#: A buffer that runs out fades for so long: it must not click.
FADE_SECONDS = 0.012

#: Partials below this share of the first are not heard, at the start or later on.
_INAUDIBLE = 1e-4
_GONE = 1e-4

_HIGHEST_POLE = 0.9
_ROW, _FIRST_ROWS = 256, 4


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
    numbers, starts = _burst(hz, sample_rate, voice, seed)
    poles: list[_Complex] = []
    for offset in voice.detune_hz:
        detuned = hz + math.copysign(min(abs(offset), 0.001 * hz), offset)
        poles.append(_poles(detuned, sample_rate, voice, numbers))
    samples = _sum_of_modes(np.tile(starts, len(poles)), np.concatenate(poles), count)
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


def _burst(hz: float, sample_rate: int, voice: StringVoice, seed: int) -> tuple[_Real, _Complex]:
    """The partials of the string when the pick lets go: numbers, and levels with phases.

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
    peak = int(np.argmax(np.abs(np.fft.irfft(spectrum, period))))
    return numbers, levels * np.exp(2j * np.pi * (turns + numbers * peak / period))


def _poles(hz: float, sample_rate: int, voice: StringVoice, numbers: _Real) -> _Complex:
    """By what each partial is multiplied from sample to sample."""
    omega = 2 * math.pi * hz / sample_rate
    # Far above a voice's own compass the knee moves along, or its notes would be mere ticks.
    knee = max(voice.knee_hz, hz / 2)

    def gain_per_period(frequency: float) -> float:
        return float(10 ** (-3 * (1 + (frequency / knee) ** 2) / (voice.decay_seconds * hz)))

    wanted = gain_per_period(hz)
    # The pole at which the damping falls by the wanted ratio between hz and a frequency well above
    # it: |1 - p e^-jw|^2 = 1 - 2 p cos w + p^2 at both ends gives p^2 - 2 b p + 1 = 0.
    above = min(max(4 * hz, 2500), 0.4 * sample_rate)
    ratio = (gain_per_period(above) / wanted) ** 2
    b = (math.cos(omega) - ratio * math.cos(2 * math.pi * above / sample_rate)) / (1 - ratio)
    pole = min(b - math.sqrt(b * b - 1) if b > 1 else 1.0, _HIGHEST_POLE)
    pole_delay = math.atan2(pole * math.sin(omega), 1 - pole * math.cos(omega)) / omega
    pole_gain = (1 - pole) / math.hypot(1 - pole * math.cos(omega), pole * math.sin(omega))

    rest = sample_rate / hz - pole_delay
    delay = math.floor(rest - 1)
    # Lagrange's phase delay is d only near 0 Hz: d is corrected until it holds at hz itself.
    d = rest - delay
    for _ in range(4):
        d += rest - delay - _response(_lagrange_taps(d), omega)[1]
    taps = _lagrange_taps(d)
    # The cap is the law at 0 Hz, where both filters pass everything: so the loop is stable.
    gain = min(wanted / (pole_gain * _response(taps, omega)[0]), gain_per_period(0))

    angles = omega * numbers
    # A partial is where the loop's phase is a whole number of turns.
    for _ in range(2):
        turned = _loop(angles, taps, pole, gain)
        angles = (2 * np.pi * numbers + np.angle(turned)) / delay
    periods = 2 * np.pi * numbers / angles
    poles: _Complex = np.exp(np.log(np.abs(turned)) / periods + 1j * angles)
    return poles


def _loop(angles: _Real, taps: tuple[float, ...], pole: float, gain: float) -> _Complex:
    """Response of the loop but for its whole-sample delay."""
    back = np.exp(-1j * angles)
    a, b, c, d = taps
    response: _Complex = (
        gain * (1 - pole) * (a + back * (b + back * (c + back * d))) / (1 - pole * back)
    )
    return response


def _lagrange_taps(d: float) -> tuple[float, float, float, float]:
    """Coefficients for a delay of 1 <= d < 2 samples (Laakso et al. 1996, from memory)."""
    return (
        -(d - 1) * (d - 2) * (d - 3) / 6,
        d * (d - 2) * (d - 3) / 2,
        -d * (d - 1) * (d - 3) / 2,
        d * (d - 1) * (d - 2) / 6,
    )


def _response(taps: tuple[float, ...], omega: float) -> tuple[float, float]:
    """Gain and phase delay (samples) of an FIR filter at an angular frequency."""
    real = sum(tap * math.cos(omega * k) for k, tap in enumerate(taps))
    imaginary = sum(tap * math.sin(omega * k) for k, tap in enumerate(taps))
    return math.hypot(real, imaginary), math.atan2(imaginary, real) / omega


def _sum_of_modes(starts: _Complex, poles: _Complex, count: int) -> Samples:
    """The real part of the sum of ``starts * poles**k``, in rows of samples.

    Sample k = row * width + column is start * pole^(row * width) * pole^column. A partial is left
    out of the rows in which it can no longer be heard: most rows hold few.
    """
    rows = -(-count // _ROW)
    out = np.empty((rows, _ROW), dtype=np.float32)
    fall = np.maximum(-np.log(np.abs(poles)) * _ROW, 1e-12)
    levels = np.abs(starts)
    last_row = np.log(levels / (_GONE * float(levels.max()))) / fall
    order = np.argsort(-last_row)
    starts, poles, last_row = starts[order], poles[order], last_row[order]
    # Real parts of products, as one real product: (re, im) times (re, -im), interleaved.
    columns = _powers(poles, _ROW).conj().view(np.float32)
    leaps = poles**_ROW
    first, size, alive = 0, _FIRST_ROWS, len(poles)
    while first < rows:
        last = min(first + size, rows)
        alive = max(1, int(np.searchsorted(-last_row[:alive], -first, side="right")))
        heads = _powers(leaps[:alive], last - first, starts[:alive]).view(np.float32)
        np.matmul(heads, columns[:, : 2 * alive].T, out=out[first:last])
        starts = starts[:alive] * leaps[:alive] ** (last - first)
        first, size = last, size * 2
    return out.reshape(-1)[:count]


def _powers(bases: _Complex, count: int, first: _Complex | None = None) -> _Table:
    """``first`` times the powers 0 to count - 1 of each base, a column for each base."""
    table = np.empty((count, len(bases)), dtype=np.complex64)
    table[0] = 1 if first is None else first
    done, factor = 1, bases
    while done < count:
        more = min(done, count - done)
        np.multiply(table[:more], factor.astype(np.complex64), out=table[done : done + more])
        done += more
        factor = factor * factor
    return table
