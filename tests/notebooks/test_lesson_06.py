"""What the sixth lesson says, held against the library."""

from __future__ import annotations

from fractions import Fraction

import pytest
from lessons import in_key, lesson, notes, tune

from theorykit.analysis.advice import Advice, advise_progression, sounded
from theorykit.analysis.style import AVOID_FOREIGN, find_style
from theorykit.analysis.tonality import DIATONIC
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.fretboard import cells
from theorykit.theory.key import TONICS
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.scale import Scale, find_scale
from theorykit.tune.study import tune_study

WORDS = lesson(6).words

#: Half steps (common practice).
FLAT_THIRD, FIFTH = 3, 7

every_key = pytest.mark.parametrize("tonic", TONICS, ids=str)
both_scales = pytest.mark.parametrize("scale", ["minor pentatonic", "blues"])


def sounding(advice: Advice, tonic: Note) -> set[int]:
    """The pitch classes of the scale that is advised."""
    return {note.pitch_class for note in Scale(advice.scale_tonic.at(tonic), advice.scale).notes}


class TestNecks:
    """Common practice."""

    @pytest.mark.parametrize("instrument", ["mandolin", "guitar", "banjo"])
    @both_scales
    def test_seven_frets_up_lies_the_scale_of_five(self, instrument: str, scale: str) -> None:
        midi = {(c.string, c.fret): c.midi for c in cells(find_instrument(instrument), frets=15)}
        here = {note.pitch_class for note in Scale.parse(f"A {scale}").notes}
        there = {note.pitch_class for note in Scale.parse(f"E {scale}").notes}
        closed = [place for place in midi if place[1] > 0 and (place[0], place[1] + 7) in midi]
        assert closed
        for string, fret in closed:
            assert (midi[string, fret] % 12 in here) == (midi[string, fret + 7] % 12 in there)

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
class TestOverFive:
    """Common practice, each in every key that the menus offer."""

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


@pytest.mark.parametrize(
    ("scale", "spelled"), [("minor pentatonic", "D F G A C"), ("blues", "D F G A♭ A C")]
)
def test_spelled_in_the_answers(scale: str, spelled: str) -> None:
    assert notes(scale, "D") == spelled
    assert spelled in WORDS


class TestTheTune:
    def test_its_chart_is_advised_as_the_lesson_says(self) -> None:
        # Its V of two beats is long enough to switch.
        chart = tune_study(tune("nine_bales_and_a_bucket")).progression
        bars = advise_progression(chart, find_scale("blues"), find_style("bluegrass"))
        verdicts = {"I": "stay", "IV": "pass", "V": "switch"}
        assert len(bars) == 8
        assert [str(advice.numeral) for advice in bars[6]] == ["I", "V"]
        assert bars[6][1].beats == Fraction(2)
        for bar in bars:
            for advice in bar:
                assert advice.verdict == verdicts[str(advice.numeral)]

    def test_it_has_the_fifth_of_five_over_five_and_never_the_flat_third_there(self) -> None:
        score = tune("nine_bales_and_a_bucket")
        over = [chord for chord in score.chords if str(chord.chord) == "E"]
        assert [chord.start for chord in over] == [16, 26]
        for chord in over:
            end = chord.start + chord.beats
            line = score.part("line").notes
            names = [str(n.pitch.note) for n in line if n.pitch and chord.start <= n.start < end]
            assert "B" in names
            assert "C" not in names
