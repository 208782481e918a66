"""What the fourth lesson says, held against the library."""

from __future__ import annotations

import pytest
from lessons import at, in_key, lesson, notes, pitch_classes, tune

from theorykit.instruments.catalogue import find_instrument
from theorykit.theory.key import TONICS
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.scale import Scale, find_scale

WORDS = lesson(4).words

#: Half steps above the tonic (any handbook; from memory).
MAJOR = (0, 2, 4, 5, 7, 9, 11)

every_key = pytest.mark.parametrize("tonic", TONICS, ids=str)


def test_seven_notes_and_two_narrow_steps() -> None:
    scale = find_scale("major")
    assert scale.semitones == MAJOR
    assert notes("major", "D") == "D E F♯ G A B C♯"
    assert "| in D | D | E | F♯ | G | A | B | C♯ |" in WORDS
    steps = [high - low for low, high in zip(MAJOR, (*MAJOR[1:], 12), strict=True)]
    assert f"| frets up to the next note | {' | '.join(map(str, steps))} |" in WORDS
    assert [place for place, step in enumerate(steps, start=1) if step == 1] == [3, 7]
    left_out = set(MAJOR) - set(find_scale("major pentatonic").semitones)
    assert left_out == {MAJOR[3], MAJOR[6]}


@every_key
class TestOverTheChords:
    """Common practice, each in every key that the menus offer."""

    @pytest.mark.parametrize(("chord", "passing"), [("I", ["4"]), ("IV", []), ("V", ["1"])])
    def test_stay_and_pass_one_note_at_most(
        self, tonic: Note, chord: str, passing: list[str]
    ) -> None:
        advice = in_key("major", chord, tonic)
        rubbing = [note for note in advice.fit.notes if note.kind.rubs_against]
        assert advice.verdict == "stay"
        assert [str(note.degree) for note in rubbing] == passing
        for note in rubbing:
            assert (note.kind.rubs_against, note.member.ordinal) == (-1, "third")

    def test_the_fourth_is_the_seventh_of_five_and_falls_while_the_seventh_rises(
        self, tonic: Note
    ) -> None:
        start = tonic.pitch_class
        five = Numeral.parse("V7").chord(tonic).notes
        home = {note.pitch_class for note in Numeral.parse("I").chord(tonic).notes}
        assert five[3].pitch_class == (start + 5) % 12
        assert five[1].pitch_class == (start + 11) % 12
        assert {(start + 5 - 1) % 12, (start + 11 + 1) % 12} <= home


@pytest.mark.parametrize(
    ("numeral", "spelled"),
    [("I", "D F♯ A"), ("IV", "G B D"), ("V", "A C♯ E")],  # by hand
)
def test_the_chords_of_d(numeral: str, spelled: str) -> None:
    chord = Numeral.parse(numeral).chord(Note.parse("D"))
    assert " ".join(note.pretty for note in chord.notes) == spelled
    assert f"| {spelled} |" in WORDS


@pytest.mark.parametrize(
    ("instrument", "places"),
    [
        # One octave of D major, read off a neck by hand.
        ("mandolin", ((3, 0), (3, 2), (3, 4), (3, 5), (2, 0), (2, 2), (2, 4), (2, 5))),
        ("guitar", ((4, 0), (4, 2), (4, 4), (3, 0), (3, 2), (2, 0), (2, 2), (2, 3))),
    ],
)
def test_where_it_lies(instrument: str, places: tuple[tuple[int, int], ...]) -> None:
    found = [at(instrument, string, fret) for string, fret in places]
    assert found == pitch_classes("D E F# G A B C# D")


def test_from_the_low_string_of_a_banjo() -> None:
    assert [at("banjo", 4, fret) for fret in (0, 2, 4, 5)] == pitch_classes("D E F# G")


@pytest.mark.parametrize("instrument", ["guitar", "banjo"])
def test_open_strings_are_all_in_d_major(instrument: str) -> None:
    inside = {note.pitch_class for note in Scale.parse("D major").notes}
    assert {string.open.midi % 12 for string in find_instrument(instrument).strings} <= inside


class TestTheTune:
    def test_all_seven_notes_and_no_others(self) -> None:
        line = tune("lamplight_waltz").part("line").notes
        assert {n.midi % 12 for n in line} == set(pitch_classes("D E F# G A B C#"))

    def test_the_two_doors(self) -> None:
        line = tune("lamplight_waltz").part("line").notes
        names = {bar: [n for n in line if 3 * bar - 3 <= n.start < 3 * bar] for bar in range(1, 17)}
        assert [str(n.pitch.note) for n in (*names[6][1:], names[7][0])] == ["G", "E", "F#"]
        assert str(names[14][0].pitch.note) == "C#"
        assert str(names[15][0].pitch.note) == "D"


def test_the_answers() -> None:
    # Spelled by hand.
    assert notes("major", "A") == "A B C♯ D E F♯ G♯"
    assert "A B C♯ D E F♯ G♯; between C♯ and D, and between G♯ and A" in WORDS
