"""Where notes go, by hand, and what every resolution has to be."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from theorykit.analysis.advice import advise
from theorykit.analysis.fit import fit
from theorykit.analysis.resolution import resolve, resolve_watched
from theorykit.analysis.style import STYLES, find_style
from theorykit.analysis.wording import fill
from theorykit.theory.form import FORMS
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.scale import SCALES, find_scale

#: Common practice, worked out by hand in G: scale, chord, note, the words of each resolution.
BY_HAND = [
    ("minor pentatonic", "V", "Bb", ["Bb goes down a half step to A, the fifth"]),
    (
        "minor pentatonic",
        "I",
        "Bb",
        ["Bb goes up a half step to B, the third"],
    ),
    ("minor pentatonic", "V", "G", ["G goes down a half step to F#, the third"]),
    (
        "minor pentatonic",
        "I",
        "C",
        ["C goes down a half step to B, the third", "C goes up a whole step to D, the fifth"],
    ),
    (
        "major",
        "V",
        "E",
        ["E goes down a whole step to D, the root", "E goes up a whole step to F#, the third"],
    ),
    ("major", "bVII", "F#", ["F# goes down a half step to F, the root"]),
    ("major", "I", "D", []),
]


@pytest.mark.parametrize(("scale", "chord", "note", "words"), BY_HAND)
def test_resolutions_by_hand(scale, chord, note, words):
    tonic, numeral = Note.parse("G"), Numeral.parse(chord)
    notes = fit(find_scale(scale), numeral, find_style("bluegrass")).notes
    (found,) = [n for n in notes if str(n.degree.at(tonic)) == note]
    steps = resolve(found, numeral)
    told = [fill(step.words, tonic) for step in steps]
    assert told[: len(words)] == words
    assert bool(told) == bool(words)


@given(
    st.sampled_from(sorted(SCALES)),
    st.sampled_from(sorted({str(c.numeral) for form in FORMS.values() for c in form.chords})),
    st.sampled_from(["major", "minor"]),
)
def test_every_resolution_is_a_step_to_a_chord_tone(scale, chord, mode):
    numeral = Numeral.parse(chord)
    for note in fit(SCALES[scale], numeral, find_style("jazz"), mode).notes:
        steps = resolve(note, numeral)
        for step in steps:
            assert abs(step.half_steps) in {1, 2}
            landed = (note.degree.semitones + step.half_steps) % 12
            assert landed == step.to.semitones % 12
            assert step.to in numeral.members
        if note.kind.name == "chord tone":
            assert steps == ()
        elif note.kind.rubs_against:
            assert steps[0].member == note.member
            assert steps[0].half_steps == note.kind.rubs_against


@given(
    st.sampled_from(sorted(SCALES)),
    st.sampled_from(sorted({str(c.numeral) for form in FORMS.values() for c in form.chords})),
    st.sampled_from(sorted(STYLES)),
)
def test_every_watched_note_resolves(scale, chord, style):
    advice = advise(SCALES[scale], Numeral.parse(chord), STYLES[style])
    assert [step.note for step in resolve_watched(advice)] == list(advice.watch)
