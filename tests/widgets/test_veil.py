"""What a class is not to see yet, and steps back: the module's own parts, without a page around them."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import Page

from theorykit.widgets.bundle import joined_modules

pytestmark = pytest.mark.browser

#: Two strings and a key of the keyboard; string 2 is the lower one.
NECK = [
    {"string": 1, "fret": 0, "midi": 76, "label": "E"},
    {"string": 1, "fret": 3, "midi": 79, "label": "G"},
    {"string": 2, "fret": 0, "midi": 69, "label": "A"},
]
KEYS = [{"midi": 69, "label": "A"}]


@pytest.fixture
def parts(page: Page) -> Page:
    page.add_script_tag(
        content=f"{joined_modules('veil', 'history')}\n"
        "Object.assign(window, { Veil, StepList, historyOf });",
        type="module",
    )
    page.wait_for_function("() => window.historyOf")
    return page


def test_labels_are_shown_one_by_one_from_the_lowest_string(parts: Page) -> None:
    shown: list[Any] = parts.evaluate(
        """([neck, keys]) => {
          const veil = new Veil();
          const pictures = [["neck", neck], ["keyboard", keys]];
          const seen = () => pictures.map(([name, marks]) => veil.seen(name, marks, 0).map(({ label }) => label).join("."));
          const states = [seen()];
          veil.setCovers(true);
          states.push(seen());
          veil.uncover("neck", neck[1]);
          states.push(seen());
          while (veil.uncoverNext(pictures)) states.push(seen());
          veil.coverAll();
          states.push(seen());
          veil.uncoverAll(pictures);
          states.push(seen());
          return states;
        }""",
        [NECK, KEYS],
    )
    assert shown == [
        ["E.G.A", "A"],
        ["..", ""],
        # The one that was chosen, and then the next ones: string 2 lies lower than string 1.
        [".G.", ""],
        [".G.A", ""],
        ["E.G.A", ""],
        ["E.G.A", "A"],
        ["..", ""],
        ["E.G.A", "A"],
    ]


def test_answers_wait_at_each_chord_but_the_one_that_was_open(parts: Page) -> None:
    told: dict[str, Any] = parts.evaluate(
        """([neck]) => {
          const veil = new Veil();
          const chord = (step) => ({ step, chord: "A7", verdict: "switch", short: "switch to E" });
          const ruler = { slots: ["A"], above: [{}], below: [{}], links: [{}] };
          veil.setAsks(true, 4);
          const before = {
            hides: [4, 5].map((step) => veil.hides(step)),
            chart: veil.seenChart([[chord(4)], [chord(5)]]).flat().map(({ chord, short }) => `${chord} ${short}`),
            marks: veil.seen("neck", neck, 5),
            ruler: veil.seenRuler(ruler, 5),
            alternative: veil.alternative("neck", "E (1) root", neck, { step: 5, heading: "Bar 6" }),
          };
          veil.answer(5);
          const after = { hides: veil.hides(5), marks: veil.seen("neck", neck, 5).length };
          veil.forgetAnswers();
          return { before, after, again: veil.hides(4) };
        }""",
        [NECK],
    )
    before = told["before"]
    assert before["hides"] == [False, True]
    assert before["chart"] == ["A7 switch to E", "A7 ?"]
    assert before["marks"] == before["ruler"]["above"] == before["ruler"]["links"] == []
    assert before["ruler"]["below"] == [{}]
    # What is read aloud must not tell what can't be seen.
    assert before["alternative"] == "Bar 6: the answer is not shown yet"
    assert told["after"] == {"hides": False, "marks": 3}
    assert told["again"] is True


def test_a_covered_pictures_words_tell_only_what_is_open(parts: Page) -> None:
    told = parts.evaluate(
        """([neck]) => {
          const veil = new Veil();
          veil.setCovers(true);
          const words = () => veil.alternative("neck", "E G A", neck, { step: 0, heading: "A over E" });
          const covered = words();
          veil.uncover("neck", neck[2]);
          return [covered, words()];
        }""",
        [NECK],
    )
    assert told == ["A over E: 0 of 3 labels shown", "A over E: 1 of 3 labels shown: A"]


def test_steps_go_back_and_forward_and_a_new_one_ends_the_old_ones(parts: Page) -> None:
    told = parts.evaluate(
        """() => {
          const steps = new StepList("a");
          const seen = [steps.move(-1), steps.hasBack];
          steps.add("b");
          steps.add("c");
          seen.push(steps.move(-1), steps.move(-1), steps.move(-1), steps.move(1), steps.hasForward);
          steps.add("d");
          seen.push(steps.move(1), steps.move(-1), steps.move(-1), steps.current);
          for (let i = 0; i < 500; i++) steps.add(i);
          let kept = 0;
          while (steps.move(-1) !== null) kept++;
          return [...seen, kept];
        }"""
    )
    assert told == [None, False, "b", "a", None, "b", True, None, "b", "a", "a", 199]


def test_a_study_goes_back_by_what_was_chosen_together(parts: Page) -> None:
    told = parts.evaluate(
        """async () => {
          const state = { key_index: 0, progression_index: 0, step: 7, tempo: 96 };
          const listeners = {};
          const study = {
            get: (name) => state[name],
            set(name, value) {
              if (state[name] === value) return;
              state[name] = value;
              (listeners[`change:${name}`] ?? []).forEach((one) => one());
            },
            on: (event, one) => (listeners[event] ??= []).push(one),
            save_changes() {},
          };
          const traits = { key: "key_index", progression: "progression_index", step: "step", tempo: "tempo" };
          const history = historyOf(study, traits);
          study.set("key_index", 3);
          await null;
          study.set("step", 2);
          study.set("tempo", 120);
          await null;
          study.set("key_index", 5);
          study.set("progression_index", 1);
          study.set("step", 9);
          await null;
          const seen = [history.back(), { ...state }, history.back(), { ...state }, history.back()];
          seen.push(history.forward(), { ...state });
          return [seen, historyOf(study, traits) === history];
        }"""
    )
    first = {"key_index": 3, "progression_index": 0, "step": 0, "tempo": 120}
    assert told == [
        [
            ["key", "progression"],
            # Another chart begins at its beginning; the tempo is nobody's step.
            first,
            ["key"],
            first | {"key_index": 0},
            [],
            ["key"],
            first,
        ],
        True,
    ]
