"""Every class of note over chord, with an example made by hand, and the figures of a fit."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from theorykit.analysis import classification
from theorykit.analysis.fit import Fit, NoteFit, classes, classify, fit, scale_over
from theorykit.analysis.style import CLASSES, STYLES, find_style
from theorykit.theory.degree import Degree
from theorykit.theory.form import FORMS
from theorykit.theory.numeral import Numeral
from theorykit.theory.scale import SCALES, find_scale

BLUEGRASS = find_style("bluegrass")

#: Common practice, worked out by hand from the design's rules: chord, mode, the note as a degree of
#: the key, its class, and the chord member that decides it.
EXAMPLES = """
I     major  1   chord tone                 root
I     major  3   chord tone                 third
V7    major  4   chord tone                 seventh
V7b9  major  b6  chord tone                 ninth
I     major  4   passing                    third
IV    major  b7  passing                    third
V7    major  1   passing                    third
V7    minor  1   passing                    third
V7    minor  b6  functional tension         root
V7    minor  b3  functional tension         fifth
V     minor  b3  functional tension         fifth
bVII  major  7   avoid, in the key          root
vi    major  4   avoid, in the key          fifth
iii   major  1   avoid, in the key          fifth
i     minor  b6  avoid, in the key          fifth
v     minor  b6  avoid, in the key          root
V     major  b3  avoid, foreign to the key  fifth
V     major  b6  avoid, foreign to the key  root
IV    major  b5  avoid, foreign to the key  root
I     major  b2  avoid, foreign to the key  root
ii    major  b3  avoid, foreign to the key  root
iv    major  6   avoid, foreign to the key  third
i     minor  3   avoid, foreign to the key  third
V7    minor  b7  leading-note conflict      third
V     minor  b7  leading-note conflict      third
I     major  b3  blue                       third
I     major  b5  blue                       fifth
V     major  b7  blue                       third
iii   major  b7  blue                       fifth
IV    major  b6  blue                       third
bVII  major  b2  blue                       third
V     major  b5  blue                       root
V     major  b2  approach                   fifth
vi    major  b6  approach                   root
I     major  2   colour                     -
I     major  6   colour                     -
I     major  b7  colour                     -
I     major  7   colour                     -
IV    major  b3  colour                     -
IV    major  7   colour                     -
ii    major  5   colour                     -
i     minor  b7  colour                     -
"""


def _rows() -> list[tuple[str, ...]]:
    rows = []
    for line in EXAMPLES.strip().splitlines():
        chord, mode, note, *kind, member = line.split()
        rows.append((chord, mode, note, " ".join(kind), member))
    return rows


@pytest.mark.parametrize(("chord", "mode", "note", "kind", "member"), _rows())
def test_an_example_of_each_class(chord, mode, note, kind, member):
    found, decides = classify(Degree.parse(note).semitones, Numeral.parse(chord), mode)
    assert (found.name, decides.ordinal if decides else "-") == (kind, member)


def test_the_examples_show_every_class():
    assert {row[3] for row in _rows()} == {kind.name for kind in CLASSES}


#: Common practice for the order of the rules: the first that applies decides.
ORDER = [
    # A chord tone a half step above another one is a chord tone.
    ("Imaj7", "major", "1", "chord tone"),
    # Between root and ninth: above the root decides before below the ninth.
    ("Iadd9", "major", "b2", "avoid, foreign to the key"),
    # A half step above the minor third and a half step below the fourth.
    ("imadd4", "minor", "3", "avoid, foreign to the key"),
    # The b9 of a dominant in minor, a half step above the root though it is.
    ("V7", "minor", "b6", "functional tension"),
    # The same note in major is foreign.
    ("V7", "major", "b6", "avoid, foreign to the key"),
    # A suspended fourth sounds in the chord: it isn't a passing note.
    ("Isus4", "major", "4", "chord tone"),
    # Between V's ninth and its third: above a chord tone comes before below one.
    ("V9", "minor", "b7", "avoid, in the key"),
    # The seventh's half step above is no passing fourth and no tension.
    ("V7", "minor", "b5", "avoid, foreign to the key"),
]


@pytest.mark.parametrize(("chord", "mode", "note", "kind"), ORDER)
def test_the_first_rule_that_applies_decides(chord, mode, note, kind):
    found, _ = classify(Degree.parse(note).semitones, Numeral.parse(chord), mode)
    assert found.name == kind


def test_a_left_out_third_no_longer_rubs():
    # Common practice: root and fifth alone are neither major nor minor.
    for note in ("b3", "4"):
        semitones = Degree.parse(note).semitones
        assert classify(semitones, Numeral.parse("I"), "major")[0].name != "colour"
        assert classify(semitones, Numeral.parse("I5"), "major")[0].name == "colour"


def test_a_left_out_fifth_no_longer_rubs():
    assert classify(3, Numeral.parse("Vno5"), "major")[0].name == "colour"


def test_notes_are_counted_in_any_octave():
    numeral = Numeral.parse("V7")
    assert classify(3 + 24, numeral, "major") == classify(3, numeral, "major")
    assert classify(3 - 12, numeral, "major") == classify(3, numeral, "major")


def test_a_note_knows_its_role():
    notes = fit(find_scale("major"), Numeral.parse("I"), BLUEGRASS).notes
    roles = {str(note.degree): note.role for note in notes}
    assert roles == {
        "1": "root",
        "2": "colour",
        "3": "chord tone",
        "4": "passing",
        "5": "chord tone",
        "6": "colour",
        "7": "colour",
    }


def test_the_figures_of_a_fit_by_hand():
    # Stipulated weights: root 1, third 1, seventh .75, fifth .5. The key's minor pentatonic over
    # V7: 1 passing .20, b3 foreign .90, 4 seventh, 5 root, b7 blue .25; the third and the fifth
    # are missing.
    result = fit(find_scale("minor pentatonic"), Numeral.parse("V7"), BLUEGRASS)
    assert [note.severity for note in result.notes] == [0.20, 0.90, 0.0, 0.0, 0.25]
    assert result.clean == pytest.approx(1 - 1.35 / 5)
    assert result.cover == pytest.approx((1 + 0.75) / (1 + 1 + 0.5 + 0.75))
    assert result.score == pytest.approx(0.75 * 0.73 + 0.25 * 1.75 / 3.25)


def test_the_stipulated_weights_of_the_members():
    weights = classification.MEMBER_WEIGHTS
    assert weights == {"root": 1.0, "third": 1.0, "seventh": 0.75}
    assert classification.OTHER_MEMBER_WEIGHT == 0.5


def test_the_worst_note_comes_first_and_the_careful_in_scale_order():
    result = fit(find_scale("chromatic"), Numeral.parse("iv"), find_style("country"))
    severities = [note.severity for note in result.unwanted]
    assert severities == sorted(severities, reverse=True)
    result = fit(find_scale("major"), Numeral.parse("bVI"), BLUEGRASS)
    order = [note.degree.semitones for note in result.careful]
    assert order == sorted(order)
    assert len(order) >= 2


@pytest.mark.parametrize(
    ("severity", "ornament", "unwanted", "careful"),
    [
        (0.29, False, False, False),
        (0.30, False, False, True),
        (0.69, False, False, True),
        (0.70, False, True, False),
        (1.00, False, True, False),
        (0.29, True, False, False),
        (0.70, True, False, True),
        (1.00, True, False, True),
    ],
)
def test_the_thresholds_take_in_their_own_value(severity, ornament, unwanted, careful):
    style = BLUEGRASS.edited("edge", {kind: severity for kind in CLASSES if kind.rubs_against})
    scale = find_scale("blues") if ornament else find_scale("1 b5")
    result = fit(scale, Numeral.parse("IV5"), style)
    b5 = next(note for note in result.notes if str(note.degree) == "b5")
    assert b5.ornament is ornament
    assert (b5 in result.unwanted, b5 in result.careful) == (unwanted, careful)


def test_the_scale_that_follows_the_chord_is_its_tones_folded_into_one_octave():
    tones = scale_over(Numeral.parse("V9"), find_scale("chord tones"))
    assert str(tones) == "1 2 3 5 b7"
    over = fit(find_scale("chord tones"), Numeral.parse("V9"), BLUEGRASS)
    assert [str(note.degree) for note in over.notes] == ["5", "6", "7", "2", "4"]
    assert {note.kind.name for note in over.notes} == {"chord tone"}
    assert over.cover == 1.0
    assert over.clean == 1.0


def test_a_fit_on_another_tonic_is_told_in_degrees_of_the_key():
    # Common practice: V's own minor pentatonic in G is D F G A C.
    result = fit(find_scale("minor pentatonic"), Numeral.parse("V"), BLUEGRASS, tonic=Degree(5))
    assert [str(note.degree) for note in result.notes] == ["5", "b7", "1", "2", "4"]
    assert result.unwanted == ()


def test_the_second_spelling_moves_with_the_tonic():
    result = fit(find_scale("blues"), Numeral.parse("V"), BLUEGRASS, tonic=Degree(5))
    spelled = [(str(note.degree), str(note.alternate)) for note in result.notes]
    assert ("b2", "#1") in spelled
    assert [alternate for _, alternate in spelled].count("None") == 5


every_chord = st.sampled_from(
    sorted({chord.numeral for form in FORMS.values() for chord in form.chords}, key=str)
)


@given(every_chord, st.sampled_from(["major", "minor"]), st.sampled_from(sorted(SCALES)))
def test_the_figures_stay_between_zero_and_one(numeral, mode, name):
    for style in STYLES.values():
        result = fit(SCALES[name], numeral, style, mode)
        assert isinstance(result, Fit)
        assert all(isinstance(note, NoteFit) for note in result.notes)
        assert 0.0 <= result.clean <= 1.0
        assert 0.0 <= result.cover <= 1.0
        assert 0.0 <= result.score <= 1.0
        assert not set(result.unwanted) & set(result.careful)


@given(every_chord, st.sampled_from(["major", "minor"]))
def test_each_class_keeps_its_promise_about_the_member_it_names(numeral, mode):
    root = numeral.root.semitones
    for semitones, (kind, member) in enumerate(classes(numeral, mode)):
        if kind.name == "colour":
            assert member is None
            continue
        distance = (root + member.semitones - semitones) % 12
        assert distance == kind.rubs_against % 12


@given(every_chord, st.sampled_from(["major", "minor"]))
def test_chord_tones_are_exactly_the_sounded_members(numeral, mode):
    tones = {
        semitones
        for semitones, (kind, _) in enumerate(classes(numeral, mode))
        if kind.name == "chord tone"
    }
    assert tones == {degree.semitones % 12 for degree in numeral.members}


def test_whether_anything_rubs_at_all():
    assert fit(find_scale("minor pentatonic"), Numeral.parse("I"), BLUEGRASS).rubs
    assert not fit(find_scale("minor pentatonic"), Numeral.parse("I5"), BLUEGRASS).rubs
    # An ornament's rub counts too.
    assert fit(find_scale("1 b5 5"), Numeral.parse("I5"), BLUEGRASS).rubs
    assert fit(find_scale("blues"), Numeral.parse("I5"), BLUEGRASS).rubs
