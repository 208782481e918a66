"""What players hold about scales over chords, in every key; then the rules of the verdict."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from theorykit.analysis.advice import (
    LEAST_BEATS,
    LEAST_GAIN,
    SWITCH_COST_BEATS,
    Advice,
    advise,
    advise_progression,
    candidates,
    sounded,
)
from theorykit.analysis.fit import fit
from theorykit.analysis.style import AVOID_FOREIGN, STYLES, find_style
from theorykit.analysis.wording import fill, token_degree
from theorykit.theory.chord import Chord
from theorykit.theory.degree import Degree
from theorykit.theory.form import FORMS, find_progression
from theorykit.theory.key import MAJOR_TONICS, TONICS
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.progression import Progression
from theorykit.theory.scale import SCALES, find_scale

#: Common practice, spelled by hand: the key, its lowered third, the V chord, V's fifth, and the
#: minor pentatonic of V's own root.
BY_HAND = """
Cb  Ebb  Gb  Db   Gb Bbb Cb Db Fb
Gb  Bbb  Db  Ab   Db Fb Gb Ab Cb
Db  Fb   Ab  Eb   Ab Cb Db Eb Gb
Ab  Cb   Eb  Bb   Eb Gb Ab Bb Db
Eb  Gb   Bb  F    Bb Db Eb F Ab
Bb  Db   F   C    F Ab Bb C Eb
F   Ab   C   G    C Eb F G Bb
C   Eb   G   D    G Bb C D F
G   Bb   D   A    D F G A C
D   F    A   E    A C D E G
A   C    E   B    E G A B D
E   G    B   F#   B D E F# A
B   D    F#  C#   F# A B C# E
F#  A    C#  G#   C# E F# G# B
C#  E    G#  D#   G# B C# D# F#
"""
KEYS = [tuple(line.split()) for line in BY_HAND.strip().splitlines()]
MAJOR_CHORDS = ("I", "IV", "V")


def ask(scale: str, chord: str, style: str = "bluegrass", mode="major", beats=4) -> Advice:
    return advise(find_scale(scale), Numeral.parse(chord), find_style(style), mode, Fraction(beats))


def in_key(scale: str, chord: str, tonic: str) -> Advice:
    """The same question put with a chord symbol in a key."""
    note = Note.parse(tonic)
    symbol = Numeral.parse(chord).chord(note)
    numeral = Numeral.from_chord(Chord.parse(str(symbol)), note)
    return advise(find_scale(scale), numeral, find_style("bluegrass"))


def spelled(advice: Advice, tonic: str) -> list[str]:
    return [str(note.degree.at(Note.parse(tonic))) for note in advice.watch]


def test_the_keys_typed_by_hand_are_all_of_them():
    assert {Note.parse(row[0]) for row in KEYS} == set(MAJOR_TONICS)


@pytest.mark.parametrize("row", KEYS, ids=lambda row: row[0])
class TestCommonPractice:
    """Facts of the trade: common practice, each in every spelled key."""

    def test_the_key_s_minor_pentatonic_stays_over_one_and_four(self, row):
        assert in_key("minor pentatonic", "I", row[0]).verdict == "stay"
        assert in_key("minor pentatonic", "IV", row[0]).verdict == "stay"

    @pytest.mark.parametrize("scale", ["minor pentatonic", "blues"])
    @pytest.mark.parametrize("chord", ["V", "V7"])
    def test_over_five_the_lowered_third_alone_is_unwanted(self, row, scale, chord):
        tonic, flat_third, five, fifth, *_ = row
        advice = in_key(scale, chord, tonic)
        assert advice.verdict == "switch"
        (unwanted,) = advice.fit.unwanted
        assert spelled(advice, tonic)[0] == flat_third
        # The blues scale's ornament rubs against V7's seventh as well, in passing.
        passed = [note.ornament for note in advice.watch[1:]]
        assert passed == ([True] if (scale, chord) == ("blues", "V7") else [])
        rubbed = advice.numeral.root.plus(unwanted.member).at(Note.parse(tonic))
        assert unwanted.kind is AVOID_FOREIGN
        assert (str(rubbed), unwanted.member.ordinal) == (fifth, "fifth")
        assert unwanted.degree.at(Note.parse(tonic)).pitch_class == (rubbed.pitch_class + 1) % 12
        assert str(advice.scale_tonic.at(Note.parse(tonic))) == five
        assert advice.scale.name == scale

    def test_five_s_own_minor_pentatonic_has_its_fifth_instead(self, row):
        tonic, flat_third, _, fifth, *own = row
        advice = in_key("minor pentatonic", "V", tonic)
        notes = [
            str(advice.scale_tonic.plus(degree).at(Note.parse(tonic)))
            for degree in advice.scale.degrees
        ]
        assert notes == own
        assert flat_third not in notes
        assert fifth in notes

    @pytest.mark.parametrize("scale", ["major", "major pentatonic"])
    def test_the_major_scales_run_over_the_three_chords(self, row, scale):
        assert {in_key(scale, chord, row[0]).verdict for chord in MAJOR_CHORDS} == {"stay"}

    def test_the_lowered_third_over_one_is_blue_and_stops_rubbing_without_the_third(self, row):
        tonic, flat_third, *_ = row
        notes = in_key("minor pentatonic", "I", tonic).fit.notes
        (blue,) = [note for note in notes if note.kind.name == "blue"]
        assert str(blue.degree.at(Note.parse(tonic))) == flat_third
        bare = in_key("minor pentatonic", "I5", tonic).fit.notes
        assert {note.kind.rubs_against for note in bare} == {0}

    def test_the_blues_scale_s_added_note_is_passed_through_over_four(self, row):
        tonic = row[0]
        advice = in_key("blues", "IV", tonic)
        assert advice.verdict == "pass"
        (added,) = advice.watch
        assert added.ornament
        assert added.degree == Degree(5, -1)
        assert advice.scale == find_scale("blues")
        assert advice.scale_tonic == Degree(1)


@pytest.mark.parametrize("scale", ["minor pentatonic", "blues"])
def test_without_its_third_five_still_does_not_take_the_lowered_third(scale):
    # Common practice: the note rubs against the fifth, so the third has no say.
    advice = ask(scale, "V5")
    assert [str(note.degree) for note in advice.fit.unwanted] == ["b3"]
    assert advice.verdict == "switch"


def test_without_its_fifth_five_takes_the_lowered_third():
    advice = ask("minor pentatonic", "Vno5")
    assert advice.verdict == "stay"
    assert advice.watch == ()


@pytest.mark.parametrize("scale", ["minor pentatonic", "blues"])
@pytest.mark.parametrize("chord", ["V", "V7", "V5"])
def test_in_blues_style_one_stays_on_five_and_passes_through(scale, chord):
    # Disputed (Temperley 2007, from memory): one blues scale throughout.
    advice = ask(scale, chord, "blues")
    assert advice.verdict == "pass"
    assert [str(note.degree) for note in advice.watch if not note.ornament] == ["b3"]


def test_the_major_blues_scale_stays_over_one_and_its_ornament_never_calls_for_a_switch():
    assert ask("major blues", "I").verdict == "stay"
    assert ask("major blues", "IV").verdict == "stay"
    assert ask("major blues", "V").verdict == "pass"


def test_the_whole_dominant_blues_goes_as_the_plain_one_does():
    # Common practice: blues-based harmony may make every chord a dominant seventh.
    for scale in ("minor pentatonic", "blues"):
        for chord in MAJOR_CHORDS:
            assert ask(scale, chord + "7").verdict == ask(scale, chord).verdict


@pytest.mark.parametrize("style", sorted(STYLES))
@pytest.mark.parametrize("name", sorted(FORMS))
def test_chord_tones_always_stay(style, name):
    tones = find_scale("chord tones")
    for bar in advise_progression(FORMS[name], tones, find_style(style)):
        for advice in bar:
            assert (advice.verdict, advice.watch) == ("stay", ())
            assert advice.scale_tonic == advice.numeral.root


tonics = st.sampled_from(TONICS)
scales = st.sampled_from(sorted(SCALES))
styles = st.sampled_from(sorted(STYLES))
chords = st.sampled_from(
    sorted({str(chord.numeral) for form in FORMS.values() for chord in form.chords})
)
modes = st.sampled_from(["major", "minor"])
beats_of = st.sampled_from([Fraction(1), Fraction(3, 2), Fraction(2), Fraction(3), Fraction(4)])


@given(tonics, scales, styles, chords, modes, beats_of)
def test_the_verdict_is_the_same_in_every_key(tonic, scale, style, chord, mode, beats):
    numeral = Numeral.parse(chord)
    again = Numeral.from_chord(numeral.chord(tonic), tonic)
    ours = advise(SCALES[scale], numeral, STYLES[style], mode, beats)
    theirs = advise(SCALES[scale], again, STYLES[style], mode, beats)
    assert (ours.verdict, ours.scale, ours.scale_tonic) == (
        theirs.verdict,
        theirs.scale,
        theirs.scale_tonic,
    )
    assert ours.watch == theirs.watch
    assert fill(ours.reason, tonic) == fill(theirs.reason, tonic)


@given(tonics, scales, styles, chords, modes)
def test_every_named_note_sounds_the_same_in_every_key(tonic, scale, style, chord, mode):
    advice = advise(SCALES[scale], Numeral.parse(chord), STYLES[style], mode)
    for note in advice.watch:
        text = str(note.degree) + (f"|{note.alternate}" if note.alternate else "")
        sounding = token_degree(text, tonic).at(tonic).pitch_class
        assert sounding == (tonic.pitch_class + note.degree.semitones) % 12


@given(scales, styles, chords, modes, beats_of)
def test_the_verdict_follows_from_the_fit(scale, style, chord, mode, beats):
    advice = advise(SCALES[scale], Numeral.parse(chord), STYLES[style], mode, beats)
    held = advice.fit
    home = advice.numeral.root if SCALES[scale].follows_chord else Degree(1)
    if not held.unwanted:
        assert advice.verdict == ("pass" if held.careful else "stay")
    else:
        assert advice.verdict in {"leave", "switch"}
    if advice.verdict == "switch":
        assert beats >= LEAST_BEATS
        tonic = advice.scale_tonic
        new = fit(advice.scale, advice.numeral, STYLES[style], mode, tonic=tonic)
        assert not new.unwanted
        assert new.score >= held.score + LEAST_GAIN + SWITCH_COST_BEATS / float(beats)
        offered = candidates(SCALES[scale], advice.numeral, mode)
        assert (advice.scale_tonic, advice.scale) in offered
    else:
        assert (advice.scale, advice.scale_tonic) == (SCALES[scale], home)


def test_the_stipulated_costs():
    assert (LEAST_GAIN, SWITCH_COST_BEATS, LEAST_BEATS) == (0.04, 0.02, 2)


def test_a_chord_of_less_than_two_beats_is_too_short_to_switch():
    assert ask("minor pentatonic", "V", beats=2).verdict == "switch"
    assert ask("minor pentatonic", "V", beats="15/8").verdict == "leave"
    short = ask("minor pentatonic", "V", beats=1)
    assert short.verdict == "leave"
    assert [str(note.degree) for note in short.watch] == ["b3"]
    assert (short.scale.name, short.scale_tonic) == ("minor pentatonic", Degree(1))


def test_a_scale_that_rubs_as_much_is_no_reason_to_switch():
    # Classical style takes no blue note, so V's own minor pentatonic is no better.
    advice = ask("minor pentatonic", "V", "classical")
    assert advice.verdict == "leave"
    assert [str(note.degree) for note in advice.watch] == ["b3", "b7"]


def test_in_minor_the_key_s_harmonic_minor_comes_in_over_its_dominant():
    # Any handbook of the major-minor system; from memory.
    advice = ask("natural minor", "V7", "classical", "minor")
    assert (advice.verdict, str(advice.scale_tonic), advice.scale.name) == (
        "switch",
        "1",
        "harmonic minor",
    )
    assert [str(note.degree) for note in advice.watch[:1]] == ["b7"]


@pytest.mark.parametrize("chord", ["i", "iv", "v", "bVI", "bVII", "bIII"])
def test_natural_minor_stays_over_the_chords_of_its_key(chord):
    for style in STYLES:
        assert ask("natural minor", chord, style, "minor").verdict in {"stay", "pass"}


@pytest.mark.parametrize(
    ("chord", "mode", "expected"),
    [
        # Common practice: the mode with the chord's own third and seventh.
        ("V", "major", "5 Mixolydian"),
        ("V7", "major", "5 Mixolydian"),
        ("Imaj7", "major", "1 major"),
        ("ii", "major", "2 Dorian"),
        ("iv7", "major", "4 Dorian"),
    ],
)
def test_the_seven_note_scales_change_to_the_chord_s_mode(chord, mode, expected):
    for name in ("major", "Mixolydian", "Dorian", "natural minor"):
        offered = candidates(find_scale(name), Numeral.parse(chord), mode)
        assert f"{offered[0][0]} {offered[0][1].name}" == expected


@pytest.mark.parametrize("name", ["minor pentatonic", "blues", "major pentatonic", "whole tone"])
def test_every_other_scale_changes_to_itself_on_the_chord_s_root(name):
    offered = candidates(find_scale(name), Numeral.parse("bVII"), "major")
    assert offered == [(Degree(7, -1), find_scale(name))]


def test_advice_for_a_form_keeps_its_bars():
    form = find_progression("8-bar blues")
    advice = advise_progression(form, find_scale("blues"), find_style("bluegrass"))
    assert [len(bar) for bar in advice] == [len(bar) for bar in form.bars]
    assert [a.beats for bar in advice for a in bar] == [c.beats for c in form.chords]


def test_advice_for_the_twelve_bar_blues():
    # Common practice: change in bars 9 and 12 and nowhere else.
    form = find_progression("12-bar blues")
    advice = advise_progression(form, find_scale("minor pentatonic"), find_style("bluegrass"))
    verdicts = [bar[0].verdict for bar in advice]
    assert [bar for bar, verdict in enumerate(verdicts, 1) if verdict == "switch"] == [9, 12]
    assert set(verdicts) == {"stay", "switch"}


def test_a_form_is_advised_in_its_own_mode_unless_told():
    form = Progression.parse("| i | V7 | i |")
    natural, classical = find_scale("natural minor"), find_style("classical")
    own = advise_progression(form, natural, classical)
    assert own == advise_progression(form, natural, classical, mode="minor")
    assert own != advise_progression(form, natural, classical, mode="major")


def test_leaving_out_the_thirds_goes_for_every_chord():
    form = find_progression("I-IV-V vamp")
    scale, style = find_scale("minor pentatonic"), find_style("bluegrass")
    bare = advise_progression(form, scale, style, thirds=False)
    assert [str(bar[0].numeral) for bar in bare] == ["I5", "IV5", "V5", "I5"]
    assert [bar[0].verdict for bar in bare] == ["stay", "stay", "switch", "stay"]


@given(chords)
def test_a_chord_as_it_sounds(chord):
    numeral = Numeral.parse(chord)
    assert sounded(numeral, thirds=True) == numeral
    bare = sounded(numeral, thirds=False)
    assert bare.type.third is None
    assert bare.root == numeral.root
    kept = [degree for degree in numeral.type.degrees if degree.number != 3]
    assert list(bare.type.degrees) == kept
