"""Scores in other keys."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from music21 import interval, pitch

from theorykit.score.score import Part, PlacedChord, Score, ScoreNote
from theorykit.score.transposed import transposed
from theorykit.theory.chord import Chord
from theorykit.theory.key import TONICS, Key
from theorykit.theory.pitch import Note, Pitch


def score_of(names: str, key: str) -> Score:
    pitches = [Pitch.parse(name) for name in names.split()]
    notes = tuple(
        ScoreNote(Fraction(at), Fraction(1), each.midi, each, string=1, fret=2, finger=1)
        for at, each in enumerate(pitches)
    )
    chord = PlacedChord(Fraction(0), Fraction(4), Chord.parse("F#m7"))
    home = Key.parse(key)
    return Score((Part("line", notes, "guitar"),), (chord,), key=home, keys=((Fraction(0), home),))


def names(score: Score) -> str:
    return " ".join(str(note.pitch) for note in score.part("line").notes)


def test_a_tune_moves_to_the_nearest_of_its_key() -> None:
    # D up to F is a minor third, D down to Bb a major third (any handbook of keys).
    tune = score_of("D4 F#4 A4 G#4", "D")
    up, down = transposed(tune, Note.parse("F")), transposed(tune, Note.parse("Bb"))
    assert names(up) == "F4 A4 C5 B4"
    assert names(down) == "Bb3 D4 F4 E4"
    assert (str(up.key), str(up.chords[0].chord)) == ("F major", "Am7")
    assert [str(key) for _, key in down.keys] == ["Bb major"]
    assert all(note.string is None and note.finger is None for note in up.part("line").notes)


def test_the_octave_that_can_be_played_is_taken() -> None:
    # A bass from E1 up to C3: D4 to A4 lies two octaves above.
    tune = score_of("D4 F#4 A4", "D")
    assert names(transposed(tune, Note.parse("D"), compass=range(28, 49))) == "D2 F#2 A2"
    assert names(transposed(tune, Note.parse("D"), compass=range(55, 89))) == "D4 F#4 A4"


def test_nothing_leaves_the_range_of_midi() -> None:
    low = score_of("C-1 G9", "C")
    moved = transposed(low, Note.parse("F#"))
    assert [note.midi % 12 for note in moved.part("line").notes] == [6, 1]
    assert all(0 <= note.midi <= 127 for note in moved.part("line").notes)


def test_a_score_without_a_key_stays() -> None:
    tune = Score((Part("line", (ScoreNote(Fraction(0), Fraction(1), 62),), "guitar"),))
    assert transposed(tune, Note.parse("G")) is tune


@pytest.mark.parametrize("home", ["C", "Eb", "F#", "A minor"])
@given(tonic=st.sampled_from(TONICS), degrees=st.lists(st.sampled_from(range(7)), min_size=1))
def test_music21_spells_it_the_same(home: str, tonic: Note, degrees: list[int]) -> None:
    key = Key.parse(home)
    start = Pitch.parse(f"{key.tonic}4")
    steps = [start.shifted(each, (0, 2, 4, 5, 7, 9, 11)[each]) for each in degrees]
    tune = score_of(" ".join(map(str, steps)), home)
    moved = transposed(tune, tonic)
    spelled = [name.replace("b", "-") for name in names(moved).split()]
    by = interval.Interval(
        pitch.Pitch(names(tune).split()[0].replace("b", "-")), pitch.Pitch(spelled[0])
    )
    assert abs(by.semitones) <= 6
    expected = [
        by.transposePitch(pitch.Pitch(name.replace("b", "-")), maxAccidental=None).nameWithOctave
        for name in names(tune).split()
    ]
    assert spelled == expected
