"""A quiz as plain data that JSON can hold: what a notebook's view and a page draw from."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from theorykit.quiz.question import BY_EAR, KINDS, Mark, Question, Tone
from theorykit.quiz.quiz import questions_about
from theorykit.quiz.topic import LEVELS, Topic
from theorykit.scene.geometry import neck_geometry
from theorykit.theory.scale import Scale

#: So many questions of each kind and level are kept in a page, where there are so many.
POOL_COUNT = 16


@dataclass(frozen=True, slots=True)
class QuizChoice:
    """Every choice of a quiz by name, as a notebook keeps it.

    Parameters
    ----------
    key, scale, instrument, progression, style : str
    kinds : tuple of str
    level : int
        The one that it begins at.
    seed : int
    left_handed : bool
    """

    key: str
    scale: str
    instrument: str
    progression: str
    style: str
    kinds: tuple[str, ...] = tuple(KINDS)
    level: int = 1
    seed: int = 1
    left_handed: bool = False

    @property
    def topic(self) -> Topic:
        """What it asks about."""
        return Topic.of(
            key=self.key,
            scale=self.scale,
            instrument=self.instrument,
            progression=self.progression,
            style=self.style,
        )

    @property
    def title(self) -> str:
        """What it is about, in a few words."""
        topic = self.topic
        scale = Scale(topic.tonic, topic.melodic).pretty
        return f"Quiz: {scale} on {topic.instrument.name}, {topic.progression.name}"


def quiz_data(
    choice: QuizChoice, *, levels: Iterable[int] = tuple(LEVELS), count: int = POOL_COUNT
) -> dict[str, Any]:
    """A pool of questions with the neck that they are asked on.

    Parameters
    ----------
    choice : QuizChoice
    levels : iterable of int
    count : int
        Questions of each kind and level.

    Returns
    -------
    dict
        ``title``, ``level``, ``left_handed``, ``neck``, ``kinds`` and ``levels`` with their words,
        ``ear`` (the kinds by ear), ``names`` (of the twelve notes, by tonic) and ``questions`` (as
        `question_data` writes them).
    """
    topic = choice.topic
    questions = [
        question
        for level in levels
        for question in questions_about(
            topic, choice.kinds, level=level, count=count, seed=choice.seed
        )
    ]
    tonics = dict.fromkeys(question.tonic for question in questions)
    return {
        "title": choice.title,
        "level": choice.level,
        "left_handed": choice.left_handed,
        "neck": neck_geometry(topic.instrument),
        "kinds": {kind: KINDS[kind] for kind in choice.kinds},
        "levels": {str(level.number): level.words for level in LEVELS.values()},
        "ear": [kind for kind in choice.kinds if kind in BY_EAR],
        "names": {tonic: topic.on(tonic).names for tonic in tonics},
        "questions": [question_data(question) for question in questions],
    }


def question_data(question: Question) -> dict[str, Any]:
    """A question with its marks and its sound as short texts, and nothing that is empty.

    >>> from theorykit.quiz.quiz import quiz_questions
    >>> data = question_data(quiz_questions(kinds=("find",), count=1)[0])
    >>> data["text"], data["places"]
    ('Find C anywhere on the neck shown.', '2 3;4 5')
    """
    data = {
        "kind": question.kind,
        "level": question.level,
        "card": question.card,
        "text": question.text,
        "options": list(question.options),
        "answer": question.answer,
        "why": question.why,
        "wrong": list(question.wrong) if any(question.wrong) else [],
        "frets": question.frets,
        "tonic": question.tonic,
        "shown": _marks(question.shown),
        "marks": _marks(question.marks),
        "notes": ";".join(
            f"{note.pitch_class} {note.label}{' !' if note.care else ''}" for note in question.notes
        ),
        "places": ";".join(f"{string} {fret}" for string, fret in question.places),
        "sound": _tones(question.sound),
        "proof": _tones(question.proof),
    }
    return {name: value for name, value in data.items() if value not in ("", [])}


def _marks(marks: Sequence[Mark]) -> str:
    return ";".join(f"{mark.string} {mark.fret} {mark.label}" for mark in marks)


def _tones(tones: Sequence[Tone]) -> str:
    return ";".join(f"{tone.midi} {tone.beat:g} {tone.beats:g}" for tone in tones)
