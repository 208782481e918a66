"""Scales in order of how well they serve."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from theorykit.analysis.fit import fit
from theorykit.analysis.ranking import rank_scales
from theorykit.analysis.style import CLASSES, STYLES, find_style
from theorykit.analysis.wording import fill
from theorykit.theory.degree import Degree
from theorykit.theory.form import FORMS
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.scale import SCALES, ScaleFormula, find_scale

STRING_BAND = [
    find_scale(name) for name in ("major pentatonic", "minor pentatonic", "major", "blues")
]


def names(ranking, tonic="G"):
    return [fill(place.name, Note.parse(tonic)) for place in ranking]


def test_over_five_the_lowered_third_puts_a_scale_last():
    # Common practice, in G: the key's minor pentatonic and blues scale have B-flat over D.
    ranking = names(rank_scales(Numeral.parse("V"), find_style("bluegrass"), scales=STRING_BAND))
    assert set(ranking[-2:]) == {"G minor pentatonic", "G blues"}
    assert ranking[0] in {"D major pentatonic", "G major", "D major"}


def test_over_four_in_blues_style_the_key_s_own_scales_come_before_four_s():
    # Common practice: over IV one stays.
    scales = [find_scale("minor pentatonic")]
    ranking = rank_scales(Numeral.parse("IV7"), find_style("bluegrass"), scales=scales)
    assert next(str(place.tonic) for place in ranking) in {"1", "4"}
    assert all(not place.fit.unwanted for place in ranking)


@pytest.mark.parametrize(
    ("scale", "tonic", "reason"),
    [
        ("minor pentatonic", "1", "Bb rubs a half step above A, the fifth; it lacks F# and A"),
        ("major pentatonic", "5", "no note calls for care; it has every chord tone"),
        ("minor pentatonic", "5", "no note calls for care; it lacks F#"),
    ],
)
def test_the_reason_in_words(scale, tonic, reason):
    ranking = rank_scales(
        Numeral.parse("V"),
        find_style("bluegrass"),
        scales=[find_scale(scale)],
        tonics=[Degree.parse(tonic)],
    )
    (place,) = ranking
    assert fill(place.reason, Note.parse("G")) == reason


def test_a_note_to_pass_is_told_after_one_to_leave_out():
    (place,) = rank_scales(
        Numeral.parse("V"),
        find_style("jazz"),
        scales=[find_scale("minor pentatonic")],
        tonics=[Degree(1)],
    )
    assert fill(place.reason, Note.parse("G")) == (
        "Bb rubs a half step above A, the fifth; G passes a half step above F#, the third; "
        "it lacks F# and A"
    )


def test_ties_go_to_the_key_s_tonic_and_then_to_the_order_given():
    twins = [find_scale("1 2 3"), find_scale("1 2 3 4 5 6 7")]
    over = Numeral.parse("I")
    ranking = rank_scales(over, find_style("bluegrass"), scales=twins, tonics=[Degree(1)] * 2)
    assert len(ranking) == 2
    flat = find_style("bluegrass").edited("flat", dict.fromkeys(CLASSES, 0.0))
    every = find_scale("chromatic")
    whole = [every, ScaleFormula("every note", every.degrees)]
    ranking = rank_scales(Numeral.parse("V"), flat, scales=whole)
    order = [(place.scale.name, str(place.tonic)) for place in ranking]
    first, second = whole[0].name, whole[1].name
    assert order == [(first, "1"), (second, "1"), (first, "5"), (second, "5")]


def test_the_chord_s_own_tones_are_ranked_on_its_root_only():
    tones = [find_scale("chord tones"), find_scale("minor pentatonic")]
    ranking = rank_scales(Numeral.parse("V7"), find_style("jazz"), scales=tones)
    assert names(ranking)[0] == "the D7 chord tones"
    assert len(ranking) == 3


def test_the_whole_catalogue_if_none_is_given():
    ranking = rank_scales(Numeral.parse("V"), find_style("jazz"))
    left_out = {"chord tones", "chromatic"}
    assert {place.scale.name for place in ranking} == set(SCALES) - left_out
    assert len(ranking) == 2 * (len(SCALES) - 2)


@given(
    st.sampled_from(sorted({str(c.numeral) for form in FORMS.values() for c in form.chords})),
    st.sampled_from(sorted(STYLES)),
    st.sampled_from(["major", "minor", "Dorian", "Mixolydian"]),
)
def test_a_ranking_is_in_order_and_its_figures_are_the_fit_s(chord, style, mode):
    numeral = Numeral.parse(chord)
    ranking = rank_scales(numeral, STYLES[style], mode)
    assert [place.rank for place in ranking] == list(range(1, len(ranking) + 1))
    keys = [(len(place.fit.unwanted), -place.fit.score) for place in ranking]
    assert keys == sorted(keys)
    for place in ranking[:5]:
        again = fit(place.scale, numeral, STYLES[style], mode, tonic=place.tonic)
        assert again.notes == place.fit.notes
        assert again.score == place.fit.score
