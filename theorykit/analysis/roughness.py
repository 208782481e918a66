"""How rough a voicing sounds, by three published models.

Roughness is for voicings only: it says how much a chord's third adds to the rub of a melody note,
not which scale to play. Over a D chord it rates G rougher than B-flat, so it never decides a
verdict. The models are summed over all pairs of partials:

* Sethares 1993 (*Local consonance and the relationship between timbre and scale*), the curve of
  Plomp & Levelt 1965, with the weaker amplitude of each pair (Sethares 2005) or their product;
* Hutchinson & Knopoff 1978 (*The acoustic component of Western consonance*), with the curve that
  Bigand, Parncutt & Lerdahl 1996 write for it, a share of the whole energy;
* Vassilakis 2001 (*Perceptual and physical properties of amplitude fluctuation*).

Constants are from memory; the tests check the values that follow from them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from theorykit.errors import BadInput
from theorykit.theory.pitch import A4_HZ, A4_MIDI

Floats = NDArray[np.float64]

#: Decay of the two flanks of the Plomp & Levelt curve, and its scale (Sethares 1993).
RISE, FALL, SCALE = 3.51, 5.75, 5.0
#: Where the curve peaks, and how that widens with frequency in hertz (Sethares 1993).
PEAK, WIDENING, WIDTH = 0.24, 0.0207, 18.96
#: The critical bandwidth 1.72 f^.65 in hertz, and the widest interval that counts, in bandwidths
#: (Hutchinson & Knopoff 1978).
BANDWIDTH, BANDWIDTH_POWER, WIDEST = 1.72, 0.65, 1.2
#: Vassilakis's own rise, and the powers of intensity and of amplitude fluctuation (2001).
VASSILAKIS_RISE, INTENSITY_POWER, FLUCTUATION_POWER = 3.5, 0.1, 3.11

#: Amplitudes of the partials, the fundamental first, by the name of the spectrum (stipulated):
#: a bright tone, the one of Sethares's curves, and a string plucked at a seventh of its length.
SPECTRA: dict[str, Floats] = {
    "bright": 1.0 / np.arange(1, 11),
    "geometric": 0.88 ** np.arange(7, dtype=np.float64),
    "plucked": np.abs(np.sin(np.pi * np.arange(1, 11) / 7))
    / np.arange(1, 11) ** 1.5
    / np.sin(np.pi / 7),
}


def partials(
    midis: Sequence[float], spectrum: str | Sequence[float] | Floats = "bright"
) -> tuple[Floats, Floats]:
    """The partials of some notes sounding together.

    Parameters
    ----------
    midis : sequence of float
        MIDI note numbers.
    spectrum : str or sequence of float
        A name in ``SPECTRA``, or the amplitudes themselves.

    Returns
    -------
    frequencies, amplitudes : array, shape (notes * partials,)
        In hertz, rising, and in any unit.

    Raises
    ------
    BadInput
        If there is no note, or no spectrum of that name.
    """
    if len(midis) == 0:
        raise BadInput("voicing", "", "has no notes", accepted="MIDI note numbers")
    if isinstance(spectrum, str):
        if spectrum not in SPECTRA:
            raise BadInput("spectrum", spectrum, "none so named", accepted=", ".join(SPECTRA))
        spectrum = SPECTRA[spectrum]
    one = np.asarray(spectrum, dtype=np.float64)
    fundamentals = A4_HZ * 2.0 ** ((np.asarray(midis, dtype=np.float64) - A4_MIDI) / 12.0)
    frequencies = np.outer(fundamentals, np.arange(1, len(one) + 1)).ravel()
    amplitudes = np.tile(one, len(fundamentals))
    order = np.argsort(frequencies, kind="stable")
    return frequencies[order], amplitudes[order]


def sethares(frequencies: Floats, amplitudes: Floats) -> float:
    """Roughness after Sethares, each pair weighed by its weaker amplitude (2005)."""
    low, high, weaker, _ = _pairs(frequencies, amplitudes)
    return float(np.sum(weaker * _plomp_levelt(low, high, RISE) * SCALE))


def sethares_product(frequencies: Floats, amplitudes: Floats) -> float:
    """Roughness after Sethares, each pair weighed by the product of its amplitudes (1993)."""
    low, high, weaker, stronger = _pairs(frequencies, amplitudes)
    return float(np.sum(weaker * stronger * _plomp_levelt(low, high, RISE) * SCALE))


def hutchinson_knopoff(frequencies: Floats, amplitudes: Floats) -> float:
    """Roughness after Hutchinson & Knopoff 1978, 0 to about 1."""
    low, high, weaker, stronger = _pairs(frequencies, amplitudes)
    bandwidth = BANDWIDTH * ((low + high) / 2.0) ** BANDWIDTH_POWER
    apart = (high - low) / bandwidth
    curve = np.where(apart < WIDEST, (4.0 * apart * np.exp(1.0 - 4.0 * apart)) ** 2, 0.0)
    return float(np.sum(weaker * stronger * curve) / np.sum(amplitudes**2))


def vassilakis(frequencies: Floats, amplitudes: Floats) -> float:
    """Roughness after Vassilakis 2001."""
    low, high, weaker, stronger = _pairs(frequencies, amplitudes)
    intensity = (weaker * stronger) ** INTENSITY_POWER
    fluctuation = 0.5 * (2.0 * weaker / (weaker + stronger)) ** FLUCTUATION_POWER
    return float(np.sum(intensity * fluctuation * _plomp_levelt(low, high, VASSILAKIS_RISE)))


Model = Callable[[Floats, Floats], float]

#: The models by name. The first two are one model with two weights.
MODELS: dict[str, Model] = {
    "Sethares, weaker": sethares,
    "Sethares, product": sethares_product,
    "Hutchinson & Knopoff": hutchinson_knopoff,
    "Vassilakis": vassilakis,
}


def roughness(
    midis: Sequence[float],
    model: str = "Sethares, weaker",
    spectrum: str | Sequence[float] | Floats = "bright",
) -> float:
    """How rough some notes sound together.

    Parameters
    ----------
    midis : sequence of float
        MIDI note numbers.
    model : str
        A name in ``MODELS``.
    spectrum : str or sequence of float
        A name in ``SPECTRA``, or amplitudes of the partials.

    Raises
    ------
    BadInput
        If there is no such model or spectrum, or no note.

    Examples
    --------
    >>> half_step, fifth = roughness([60, 61]), roughness([60, 67])
    >>> half_step > 4 * fifth
    True
    """
    if model not in MODELS:
        raise BadInput("roughness model", model, "none so named", accepted=", ".join(MODELS))
    return MODELS[model](*partials(midis, spectrum))


def added_roughness(
    chord: Sequence[float],
    melody: float,
    model: str = "Sethares, weaker",
    spectrum: str | Sequence[float] | Floats = "bright",
) -> float:
    """How much rougher a melody note makes a chord, its own roughness left out.

    For Hutchinson & Knopoff, which is a share of the energy, that is the whole less the chord.
    """
    whole = roughness([*chord, melody], model, spectrum) - roughness(chord, model, spectrum)
    if MODELS[model] is hutchinson_knopoff:
        return whole
    return whole - roughness([melody], model, spectrum)


def third_excess(
    chord: Sequence[float],
    melody: float,
    third: float,
    model: str = "Sethares, weaker",
    spectrum: str | Sequence[float] | Floats = "bright",
) -> float:
    """How much rougher a melody note is over a chord than the chord's own third would be there.

    Parameters
    ----------
    chord : sequence of float
        MIDI note numbers of the voicing.
    melody, third : float
        The melody note and, near it, the chord's third.
    model : str
        A name in ``MODELS``.
    spectrum : str or sequence of float
        A name in ``SPECTRA``, or amplitudes of the partials.

    Examples
    --------
    A B-flat over the open G chord of a guitar, and over one played without its thirds:

    >>> full, thirdless = [43, 47, 50, 55, 59, 67], [43, 50, 55, 62, 67]
    >>> third_excess(thirdless, 70, 71) < 0.72 * third_excess(full, 70, 71)
    True
    """
    own = added_roughness(chord, third, model, spectrum)
    return added_roughness(chord, melody, model, spectrum) - own


def _pairs(frequencies: Floats, amplitudes: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Of every pair of partials the lower and higher frequency, and both amplitudes by size."""
    one, other = np.triu_indices(len(frequencies), 1)
    low = np.minimum(frequencies[one], frequencies[other])
    high = np.maximum(frequencies[one], frequencies[other])
    weaker = np.minimum(amplitudes[one], amplitudes[other])
    stronger = np.maximum(amplitudes[one], amplitudes[other])
    return low, high, weaker, stronger


def _plomp_levelt(low: Floats, high: Floats, rise: float) -> Floats:
    apart = (high - low) * PEAK / (WIDENING * low + WIDTH)
    curve: Floats = np.exp(-rise * apart) - np.exp(-FALL * apart)
    return curve
