"""When a question comes back."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from theorykit.log.boxes import BOX_DAYS, Card, cards, due_cards

MONDAY = date(2024, 4, 1)

#: By hand from the rule: right on every due day, from a new question on, and the day on which it
#: is asked next. Leitner 1972, from memory; doubled waits are common practice.
ALWAYS_RIGHT = [(0, 2, 2), (2, 3, 6), (6, 4, 14), (14, 5, 30), (30, 5, 46)]


def test_what_is_always_right_comes_ever_more_rarely() -> None:
    card = Card("q")
    for day, box, next_day in ALWAYS_RIGHT:
        today = MONDAY + timedelta(day)
        assert card.is_due(today)
        card = card.answered(True, today)
        assert (card.box, card.due) == (box, MONDAY + timedelta(next_day))
        assert not card.is_due(MONDAY + timedelta(next_day - 1))
    assert (card.asked, card.right) == (5, 5)


@pytest.mark.parametrize("box", range(1, len(BOX_DAYS) + 1))
def test_a_wrong_answer_sends_it_back_to_the_first_box(box: int) -> None:
    card = Card("q", box=box, due=MONDAY).answered(False, MONDAY)
    assert (card.box, card.due) == (1, MONDAY + timedelta(1))
    early = Card("q", box=box, due=MONDAY + timedelta(9)).answered(False, MONDAY)
    assert (early.box, early.due) == (1, MONDAY + timedelta(1))


def test_right_a_second_time_on_one_day_moves_nothing() -> None:
    once = Card("q").answered(True, MONDAY)
    twice = once.answered(True, MONDAY)
    assert (twice.box, twice.due, twice.asked) == (once.box, once.due, 2)


def test_least_known_first_then_longest_overdue_then_new() -> None:
    week = [MONDAY + timedelta(day) for day in range(7)]
    known = cards(
        [
            ("well known", True, 1, week[0]),
            ("forgotten", False, 2, week[1]),
            ("just forgotten", False, 2, week[2]),
            ("fresh", True, 1, week[3]),
        ]
    )
    assert [card.question for card in due_cards(known, week[3])] == [
        "forgotten",
        "just forgotten",
        "well known",
    ]
    offered = ["new", "fresh", "well known", "new"]
    assert [card.question for card in due_cards(known, week[3], questions=offered)] == [
        "well known",
        "new",
    ]
    assert known["forgotten"].level == 2
