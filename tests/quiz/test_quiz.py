"""Quizzes: every option of thousands of questions judged again by tables typed by hand."""

from __future__ import annotations

from collections import Counter, defaultdict

import pytest
from quiz_answers import (
    SCALES,
    TUNINGS,
    over,
    pitch_class,
    right_options,
    right_places,
    root_numeral,
)

import theorykit as tk
from theorykit.errors import BadInput
from theorykit.quiz.question import BY_EAR, KINDS, Question

#: Key, scale, progression and instrument of some quizzes.
TOPICS = (
    ("A", "minor pentatonic", "12-bar blues", "mandolin"),
    ("G", "major pentatonic", "I-IV-V vamp", "banjo"),
    ("E", "blues", "12-bar minor blues", "guitar"),
    ("Bb", "major", "I-vi-ii-V", "bass"),
    ("D", "Mixolydian", "bVII vamp", "fiddle"),
)
MORE_TOPICS = tuple(
    (key, scale, form, instrument)
    for key, scale, form, instrument in zip(
        ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B") * 4,
        ("minor pentatonic", "major", "blues", "major pentatonic", "Dorian") * 10,
        ("12-bar blues", "waltz", "8-bar blues", "I-vi-ii-V", "ii-V-I", "16-bar blues", "bVII vamp")
        * 7,
        tuple(TUNINGS) * 10,
        strict=False,
    )
)


def asked(
    topic: tuple[str, str, str, str], level: int, count: int, seed: int = 1
) -> list[Question]:
    key, scale, form, instrument = topic
    return tk.quiz_questions(
        key=key,
        scale=scale,
        progression=form,
        instrument=instrument,
        level=level,
        count=count,
        seed=seed,
    )


def check(question: Question, instrument: str) -> None:
    """One answer is right, and it is the one that the question has."""
    if question.kind == "find":
        assert list(question.places) == right_places(question, instrument), question
        assert not question.options
        assert question.answer == -1
    else:
        assert right_options(question, instrument) == [question.answer], question
        assert 2 <= len(question.options) == len(set(question.options))
        assert len(question.wrong) == len(question.options)
        assert question.wrong[question.answer] == ""
    assert question.why.endswith(".")
    assert len(question.why) < 260
    # One or two plain sentences: a dot ends one, and none stands inside.
    assert 1 <= question.why.count(". ") + 1 <= 2
    assert (question.kind in BY_EAR) <= bool(question.sound)
    for tone in (*question.sound, *question.proof):
        assert 24 <= tone.midi <= 100
        assert tone.beats > 0


@pytest.mark.parametrize("topic", TOPICS, ids=lambda topic: f"{topic[3]} in {topic[0]}")
def test_one_option_is_right_and_no_other(topic: tuple[str, str, str, str]) -> None:
    count = 0
    for level in (1, 2, 3, 4):
        for question in asked(topic, level, 16):
            check(question, topic[3])
            count += 1
    assert count > 250


@pytest.mark.long
@pytest.mark.parametrize("topic", MORE_TOPICS, ids=" ".join)
def test_one_option_is_right_in_many_more_quizzes(topic: tuple[str, str, str, str]) -> None:
    for level in (1, 2, 3, 4):
        for question in asked(topic, level, 24, seed=2):
            check(question, topic[3])


def test_a_seed_draws_the_same_questions_and_another_one_others() -> None:
    first = asked(TOPICS[0], 3, 8)
    assert asked(TOPICS[0], 3, 8) == first
    assert {each.card for each in asked(TOPICS[0], 3, 8, seed=2)} != {each.card for each in first}


def test_no_question_comes_twice_and_the_kinds_take_turns() -> None:
    for level in (1, 2, 3, 4):
        questions = asked(TOPICS[2], level, 10)
        assert max(Counter((each.kind, each.card) for each in questions).values()) == 1
        assert [each.kind for each in questions[:7]] == list(KINDS)


def test_right_answers_stand_in_every_place() -> None:
    places = defaultdict(set)
    for level in (3, 4):
        for question in asked(TOPICS[0], level, 24):
            if question.options:
                places[question.kind].add(question.answer)
    assert all(len(found) >= 3 for found in places.values()), places


def test_the_levels_differ() -> None:
    by_level = {level: asked(TOPICS[0], level, 20) for level in (1, 2, 3, 4)}
    tonics = {
        n: {pitch_class_of(each.tonic) for each in each_level} for n, each_level in by_level.items()
    }
    # A alone; then D and E beside it; three fifths either way; every key.
    assert tonics[1] == {9}
    assert tonics[2] == {9, 2, 4}
    assert tonics[3] == {9, 2, 7, 0, 4, 11, 6}
    assert tonics[4] == set(range(12))
    frets = {n: {each.frets for each in found} for n, found in by_level.items()}
    assert frets == {1: {5}, 2: {7}, 3: {12}, 4: {15}}
    options = {n: max(len(each.options) for each in found) for n, found in by_level.items()}
    assert options == {1: 3, 2: 4, 3: 4, 4: 5}
    strings = {
        n: sum("on string" in q.text for q in found if q.kind == "find")
        for n, found in by_level.items()
    }
    assert strings[3] == strings[4] == 20
    assert 0 < strings[1] < 20
    styles = {n: {over(q)[3] for q in found if q.kind == "rub"} for n, found in by_level.items()}
    assert styles[1] == styles[2] == styles[3] == {"bluegrass"}
    assert len(styles[4]) > 2


def pitch_class_of(name: str) -> int:
    return pitch_class(name.replace("b", "♭").replace("#", "♯"))


def test_scales_by_ear_grow_alike() -> None:
    """The options of the first level differ in more notes than those of the last."""

    def apart(level: int) -> float:
        found = [q for q in asked(TOPICS[0], level, 24) if q.kind == "scale"]
        sizes = [
            len(SCALES[option] ^ SCALES[q.options[q.answer]])
            for q in found
            for option in q.options
            if option != q.options[q.answer]
        ]
        return sum(sizes) / len(sizes)

    assert apart(1) > apart(4)


#: What players of bluegrass say of the key's minor pentatonic over I, IV and V (common practice).
VERDICTS = {"A7": "stay on it", "D7": "stay on it", "E7": "switch to another scale"}


def test_stay_or_switch_says_what_players_say() -> None:
    found = {}
    for question in tk.quiz_questions(key="A", kinds=("switch",), count=20):
        if "you play A minor pentatonic" in question.text:
            chord = question.text.split("The chord is ")[1].split()[0]
            found[chord] = question.options[question.answer]
    assert found == VERDICTS


def test_the_third_of_the_key_rubs_over_the_fifth_chord() -> None:
    """C over E7 in A: a half step above B (common practice)."""
    texts = {
        question.text: question for question in tk.quiz_questions(key="A", kinds=("rub",), count=20)
    }
    text = next(each for each in texts if "A minor pentatonic. The chord is E7" in each)
    question = texts[text]
    assert question.options[question.answer] == "C"
    assert question.why == "C rubs: it lies a half step above B, the fifth of E7."
    assert [note.label for note in question.notes if note.care] == ["C"]


def test_what_is_missed_is_explained_with_its_place() -> None:
    for question in asked(TOPICS[0], 1, 12):
        if question.kind == "name":
            for i, said in enumerate(question.wrong):
                assert ("string" in said) == (i != question.answer)
        elif question.kind in ("scale", "third", "switch", "next"):
            assert question.notes
        elif question.kind == "find":
            labels = {mark.label for mark in question.marks}
            assert len(labels) == 1
            assert {(mark.string, mark.fret) for mark in question.marks} == set(question.places)


def test_a_bar_of_two_chords_is_not_asked_for() -> None:
    """Bars 11 and 12 of this turnaround have two chords each (common practice)."""
    found = tk.quiz_questions(
        progression="12-bar blues, turnaround", kinds=("next",), level=2, count=30
    )
    assert found
    assert not any(
        "comes in bar 11" in each.text or "comes in bar 12" in each.text for each in found
    )


def test_numerals_on_one_root_are_not_both_offered() -> None:
    for question in tk.quiz_questions(progression="waltz", kinds=("next",), level=3, count=30):
        roots = [root_numeral(option) for option in question.options]
        assert len(roots) == len(set(roots))


def test_a_scale_of_ones_own_and_a_chart_of_ones_own() -> None:
    questions = tk.quiz_questions(
        key="D",
        scale="1 2 b3 5 6",
        progression="| I | bVII | IV | I |",
        instrument="ukulele",
        count=4,
    )
    assert {each.kind for each in questions} == set(KINDS)
    assert any("Chart of this quiz" in each.text for each in questions if each.kind == "next")
    tones = tk.quiz_questions(scale="chord tones", kinds=("find", "name", "switch", "rub"), count=4)
    assert {"find", "name"} <= {each.kind for each in tones}


def test_a_neck_with_few_frets_and_a_short_string() -> None:
    for instrument in ("dulcimer", "banjo", "cello"):
        for question in tk.quiz_questions(instrument=instrument, kinds=("find", "name"), level=4):
            neck = tk.find_instrument(instrument)
            for mark in (*question.shown, *question.marks):
                assert mark.fret == 0 or neck.has_fret(mark.fret)


@pytest.mark.parametrize(
    ("choice", "words"),
    [
        ({"level": 5}, "1, 2, 3 or 4"),
        ({"level": True}, "1, 2, 3 or 4"),
        ({"kinds": ("fnd",)}, "find"),
        ({"kinds": ()}, "find, name"),
        ({"kinds": "find"}, "find, name"),
        ({"count": 0}, "1 to 500"),
        ({"key": "H"}, "key"),
        ({"instrument": "mandoline"}, "mandolin"),
    ],
)
def test_wrong_input_is_told(choice: dict[str, object], words: str) -> None:
    with pytest.raises(BadInput, match=words):
        tk.quiz_questions(**choice)  # type: ignore[arg-type]
