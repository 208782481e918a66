"""The boxes of a page and those of the practice log: the same answers leave every card in the same place."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from random import Random
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from theorykit.log.boxes import BOX_DAYS, cards, due_cards
from theorykit.widgets.bundle import joined_modules

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def boxes(browser: Browser) -> Iterator[Page]:
    """A blank page with the module as `window.boxes`."""
    page = browser.new_page()
    page.evaluate(
        """async (source) => {
          const url = URL.createObjectURL(new Blob([source], { type: "text/javascript" }));
          window.boxes = await import(url);
        }""",
        joined_modules("boxes") + "\nexport { answeredCard, dueCards, localDay, PageBoxes };\n",
    )
    yield page
    page.close()


def history(seed: int) -> list[tuple[str, bool, int, date]]:
    """Answers over half a year, a leap day and the turn of the year in it."""
    rng = Random(seed)
    day = date(2023, 11, 20)
    answers = []
    for _ in range(150):
        day += timedelta(days=rng.choice((0, 0, 0, 1, 1, 2, 5)))
        # Mostly right, so that the last box is reached.
        answers.append((f"card {rng.randint(1, 12)}", rng.random() < 0.8, rng.randint(1, 4), day))
    return answers


def in_browser(boxes: Page, answers: list[tuple[str, bool, int, date]]) -> dict[str, Any]:
    found: dict[str, Any] = boxes.evaluate(
        """(answers) => answers.reduce((cards, [card, right, level, day]) => ({
             ...cards, [card]: boxes.answeredCard(cards[card], right, day, level) }), {})""",
        [[card, right, level, day.isoformat()] for card, right, level, day in answers],
    )
    return found


@pytest.mark.parametrize("seed", range(8))
def test_the_browser_puts_every_card_where_the_log_does(boxes: Page, seed: int) -> None:
    answers = history(seed)
    known = cards(answers)
    found = in_browser(boxes, answers)
    assert list(found) == list(known)
    for name, card in known.items():
        assert card.due is not None
        assert found[name] == {
            "level": card.level,
            "box": card.box,
            "due": card.due.isoformat(),
            "asked": card.asked,
            "right": card.right,
        }
    offered = [*known, "a new one", "another", "a new one"]
    Random(seed).shuffle(offered)
    for later in (0, 1, 3, 9, 40):
        day = answers[-1][3] + timedelta(days=later)
        order = boxes.evaluate(
            "([cards, day, offered]) => boxes.dueCards(cards, day, offered)",
            [found, day.isoformat(), offered],
        )
        assert order == [card.question for card in due_cards(known, day, questions=offered)]


def test_a_card_answered_right_on_its_days_climbs_all_boxes(boxes: Page) -> None:
    day = date(2024, 2, 27)
    answers = []
    for days in (0, *BOX_DAYS[1:], BOX_DAYS[-1]):
        day += timedelta(days=days)
        answers.append(("card", True, 1, day))
    # By hand: 27 February, then after 2, 4, 8, 16 and 16 days.
    assert [each[3].isoformat() for each in answers[-2:]] == ["2024-03-28", "2024-04-13"]
    assert in_browser(boxes, answers)["card"]["box"] == len(BOX_DAYS)
    assert in_browser(boxes, answers)["card"]["due"] == "2024-04-29"


def test_today_is_the_players_own_day(boxes: Page) -> None:
    assert boxes.evaluate("boxes.localDay(new Date(2024, 0, 5, 23, 59))") == "2024-01-05"


def test_without_storage_answers_last_until_the_page_is_closed(boxes: Page) -> None:
    # A blank page has no storage of its own: asking for it throws.
    told = boxes.evaluate(
        """() => {
          const kept = new boxes.PageBoxes();
          kept.answer({ card: "one", level: 2 }, "C", true);
          return [kept.cards.one.box, kept.words];
        }"""
    )
    assert told[0] == 2
    assert "keeps no records" in told[1]
