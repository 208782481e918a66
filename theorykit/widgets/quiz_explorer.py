"""A quiz in a notebook: questions made anew here, answers kept in a practice log."""

from __future__ import annotations

import html
from collections.abc import Sequence
from dataclasses import asdict, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import anywidget
from ipywidgets import Box, Layout, VBox
from traitlets import Bool, Dict, Unicode

from theorykit.errors import BadInput
from theorykit.log.boxes import Card
from theorykit.log.practice_log import PracticeLog
from theorykit.quiz.question import KINDS
from theorykit.quiz.quiz import find_kinds
from theorykit.quiz.topic import LEVELS, find_level
from theorykit.scene.menus import MENU_WORDS
from theorykit.scene.quiz_data import POOL_COUNT, QuizChoice, quiz_data
from theorykit.widgets.bundle import host_module, style_source
from theorykit.widgets.explorer import script_json
from theorykit.widgets.selectors import labelled, study_menu
from theorykit.widgets.study import Study

#: The choices of a study that a quiz asks about.
_ASKED_ABOUT = ("key", "scale", "instrument", "progression", "style")

#: So many questions a notebook that nobody runs shows instead.
_SHOWN = 3


class _QuizView(anywidget.AnyWidget):
    """The drawn part of a quiz."""

    _esm = host_module("live")
    _css = style_source()
    kind = Unicode("quiz").tag(sync=True)
    quiz = Dict().tag(sync=True)
    cards = Dict().tag(sync=True)
    kept = Bool(False).tag(sync=True)


class QuizExplorer(VBox):
    """A quiz on a study's key, scale, neck and chords; what is missed comes back sooner.

    Questions are asked in no hurry, on the neck, by ear and over chords, and every answer is
    explained. Each question moves through five boxes that are asked after 1, 2, 4, 8 and 16 days.

    ``QuizExplorer(key="A", kinds=("switch",))`` asks this first; what is below the options comes
    with the answer::

        Key of A, bluegrass style: you play A minor pentatonic. The chord is E7
        (V7). Stay, or switch?
          ○ stay on it
          ● switch to another scale
        Over E7, leave A minor pentatonic for E minor pentatonic: C lies a half step
        above B, the fifth; B takes its place.

    Parameters
    ----------
    study : Study, optional
        A study to share with other explorers; a new one if not given.
    kinds : sequence of str
        Kinds of question, of ``find``, ``name``, ``scale``, ``switch``, ``rub``, ``third`` and
        ``next``.
    level : int
        1 to 4, to begin at.
    seed : int
        The same seed asks the same questions.
    log : PracticeLog, str or Path, optional
        Where answers are kept; if not given, they are forgotten with the kernel.
    **choices
        Traits of the study, e.g. ``key="A"``, ``scale="minor pentatonic"``.

    Raises
    ------
    BadInput
        With the choice that can't be used.
    """

    def __init__(
        self,
        study: Study | None = None,
        *,
        kinds: Sequence[str] = tuple(KINDS),
        level: int = 1,
        seed: int = 1,
        log: PracticeLog | str | Path | None = None,
        **choices: Any,
    ) -> None:
        self._kinds, self._level = find_kinds(kinds), find_level(level).number
        if isinstance(seed, bool) or not isinstance(seed, int):
            raise BadInput("seed", seed, "not a whole number", accepted="a whole number")
        self._seed = seed
        self.practice_log = PracticeLog(log) if isinstance(log, str | Path) else log
        self._cards: dict[str, Card] = {}
        if study is None:
            study = Study(**choices)
        else:
            for name, value in choices.items():
                setattr(study, name, value)
        self.study = study
        self._view = _QuizView(kept=self.practice_log is not None)
        self._renew()
        self._view.on_msg(self._take)
        study.observe(self._renew, [*_ASKED_ABOUT, "left_handed"])
        menus = [labelled(MENU_WORDS[name], study_menu(study, name)) for name in _ASKED_ABOUT]
        row = Box(menus, layout=Layout(display="flex", flex_flow="row wrap", grid_gap="4px 14px"))
        super().__init__([row, self._view])

    @property
    def choice(self) -> QuizChoice:
        """Every choice of the quiz by name."""
        about = {name: getattr(self.study, name) for name in _ASKED_ABOUT}
        return QuizChoice(
            **about,
            kinds=self._kinds,
            level=self._level,
            seed=self._seed,
            left_handed=self.study.left_handed,
        )

    @property
    def cards(self) -> dict[str, Card]:
        """Where every question stands that was ever asked."""
        if self.practice_log is not None:
            # Another notebook may have added to it.
            self._cards = self.practice_log.cards()
        return dict(self._cards)

    def _renew(self, _change: Any = None) -> None:
        """Questions about what is chosen now, of the level that is asked."""
        self._made = {self._level: self._seed}
        self._show(quiz_data(self.choice, levels=(self._level,)))

    def _show(self, data: dict[str, Any]) -> None:
        """Send questions to the view, and where those of them stand that were asked before."""
        known = self.cards
        asked = (each["card"] for each in data["questions"] if each["card"] in known)
        with self._view.hold_sync():
            self._view.cards = {card: _plain(known[card]) for card in asked}
            self._view.quiz = data

    def _take(self, _view: Any, content: Any, _buffers: Any) -> None:
        """What the browser tells: an answer, or that it has no more questions of a level."""
        if not isinstance(content, dict):
            return
        if content.get("type") == "answer":
            self._keep(content)
        elif content.get("type") == "more" and content.get("level") in LEVELS:
            self._add(content["level"])

    def _keep(self, content: dict[str, Any]) -> None:
        asked = {each["card"]: each for each in self._view.quiz["questions"]}
        question, right = asked.get(content.get("card")), content.get("right")
        if question is None or not isinstance(right, bool):
            return
        card, level = question["card"], question["level"]
        today = datetime.now(UTC).astimezone().date()
        known = self._cards.get(card) or Card(card)
        self._cards[card] = known.answered(right, today, level=level)
        self._view.cards = self._view.cards | {card: _plain(self._cards[card])}
        if self.practice_log is not None:
            options = question.get("options")
            expected = options[question["answer"]] if options else question["places"]
            given = str(content.get("given", ""))
            self.practice_log.add_answer(card, given, right, level, expected=expected)

    def _add(self, level: int) -> None:
        """More questions of a level, beside those that are there."""
        seed = self._made[level] + 1 if level in self._made else self._seed
        self._level, self._made[level] = level, seed
        more = quiz_data(replace(self.choice, seed=seed), levels=(level,), count=POOL_COUNT)
        there = self._view.quiz
        cards = {(each["card"], each["level"]) for each in there["questions"]}
        new = [each for each in more["questions"] if (each["card"], each["level"]) not in cards]
        names = there["names"] | more["names"]
        self._show(more | {"names": names, "questions": [*there["questions"], *new]})

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        bundle = super()._repr_mimebundle_(**kwargs)
        bundle["text/html"] = quiz_figure(self.choice, self._view.quiz)
        return bundle


def _plain(card: Card) -> dict[str, Any]:
    """A card as JSON holds it."""
    data = asdict(card)
    del data["question"]
    return data | {"due": card.due.isoformat() if card.due is not None else None}


def quiz_figure(choice: QuizChoice, data: dict[str, Any]) -> str:
    """What a notebook keeps of a quiz where no kernel runs, and what a page is made from.

    The choices are kept by name, so that a notebook stays small; the export adds the questions.
    """
    rows = "".join(
        f"<li>{html.escape(question['text'])}</li>" for question in data["questions"][:_SHOWN]
    )
    return (
        f'<figure class="theorykit-quiz"><figcaption>{html.escape(choice.title)}</figcaption>'
        f'<ul class="tk-fallback">{rows}</ul>'
        f'<script type="application/json">{script_json(asdict(choice))}</script></figure>'
    )
