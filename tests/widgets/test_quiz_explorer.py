"""The explorer of a quiz: what a kernel makes and keeps, and one in a running JupyterLab."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from hosts import Lab
from playwright.sync_api import Page, expect
from quiz_answers import right_options, right_places

import theorykit as tk
from theorykit.errors import BadInput


def view(explorer: tk.QuizExplorer) -> Any:
    return explorer.children[1]


def tell(explorer: tk.QuizExplorer, **content: Any) -> None:
    """What the browser sends."""
    view(explorer)._handle_custom_msg(content, [])


def first(explorer: tk.QuizExplorer) -> dict[str, Any]:
    question: dict[str, Any] = view(explorer).quiz["questions"][0]
    return question


def test_a_study_is_asked_about_and_followed() -> None:
    study = tk.Study(key="D", scale="major", instrument="guitar")
    explorer = tk.QuizExplorer(study, kinds=("name", "find"), level=2)
    data = view(explorer).quiz
    assert data["title"] == "Quiz: D major on guitar, 12-bar blues"
    assert {each["level"] for each in data["questions"]} == {2}
    assert list(data["kinds"]) == ["name", "find"]
    study.key = "Bb"
    study.instrument = "banjo"
    assert view(explorer).quiz["title"] == "Quiz: B♭ major on banjo, 12-bar blues"
    assert len(view(explorer).quiz["neck"]["strings"]) == 5


def test_an_answer_goes_into_the_log(tmp_path: Path) -> None:
    log = tk.PracticeLog(tmp_path / "mine.sqlite3")
    explorer = tk.QuizExplorer(key="A", log=log, kinds=("name",))
    question = first(explorer)
    tell(explorer, type="answer", card=question["card"], given="C", right=True)
    (row,) = log.records("answers")
    assert (row["question"], row["given"], row["right"]) == (question["card"], "C", True)
    assert row["expected"] == question["options"][question["answer"]]
    assert explorer.cards[question["card"]].box == 2
    assert view(explorer).cards[question["card"]]["box"] == 2
    # Another quiz on the same log knows it, by its path too.
    again = tk.QuizExplorer(key="A", log=tmp_path / "mine.sqlite3", kinds=("name",))
    assert view(again).cards == view(explorer).cards
    assert view(again).kept


def test_without_a_log_answers_last_as_long_as_the_kernel() -> None:
    explorer = tk.QuizExplorer(key="A", kinds=("name",))
    question = first(explorer)
    tell(explorer, type="answer", card=question["card"], given="C", right=False)
    tell(explorer, type="answer", card=question["card"], given="C", right=True)
    card = explorer.cards[question["card"]]
    # Right a minute after a miss proves nothing: it stays in the first box until tomorrow.
    assert (card.box, card.asked, card.right) == (1, 2, 1)
    explorer.study.key = "D"
    explorer.study.key = "A"
    assert explorer.cards[question["card"]] == card
    assert not view(explorer).kept


@pytest.mark.parametrize(
    "content",
    [
        {"type": "answer", "card": "what is that", "right": True},
        {"type": "answer", "right": True},
        {"type": "answer", "card": None, "right": "yes"},
        {"type": "more", "level": 9},
        {"type": "more"},
        {"type": "else"},
    ],
)
def test_a_message_that_makes_no_sense_changes_nothing(content: dict[str, Any]) -> None:
    explorer = tk.QuizExplorer(key="A", kinds=("third",))
    before = view(explorer).quiz
    tell(explorer, **content)
    assert view(explorer).quiz == before
    assert explorer.cards == {}


def test_more_questions_are_new_ones() -> None:
    explorer = tk.QuizExplorer(key="A", kinds=("name",), level=3)
    before = [each["card"] for each in view(explorer).quiz["questions"]]
    tell(explorer, type="more", level=3)
    after = [each["card"] for each in view(explorer).quiz["questions"]]
    assert after[: len(before)] == before
    assert len(after) == len(set(after)) > len(before)
    tell(explorer, type="more", level=1)
    assert {each["level"] for each in view(explorer).quiz["questions"]} == {1, 3}


def test_what_a_notebook_keeps_is_small_and_has_words() -> None:
    explorer = tk.QuizExplorer(key="A", scale="blues", kinds=("find", "rub"), seed=7)
    kept = explorer._repr_mimebundle_()["text/html"]
    assert len(kept) < 1500
    assert "Quiz: A blues on mandolin" in kept
    assert "Find " in kept
    choice = json.loads(kept.split('application/json">')[1].split("</script>")[0])
    assert (choice["kinds"], choice["seed"]) == (["find", "rub"], 7)


@pytest.mark.parametrize(
    "choice", [{"kinds": ("fnd",)}, {"level": 0}, {"seed": "one"}, {"key": "H"}, {"tone": 1}]
)
def test_wrong_choices_are_told(choice: dict[str, Any]) -> None:
    with pytest.raises(BadInput):
        tk.QuizExplorer(**choice)


CELLS = (
    """import theorykit as tk
log = tk.PracticeLog("quiz.sqlite3")
tk.QuizExplorer(key="A", kinds=("name", "find"), log=log)""",
    "print('kept', [(row['right'], row['expected']) for row in log.records('answers')])",
)


@pytest.mark.browser
def test_a_quiz_in_a_notebook(page: Page, lab: Lab) -> None:
    lab.open(page, lab.add("quiz.ipynb", *CELLS))
    lab.run_all(page)
    quiz = page.locator(".tk-quiz")
    expect(quiz).to_have_count(1, timeout=60_000)
    drawn = {
        each.card: each for each in tk.quiz_questions(key="A", kinds=("name", "find"), count=16)
    }
    quiz.locator(".tk-quiz-text").click()
    expected = []
    for right in (True, False):
        question = drawn[quiz.get_attribute("data-card") or ""]
        (good,) = right_options(question, "mandolin")
        assert question.kind == "name"
        page.keyboard.press(str(good + 1 if right else (good + 1) % 3 + 1))
        expect(quiz).to_have_attribute("data-state", "right" if right else "wrong")
        expected.append((right, question.options[good]))
        page.keyboard.press("Enter")
        # A place on the neck, by arrow keys.
        question = drawn[quiz.get_attribute("data-card") or ""]
        assert question.kind == "find"
        string, fret = right_places(question, "mandolin")[0]
        for key in ["ArrowUp"] * 4 + ["ArrowLeft"] * 5 + ["ArrowDown"] * (string - 1):
            page.keyboard.press(key)
        for _ in range(fret):
            page.keyboard.press("ArrowRight")
        page.keyboard.press("Enter")
        expect(quiz).to_have_attribute("data-state", "right")
        expected.append((True, ";".join(f"{s} {f}" for s, f in right_places(question, "mandolin"))))
        page.keyboard.press("Enter")
    # JupyterLab took none of the keys for itself, and the log has the answers.
    expect(page.locator(".jp-Notebook .jp-Cell")).to_have_count(2)
    page.evaluate(
        """() => {
          const { content } = window.jupyterapp.shell.currentWidget;
          content.activeCellIndex = 1;
          content.deselectAll();
          window.jupyterapp.commands.execute("notebook:run-cell");
        }"""
    )
    expect(page.locator(".jp-OutputArea-output pre").last).to_have_text(f"kept {expected}\n")
    # Another level has its questions made by the kernel, and so has another key.
    quiz.locator(".tk-pick select").select_option("4")
    expect(quiz.locator(".tk-quiz-text")).to_contain_text("is at the mark")
    expect(quiz.locator(".tk-neck-word")).to_have_count(4 + 15)
    page.locator(".tk-menu-instrument select").select_option("guitar")
    expect(quiz).to_have_attribute("aria-label", "Quiz: A minor pentatonic on guitar, 12-bar blues")
    page.evaluate("() => window.jupyterapp.shell.currentWidget.sessionContext.shutdown()")
