"""What the second lesson says, held against the library."""

from __future__ import annotations

import pytest
from lessons import at, classes, in_key, lesson, notes, pitch_classes, tune

from theorykit.analysis.style import STYLES
from theorykit.instruments.catalogue import find_instrument
from theorykit.theory.key import TONICS
from theorykit.theory.pitch import Note
from theorykit.theory.scale import Scale, find_scale

WORDS = lesson(2).words

#: Half steps above the tonic (common practice).
MAJOR_PENTATONIC = (0, 2, 4, 7, 9)

every_key = pytest.mark.parametrize("tonic", TONICS, ids=str)


def test_the_five_notes() -> None:
    scale = find_scale("major pentatonic")
    assert (str(scale), scale.semitones) == ("1 2 3 5 6", MAJOR_PENTATONIC)
    assert notes("major pentatonic", "A") == "A B C♯ E F♯"
    assert "| in A | A | B | C♯ | E | F♯ |" in WORDS
    steps = [high - low for low, high in zip(MAJOR_PENTATONIC, (2, 4, 7, 9, 12), strict=True)]
    assert f"| frets up to the next note | {' | '.join(map(str, steps))} |" in WORDS
    assert 1 not in steps


@every_key
def test_two_notes_are_added_to_the_chord_of_one(tonic: Note) -> None:
    found = classes("major pentatonic", "I", tonic)
    assert [degree for degree, kind in found.items() if kind == "chord tone"] == ["1", "3", "5"]
    assert [degree for degree, kind in found.items() if kind == "colour"] == ["2", "6"]


@every_key
class TestOverTheChords:
    """Common practice, each in every key that the menus offer."""

    def test_stay_over_all_three_and_no_note_rubs_over_one_and_four(self, tonic: Note) -> None:
        for chord in ("I", "IV", "V"):
            advice = in_key("major pentatonic", chord, tonic)
            assert (advice.verdict, advice.watch) == ("stay", ())
            if chord != "V":
                assert {note.kind.rubs_against for note in advice.fit.notes} == {0}

    def test_over_four_one_and_six_are_its_fifth_and_third(self, tonic: Note) -> None:
        by_degree = {str(n.degree): n for n in in_key("major pentatonic", "IV", tonic).fit.notes}
        assert [by_degree[degree].member.ordinal for degree in ("1", "6")] == ["fifth", "third"]

    def test_over_five_one_passes_above_the_third(self, tonic: Note) -> None:
        by_degree = {str(n.degree): n for n in in_key("major pentatonic", "V", tonic).fit.notes}
        passing = [n for n in by_degree.values() if n.kind.name == "passing"]
        assert [str(n.degree) for n in passing] == ["1"]
        assert (passing[0].member.ordinal, passing[0].kind.rubs_against) == ("third", -1)
        assert [by_degree[degree].member.ordinal for degree in ("2", "5")] == ["fifth", "root"]
        # 7, the third of V, is not in the scale.
        assert "7" not in by_degree

    def test_the_sixth_has_a_minor_pentatonic_of_the_same_notes(self, tonic: Note) -> None:
        five = Scale(tonic, find_scale("major pentatonic")).notes
        relative = Scale(five[4], find_scale("minor pentatonic")).notes
        assert {note.pitch_class for note in five} == {note.pitch_class for note in relative}


def test_players_of_these_styles_would_mostly_agree() -> None:
    found = {
        name: in_key("major pentatonic", "V", Note.parse("A"), style=name).verdict
        for name in STYLES
    }
    assert [name for name, verdict in found.items() if verdict != "stay"] == ["jazz"]


@pytest.mark.parametrize(
    ("instrument", "tonic", "inside"),
    [
        # Common practice, from the tunings.
        ("mandolin", "A", "E5 A4"),
        ("guitar", "A", "E4 B3 A2 E2"),
        ("banjo", "G", "D4 B3 G3 D3 G4"),
    ],
)
def test_open_strings(instrument: str, tonic: str, inside: str) -> None:
    scale = {note.pitch_class for note in Scale.parse(f"{tonic} major pentatonic").notes}
    opened = [string.open for string in find_instrument(instrument).strings]
    assert " ".join(str(pitch) for pitch in opened if pitch.midi % 12 in scale) == inside


@pytest.mark.parametrize(("string", "tonic"), [(2, "A"), (3, "D"), (4, "G")])
def test_on_a_mandolin_the_same_shape_starts_from_three_open_strings(
    string: int, tonic: str
) -> None:
    places = [(string, 0), (string, 2), (string, 4), (string - 1, 0), (string - 1, 2)]
    scale = Scale.parse(f"{tonic} major pentatonic").notes
    found = [at("mandolin", *place) for place in places]
    assert found == [note.pitch_class for note in scale]


class TestTheTune:
    def test_it_has_these_five_notes_and_no_others(self) -> None:
        line = tune("kettle_on_the_hob").part("line").notes
        assert {note.midi % 12 for note in line} == set(pitch_classes("A B C# E F#"))

    def test_over_five_it_sits_on_the_fifth_and_never_plays_home(self) -> None:
        line = tune("kettle_on_the_hob").part("line").notes
        bar = [note for note in line if 24 <= note.start < 28]
        held = {name: sum(n.beats for n in bar if str(n.pitch.note) == name) for name in "ABE"}
        assert held["A"] == 0
        assert held["B"] * 2 > 4


@pytest.mark.parametrize(("tonic", "spelled"), [("D", "D E F♯ A B"), ("G", "G A B D E")])
def test_spelled_in_the_answers(tonic: str, spelled: str) -> None:
    assert notes("major pentatonic", tonic) == spelled
    assert spelled in WORDS
