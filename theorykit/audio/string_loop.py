"""The loop of one string, tuned, and its modes."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from theorykit.audio.modes import Complexes, powers
from theorykit.audio.voices import StringVoice

_HIGHEST_POLE = 0.9
_ITERATIONS = 2


@dataclass(frozen=True, slots=True)
class StringLoop:
    """A delay of whole samples, taps that add the fraction, and a one-pole damping.

    Parameters
    ----------
    period : float
        Samples after which the fundamental comes round.
    delay : int
    taps : tuple of float
    pole : float
    gain : float
    """

    period: float
    delay: int
    taps: tuple[float, float, float, float]
    pole: float
    gain: float

    def modes(
        self, numbers: npt.NDArray[np.float64], burst: npt.NDArray[np.float64]
    ) -> tuple[Complexes, Complexes]:
        """What a burst sets going: the start of each mode, and its factor from sample to sample.

        Parameters
        ----------
        numbers : array
            The partials that are wanted.
        burst : array
            What the loop is fed, in its first period.
        """
        a, b, c, d = self.taps
        # What the delay alone does not make of the period.
        rest = self.period - self.delay
        turns = 2j * np.pi * numbers
        exponents = turns / self.period
        for _ in range(_ITERATIONS):
            back = np.exp(-exponents)
            filtered = a + back * (b + back * (c + back * d))
            filtered *= self.gain * (1 - self.pole) / (1 - self.pole * back)
            exponents = (turns + np.log(filtered * np.exp(rest * exponents))) / self.period
        back = np.exp(-exponents)
        # The residue at a pole z of 1 / (1 - H): burst(z) over the loop's delay at z.
        tapped = a + back * (b + back * (c + back * d))
        delays = self.delay + back * (b + back * (2 * c + back * 3 * d)) / tapped
        delays += self.pole * back / (1 - self.pole * back)
        fed = burst.astype(np.float32) @ powers(back, len(burst))
        return 2 * fed / delays, np.exp(exponents)


def tuned_loop(hz: float, sample_rate: int, voice: StringVoice) -> StringLoop:
    """The loop whose fundamental is exactly ``hz`` and dies away as the voice says.

    Examples
    --------
    >>> from theorykit.audio.voices import VOICES
    >>> loop = tuned_loop(441.0, 44100, VOICES["guitar"])
    >>> loop.period, loop.delay, round(sum(loop.taps), 6)
    (100.0, 98, 1.0)
    """
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
    return StringLoop(sample_rate / hz, delay, taps, pole, gain)


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
