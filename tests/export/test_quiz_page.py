"""A quiz in an exported page, in a real Chromium: by keyboard alone, with no kernel and no network."""

from __future__ import annotations

import base64
import gzip
import json
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from notebook_files import export_page, write_notebook
from playwright.sync_api import Page, expect
from quiz_answers import right_options, right_places

import theorykit as tk
from theorykit.quiz.question import KINDS, Question

pytestmark = pytest.mark.browser

#: What one quiz of a page may weigh.
MOST_BYTES = 40_000


@pytest.fixture(scope="module")
def trial(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("quiz")
    cells = (
        "# A quiz",
        "import theorykit as tk",
        'tk.QuizExplorer(key="A", scale="minor pentatonic", instrument="mandolin")',
        'tk.QuizExplorer(key="E", scale="blues", instrument="guitar", kinds=("find", "third"))',
    )
    return export_page(write_notebook(folder / "quiz.ipynb", *cells), folder)


@pytest.fixture(scope="module")
def questions() -> dict[str, Question]:
    """The page's questions of the first level by what is asked, drawn here."""
    drawn = tk.quiz_questions(key="A", scale="minor pentatonic", count=16)
    return {each.card: each for each in drawn}


def state(page: Page) -> dict[str, Any]:
    found: dict[str, Any] = page.evaluate(
        """() => {
          const quiz = document.querySelector(".tk-quiz");
          const words = (selector) => [...quiz.querySelectorAll(selector)].map((one) => one.textContent);
          return {
            state: quiz.dataset.state, card: quiz.dataset.card, place: words(".tk-quiz-place")[0], text: words(".tk-quiz-text")[0],
            options: words(".tk-option-text"), verdict: words(".tk-quiz-verdict")[0],
            focus: document.activeElement.className, playing: quiz.dataset.playing,
          };
        }"""
    )
    return found


def kept(page: Page) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(
        page.evaluate("localStorage.getItem('theorykit-quiz-boxes') ?? '{}'")
    )
    return found


def tab_to(page: Page, name: str) -> None:
    """Press Tab until the focus is at a part of the quiz."""
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate(f"document.activeElement.matches({name!r})"):
            return
    raise AssertionError(f"no way by Tab to {name}")


def steer(page: Page, wanted: tuple[int, int]) -> None:
    """Move over the neck by arrow keys until the place is told."""
    for _ in range(6):
        page.keyboard.press("ArrowUp")
    for _ in range(8):
        page.keyboard.press("ArrowLeft")
    for _ in range(wanted[0] - 1):
        page.keyboard.press("ArrowDown")
    for _ in range(wanted[1]):
        page.keyboard.press("ArrowRight")
    told = page.locator(".tk-quiz-cursor-words").first
    expect(told).to_contain_text(f"string {wanted[0]}")
    if wanted[1]:
        expect(told).to_contain_text(f"fret {wanted[1]}")


def answer(page: Page, question: Question, *, right: bool) -> None:
    if question.kind == "find":
        places = right_places(question, "mandolin")
        frets = [(string, fret) for string in (1, 2, 3, 4) for fret in range(6)]
        steer(page, places[0] if right else next(each for each in frets if each not in places))
        page.keyboard.press("Enter")
        return
    (good,) = right_options(question, "mandolin")
    number = good if right else (good + 1) % len(question.options)
    page.keyboard.press(str(number + 1))


def test_every_kind_by_keyboard_right_and_wrong_and_the_boxes_last(
    page: Page, trial: Path, questions: dict[str, Question]
) -> None:
    requests: list[str] = []
    page.on("request", lambda request: requests.append(request.url))
    page.goto(trial.as_uri())
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    tab_to(page, ".tk-quiz select")
    tab_to(page, ".tk-quiz [role=application], .tk-quiz .tk-option")
    done: set[tuple[str, bool]] = set()
    missed = ""
    for _ in range(40):
        found = state(page)
        kind = next(each for each, words in KINDS.items() if words in found["place"])
        question = questions[found["card"]]
        assert (question.kind, question.text) == (kind, found["text"])
        assert list(question.options) == found["options"]
        right = (kind, False) in done
        if question.sound:
            page.keyboard.press("r")
            expect(page.locator(".tk-quiz").first).to_have_attribute("data-playing", "true")
        answer(page, question, right=right)
        found = state(page)
        assert found["state"] == ("right" if right else "wrong"), (question, found)
        assert question.why in found["verdict"]
        assert "tk-next" in found["focus"]
        card = kept(page)[question.card]
        assert card["box"] == 1 + right or card["asked"] > 1
        if not right:
            missed = question.card
        done.add((kind, right))
        if len(done) == 2 * len(KINDS):
            break
        page.keyboard.press("Enter")
        assert state(page)["state"] == "asking"
        assert re.search("tk-quiz-text|tk-quiz-neck", state(page)["focus"])
    assert len(done) == 2 * len(KINDS)
    before = kept(page)
    page.reload()
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    assert kept(page) == before
    assert " · new" in state(page)["place"]
    standing = page.locator(".tk-quiz-standing").first
    expect(standing).to_contain_text(f"{len(questions) - len(before)} not asked yet")
    # Tomorrow what was missed is due again, before anything new.
    assert before[missed]["box"] == 1
    page.clock.set_fixed_time(datetime.now(UTC) + timedelta(days=1, hours=1))
    page.reload()
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    assert "box 1 of 5" in state(page)["place"]
    assert [url for url in requests if not url.startswith(("file:", "data:", "blob:"))] == []


def test_a_quiz_is_small_and_holds_every_level(trial: Path) -> None:
    packed = re.findall(r'"packed":"([^"]+)"', trial.read_text(encoding="utf-8"))
    assert len(packed) == 2
    for text in packed:
        assert len(text) <= MOST_BYTES
        data = json.loads(gzip.decompress(base64.b64decode(text)))
        assert {each["level"] for each in data["questions"]} == {1, 2, 3, 4}


def test_nothing_keeps_anybody_out(page: Page, trial: Path) -> None:
    """Labels, names, contrast: asking, after an answer, and with an answer on the neck."""
    page.goto(trial.as_uri())
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    quiz = page.locator(".tk-quiz").first
    for _ in range(4):
        for step in ("asking", "answered"):
            found = Axe().run(page, context=".tk-quiz").response["violations"]
            assert found == [], (step, [(each["id"], each["nodes"][0]["html"]) for each in found])
            if step == "asking":
                if quiz.locator(".tk-option").count():
                    quiz.locator(".tk-option").first.click()
                else:
                    quiz.locator(".tk-quiz-neck").click(position={"x": 250, "y": 60})
        quiz.locator(".tk-next").click()


def test_levels_kinds_and_hands_are_chosen(page: Page, trial: Path) -> None:
    page.goto(trial.as_uri())
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    quiz = page.locator(".tk-quiz").nth(1)
    neck = quiz.locator(".tk-quiz-neck svg")
    expect(quiz.locator(".tk-quiz-neck")).to_have_attribute("aria-label", re.compile("arrow keys"))
    few = neck.locator(".tk-neck-word").count()
    quiz.locator(".tk-pick select").select_option("4")
    expect(quiz.locator(".tk-quiz-text")).to_contain_text("on string")
    assert neck.locator(".tk-neck-word").count() == few + 10
    low = neck.locator(".tk-neck-word").first.evaluate(
        "(word) => word.getBoundingClientRect().left"
    )
    quiz.get_by_label("left-handed neck").check()
    high = neck.locator(".tk-neck-word").first.evaluate(
        "(word) => word.getBoundingClientRect().left"
    )
    assert high > low + 500
    # The last kind can't be taken away.
    quiz.get_by_label("find it on the neck").uncheck()
    expect(quiz.locator(".tk-quiz-place")).to_contain_text("by ear")
    quiz.get_by_label("with or without its third, by ear").click()
    expect(quiz.get_by_label("with or without its third, by ear")).to_be_checked()
    quiz.locator(".tk-option").first.click()
    assert kept(page) != {}
    quiz.get_by_role("button", name="Forget them").click()
    assert kept(page) == {}
