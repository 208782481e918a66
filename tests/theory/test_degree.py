"""Degrees: numbers against the major scale, and the notes that they name."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from theorykit.theory.degree import ORDINALS, Degree
from theorykit.theory.pitch import LETTERS, Note

notes = st.builds(Note, st.sampled_from(LETTERS), st.integers(-2, 2))
degrees = st.builds(Degree, st.integers(1, 13), st.integers(-2, 2))
simple_degrees = st.builds(Degree, st.integers(1, 7), st.integers(-1, 1))


# Half steps above the tonic (any theory handbook).
@pytest.mark.parametrize(
    ("text", "semitones"),
    [
        ("1", 0),
        ("b2", 1),
        ("2", 2),
        ("#2", 3),
        ("b3", 3),
        ("3", 4),
        ("4", 5),
        ("#4", 6),
        ("b5", 6),
        ("5", 7),
        ("#5", 8),
        ("b6", 8),
        ("6", 9),
        ("bb7", 9),
        ("b7", 10),
        ("7", 11),
        ("8", 12),
        ("b9", 13),
        ("9", 14),
        ("#9", 15),
        ("11", 17),
        ("#11", 18),
        ("b13", 20),
        ("13", 21),
    ],
)
def test_degrees_have_the_handbooks_sizes(text, semitones):
    assert Degree.parse(text).semitones == semitones


# Hand-spelled (common practice).
@pytest.mark.parametrize(
    ("degree", "tonic", "note"),
    [
        ("b3", "G", "Bb"),
        ("b3", "A", "C"),
        ("b7", "D", "C"),
        ("#4", "F", "B"),
        ("b5", "Eb", "Bbb"),
        ("7", "F#", "E#"),
        ("7", "G#", "F##"),
        ("b6", "Gb", "Ebb"),
        ("bb7", "B", "Ab"),
        ("#9", "E", "F##"),
        ("b9", "A", "Bb"),
        ("13", "C", "A"),
    ],
)
def test_a_degree_fixes_the_letter(degree, tonic, note):
    assert str(Degree.parse(degree).at(Note.parse(tonic))) == note


@pytest.mark.parametrize(
    ("base", "other", "total"),
    [
        ("5", "b7", "4"),
        ("2", "3", "#4"),
        ("b3", "3", "5"),
        ("4", "b7", "b3"),
        ("b7", "5", "4"),
        ("7", "b3", "2"),
        ("5", "9", "6"),
        ("b2", "b7", "b1"),
        ("4", "4", "b7"),
    ],
)
def test_degrees_counted_from_a_degree(base, other, total):
    assert str(Degree.parse(base).plus(Degree.parse(other))) == total


def test_every_degree_has_a_word():
    assert [ORDINALS[number] for number in (1, 3, 5, 7)] == ["root", "third", "fifth", "seventh"]
    assert [Degree(number).ordinal for number in range(1, 14)] == list(ORDINALS.values())


@given(degrees)
def test_degrees_are_read_as_they_are_written(degree):
    assert Degree.parse(str(degree)) == degree
    assert Degree.parse(degree.pretty) == degree


@given(notes, notes)
def test_between_undoes_at(tonic, note):
    assert Degree.between(tonic, note).at(tonic) == note


@given(notes, degrees)
def test_at_undoes_between_within_the_octave(tonic, degree):
    back = Degree.between(tonic, degree.at(tonic))
    assert back.number == (degree.number - 1) % 7 + 1
    assert back.alter == degree.alter


@given(notes, simple_degrees, simple_degrees)
def test_plus_is_at_after_at(tonic, base, other):
    assert base.plus(other).at(tonic) == other.at(base.at(tonic))


@given(simple_degrees, simple_degrees)
def test_minus_undoes_plus(base, other):
    assert base.plus(other).minus(base) == other
