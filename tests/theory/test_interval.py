"""Intervals: names, sizes, sums."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from music21 import interval as music21_interval
from music21 import pitch as music21_pitch

from theorykit.theory.interval import Interval
from theorykit.theory.pitch import LETTERS, Note, Pitch

notes = st.builds(Note, st.sampled_from(LETTERS), st.integers(-2, 2))
pitches = st.builds(Pitch, notes, st.integers(1, 6))
names = st.builds(
    lambda sign, quality, number: f"{sign}{quality}{number}",
    st.sampled_from(["", "-"]),
    st.sampled_from(["A", "d", "AA", "dd"]),
    st.integers(1, 22),
) | st.sampled_from(
    [
        f"{quality}{number}"
        for number in range(1, 23)
        for quality in (("P",) if number % 7 in {1, 4, 5} else ("M", "m"))
    ]
)

# Sizes in half steps (any theory handbook).
SIZES = [
    ("P1", 0),
    ("m2", 1),
    ("M2", 2),
    ("m3", 3),
    ("M3", 4),
    ("P4", 5),
    ("A4", 6),
    ("d5", 6),
    ("P5", 7),
    ("A5", 8),
    ("m6", 8),
    ("M6", 9),
    ("d7", 9),
    ("m7", 10),
    ("M7", 11),
    ("P8", 12),
    ("m9", 13),
    ("M9", 14),
    ("A9", 15),
    ("P11", 17),
    ("A11", 18),
    ("m13", 20),
    ("M13", 21),
    ("A1", 1),
    ("d2", 0),
    ("A2", 3),
    ("d4", 4),
    ("A6", 10),
    ("d8", 11),
    ("P15", 24),
    ("-M2", -2),
    ("-P5", -7),
]


@pytest.mark.parametrize(("name", "semitones"), SIZES)
def test_sizes_are_those_of_the_handbooks(name, semitones):
    assert Interval.parse(name).semitones == semitones


# Hand-spelled (any theory handbook).
@pytest.mark.parametrize(
    ("low", "high", "name"),
    [
        ("G", "Bb", "m3"),
        ("G", "A#", "A2"),
        ("B", "F", "d5"),
        ("F", "B", "A4"),
        ("Eb", "C#", "A6"),
        ("C", "C", "P1"),
        ("D", "Cb", "d7"),
        ("A", "C#", "M3"),
        ("Db", "Cb", "m7"),
        ("E", "Eb", "-A1"),
    ],
)
def test_intervals_between_notes(low, high, name):
    assert str(Interval.between(Note.parse(low), Note.parse(high))) == name


# music21 names nothing beyond four alterations, so both ends have at most one sign here.
plain_pitches = st.builds(
    Pitch, st.builds(Note, st.sampled_from(LETTERS), st.integers(-1, 1)), st.integers(1, 6)
)


@given(plain_pitches, plain_pitches)
def test_intervals_between_pitches_are_those_of_music21(low, high):
    ours = Interval.between(low, high)
    other = music21_interval.Interval(
        music21_pitch.Pitch(str(low).replace("b", "-")),
        music21_pitch.Pitch(str(high).replace("b", "-")),
    )
    assert ours.semitones == other.semitones
    # music21 counts a downward interval from -2 and a unison as 1; it has no sign on a lowered
    # unison, so names are compared for real upward steps.
    if ours.steps > 0:
        assert str(ours) == other.name


@given(names)
def test_names_are_read_as_they_are_written(name):
    interval = Interval.parse(name)
    assert Interval.parse(str(interval)) == interval


@given(pitches, pitches)
def test_an_interval_leads_from_its_low_to_its_high_pitch(low, high):
    interval = Interval.between(low, high)
    assert low.shifted(interval.steps, interval.semitones) == high
    assert interval.above(low.note) == high.note


@given(notes, names, names)
def test_intervals_act_on_notes_as_a_group(note, first, second):
    one, two = Interval.parse(first), Interval.parse(second)
    assert two.above(one.above(note)) == (one + two).above(note)
    assert (-one).above(one.above(note)) == note
    assert one + (-one) == Interval(0, 0)


def test_notes_and_pitches_do_not_mix():
    with pytest.raises(TypeError, match="two notes or between two pitches"):
        Interval.between(Note.parse("C"), Pitch.parse("C4"))
