"""Which note of a scale rubs over a chord."""

from __future__ import annotations

from random import Random

from theorykit.analysis import style as styles
from theorykit.analysis.fit import NoteFit
from theorykit.analysis.style import CARE_AT
from theorykit.quiz.chord_case import ChordCase, chord_cases
from theorykit.quiz.question import Question
from theorykit.quiz.topic import Level, Topic
from theorykit.theory.numeral import Numeral


def draw_rub(topic: Topic, level: Level, rng: Random) -> Question | None:
    """Which one of some notes of the scale rubs over the chord."""
    for case in chord_cases(topic, level, rng):
        notes = case.fit.notes
        rubbing = [each for each in notes if each.severity >= CARE_AT and each.kind.rubs_against]
        clean = [each for each in notes if _is_clean(each, case.numeral)]
        if not rubbing or len(clean) < 2:
            continue
        worst = max(rubbing, key=lambda each: each.severity)
        rng.shuffle(clean)
        offered = sorted(
            (worst, *clean[: level.options - 1]), key=lambda each: each.degree.semitones % 12
        )
        assert worst.member is not None  # a note that rubs, rubs against a member
        member = case.numeral.root.plus(worst.member)
        side = "above" if worst.kind.rubs_against < 0 else "below"
        here = case.topic
        marked = [member, *(each.degree for each in (worst, *clean))]
        name = case.note(worst.degree)
        return Question(
            kind="rub",
            level=level.number,
            card=f"which note rubs: {case.question}",
            text=f"{case.question} Which of these notes rubs if you rest on it?",
            options=tuple(case.note(each.degree) for each in offered),
            answer=offered.index(worst),
            why=(
                f"{name} rubs: it lies a half step {side} {case.note(member)}, "
                f"the {worst.member.ordinal} of {case.chord}."
            ),
            wrong=tuple("" if each is worst else _clean_why(case, each) for each in offered),
            frets=here.frets(level),
            tonic=str(here.tonic),
            notes=here.spelled_marks(
                [degree.at(here.tonic) for degree in marked], {here.class_of(worst.degree)}
            ),
            sound=case.sound,
            proof=case.with_note(worst.degree),
        )
    return None


def _is_clean(note: NoteFit, numeral: Numeral) -> bool:
    """True for a chord tone or a colour with no chord member a half step away."""
    if note.ornament or note.kind not in (styles.CHORD_TONE, styles.COLOUR):
        return False
    step = note.degree.semitones
    apart = {(step - member.semitones) % 12 for member in numeral.members}
    return not apart & {1, 11}


def _clean_why(case: ChordCase, note: NoteFit) -> str:
    if note.kind is styles.CHORD_TONE:
        return case.may_ring(note)
    name = case.note(note.degree)
    return f"{name} lies a whole step or more from every note of {case.chord}: it may ring."
