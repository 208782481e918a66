"""Notes and pitches: spelling, MIDI numbers, frequencies."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from music21 import pitch as music21_pitch

from theorykit.errors import BadInput
from theorykit.theory.pitch import LETTERS, Note, Pitch, note_at_midi

notes = st.builds(Note, st.sampled_from(LETTERS), st.integers(-2, 2))
pitches = st.builds(Pitch, notes, st.integers(-1, 9))
steps = st.integers(-21, 21)
semitones = st.integers(-36, 36)

# 12-tone equal temperament at A4 = 440 Hz (ISO 16:1975), as acoustics handbooks tabulate it; from
# memory, to four places.
FREQUENCIES = [
    ("E2", 40, 82.4069),
    ("A2", 45, 110.0000),
    ("D3", 50, 146.8324),
    ("G3", 55, 195.9977),
    ("B3", 59, 246.9417),
    ("C4", 60, 261.6256),
    ("E4", 64, 329.6276),
    ("A4", 69, 440.0000),
    ("G9", 127, 12543.8540),
    ("C-1", 0, 8.1758),
]


@pytest.mark.parametrize(("name", "midi", "hz"), FREQUENCIES)
def test_midi_numbers_and_frequencies_are_those_of_the_handbooks(name, midi, hz):
    assert Pitch.parse(name).midi == midi
    assert Pitch.parse(name).hz == pytest.approx(hz, abs=6e-5)


@pytest.mark.parametrize(
    "name",
    [
        f"{letter}{sign}{octave}"
        for letter in "ABCDEFG"
        for sign in ("bb", "b", "", "#", "##")
        for octave in (0, 4, 8)
    ],
)
def test_every_spelling_sounds_as_in_music21(name):
    # music21 writes flats as '-'.
    other = music21_pitch.Pitch(name.replace("b", "-"))
    assert Pitch.parse(name).midi == other.ps
    assert Pitch.parse(name).hz == pytest.approx(other.frequency, rel=1e-9)


# The octave number changes at C by letter, not by sound (pitch notation; common practice).
@pytest.mark.parametrize(
    ("name", "midi"), [("B#3", 60), ("Cb4", 59), ("Cbb4", 58), ("B##3", 61), ("Fb4", 64)]
)
def test_octave_numbers_belong_to_the_letter(name, midi):
    assert Pitch.parse(name).midi == midi
    assert str(note_at_midi(Pitch.parse(name).note, midi)) == name


def test_flat_and_sharp_names_are_different_notes_with_one_pitch_class():
    assert Note.parse("Bb") != Note.parse("A#")
    assert Note.parse("Bb").pitch_class == Note.parse("A#").pitch_class == 10


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("B♭", "Bb"),
        ("F♯", "F#"),
        ("E♭♭", "Ebb"),
        ("E𝄫", "Ebb"),
        ("Fx", "F##"),
        ("F𝄪", "F##"),
        ("F♯♯", "F##"),
        (" G ", "G"),
    ],
)
def test_music_signs_and_letters_are_one_note(text, plain):
    assert str(Note.parse(text)) == plain


# Enharmonic pairs, the simpler name second (common practice).
@pytest.mark.parametrize(
    ("name", "simple"),
    [
        ("Cb", "B"),
        ("B#", "C"),
        ("E#", "F"),
        ("Fb", "E"),
        ("F##", "G"),
        ("Bbb", "A"),
        ("Cbb", "Bb"),
        ("B##", "C#"),
        ("Db", "Db"),
        ("F#", "F#"),
        ("G", "G"),
        ("Abb", "G"),
        ("E##", "F#"),
    ],
)
def test_simplified_keeps_the_sound_and_takes_the_plainest_name(name, simple):
    assert str(Note.parse(name).simplified()) == simple


@given(notes)
def test_notes_are_read_as_they_are_written(note):
    assert Note.parse(str(note)) == note
    assert Note.parse(note.pretty) == note


@given(pitches)
def test_pitches_are_read_as_they_are_written(pitch):
    assert Pitch.parse(str(pitch)) == pitch
    assert Pitch.parse(pitch.pretty) == pitch


@given(pitches, steps, semitones, steps, semitones)
def test_shifting_twice_is_shifting_by_the_sum(pitch, step, semitone, step2, semitone2):
    twice = pitch.shifted(step, semitone).shifted(step2, semitone2)
    assert twice == pitch.shifted(step + step2, semitone + semitone2)


@given(pitches, steps, semitones)
def test_shifting_there_and_back_changes_nothing(pitch, step, semitone):
    moved = pitch.shifted(step, semitone)
    assert moved.midi - pitch.midi == semitone
    assert moved.shifted(-step, -semitone) == pitch
    assert moved.note == pitch.note.shifted(step, semitone)


@given(pitches)
def test_an_octave_doubles_the_frequency(pitch):
    assert math.isclose(pitch.shifted(7, 12).hz, 2 * pitch.hz, rel_tol=1e-12)


@given(notes, st.integers(0, 127))
def test_a_note_stands_where_it_sounds_and_nowhere_else(note, midi):
    if (midi - note.pitch_class) % 12 == 0:
        assert note_at_midi(note, midi).midi == midi
        assert note_at_midi(note, midi).note == note
    else:
        with pytest.raises(BadInput, match="never sounds there"):
            note_at_midi(note, midi)


@given(notes)
def test_a_simplified_note_sounds_the_same_with_at_most_one_sign(note):
    simple = note.simplified()
    assert simple.pitch_class == note.pitch_class
    assert abs(simple.alter) <= 1
    assert simple.simplified() == simple
