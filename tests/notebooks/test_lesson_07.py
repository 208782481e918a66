"""What the seventh lesson says, held against the library."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from lessons import at, classes, lesson, pitch_classes, tune

from theorykit.practice.line import line_over
from theorykit.practice.neighbour import add_neighbours
from theorykit.practice.neighbour_figure import NEIGHBOURS
from theorykit.theory.key import TONICS
from theorykit.theory.pitch import Note
from theorykit.theory.scale import find_scale
from theorykit.tune.study import tune_study

WORDS = lesson(7).words

every_key = pytest.mark.parametrize("tonic", TONICS, ids=str)


@pytest.mark.parametrize(
    ("figure", "row"),
    [
        # Worked out by hand into C sharp in A major.
        ("upper neighbour", "D, C♯"),
        ("lower neighbour", "B, C♯"),
        ("chromatic lower neighbour", "B♯, C♯"),
        ("enclosure", "D, B♯, C♯"),
        ("approach from below", "B, B♯, C♯"),
    ],
)
def test_the_figures(figure: str, row: str) -> None:
    led = add_neighbours(tune("trestle_table"), figures=figure, amount=1, seed=1)
    found = {}
    for each in led.added:
        found.setdefault(each.target.start, []).append(each.note.pitch.note.pretty)
        if each.target.pitch.note.pretty == "C♯":
            where = each.target.start
    assert ", ".join([*found[where], "C♯"]) == row
    assert any(f"| {name} |" in WORDS for name in NEIGHBOURS if name == figure)
    assert f"| {row} |" in WORDS


def test_the_target_keeps_its_beat() -> None:
    plain = tune("trestle_table")
    led = add_neighbours(plain, figures="chromatic lower neighbour", amount=0.25, seed=1)
    starts = {note.start: note.midi for note in led.score.part("line").notes}
    assert led.added
    for note in plain.part("line").notes:
        assert starts[note.start] == note.midi
    assert all(each.note.start % 1 for each in led.added)  # weak: off the beat


def test_twelve_notes() -> None:
    assert find_scale("chromatic").semitones == tuple(range(12))


@every_key
class TestOverOne:
    """Common practice, in every key that the menus offer."""

    def test_from_below_they_lead(self, tonic: Note) -> None:
        found = classes("chromatic", "I", tonic)
        assert found["7"] == "colour"
        assert found["#2"] == found["#4"] == "blue"

    def test_from_above_they_rub(self, tonic: Note) -> None:
        found = classes("chromatic", "I", tonic)
        assert found["#1"] == found["#5"] == "avoid, foreign to the key"
        assert found["4"] == "passing"


@pytest.mark.parametrize(
    ("instrument", "upper", "lower", "fret"),
    [
        # Below an open string; common practice.
        ("mandolin", 2, 3, 6),
        ("guitar", 1, 2, 4),
        ("guitar", 3, 4, 4),
        ("guitar", 2, 3, 3),
        ("banjo", 2, 3, 3),
        ("banjo", 3, 4, 4),
        ("banjo", 1, 2, 2),
    ],
)
def test_below_an_open_string(instrument: str, upper: int, lower: int, fret: int) -> None:
    assert at(instrument, lower, fret) == (at(instrument, upper, 0) - 1) % 12


@pytest.mark.parametrize(
    ("pairs", "steps"),
    [
        # Spelled by hand, with the half steps from note to note.
        ("G♯ A, B♯ C♯, D♯ E", (1,)),
        ("F♯ G, A♯ B, C♯ D", (1,)),
        ("B G♯ A; D B♯ C♯; F♯ D♯ E", (None, 1)),
        ("G, E♯, F♯", (-2, 1)),
    ],
)
def test_the_exercises(pairs: str, steps: tuple[int | None, ...]) -> None:
    assert pairs in WORDS
    groups = [pairs.replace(",", "")] if pairs.startswith("G, ") else re.split("[,;]", pairs)
    for group in groups:
        for (low, high), step in zip(pairwise(pitch_classes(group)), steps, strict=True):
            if step is not None:
                assert (high - low) % 12 == step % 12


def test_lines_of_level_three_have_neighbours_from_below_and_off_the_strong_beats() -> None:
    chart = tune_study(tune("trestle_table")).progression
    found = 0
    for seed in range(6):
        line = line_over(chart, "A", level=3, seed=seed)
        for note, after in pairwise(line.notes):
            if note.role == "passing" and after.midi - note.midi == 1:
                found += 1
                assert note.start % 2 != 0
    assert found


def test_a_half_step_below_the_third_is_the_blue_note_of_lesson_three() -> None:
    assert find_scale("major blues").semitones[2] == find_scale("major").semitones[2] - 1
