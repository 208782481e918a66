"""What the third lesson says, held against the library."""

from __future__ import annotations

from itertools import pairwise

import pytest
from lessons import at, classes, in_key, lesson, notes, pitch_classes, tune

from theorykit.scene.codes import CODES
from theorykit.theory.key import TONICS
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.scale import Scale, find_scale

WORDS = lesson(3).words

#: Half steps above the tonic (common practice).
MAJOR_BLUES = (0, 2, 3, 4, 7, 9)

every_key = pytest.mark.parametrize("tonic", TONICS, ids=str)


def test_one_note_is_added_to_the_major_pentatonic() -> None:
    scale = find_scale("major blues")
    assert (str(scale), scale.semitones) == ("1 2 b3 3 5 6", MAJOR_BLUES)
    assert set(MAJOR_BLUES) - set(find_scale("major pentatonic").semitones) == {3}
    assert notes("major blues", "A") == "A B C C♯ E F♯"
    assert "| in A | A | B | C | C♯ | E | F♯ |" in WORDS
    steps = [high - low for low, high in zip(MAJOR_BLUES, (2, 3, 4, 7, 9, 12), strict=True)]
    assert f"| frets up to the next note | {' | '.join(map(str, steps))} |" in WORDS


@every_key
class TestOverTheChords:
    """Common practice, each in every key that the menus offer."""

    def test_over_one_it_is_blue_below_the_third(self, tonic: Note) -> None:
        advice = in_key("major blues", "I", tonic)
        by_degree = {str(note.degree): note for note in advice.fit.notes}
        assert advice.verdict == "stay"
        assert (by_degree["b3"].kind.name, by_degree["b3"].kind.rubs_against) == ("blue", 1)
        assert by_degree["b3"].member.ordinal == "third"

    def test_over_four_it_rests_as_the_lowered_seventh(self, tonic: Note) -> None:
        advice = in_key("major blues", "IV", tonic)
        assert advice.verdict == "stay"
        assert {note.kind.rubs_against for note in advice.fit.notes} == {0}
        seventh = Numeral.parse("IV7").chord(tonic).notes[3]
        assert seventh.pitch_class == (tonic.pitch_class + 3) % 12

    def test_over_five_it_is_passed_through_above_the_fifth(self, tonic: Note) -> None:
        advice = in_key("major blues", "V", tonic)
        (note,) = advice.watch
        assert advice.verdict == "pass"
        assert (str(note.degree), note.member.ordinal) == ("b3", "fifth")
        assert (note.kind.name, note.kind.rubs_against) == ("avoid, foreign to the key", -1)

    def test_the_sixth_has_a_blues_scale_of_the_same_notes(self, tonic: Note) -> None:
        six = Scale(tonic, find_scale("major blues")).notes
        relative = Scale(six[5], find_scale("blues")).notes
        assert {note.pitch_class for note in six} == {note.pitch_class for note in relative}


def test_styles_differ() -> None:
    # The classical column is stern about blue notes (stipulated).
    tonic = Note.parse("A")
    care = {
        style: [str(n.degree) for n in in_key("major blues", "I", tonic, style=style).watch]
        for style in ("classical", "blues")
    }
    assert care == {"classical": ["b3"], "blues": []}


def test_the_triangle_is_the_added_note() -> None:
    assert CODES["both"].marker == "circle"
    assert CODES["second"].marker == "inverted_triangle"


@pytest.mark.parametrize(
    ("instrument", "places", "spelled"),
    [
        # Read off a neck by hand; string 1 nearest the player's feet.
        ("mandolin", ((2, 3), (2, 4)), "C C#"),
        ("guitar", ((2, 1), (2, 2)), "C C#"),
        ("banjo", ((2, 1), (2, 2)), "C C#"),
        # Two frets below the capo's key: fingered in G.
        ("banjo", ((3, 3), (3, 4)), "Bb B"),
    ],
)
def test_where_they_lie(instrument: str, places: tuple[tuple[int, int], ...], spelled: str) -> None:
    assert [at(instrument, string, fret) for string, fret in places] == pitch_classes(spelled)


class TestTheTune:
    def test_its_six_notes_over_twelve_bars(self) -> None:
        score = tune("mud_on_the_step")
        assert len(score.bars) == 12
        names = {note.midi % 12 for note in score.part("line").notes}
        assert names == set(pitch_classes("A B C C# E F#"))

    def test_the_mud_and_then_the_step(self) -> None:
        line = tune("mud_on_the_step").part("line").notes
        led = [b for a, b in pairwise(line) if a.midi % 12 == 0]
        over_one = [note for note in led if not 16 <= note.start < 24]
        assert over_one
        assert all(note.midi % 12 == 1 for note in over_one)

    def test_it_is_held_in_bar_five_and_not_touched_over_five(self) -> None:
        line = tune("mud_on_the_step").part("line").notes
        mud = [note for note in line if note.midi % 12 == 0]
        assert [n.beats for n in mud if 16 <= n.start < 20] == [1]
        assert [n for n in mud if 32 <= n.start < 40] == []


@pytest.mark.parametrize(
    ("scale", "tonic", "degrees", "spelled"),
    [
        # Spelled by hand.
        ("major blues", "A", "b3 3 5 6 5", "C C♯ E F♯ E"),
        ("major blues", "A", "b3 3 2 1", "C C♯ B A"),
        ("major blues", "D", "b3 3 5 6 5", "F F♯ A B A"),
        ("major blues", "G", "1 2 b3 3 5 6", "G A B♭ B D E"),
    ],
)
def test_the_licks_and_the_answers(scale: str, tonic: str, degrees: str, spelled: str) -> None:
    at_home = Scale(Note.parse(tonic), find_scale(scale))
    by_degree = dict(zip(map(str, at_home.degrees), at_home.notes, strict=True))
    assert " ".join(by_degree[degree].pretty for degree in degrees.split()) == spelled
    assert spelled in WORDS


def test_no_note_a_half_step_away_over_four() -> None:
    assert set(classes("major blues", "IV", Note.parse("A")).values()) == {"chord tone", "colour"}
