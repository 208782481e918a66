"""What the first lesson says, held against the library; and how its notebook is kept."""

from __future__ import annotations

import ast
import json
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from theorykit.analysis.advice import Advice, advise, advise_progression, sounded
from theorykit.analysis.fit import classify
from theorykit.analysis.style import AVOID_FOREIGN, BLUE, CHORD_TONE, COLOUR, PASSING, find_style
from theorykit.analysis.tonality import DIATONIC
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.fretboard import cells
from theorykit.scene.codes import CODES
from theorykit.theory.form import find_progression
from theorykit.theory.key import TONICS
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.scale import Scale, find_scale

NOTEBOOK = Path(__file__).parents[2] / "notebooks" / "01_minor_pentatonic_and_blues.ipynb"
LESSON: dict[str, Any] = json.loads(NOTEBOOK.read_text(encoding="utf-8"))
CODE = [cell for cell in LESSON["cells"] if cell["cell_type"] == "code"]
#: All the words, line ends taken as spaces.
WORDS = " ".join(
    " ".join("".join(cell["source"]).split())
    for cell in LESSON["cells"]
    if cell["cell_type"] == "markdown"
)

#: Half steps above the tonic (common practice).
MINOR_PENTATONIC = (0, 3, 5, 7, 10)
BLUES = (0, 3, 5, 6, 7, 10)
FLAT_THIRD = 3
FIFTH = 7

every_key = pytest.mark.parametrize("tonic", TONICS, ids=str)
both_scales = pytest.mark.parametrize("scale", ["minor pentatonic", "blues"])


def in_key(scale: str, chord: str, tonic: Note, *, style: str = "bluegrass") -> Advice:
    """The advice over a chord of a key, the chord taken by its symbol in that key."""
    numeral = Numeral.from_chord(Numeral.parse(chord).chord(tonic), tonic)
    return advise(find_scale(scale), numeral, find_style(style))


def notes(name: str, tonic: str) -> str:
    return " ".join(note.pretty for note in Scale(Note.parse(tonic), find_scale(name)).notes)


def sounding(advice: Advice, tonic: Note) -> set[int]:
    """The pitch classes of the scale that is advised."""
    return {note.pitch_class for note in Scale(advice.scale_tonic.at(tonic), advice.scale).notes}


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
            ("minor pentatonic", "D", "D F G A C"),
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
    @pytest.mark.parametrize(("frets", "new"), [(2, "B"), (7, "E")])
    @both_scales
    def test_a_closed_shape_moves(self, instrument: str, frets: int, new: str, scale: str) -> None:
        # Two frets from A is B; seven frets from A is E, the root of V in A.
        midi = {(c.string, c.fret): c.midi for c in cells(find_instrument(instrument), frets=15)}
        here = {note.pitch_class for note in Scale.parse(f"A {scale}").notes}
        there = {note.pitch_class for note in Scale.parse(f"{new} {scale}").notes}
        closed = [place for place in midi if place[1] > 0 and (place[0], place[1] + frets) in midi]
        assert closed
        for string, fret in closed:
            moved = midi[string, fret + frets]
            assert (midi[string, fret] % 12 in here) == (moved % 12 in there)

    @both_scales
    def test_on_a_mandolin_five_s_own_scale_lies_one_string_over(self, scale: str) -> None:
        midi = {(c.string, c.fret): c.midi for c in cells(find_instrument("mandolin"))}
        here = {note.pitch_class for note in Scale.parse(f"A {scale}").notes}
        there = {note.pitch_class for note in Scale.parse(f"E {scale}").notes}
        for (string, fret), low in midi.items():
            if string > 1:
                high = midi[string - 1, fret]
                assert high == low + FIFTH
                assert (low % 12 in here) == (high % 12 in there)


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

    @both_scales
    def test_over_five_the_flat_third_alone_is_unwanted(self, tonic: Note, scale: str) -> None:
        advice = in_key(scale, "V", tonic)
        (unwanted,) = advice.fit.unwanted
        assert (str(unwanted.degree), unwanted.kind) == ("b3", AVOID_FOREIGN)
        assert unwanted.role == "avoid"
        assert (unwanted.kind.rubs_against, unwanted.member.ordinal) == (-1, "fifth")
        assert FLAT_THIRD not in DIATONIC["major"]

    @both_scales
    def test_over_five_switch_to_the_same_scale_on_its_root(self, tonic: Note, scale: str) -> None:
        advice = in_key(scale, "V", tonic)
        assert advice.verdict == "switch"
        assert (str(advice.scale_tonic), advice.scale.name) == ("5", scale)
        flat_third = (tonic.pitch_class + FLAT_THIRD) % 12
        fifth_of_five = (tonic.pitch_class + 2 * FIFTH) % 12
        assert fifth_of_five in sounding(advice, tonic)
        assert flat_third not in sounding(advice, tonic)

    def test_one_note_has_moved_by_one_fret(self, tonic: Note) -> None:
        home = {note.pitch_class for note in Scale(tonic, find_scale("minor pentatonic")).notes}
        away = sounding(in_key("minor pentatonic", "V", tonic), tonic)
        (left,), (come) = home - away, away - home
        assert come == {(left - 1) % 12}

    def test_the_blues_scale_moves_its_added_note_too(self, tonic: Note) -> None:
        home = {note.pitch_class for note in Scale(tonic, find_scale("blues")).notes}
        away = sounding(in_key("blues", "V", tonic), tonic)
        start = tonic.pitch_class
        assert home - away == {(start + FLAT_THIRD) % 12, (start + 6) % 12}
        assert away - home == {(start + 2) % 12, (start + 1) % 12}

    def test_without_thirds_one_and_four_have_no_rub(self, tonic: Note) -> None:
        for chord in ("I5", "IV5"):
            advice = in_key("minor pentatonic", chord, tonic)
            assert advice.verdict == "stay"
            assert {note.kind.rubs_against for note in advice.fit.notes} == {0}

    @both_scales
    def test_without_its_third_five_is_as_before(self, tonic: Note, scale: str) -> None:
        advice = in_key(scale, "V5", tonic)
        assert (advice.verdict, str(advice.scale_tonic)) == ("switch", "5")
        assert [(str(n.degree), n.member.ordinal) for n in advice.fit.unwanted] == [("b3", "fifth")]

    @both_scales
    def test_blues_style_stays_and_passes_through(self, tonic: Note, scale: str) -> None:
        # Disputed: one blues scale throughout (Temperley 2007, from memory).
        advice = in_key(scale, "V", tonic, style="blues")
        assert advice.verdict == "pass"
        assert "b3" in [str(note.degree) for note in advice.watch]

    def test_over_four_the_added_note_is_passed_through(self, tonic: Note) -> None:
        advice = in_key("blues", "IV", tonic)
        (added,) = advice.watch
        assert advice.verdict == "pass"
        assert (str(added.degree), added.member.ordinal) == ("b5", "root")
        assert added.kind.rubs_against == -1


def test_root_and_fifth_alone_are_neither_major_nor_minor() -> None:
    # Common practice.
    bare = [sounded(Numeral.parse(chord), thirds=False).type for chord in ("I", "i")]
    assert bare[0] == bare[1]
    assert bare[0].third is None


def test_the_letters_in_a() -> None:
    # Common practice, spelled by hand.
    tonic = Note.parse("A")
    spelled = {
        chord: [str(note) for note in Numeral.parse(chord).chord(tonic).notes]
        for chord in ("I", "IV", "V")
    }
    assert spelled == {"I": ["A", "C#", "E"], "IV": ["D", "F#", "A"], "V": ["E", "G#", "B"]}
    assert sorted(notes("minor pentatonic", "E").split()) == ["A", "B", "D", "E", "G"]
    assert "| over V: E minor pentatonic | A | **B** | D | E | G |" in WORDS
    assert notes("blues", "E") == "E G A B♭ B D"
    assert "E blues, is E G A B♭ B D" in WORDS


def test_the_tune() -> None:
    # A made-up tune; its V of two beats is long enough to switch.
    (source,) = ["".join(cell["source"]) for cell in CODE if cell["id"] == "nine-bales"]
    call = ast.parse(source).body[0].value
    choices = {argument.arg: ast.literal_eval(argument.value) for argument in call.keywords}
    chart = find_progression(choices["progression"])
    bars = advise_progression(chart, find_scale(choices["scale"]), find_style("bluegrass"))
    verdicts = {"I": "stay", "IV": "pass", "V": "switch"}
    assert len(bars) == 8
    assert [str(advice.numeral) for advice in bars[6]] == ["I", "V"]
    assert bars[6][1].beats == Fraction(2)
    for bar in bars:
        for advice in bar:
            assert advice.verdict == verdicts[str(advice.numeral)]


def test_the_marks_that_the_lesson_names() -> None:
    assert (CODES["tonic"].marker, CODES["both"].marker) == ("hex", "circle")
    assert CODES["second"].marker == "inverted_triangle"
    assert (CODES["avoid"].marker, CODES["avoid"].dash) == ("inverted_triangle", "dashed")


class TestNotebook:
    def test_format(self) -> None:
        assert (LESSON["nbformat"], LESSON["nbformat_minor"]) == (4, 5)
        assert LESSON["metadata"]["kernelspec"]["name"] == "python3"
        assert "widgets" not in LESSON["metadata"]

    def test_nothing_is_saved_in_it(self) -> None:
        assert all(cell["outputs"] == [] for cell in CODE)
        assert all(cell["execution_count"] is None for cell in CODE)

    def test_cells_have_ids_of_their_own(self) -> None:
        ids = [cell["id"] for cell in LESSON["cells"]]
        assert len(set(ids)) == len(ids)

    @pytest.mark.parametrize("cell", CODE, ids=lambda cell: cell["id"])
    def test_no_logic(self, cell: dict[str, Any]) -> None:
        source = "".join(cell["source"])
        assert len(source.splitlines()) <= 4
        allowed = (
            *(ast.Module, ast.Import, ast.alias, ast.Expr, ast.Assign, ast.Call, ast.keyword),
            *(ast.Name, ast.Attribute, ast.Constant, ast.Load, ast.Store),
        )
        for node in ast.walk(ast.parse(source)):
            assert isinstance(node, allowed), ast.dump(node)

    def test_answers_are_hidden(self) -> None:
        assert WORDS.count("<details> <summary>") == WORDS.count("</details>") == 7
