"""The three roughness models against published and derived values."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from theorykit.analysis import roughness as models
from theorykit.analysis.roughness import (
    MODELS,
    SPECTRA,
    added_roughness,
    hutchinson_knopoff,
    partials,
    roughness,
    sethares,
    sethares_product,
    third_excess,
    vassilakis,
)
from theorykit.errors import BadInput

#: Common practice: a guitar's open G chord, and the same with no third in it.
OPEN_G = [43, 47, 50, 55, 59, 67]  # 320003
THIRDLESS_G = [43, 50, 55, 62, 67]  # 3x0033

#: Hutchinson & Knopoff 1978, as Huron 1994 gives them; from memory. Half steps and roughness.
DYADS = {
    1: 0.4886,
    2: 0.2690,
    3: 0.1109,
    4: 0.0551,
    5: 0.0451,
    6: 0.0930,
    7: 0.0221,
    8: 0.0843,
    9: 0.0477,
    10: 0.0998,
    11: 0.2312,
    12: 0.0014,
}


def dyads():
    return {size: roughness([60, 60 + size], "Hutchinson & Knopoff") for size in DYADS}


def test_the_dyads_of_hutchinson_and_knopoff():
    ours = dyads()
    for size, published in DYADS.items():
        assert ours[size] == pytest.approx(published, abs=0.02)


def test_the_dyads_come_in_the_published_order():
    # Values nearer to one another than the tolerance may trade places.
    ours = dyads()
    for one, first in DYADS.items():
        for other, second in DYADS.items():
            if second - first > 0.02:
                assert ours[one] < ours[other]


@pytest.mark.parametrize(("rise", "peak"), [(3.51, 0.22035), (3.5, 0.22064)])
def test_where_the_curve_peaks(rise, peak):
    # Derived: x = ln(b2 / b1) / (b2 - b1), for the constants of Sethares 1993.
    assert math.log(models.FALL / rise) / (models.FALL - rise) == pytest.approx(peak, abs=5e-6)
    # On our own curve, for two pure tones of unit amplitude, the lower at 500 Hz.
    width = (models.WIDENING * 500 + models.WIDTH) / models.PEAK
    places = np.linspace(0.1, 0.4, 3001)
    model = sethares if rise == models.RISE else vassilakis
    values = [model(np.array([500.0, 500.0 + x * width]), np.ones(2)) for x in places]
    assert places[int(np.argmax(values))] == pytest.approx(peak, abs=2e-4)
    if model is sethares:
        assert max(values) == pytest.approx(0.8988, abs=5e-5)


def test_the_constants():
    # Sethares 1993, Hutchinson & Knopoff 1978, Vassilakis 2001; from memory.
    assert (models.RISE, models.FALL, models.SCALE) == (3.51, 5.75, 5.0)
    assert (models.PEAK, models.WIDENING, models.WIDTH) == (0.24, 0.0207, 18.96)
    assert (models.BANDWIDTH, models.BANDWIDTH_POWER, models.WIDEST) == (1.72, 0.65, 1.2)
    assert models.VASSILAKIS_RISE == 3.5
    assert (models.INTENSITY_POWER, models.FLUCTUATION_POWER) == (0.1, 3.11)


def minima(count):
    """The ratios at which two tones of ``count`` partials are least rough, 1 to 2.1."""
    low, order = 261.63, np.arange(1, count + 1)
    amplitudes = np.tile(0.88 ** (order - 1), 2)
    ratios = np.exp(np.linspace(0, math.log(2.1), 3001))
    values = np.array(
        [
            sethares_product(np.concatenate([low * order, low * ratio * order]), amplitudes)
            for ratio in ratios
        ]
    )
    inner = (values[1:-1] < values[:-2]) & (values[1:-1] < values[2:])
    return ratios[1:-1][inner]


@pytest.mark.parametrize(
    ("count", "expected"),
    [
        # Plomp & Levelt 1965; Sethares 1993: six harmonics, then what a seventh adds.
        (6, [6 / 5, 5 / 4, 4 / 3, 3 / 2, 5 / 3, 2]),
        (7, [7 / 6, 6 / 5, 5 / 4, 4 / 3, 7 / 5, 3 / 2, 5 / 3, 7 / 4, 2]),
    ],
)
def test_the_curve_is_least_at_the_just_intervals(count, expected):
    assert minima(count) == pytest.approx(expected, abs=2e-3)


def test_the_formulas_by_hand_for_two_pure_tones():
    low, high, strong, weak = 440.0, 466.16, 1.0, 0.5
    frequencies, amplitudes = np.array([low, high]), np.array([strong, weak])
    apart = (high - low) * 0.24 / (0.0207 * low + 18.96)
    curve = math.exp(-3.51 * apart) - math.exp(-5.75 * apart)
    assert sethares(frequencies, amplitudes) == pytest.approx(5 * 0.5 * curve)
    assert sethares_product(frequencies, amplitudes) == pytest.approx(5 * 0.5 * 1.0 * curve)
    bandwidths = (high - low) / (1.72 * ((low + high) / 2) ** 0.65)
    dissonance = (4 * bandwidths * math.exp(1 - 4 * bandwidths)) ** 2
    assert hutchinson_knopoff(frequencies, amplitudes) == pytest.approx(
        0.5 * dissonance / (1 + 0.25)
    )
    other = math.exp(-3.5 * apart) - math.exp(-5.75 * apart)
    assert vassilakis(frequencies, amplitudes) == pytest.approx(
        0.5**0.1 * 0.5 * (2 * 0.5 / 1.5) ** 3.11 * other
    )


def test_beyond_the_widest_interval_hutchinson_and_knopoff_hear_nothing():
    assert hutchinson_knopoff(np.array([440.0, 880.0]), np.ones(2)) == 0.0


def test_the_partials():
    frequencies, amplitudes = partials([69], [1.0, 0.5, 0.25])
    assert frequencies == pytest.approx([440, 880, 1320])
    assert amplitudes == pytest.approx([1.0, 0.5, 0.25])
    frequencies, _ = partials([69, 57], "geometric")
    assert list(frequencies) == sorted(frequencies)
    assert len(frequencies) == 14


def test_the_spectra():
    # Stipulated: ten partials falling as 1/n, Sethares's seven, and a pluck at a seventh.
    assert SPECTRA["bright"] == pytest.approx([1 / n for n in range(1, 11)])
    assert SPECTRA["geometric"] == pytest.approx([0.88**n for n in range(7)])
    assert SPECTRA["plucked"][0] == pytest.approx(1.0)
    assert SPECTRA["plucked"][6] == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize("model", sorted(MODELS))
@pytest.mark.parametrize("spectrum", sorted(SPECTRA))
def test_leaving_out_the_third_takes_away_rub(model, spectrum):
    # Measured: with B-flat on top of the open G chord, its excess over the chord's own third
    # falls by 28 to 60 in a hundred when the thirds are left out.
    full = third_excess(OPEN_G, 70, 71, model, spectrum)
    thirdless = third_excess(THIRDLESS_G, 70, 71, model, spectrum)
    assert 0.27 < 1 - thirdless / full < 0.61


def test_the_fall_spans_what_was_measured():
    falls = [
        1 - third_excess(THIRDLESS_G, 70, 71, m, s) / third_excess(OPEN_G, 70, 71, m, s)
        for m in MODELS
        for s in SPECTRA
    ]
    assert len(falls) == 12
    assert (min(falls), max(falls)) == pytest.approx((0.276, 0.604), abs=5e-4)


def test_roughness_must_not_decide_what_to_play():
    # Measured: over a D chord G is rougher than B-flat, though it is B-flat that players leave out.
    d_chord = [50, 57, 62, 66]
    assert added_roughness(d_chord, 67) > added_roughness(d_chord, 70)


chord_notes = st.lists(st.integers(40, 80), min_size=1, max_size=5, unique=True)


@given(chord_notes, st.sampled_from(sorted(MODELS)), st.sampled_from(sorted(SPECTRA)))
def test_the_order_of_the_notes_does_not_count_and_nothing_is_negative(notes, model, spectrum):
    value = roughness(notes, model, spectrum)
    assert value >= 0.0
    assert roughness(notes[::-1], model, spectrum) == pytest.approx(value)


@given(chord_notes, st.sampled_from(sorted(MODELS)))
def test_louder_is_as_rough_or_scales_as_the_model_says(notes, model):
    quiet, loud = (roughness(notes, model, factor * SPECTRA["bright"]) for factor in (1.0, 2.0))
    factor = {
        "Sethares, weaker": 2.0,
        "Sethares, product": 4.0,
        "Hutchinson & Knopoff": 1.0,
        "Vassilakis": 2.0**0.2,
    }[model]
    assert loud == pytest.approx(factor * quiet)


def test_the_melody_note_is_weighed_by_what_it_adds():
    alone, chord = [70], THIRDLESS_G
    for model in ("Sethares, weaker", "Vassilakis"):
        added = roughness([*chord, 70], model) - roughness(chord, model) - roughness(alone, model)
        assert added_roughness(chord, 70, model) == pytest.approx(added)
    share = roughness([*chord, 70], "Hutchinson & Knopoff") - roughness(
        chord, "Hutchinson & Knopoff"
    )
    assert added_roughness(chord, 70, "Hutchinson & Knopoff") == pytest.approx(share)
    assert third_excess(chord, 71, 71) == 0.0


def test_bad_input():
    with pytest.raises(BadInput, match="roughness model"):
        roughness([60], "Helmholtz")
    with pytest.raises(BadInput, match="accepted: bright, geometric, plucked"):
        roughness([60], spectrum="dark")
    with pytest.raises(BadInput, match="has no notes"):
        roughness([])
