"""When a quiz question comes back: five boxes, each with a longer wait than the one before.

The scheme is that of S. Leitner, "So lernt man lernen" (1972; from memory): a question moves up a
box when it is answered right, and back to the first when it is not. Waits that double from box
to box are common practice.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

#: Days that a question waits in each box, the first box first.
BOX_DAYS = (1, 2, 4, 8, 16)


@dataclass(frozen=True, slots=True)
class Card:
    """A quiz question and where it stands.

    Parameters
    ----------
    question : str
    level : int
        That of its last answer.
    box : int
        1 to 5.
    due : date or None
        The day from which on it is to be asked; None if it never was.
    asked, right : int
        How often it was asked and answered right.

    Examples
    --------
    A question that is new to the player comes at once; answered right, it waits in the next box:

    >>> card = Card("the third of A").answered(True, date(2024, 5, 1))
    >>> card.box, str(card.due)
    (2, '2024-05-03')
    >>> card.answered(False, date(2024, 5, 3)).box
    1
    """

    question: str
    level: int = 1
    box: int = 1
    due: date | None = None
    asked: int = 0
    right: int = 0

    def is_due(self, today: date) -> bool:
        """True on the day for which it is set, on every later one, and when it is new."""
        return self.due is None or self.due <= today

    def answered(self, right: bool, today: date, *, level: int = 1) -> Card:
        """Where it stands after an answer.

        A right answer before its day counts but moves nothing: what was heard a minute ago is
        no proof of memory (common practice).
        """
        box, due = self.box, self.due
        if not right:
            box = 1
            due = today + timedelta(days=BOX_DAYS[0])
        elif self.is_due(today):
            box = min(box + 1, len(BOX_DAYS))
            due = today + timedelta(days=BOX_DAYS[box - 1])
        return Card(self.question, level, box, due, self.asked + 1, self.right + right)


def cards(answers: Iterable[tuple[str, bool, int, date]]) -> dict[str, Card]:
    """Where every question stands, from all answers in their order.

    Parameters
    ----------
    answers : iterable of (str, bool, int, date)
        Question, whether right, level and day.
    """
    found: dict[str, Card] = {}
    for question, right, level, day in answers:
        card = found.get(question) or Card(question)
        found[question] = card.answered(right, day, level=level)
    return found


def due_cards(
    known: dict[str, Card], today: date, *, questions: Iterable[str] | None = None
) -> list[Card]:
    """What is to be asked: the lowest box first and in it the longest overdue, then what is new.

    Parameters
    ----------
    known : dict
        As `cards` makes it.
    today : date
    questions : iterable of str, optional
        What may be asked; only what has been asked before if not given.
    """
    offered = list(dict.fromkeys(questions)) if questions is not None else list(known)
    asked = [known[question] for question in offered if question in known]
    waiting = sorted(
        (card for card in asked if card.is_due(today)),
        key=lambda card: (card.box, card.due or date.min),
    )
    return [*waiting, *(Card(question) for question in offered if question not in known)]
