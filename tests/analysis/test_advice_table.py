"""The table of all advice says what single questions get, and nothing else."""

from fractions import Fraction

import pytest

from theorykit.analysis.advice import advise
from theorykit.analysis.advice_table import SoundedChord, advice_table, sounded_chords
from theorykit.analysis.style import STYLES, find_style
from theorykit.theory.form import FORMS
from theorykit.theory.numeral import Numeral
from theorykit.theory.progression import Progression
from theorykit.theory.scale import SCALES, find_scale


@pytest.mark.parametrize("name", sorted(SCALES))
def test_the_table_says_what_advise_says(name):
    chords, styles = sounded_chords(FORMS.values()), list(STYLES.values())
    (row,) = advice_table([SCALES[name]], chords, styles)
    assert len(row) == len(chords)
    for chord, answers in zip(chords, row, strict=True):
        assert len(answers) == len(styles)
        for style, answer in zip(styles, answers, strict=True):
            single = advise(SCALES[name], chord.numeral, style, chord.mode, chord.beats)
            assert answer == single
            assert (answer.reason, answer.short) == (single.reason, single.short)


def test_the_table_is_by_scale_then_chord_then_style():
    scales = [find_scale("major"), find_scale("blues")]
    chords = [
        SoundedChord(Numeral.parse("I"), "major", Fraction(4)),
        SoundedChord(Numeral.parse("V7"), "major", Fraction(1)),
        SoundedChord(Numeral.parse("V7"), "minor", Fraction(4)),
    ]
    styles = [find_style("jazz")]
    table = advice_table(scales, chords, styles)
    assert [len(table), {len(row) for row in table}] == [2, {3}]
    for scale, row in zip(scales, table, strict=True):
        for chord, (answer,) in zip(chords, row, strict=True):
            assert answer.chosen == scale
            assert answer.numeral == chord.numeral
            assert answer.beats == chord.beats
            assert answer.fit.placement.mode == chord.mode
            assert answer.fit.style.name == "jazz"


def test_each_different_chord_comes_once_with_its_third_and_without():
    forms = [Progression.parse("| I | V I | I |"), Progression.parse("| i | V |")]
    chords = [(str(c.numeral), c.mode, c.beats) for c in sounded_chords(forms)]
    assert chords == [
        ("I", "major", 4),
        ("I5", "major", 4),
        ("V", "major", 2),
        ("V5", "major", 2),
        ("I", "major", 2),
        ("I5", "major", 2),
        ("i", "minor", 4),
        ("I5", "minor", 4),
        ("V", "minor", 4),
        ("V5", "minor", 4),
    ]
    bare = sounded_chords(forms[:1], thirds=[False])
    assert [str(chord.numeral) for chord in bare] == ["I5", "V5", "I5"]
