"""music21's streams, there and back."""

from __future__ import annotations

import warnings
from dataclasses import replace
from fractions import Fraction

import music21
import pytest
from written import Written, on_strings, ours, placed_chords, places, spelled, tune, written

from theorykit.errors import BadInput
from theorykit.notation.music21_bridge import from_music21, to_music21
from theorykit.score.arrange import arrange
from theorykit.theory.chord import Chord
from theorykit.theory.key import Key

WRITTEN = written()


def names(case: Written) -> str:
    return case.name


@pytest.mark.parametrize("case", WRITTEN, ids=names)
def test_there_and_back(case: Written) -> None:
    home = tune("")
    score = case.score if case.score.key else replace(case.score, key=home.key, keys=home.keys)
    stream = to_music21(score)
    # What music21 itself holds, by its own counting of offsets.
    lead = score.pickup * score.signature.beat_quarters
    part = stream.parts[0].stripTies().flatten()
    held = sorted(
        (Fraction(note.offset).limit_denominator(10080) - lead,
         Fraction(note.quarterLength).limit_denominator(10080), pitch.midi)
        for note in part.notes
        if not isinstance(note, music21.harmony.ChordSymbol)
        for pitch in note.pitches
    )  # fmt: skip
    assert held == ours(score)
    again = from_music21(stream)
    assert spelled(again) == spelled(score)
    assert placed_chords(again) == placed_chords(score)
    assert (again.meter, again.tempo, again.key) == (score.meter, score.tempo, score.key)
    assert [note.degree for note in again.part("line").notes] == [
        note.degree for note in score.part("line").notes
    ]


def test_strings_and_frets_are_articulations() -> None:
    score = on_strings()
    again = from_music21(to_music21(score))
    assert places(again) == places(score)
    fingers = [note.finger for note in score.part("line").notes]
    assert [note.finger for note in again.part("line").notes] == fingers


CHORDS = "C Cm C7 Cmaj7 Cm7 Cm7b5 Cdim7 Caug C6 Cm6 C9 C13 Csus4 C7sus4 Cmmaj7 C7b9 C/E Bb7 F#m7b5 C69 C7#5 Cadd9"


@pytest.mark.parametrize("symbol", CHORDS.split())
def test_chord_symbols(symbol: str) -> None:
    score = tune("C4:4", chords=symbol)
    stream = to_music21(score)
    found = next(iter(stream.recurse().getElementsByClass(music21.harmony.ChordSymbol)))
    assert found.root().name.replace("-", "b") == str(Chord.parse(symbol).root)
    assert placed_chords(from_music21(stream)) == placed_chords(score)


def test_a_band_has_a_part_for_each_of_its_own() -> None:
    score = arrange("12-bar blues", "Bb", click=True, ending=False)
    stream = to_music21(score)
    assert [part.id for part in stream.parts] == ["bass", "comp"]
    assert ours(from_music21(stream), "line") == ours(score, "bass")


def test_a_stream_that_someone_else_made() -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        stream = music21.converter.parse("tinynotation: 3/4 c4 d8 f# g16 a g f# g2.")
    score = from_music21(stream)
    assert [str(note.pitch) for note in score.part("line").notes] == [
        "C4", "D4", "F#4", "G4", "A4", "G4", "F#4", "G4",
    ]  # fmt: skip
    assert score.meter == "3/4"
    assert [note.start for note in score.part("line").notes][-1] == 3


def test_modes() -> None:
    part = music21.stream.Part()
    part.append(music21.key.Key("D", "mixolydian"))
    part.append(music21.note.Note("C5", quarterLength=4))
    score = from_music21(part)
    assert (score.key, score.modes) == (Key.parse("D"), ((Fraction(0), "mixolydian"),))


def test_what_is_no_stream() -> None:
    with pytest.raises(BadInput, match="not a stream of music21's"):
        from_music21("a path")
    with pytest.raises(BadInput, match="part '2': not in this stream"):
        from_music21(to_music21(tune("C4")), part=2)
