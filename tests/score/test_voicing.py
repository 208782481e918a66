"""Voicings and runs: what a chosen instrument can hold, in its own compass."""

from __future__ import annotations

import pytest

from theorykit.errors import BadInput
from theorykit.instruments.catalogue import find_instrument
from theorykit.score.arrange import arrange
from theorykit.score.comp import close_voicing
from theorykit.score.run import scale_run
from theorykit.score.voicing import shape_voicings
from theorykit.theory.chord import Chord
from theorykit.theory.key import TONICS
from theorykit.theory.scale import Scale

SUFFIXES = ("", "m", "7", "m7", "maj7", "m7b5", "dim7", "5", "7sus4", "9", "13", "6")


@pytest.mark.parametrize("suffix", SUFFIXES)
def test_a_close_voicing_has_the_tones_that_name_the_chord(suffix: str) -> None:
    for tonic in TONICS:
        chord = Chord.parse(f"{tonic}{suffix}")
        midis = close_voicing(chord.root.pitch_class, chord.type.semitones)
        assert midis == sorted(set(midis))
        assert midis[0] >= 55
        assert midis[-1] < 67
        assert 2 <= len(midis) <= 4
        above = {(midi - chord.root.pitch_class) % 12 for midi in midis}
        assert above <= set(chord.type.semitones)
        # Third and seventh say what a chord is; they are never left out (common practice).
        assert {3, 4, 10, 11} & set(chord.type.semitones) <= above


@pytest.mark.parametrize("name", ["guitar", "mandolin", "banjo", "ukulele"])
def test_shapes_sound_the_chord_and_keep_out_of_the_bass(name: str) -> None:
    voicing = shape_voicings(find_instrument(name))
    for suffix in ("", "m", "7", "5"):
        for tonic in TONICS:
            chord = Chord.parse(f"{tonic}{suffix}")
            midis = voicing(chord)
            assert midis is not None
            classes = {note.pitch_class for note in chord.notes}
            assert {midi % 12 for midi in midis} <= classes
            assert min(midis) >= 45
            assert len(midis) <= 4


def test_a_mandolin_chops_the_shape_that_players_take_for_g() -> None:
    # 0023, any chord chart for mandolin: G3 D4 B4 G5.
    score = arrange("I-V-vi-IV", "G", voicings=shape_voicings(find_instrument("mandolin")))
    first = [note.midi for note in score.part("comp").notes if note.start == 1]
    assert first == [55, 62, 71, 79]


def test_an_instrument_that_holds_no_chords_leaves_them_to_the_band() -> None:
    voicing = shape_voicings(find_instrument("resonator guitar"))
    plain = arrange("I-V-vi-IV", "G")
    assert arrange("I-V-vi-IV", "G", voicings=voicing) == plain


def test_a_run_goes_up_two_octaves_and_back_and_fills_its_bars() -> None:
    run = scale_run(Scale.parse("G major"), 4, lowest=43, highest=79)
    pitches = [note.midi for note in run]
    assert len(run) == 4 * 4 * 2
    assert pitches[:15] == [43, 45, 47, 48, 50, 52, 54, 55, 57, 59, 60, 62, 64, 66, 67]
    assert pitches[15:29] == pitches[13::-1]
    assert [str(note.degree) for note in run[:3]] == ["1", "2", "3"]


def test_a_run_counts_three_to_a_beat_in_compound_meters() -> None:
    run = scale_run(Scale.parse("D dorian"), 2, meter="6/8")
    assert len(run) == 2 * 2 * 3


def test_a_compass_without_an_octave_is_refused() -> None:
    with pytest.raises(BadInput, match="has no octave"):
        scale_run(Scale.parse("G major"), 1, lowest=60, highest=70)
