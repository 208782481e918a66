"""Modal tunes and the chords that lead to others: what is a dominant, and of what."""

from fractions import Fraction

import pytest

from theorykit.analysis.advice import advise, candidates
from theorykit.analysis.fit import classify
from theorykit.analysis.style import STYLES, find_style
from theorykit.analysis.tonality import DIATONIC, dominant_target, has_minor_third, tune_mode
from theorykit.theory.degree import Degree
from theorykit.theory.form import FORMS
from theorykit.theory.numeral import Numeral
from theorykit.theory.progression import Progression
from theorykit.theory.scale import SCALES, find_scale


def ask(scale, chord, style="bluegrass", mode="major"):
    return advise(find_scale(scale), Numeral.parse(chord), find_style(style), mode, Fraction(4))


def watched(advice):
    return [str(note.degree) for note in advice.watch]


@pytest.mark.parametrize("mode", ["Mixolydian", "Dorian"])
def test_the_notes_of_a_modal_tune_are_its_scale(mode):
    assert DIATONIC[mode] == set(SCALES[mode].semitones)


def test_major_is_its_scale_and_minor_has_both_sevenths():
    assert DIATONIC["major"] == set(SCALES["major"].semitones)
    both = {*SCALES["natural minor"].semitones, *SCALES["harmonic minor"].semitones}
    assert DIATONIC["minor"] == both
    assert {mode for mode in DIATONIC if has_minor_third(mode)} == {"minor", "Dorian"}


#: Any harmony handbook; from memory: chord, mode, where it leads, and whether that is minor.
DOMINANTS = """
V     major      1   no
V7    minor      1   yes
V     Dorian     1   yes
II7   major      5   no
II    major      5   no
III7  major      6   yes
VI7   major      2   yes
VII7  major      3   yes
V7/V  major      5   no
V7/vi major      6   yes
V7/ii major      2   yes
V7/IV major      4   no
V7/iv minor      4   yes
II7   minor      5   yes
V7/V  minor      5   yes
V7/V  Mixolydian 5   no
I     major      -   -
I7    major      -   -
IV7   major      -   -
bVII  major      -   -
v     minor      -   -
IV    Dorian     -   -
ii7   major      -   -
V5    major      -   -
V7sus4 major     -   -
vii°/V major     -   -
IV/V  major      -   -
I/V   major      -   -
"""


@pytest.mark.parametrize("row", [line.split() for line in DOMINANTS.strip().splitlines()])
def test_where_a_dominant_leads(row):
    chord, mode, root, minor = row
    target = dominant_target(Numeral.parse(chord), mode)
    found = ("-", "-") if target is None else (str(target.root), "yes" if target.minor else "no")
    assert found == (root, minor)


@pytest.mark.parametrize(
    ("written", "plain"), [("V7/V", "II7"), ("V7/vi", "III7"), ("V7/ii", "VI7"), ("V7/iii", "VII7")]
)
def test_an_applied_chord_is_read_as_the_plain_one_is(written, plain):
    for semitones in range(12):
        one = classify(semitones, Numeral.parse(written), "major")
        assert one == classify(semitones, Numeral.parse(plain), "major")


#: Any harmony handbook; from memory: chord, mode, the note, its class, the member that decides.
CLASSES_BY_HAND = [
    # The key's own note against the leading note of what follows.
    ("II7", "major", "4", "leading-note conflict", "third"),
    ("V7/V", "major", "4", "leading-note conflict", "third"),
    ("III7", "major", "5", "leading-note conflict", "third"),
    ("VI7", "major", "1", "leading-note conflict", "third"),
    ("V7/iv", "minor", "b3", "leading-note conflict", "third"),
    # An applied dominant of a minor chord takes that chord's minor ninth and thirteenth.
    ("III7", "major", "4", "functional tension", "root"),
    ("III7", "major", "1", "functional tension", "fifth"),
    ("VI7", "major", "b7", "functional tension", "root"),
    # One of a major chord does not.
    ("II7", "major", "b3", "avoid, foreign to the key", "root"),
    ("V7/IV", "major", "b2", "avoid, foreign to the key", "root"),
    ("II7", "minor", "b3", "functional tension", "root"),
    # The major chord on IV of a minor tune: its own minor third is a blue note.
    ("IV", "minor", "b6", "blue", "third"),
    ("I", "minor", "b3", "blue", "third"),
    # In a Mixolydian tune the leading note is foreign, in a major one it is not.
    ("bVII", "Mixolydian", "7", "avoid, foreign to the key", "root"),
    ("bVII", "major", "7", "avoid, in the key", "root"),
    ("bVII", "Dorian", "7", "avoid, foreign to the key", "root"),
    ("IV", "Dorian", "b6", "blue", "third"),
    ("v", "Dorian", "b6", "avoid, foreign to the key", "root"),
    # A chord borrowed from minor: the note below its third stays a colour.
    ("iv", "major", "5", "colour", "-"),
    ("bVI", "major", "2", "colour", "-"),
]


@pytest.mark.parametrize(("chord", "mode", "note", "kind", "member"), CLASSES_BY_HAND)
def test_classes_in_minor_and_modal_tunes(chord, mode, note, kind, member):
    found, decides = classify(Degree.parse(note).semitones, Numeral.parse(chord), mode)
    assert (found.name, decides.ordinal if decides else "-") == (kind, member)


def test_the_major_scale_over_a_secondary_dominant():
    # Common practice: over II7 the fourth of the key gives way to the chord's third.
    for style in ("bluegrass", "country", "blues", "jazz"):
        assert ask("major", "II7", style).verdict == "pass"
        assert "4" in watched(ask("major", "II7", style))
    strict = ask("major", "II7", "classical")
    assert (strict.verdict, str(strict.scale_tonic), strict.scale.name) == (
        "switch",
        "2",
        "Mixolydian",
    )


def test_over_the_dominant_of_a_minor_chord_its_harmonic_minor_is_offered():
    # Common practice.
    strict = ask("major", "III7", "classical")
    assert (str(strict.scale_tonic), strict.scale.name) == ("6", "harmonic minor")


def test_the_best_of_two_offers_is_taken():
    offered = candidates(find_scale("major"), Numeral.parse("VI7"), "major")
    assert [f"{tonic} {scale.name}" for tonic, scale in offered] == [
        "6 Mixolydian",
        "2 harmonic minor",
    ]
    for style in ("classical", "country"):
        advice = advise(
            find_scale("natural minor"), Numeral.parse("VI7"), find_style(style), "major"
        )
        assert advice.verdict == "switch"
        assert (str(advice.scale_tonic), advice.scale.name) == ("2", "harmonic minor")


def test_in_a_mixolydian_vamp_the_leading_note_calls_for_the_mode():
    # Common practice: over bVII the major seventh gives way to the minor one.
    assert ask("major", "bVII").verdict == "pass"
    vamp = ask("major", "bVII", mode="Mixolydian")
    assert vamp.verdict == "switch"
    assert watched(vamp)[0] == "7"
    offered = candidates(find_scale("major"), Numeral.parse("bVII"), "Mixolydian")
    assert (Degree(1), SCALES["Mixolydian"]) in offered
    for chord in ("I", "bVII", "IV", "v"):
        assert ask("Mixolydian", chord, mode="Mixolydian").verdict in {"stay", "pass"}


def test_in_a_dorian_vamp_the_dorian_mode_stays():
    for style in STYLES:
        for chord in ("i", "IV", "bVII", "v"):
            assert ask("Dorian", chord, style, "Dorian").verdict in {"stay", "pass"}
    assert ask("natural minor", "IV", "classical", "Dorian").verdict == "switch"


def test_the_minor_pentatonic_stays_through_a_minor_tune():
    # Common practice: over i, iv and bVII nothing of it is unwanted; over V7 its b7 passes.
    for chord in ("i", "iv", "bVII", "i7", "iv7"):
        assert ask("minor pentatonic", chord, mode="minor").verdict == "stay"
    assert ask("minor pentatonic", "V7", mode="minor").verdict == "pass"
    assert watched(ask("minor pentatonic", "V7", mode="minor")) == ["b7"]


def test_the_third_that_is_left_out_is_the_key_s_own():
    major, minor = find_scale("major"), find_scale("natural minor")
    assert candidates(major, Numeral.parse("II5"), "major")[0][1].name == "Dorian"
    assert candidates(major, Numeral.parse("V5"), "major")[0][1].name == "Mixolydian"
    assert candidates(minor, Numeral.parse("IV5"), "minor")[0][1].name == "Dorian"
    # Minor has two sevenths, and the dominant has the raised one.
    assert candidates(minor, Numeral.parse("V5"), "minor")[0][1].name == "Mixolydian"


@pytest.mark.parametrize(
    ("chart", "mode"),
    [
        ("| I | bVII | IV | I |", "Mixolydian"),
        ("| I | bVII | I | v |", "Mixolydian"),
        ("| I | bVII | V | I |", "major"),
        ("| I | IV | V | I |", "major"),
        ("| I7 | IV7 | I7 |", "major"),
        ("| i | IV | i | bVII |", "Dorian"),
        ("| i | iv | V | i |", "minor"),
        ("| i | bVI | IV | i |", "minor"),
        ("| i | bVII | i |", "minor"),
    ],
)
def test_the_mode_of_a_tune(chart, mode):
    assert tune_mode(Progression.parse(chart)) == mode


@pytest.mark.parametrize(
    ("form", "mode"),
    [
        ("12-bar blues", "major"),
        ("12-bar minor blues", "minor"),
        ("two-part dance tune", "major"),
        ("bVII vamp", "major"),
        ("Dorian vamp", "Dorian"),
        ("I-bVII-IV", "Mixolydian"),
    ],
)
def test_the_modes_of_known_forms(form, mode):
    assert tune_mode(FORMS[form]) == mode
