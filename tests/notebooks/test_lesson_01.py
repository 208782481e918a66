"""What the first lesson says, held against the library."""

from __future__ import annotations

from itertools import pairwise

import pytest
from lessons import at, lesson, pitch_classes, tune

from theorykit.analysis.guide_tones import leads
from theorykit.instruments.catalogue import find_instrument
from theorykit.theory.chord import Chord
from theorykit.theory.key import TONICS
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note

WORDS = lesson(1).words


@pytest.mark.parametrize("tonic", TONICS, ids=str)
def test_a_major_chord_is_root_third_and_fifth(tonic: Note) -> None:
    # Any handbook; from memory.
    for numeral in ("I", "IV", "V"):
        root, *others = Numeral.parse(numeral).chord(tonic).notes
        steps = [(note.pitch_class - root.pitch_class) % 12 for note in others]
        assert steps == [4, 7]
    assert "| half steps above the root | 0 | 4 | 7 |" in WORDS


@pytest.mark.parametrize(
    ("numeral", "row"),
    [
        # Spelled by hand.
        ("I", "| A, the I chord | A | C♯ | E |"),
        ("IV", "| D, the IV chord | D | F♯ | A |"),
        ("V", "| E, the V chord | E | G♯ | B |"),
    ],
)
def test_the_letters_in_a(numeral: str, row: str) -> None:
    chord = Numeral.parse(numeral).chord(Note.parse("A"))
    assert row.split("|")[2:5] == [f" {note.pretty} " for note in chord.notes]
    assert row in WORDS


@pytest.mark.parametrize(
    ("instrument", "places", "spelled"),
    [
        # (string, fret), string 1 nearest the player's feet; read off a neck by hand.
        ("mandolin", ((2, 0), (1, 0), (2, 4)), "A E C#"),
        ("mandolin", ((3, 0), (2, 0), (3, 4), (1, 2)), "D A F# F#"),
        ("fiddle", ((2, 4), (3, 4)), "C# F#"),
        ("guitar", ((2, 2), (1, 2), (3, 1)), "C# F# G#"),
        ("banjo", ((2, 2), (2, 7), (2, 9)), "C# F# G#"),
        # With that finger off: no third of A or D, the minor third of E.
        ("guitar", ((2, 0), (1, 0), (3, 0)), "B E G"),
    ],
)
def test_where_they_lie(instrument: str, places: tuple[tuple[int, int], ...], spelled: str) -> None:
    assert [at(instrument, string, fret) for string, fret in places] == pitch_classes(spelled)


@pytest.mark.parametrize(("fret", "chord"), [(2, "A"), (7, "D"), (9, "E")])
def test_one_finger_across_a_banjo_is_a_major_chord(fret: int, chord: str) -> None:
    # Open G tuning (common practice).
    strings = find_instrument("banjo").strings[:4]
    sounding = {(string.open.midi + fret) % 12 for string in strings}
    assert sounding == {note.pitch_class for note in Chord.parse(chord).notes}


@pytest.mark.parametrize("tonic", TONICS, ids=str)
@pytest.mark.parametrize(
    ("start", "to", "moves"),
    [
        # Members and half steps, worked out by hand.
        ("I", "IV", {("root", 0), ("third", 1), ("fifth", 2), ("fifth", -2)}),
        ("I", "V", {("root", -1), ("third", -2), ("fifth", 0)}),
        ("V", "I", {("root", 0), ("third", 1), ("fifth", 2), ("fifth", -2)}),
    ],
)
def test_the_shortest_ways(start: str, to: str, moves: set[tuple[str, int]], tonic: Note) -> None:
    here, there = (
        Numeral.from_chord(Numeral.parse(numeral).chord(tonic), tonic) for numeral in (start, to)
    )
    found = {(lead.start.member.ordinal, lead.to.half_steps) for lead in leads(here, there)}
    assert found == moves


class TestTheTune:
    def test_every_note_is_in_the_chord(self) -> None:
        score = tune("trestle_table")
        for note in score.part("line").notes:
            (chord,) = [
                each.chord
                for each in score.chords
                if each.start <= note.start < each.start + each.beats
            ]
            assert chord is not None
            assert note.midi % 12 in {each.pitch_class for each in chord.notes}

    def test_it_crosses_every_change_by_a_step(self) -> None:
        score = tune("trestle_table")
        line = score.part("line").notes
        crossed = []
        for before, after in pairwise(score.chords):
            if before.chord != after.chord:
                last = max((n for n in line if n.start < after.start), key=lambda n: n.start)
                (first,) = [n for n in line if n.start == after.start]
                assert 1 <= abs(first.midi - last.midi) <= 2
                crossed.append(f"{last.pitch.note.pretty} {first.pitch.note.pretty}")
        assert crossed == ["E D", "F♯ E", "A B", "B A"]
        assert "E goes down to D, F♯ down to E, A up to B, B down to A" in WORDS


def test_the_answers() -> None:
    # Spelled by hand.
    assert [str(note) for note in Chord.parse("D").notes] == ["D", "F#", "A"]
    four = Numeral.parse("IV").chord(Note.parse("G"))
    assert (str(four), [str(note) for note in four.notes]) == ("C", ["C", "E", "G"])
    shared = set(Chord.parse("A").notes) & set(Chord.parse("E").notes)
    assert shared == {Note.parse("E")}
