"""What the last lesson says, held against the library."""

from __future__ import annotations

import pytest
from lessons import classes, in_key, lesson, tune

from theorykit.analysis.plan import plan_progression
from theorykit.analysis.style import find_style
from theorykit.practice.line_level import LEVELS
from theorykit.practice.line_skeleton import line_from_tune
from theorykit.review.solo import check_solo
from theorykit.theory.form import find_progression
from theorykit.theory.key import TONICS
from theorykit.theory.pitch import Note
from theorykit.theory.scale import find_scale
from theorykit.tune.study import tune_study

LESSON = lesson(8)
WORDS = LESSON.words
SCORE = tune("nine_bales_and_a_bucket")

every_key = pytest.mark.parametrize("tonic", TONICS, ids=str)


def test_the_plan_changes_for_five_and_comes_home() -> None:
    chart = tune_study(SCORE).progression
    plan = plan_progression(chart, find_scale("blues"), find_style("bluegrass"))
    away = [
        (entry.bar, str(entry.scale_tonic))
        for entry in plan.entries
        if entry.scale_tonic.number != 1
    ]
    assert away == [(5, "5"), (7, "5")]
    assert {entry.scale.name for entry in plan.entries} == {"blues"}
    assert not plan.returns


def test_the_form_that_nells_chorus_is_checked_against_is_the_tunes() -> None:
    form = find_progression("| I | I | IV | I | V | IV | I V | I |")
    assert tune_study(SCORE).progression.bars == form.bars
    assert '"| I | I | IV | I | V | IV | I V | I |"' in LESSON.source("found")


def test_a_chorus_lasts_about_twenty_five_seconds() -> None:
    assert 20 <= 8 * 4 * 60 / SCORE.tempo <= 30


def test_a_variation_keeps_the_notes_on_the_strong_beats() -> None:
    varied = line_from_tune(SCORE, vary=0.5, level=2, seed=3)
    starts = {note.start: note.midi for note in varied.notes}
    firsts = [note for note in SCORE.part("line").notes if note.start % 4 == 0]
    assert len(firsts) == 8
    kept = [note for note in firsts if starts.get(note.start) == note.midi]
    assert len(kept) >= 6


@every_key
class TestTheTools:
    """Common practice, in every key that the menus offer."""

    def test_over_four_six_of_the_major_pentatonic_is_the_third(self, tonic: Note) -> None:
        by_degree = {str(n.degree): n for n in in_key("major pentatonic", "IV", tonic).fit.notes}
        assert by_degree["6"].member.ordinal == "third"

    def test_seven_and_two_are_in_five(self, tonic: Note) -> None:
        found = classes("major", "V", tonic)
        assert found["7"] == found["2"] == "chord tone"


def test_lines_of_level_four_have_what_the_lesson_says() -> None:
    level = LEVELS[4]
    assert (level.chromatic, level.blue, level.answers) == (True, True, True)
    assert "with neighbours, blue notes, calls and answers" in WORDS


def test_the_check_of_nells_chorus_finds_the_one_note() -> None:
    # Written with one held flat third over V, and no other slip.
    form = "| I | I | IV | I | V | IV | I V | I |"
    review = check_solo(tune("nells_first_chorus"), form, "A")
    (found,) = review.findings
    assert (found.bar, found.beat, found.kind) == (5, 1, "avoid")
    assert "C is held over E" in found.words
    assert "C is held over E" in WORDS
    line = tune("nells_first_chorus").part("line").notes
    first, again = ([n.midi for n in line if bar <= n.start < bar + 3] for bar in (0, 4))
    assert first == again
