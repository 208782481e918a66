"""What the fifth lesson says, held against the library."""

from __future__ import annotations

from itertools import pairwise

import pytest
from lessons import at, in_key, lesson, notes, pitch_classes, tune

from theorykit.analysis.fit import classify
from theorykit.analysis.style import BLUE, CHORD_TONE, COLOUR, PASSING
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.fretboard import cells
from theorykit.scene.codes import CODES
from theorykit.theory.key import TONICS
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.scale import Scale, find_scale

WORDS = lesson(5).words

#: Half steps above the tonic (common practice).
MINOR_PENTATONIC = (0, 3, 5, 7, 10)
BLUES = (0, 3, 5, 6, 7, 10)
FLAT_THIRD = 3

every_key = pytest.mark.parametrize("tonic", TONICS, ids=str)
both_scales = pytest.mark.parametrize("scale", ["minor pentatonic", "blues"])


class TestTwoScales:
    """Common practice; the letters in A were written by hand."""

    def test_five_notes(self) -> None:
        scale = find_scale("minor pentatonic")
        assert str(scale) == "1 b3 4 5 b7"
        assert scale.semitones == MINOR_PENTATONIC
        assert notes("minor pentatonic", "A") == "A C D E G"
        assert "| in A | A | C | D | E | G |" in WORDS

    def test_the_blues_scale_adds_one(self) -> None:
        scale = find_scale("blues")
        assert str(scale) == "1 b3 4 b5 5 b7"
        assert scale.semitones == BLUES
        assert set(BLUES) - set(MINOR_PENTATONIC) == {6}
        assert notes("blues", "A") == "A C D E♭ E G"
        assert "| in A | A | C | D | E♭ | E | G |" in WORDS

    @pytest.mark.parametrize("scale", ["minor pentatonic", "blues"])
    def test_frets_to_the_next_note(self, scale: str) -> None:
        steps = (*find_scale(scale).semitones, 12)
        frets = [high - low for low, high in pairwise(steps)]
        assert f"| frets up to the next note | {' | '.join(map(str, frets))} |" in WORDS
        assert (1 in frets) == (scale == "blues")  # no half step in the pentatonic

    @every_key
    def test_in_every_key(self, tonic: Note) -> None:
        five = Scale(tonic, find_scale("minor pentatonic")).notes
        six = Scale(tonic, find_scale("blues")).notes
        start = tonic.pitch_class
        assert [note.pitch_class for note in five] == [(start + s) % 12 for s in MINOR_PENTATONIC]
        assert [note.pitch_class for note in six] == [(start + s) % 12 for s in BLUES]
        assert [note for note in six if note not in five] == [six[3]]

    def test_some_keys_print_the_added_note_as_a_raised_fourth(self) -> None:
        printed = {str(Scale(tonic, find_scale("blues")).degrees[3]) for tonic in TONICS}
        assert printed == {"b5", "#4"}

    @pytest.mark.parametrize(
        ("scale", "tonic", "spelled"),
        [
            # Common practice, spelled by hand: the answers of "Check yourself".
            ("minor pentatonic", "E", "E G A B D"),
            ("blues", "D", "D F G A♭ A C"),
        ],
    )
    def test_spelled_in_the_answers(self, scale: str, tonic: str, spelled: str) -> None:
        assert notes(scale, tonic) == spelled
        assert spelled in WORDS


class TestNecks:
    """Tunings: string makers' sets, from memory; shapes: common practice."""

    @pytest.mark.parametrize(
        ("instrument", "outside"), [("mandolin", []), ("guitar", ["B3"]), ("banjo", ["B3"])]
    )
    def test_open_strings_in_a(self, instrument: str, outside: list[str]) -> None:
        inside = {note.pitch_class for note in Scale.parse("A minor pentatonic").notes}
        opened = [string.open for string in find_instrument(instrument).strings]
        assert [str(pitch) for pitch in opened if pitch.midi % 12 not in inside] == outside

    @pytest.mark.parametrize("instrument", ["mandolin", "guitar", "banjo"])
    @pytest.mark.parametrize(("frets", "new"), [(2, "B")])
    @both_scales
    def test_a_closed_shape_moves(self, instrument: str, frets: int, new: str, scale: str) -> None:
        midi = {(c.string, c.fret): c.midi for c in cells(find_instrument(instrument), frets=15)}
        here = {note.pitch_class for note in Scale.parse(f"A {scale}").notes}
        there = {note.pitch_class for note in Scale.parse(f"{new} {scale}").notes}
        closed = [place for place in midi if place[1] > 0 and (place[0], place[1] + frets) in midi]
        assert closed
        for string, fret in closed:
            moved = midi[string, fret + frets]
            assert (midi[string, fret] % 12 in here) == (moved % 12 in there)

    @pytest.mark.parametrize(
        ("instrument", "string", "frets", "spelled"),
        [
            # The hints, read off a neck by hand.
            ("mandolin", 2, (0, 3, 5), "A C D"),
            ("mandolin", 1, (0, 3), "E G"),
            ("mandolin", 2, (6,), "Eb"),
            # With the capo at fret 2, as they are fingered in G.
            ("banjo", 3, (3,), "Bb"),
            ("banjo", 1, (3,), "F"),
            ("banjo", 2, (0,), "B"),
        ],
    )
    def test_the_hints(
        self, instrument: str, string: int, frets: tuple[int, ...], spelled: str
    ) -> None:
        assert [at(instrument, string, fret) for fret in frets] == pitch_classes(spelled)

    def test_fingered_in_g_a_banjo_has_one_string_to_leave_out(self) -> None:
        inside = set(pitch_classes("G Bb C D F"))
        opened = [string.open for string in find_instrument("banjo").strings]
        assert [str(pitch) for pitch in opened if pitch.midi % 12 not in inside] == ["B3"]


@every_key
class TestOverTheChords:
    """Common practice, each in every key that the menus offer."""

    def test_stay_over_one_and_four(self, tonic: Note) -> None:
        for chord in ("I", "IV"):
            advice = in_key("minor pentatonic", chord, tonic)
            assert (advice.verdict, advice.watch) == ("stay", ())

    def test_over_one_the_flat_third_is_blue_below_the_third_and_the_fourth_passes(
        self, tonic: Note
    ) -> None:
        by_degree = {str(n.degree): n for n in in_key("minor pentatonic", "I", tonic).fit.notes}
        blue, fourth = by_degree["b3"], by_degree["4"]
        assert (blue.kind, blue.kind.rubs_against, blue.member.ordinal) == (BLUE, +1, "third")
        assert (fourth.kind, fourth.kind.rubs_against) == (PASSING, -1)
        assert fourth.member.ordinal == "third"
        assert [n for n in by_degree.values() if n.kind is BLUE] == [blue]

    def test_over_four_the_flat_third_rests_and_the_flat_seventh_passes(self, tonic: Note) -> None:
        by_degree = {str(n.degree): n for n in in_key("minor pentatonic", "IV", tonic).fit.notes}
        assert by_degree["b3"].kind is COLOUR
        # It is what makes a dominant seventh of IV.
        assert classify(FLAT_THIRD, Numeral.parse("IV7"), "major")[0] is CHORD_TONE
        assert (by_degree["b7"].kind, by_degree["b7"].member.ordinal) == (PASSING, "third")

    def test_over_four_the_added_note_is_passed_through(self, tonic: Note) -> None:
        advice = in_key("blues", "IV", tonic)
        (added,) = advice.watch
        assert advice.verdict == "pass"
        assert (str(added.degree), added.member.ordinal) == ("b5", "root")
        assert added.kind.rubs_against == -1


def test_the_guest_note_of_the_tune_slips_by_between_five_and_four() -> None:
    line = tune("nine_bales_and_a_bucket").part("line").notes
    names = [str(note.pitch.note) for note in line if note.pitch is not None]
    (place,) = [place for place, name in enumerate(names) if name == "Eb"]
    assert names[place - 1 : place + 2] == ["E", "Eb", "D"]
    assert 4 <= line[place].start < 8  # in bar 2


def test_the_marks_that_the_lesson_names() -> None:
    assert (CODES["tonic"].marker, CODES["both"].marker) == ("hex", "circle")
    assert CODES["second"].marker == "inverted_triangle"
    assert (CODES["avoid"].marker, CODES["avoid"].dash) == ("inverted_triangle", "dashed")
