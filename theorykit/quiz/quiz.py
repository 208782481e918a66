"""A quiz: questions of several kinds about one topic, drawn from a seed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import chain, zip_longest
from random import Random

from theorykit.errors import BadInput, nearest
from theorykit.quiz.chord_questions import draw_rub, draw_switch
from theorykit.quiz.ear_questions import draw_scale, draw_third
from theorykit.quiz.neck_questions import draw_find, draw_name
from theorykit.quiz.next_question import draw_next
from theorykit.quiz.question import KINDS, Question
from theorykit.quiz.topic import Level, Topic, find_level

_DRAWS: dict[str, Callable[[Topic, Level, Random], Question | None]] = {
    "find": draw_find,
    "name": draw_name,
    "scale": draw_scale,
    "switch": draw_switch,
    "rub": draw_rub,
    "third": draw_third,
    "next": draw_next,
}

#: So many questions may be drawn that were there already, before a kind is held to be empty.
_MOST_IN_VAIN = 24

MOST_QUESTIONS = 500


def find_kinds(kinds: Sequence[str]) -> tuple[str, ...]:
    """Kinds of question by name, each once.

    Raises
    ------
    BadInput
        If there is none of that name, or none at all.
    """
    if isinstance(kinds, str) or not kinds:
        raise BadInput("kinds", kinds, "not a list of kinds", accepted=", ".join(KINDS))
    for kind in kinds:
        if kind not in KINDS:
            close = nearest(kind, KINDS) if isinstance(kind, str) else None
            raise BadInput(
                "kind", kind, "no kind of question", accepted=", ".join(KINDS), nearest=close
            )
    return tuple(dict.fromkeys(kinds))


def quiz_questions(
    *,
    key: str = "A",
    scale: str = "minor pentatonic",
    instrument: str = "mandolin",
    progression: str = "12-bar blues",
    style: str = "bluegrass",
    kinds: Sequence[str] = tuple(KINDS),
    level: int = 1,
    count: int = 6,
    seed: int = 1,
) -> list[Question]:
    """Questions about a key, a scale and a progression on an instrument.

    Parameters
    ----------
    key, scale, instrument, progression, style : str
        What they are about; higher levels go to other keys, forms and scales.
    kinds : sequence of str
        Kinds of question, of ``find``, ``name``, ``scale``, ``switch``, ``rub``, ``third`` and
        ``next``.
    level : int
        1 to 4.
    count : int
        So many of each kind, or fewer where there are no more: no two are the same.
    seed : int
        The same seed draws the same questions.

    Returns
    -------
    list of Question
        The kinds in turn.

    Raises
    ------
    BadInput
        With the choice that can't be used.

    Examples
    --------
    >>> question = quiz_questions(key="A", kinds=("next",), progression="12-bar blues")[0]
    >>> question.text.endswith("| IV7 | IV7 | I7 | I7 |. What comes in bar 9?")
    True
    >>> question.options[question.answer], question.why
    ('V7', 'Bar 9 of the 12-bar blues has V7: in A that is E7.')
    """
    topic = Topic.of(
        key=key, scale=scale, instrument=instrument, progression=progression, style=style
    )
    if isinstance(count, bool) or not isinstance(count, int) or not 1 <= count <= MOST_QUESTIONS:
        raise BadInput("count", count, "out of range", accepted=f"1 to {MOST_QUESTIONS}")
    return questions_about(topic, find_kinds(kinds), level=level, count=count, seed=seed)


def questions_about(
    topic: Topic, kinds: Sequence[str], *, level: int, count: int, seed: int
) -> list[Question]:
    """`quiz_questions` for a topic that is there already."""
    found = [_drawn(topic, kind, find_level(level), count, seed) for kind in kinds]
    # Kinds in turn: what is practised mixed is kept better than block by block (common practice).
    return [each for each in chain.from_iterable(zip_longest(*found)) if each is not None]


def _drawn(topic: Topic, kind: str, level: Level, count: int, seed: int) -> list[Question]:
    rng = Random(f"{seed}/{kind}/{level.number}")
    found: dict[str, Question] = {}
    vain = 0
    while len(found) < count and vain < _MOST_IN_VAIN:
        question = _DRAWS[kind](topic, level, rng)
        if question is None or question.card in found:
            vain += 1
            continue
        found[question.card] = question
        vain = 0
    return list(found.values())
