"""The sentences, word for word, and the tokens in them."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from theorykit.analysis.advice import advise
from theorykit.analysis.style import STYLES, find_style
from theorykit.analysis.wording import (
    TOKEN,
    chord_words,
    fill,
    scale_words,
    token,
    token_degree,
)
from theorykit.theory.degree import Degree
from theorykit.theory.form import FORMS
from theorykit.theory.key import TONICS
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.scale import SCALES, find_scale

#: Typed by hand: scale, chord, style, mode, beats, key, the sentence, the bar's few words.
SENTENCES = [
    (
        ("minor pentatonic", "V", "bluegrass", "major", 4, "G"),
        (
            "Over D, leave G minor pentatonic for D minor pentatonic: Bb lies a half step above A, "
            "the fifth; A takes its place."
        ),
        "switch to D minor pentatonic",
    ),
    (
        ("minor pentatonic", "V7", "bluegrass", "major", 4, "Db"),
        (
            "Over Ab7, leave Db minor pentatonic for Ab minor pentatonic: Fb lies "
            "a half step above "
            "Eb, the fifth; Eb takes its place."
        ),
        "switch to Ab minor pentatonic",
    ),
    (
        ("minor pentatonic", "V7", "blues", "major", 4, "G"),
        (
            "Over D7, stay on G minor pentatonic and pass through Bb: Bb lies a half step above A, "
            "the fifth."
        ),
        "pass through Bb",
    ),
    (
        ("minor pentatonic", "V", "bluegrass", "major", 1, "A"),
        (
            "Over E, stay on A minor pentatonic but leave out C: C lies a half step above B, the "
            "fifth."
        ),
        "leave out C",
    ),
    (
        ("minor pentatonic", "I", "bluegrass", "major", 4, "Bb"),
        "Over Bb, stay on Bb minor pentatonic: Db is a blue note, a half step below D, the third.",
        "stay",
    ),
    (
        ("blues", "I", "bluegrass", "major", 4, "C"),
        (
            "Over C, stay on C blues: Eb and Gb are blue notes, a half step below E, the third, "
            "and G, the fifth."
        ),
        "stay",
    ),
    (
        ("blues", "IV", "bluegrass", "major", 4, "Ab"),
        "Over Db, stay on Ab blues and pass through D: D lies a half step above Db, the root.",
        "pass through D",
    ),
    (
        ("minor pentatonic", "I5", "bluegrass", "major", 4, "G"),
        "Over G5, stay on G minor pentatonic: no note of it rubs.",
        "stay",
    ),
    (
        ("major pentatonic", "IV", "country", "major", 4, "D"),
        "Over G, stay on D major pentatonic: no note of it rubs.",
        "stay",
    ),
    (
        ("major", "I", "bluegrass", "major", 4, "G"),
        "Over G, stay on G major: C passes, a half step above B, the third.",
        "stay",
    ),
    (
        ("harmonic minor", "V7", "jazz", "minor", 4, "A"),
        (
            "Over E7, stay on A harmonic minor and pass through A: A lies a half step above G#, "
            "the third."
        ),
        "pass through A",
    ),
    (
        ("harmonic minor", "V7", "blues", "minor", 4, "A"),
        (
            "Over E7, stay on A harmonic minor: A passes, a half step above G#, the third; C is a "
            "tension, a half step above B, the fifth; F is a tension, a half step above E, the "
            "root."
        ),
        "stay",
    ),
    (
        ("1 #1 2 4 6", "ii", "bluegrass", "major", 4, "C"),
        "Over Dm, stay on C 1 #1 2 4 6: C# leads up, a half step below D, the root.",
        "stay",
    ),
    (
        ("chord tones", "V7", "jazz", "major", 4, "F"),
        "Over C7, its own notes are C, E, G and Bb: rest on any of them.",
        "stay",
    ),
    (
        ("natural minor", "V7", "classical", "minor", 4, "E"),
        (
            "Over B7, leave E natural minor for E harmonic minor: D lies a half step below D#, the "
            "third; D# takes its place."
        ),
        "switch to E harmonic minor",
    ),
    (
        ("minor pentatonic", "ii", "bluegrass", "major", 4, "G"),
        (
            "Over Am, leave G minor pentatonic for A minor pentatonic: Bb lies a "
            "half step above A, "
            "the root; F lies a half step above E, the fifth; A and E take their place."
        ),
        "switch to A minor pentatonic",
    ),
    (
        ("blues", "V", "classical", "major", 4, "C"),
        (
            "Over G, stay on C blues but leave out Eb and Bb and pass through Gb: Eb lies a half "
            "step above D, the fifth; Bb lies a half step below B, the third; Gb lies a half step "
            "below G, the root."
        ),
        "leave out Eb and Bb",
    ),
    (
        ("major", "bVII", "bluegrass", "major", 4, "D"),
        "Over C, stay on D major and pass through C#: C# lies a half step above C, the root.",
        "pass through C#",
    ),
]


@pytest.mark.parametrize(("question", "sentence", "short"), SENTENCES)
def test_the_sentence_word_for_word(question, sentence, short):
    scale, chord, style, mode, beats, key = question
    advice = advise(
        find_scale(scale), Numeral.parse(chord), find_style(style), mode, Fraction(beats)
    )
    assert fill(advice.reason, Note.parse(key)) == sentence
    assert fill(advice.short, Note.parse(key)) == short


def test_a_template_names_degrees_and_no_key():
    advice = advise(find_scale("minor pentatonic"), Numeral.parse("V7"), find_style("country"))
    assert advice.reason == (
        "Over {5:7}, leave {1} minor pentatonic for {5} minor pentatonic: "
        "{b3} lies a half step above {2}, the fifth; {2} takes its place."
    )


def test_music_signs_for_print():
    assert fill("{b3} over {b7:7b9}", Note.parse("Bb"), pretty=True) == "D♭ over A♭7♭9"
    assert fill("{#4|b5}", Note.parse("E"), pretty=True) == "A♯"


def test_a_slash_chord_names_its_bass():
    assert fill(chord_words(Numeral.parse("I/3")), Note.parse("G")) == "G/B"
    assert fill(chord_words(Numeral.parse("V7/V")), Note.parse("G")) == "A7"


def test_a_scale_s_words():
    dominant = Numeral.parse("V7")
    assert scale_words(find_scale("blues"), Degree(5), dominant) == "{5} blues"
    tones = scale_words(find_scale("chord tones"), Degree(5), dominant)
    assert fill(tones, Note.parse("C")) == "the G7 chord tones"


def test_a_token_with_two_spellings_prints_the_simpler_one():
    both = token(Degree.parse("b5"), Degree.parse("#4"))
    assert both == "b5|#4"
    assert str(token_degree(both, Note.parse("C"))) == "b5"
    assert str(token_degree(both, Note.parse("Gb"))) == "#4"
    assert token(Degree.parse("b3")) == "b3"


@given(
    st.sampled_from(sorted(SCALES)),
    st.sampled_from(sorted({str(c.numeral) for form in FORMS.values() for c in form.chords})),
    st.sampled_from(sorted(STYLES)),
    st.sampled_from(["major", "minor"]),
    st.sampled_from([Fraction(1), Fraction(4)]),
    st.sampled_from(TONICS),
)
def test_every_sentence_is_whole_and_plain(scale, chord, style, mode, beats, tonic):
    advice = advise(SCALES[scale], Numeral.parse(chord), STYLES[style], mode, beats)
    for template in (advice.reason, advice.short):
        for match in TOKEN.finditer(template):
            first, _, second = match[1].partition("|")
            assert abs(Degree.parse(first).alter) <= 2
            assert second == "" or Degree.parse(second)
        filled = fill(template, tonic)
        assert not set("{}|") & set(filled)
        assert "None" not in filled
        assert "  " not in filled
    text = fill(advice.reason, tonic)
    assert text.startswith("Over ")
    assert text.endswith(".")
    assert text.count(".") == 1
    watched = advice.fit.unwanted if advice.verdict == "switch" else advice.watch
    names = [f"{{{token(note.degree, note.alternate)}}}" for note in watched]
    assert all(name in advice.reason for name in names)
