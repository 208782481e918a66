"""Questions on the neck: where a note or a degree lies, and what lies at a place."""

from __future__ import annotations

from random import Random

from theorykit.instruments.fretboard import Cell
from theorykit.quiz.question import Mark, Question
from theorykit.quiz.topic import CHROMATIC, Level, Topic

#: From this level on one string is asked about, and notes outside the scale too.
_HARDER = 3


def draw_find(topic: Topic, level: Level, rng: Random) -> Question | None:
    """Find a note on the neck (levels 1 and 3) or a degree (2 and 4); from 3 on, on one string."""
    here = topic.moved(level, rng)
    wanted = rng.choice(_classes(here, level))
    cells = here.cells(level)
    strings = list(range(1, len(here.instrument.strings) + 1))
    # The whole neck at once is the easier question: any of the places will do.
    string = rng.choice(strings if level.number >= _HARDER else [0, rng.choice(strings)])
    found = [cell for cell in cells if cell.midi % 12 == wanted and string in (0, cell.string)]
    if not found:
        return None
    note, degree = here.named(wanted).pretty, here.degree_words(wanted)
    asked = note
    if level.number % 2 == 0:
        asked = degree if degree != "the tonic" else f"the tonic of {here.tonic.pretty}"
    place = f" on {_string(here, string)}" if string else " anywhere on the neck shown"
    # On a few frets only, the same words ask another question.
    upto = here.frets(level)
    tail = f" on {_string(here, string)}" if string else ""
    return Question(
        kind="find",
        level=level.number,
        card=f"find {asked}{tail}, {here.instrument.name} to fret {upto}",
        text=f"Find {asked}{place}.",
        options=(),
        answer=-1,
        why=f"{note} is {degree}: {here.places_words(found)}.",
        wrong=(),
        frets=upto,
        tonic=str(here.tonic),
        marks=tuple(Mark(cell.string, cell.fret, note) for cell in found),
        places=tuple((cell.string, cell.fret) for cell in found),
    )


def draw_name(topic: Topic, level: Level, rng: Random) -> Question | None:
    """Name the note of a place (levels 1 and 3) or its degree (2 and 4)."""
    here = topic.moved(level, rng)
    classes = _classes(here, level)
    cells = [cell for cell in here.cells(level) if cell.midi % 12 in classes]
    if not cells or len(classes) < 2:
        return None
    cell = rng.choice(cells)
    own = cell.midi % 12
    others = rng.sample(
        [each for each in classes if each != own], k=min(level.options, len(classes)) - 1
    )
    offered = sorted((own, *others), key=lambda each: (each - here.tonic.pitch_class) % 12)
    by_degree = level.number % 2 == 0
    tonic, where = here.tonic.pretty, here.where(cell)

    def said(pitch_class: int) -> str:
        named = here.degree(pitch_class) if by_degree else here.named(pitch_class)
        return named.pretty

    what = f"which degree of {tonic}" if by_degree else "which note"
    note = here.named(own).pretty
    return Question(
        kind="name",
        level=level.number,
        card=f"{what} is {where}, {here.instrument.name}",
        text=f"W{what[1:]} is at the mark, {where}?",
        options=tuple(map(said, offered)),
        answer=offered.index(own),
        why=f"At {where} lies {note}, {here.degree_words(own)}.",
        wrong=tuple("" if each == own else _elsewhere(here, level, cell, each) for each in offered),
        frets=here.frets(level),
        tonic=str(here.tonic),
        shown=(Mark(cell.string, cell.fret, "?"),),
        marks=(Mark(cell.string, cell.fret, said(own)),),
    )


def _classes(topic: Topic, level: Level) -> list[int]:
    """The pitch classes that a level asks about."""
    tonic = topic.tonic.pitch_class
    degrees = CHROMATIC if level.number >= _HARDER else topic.melodic.degrees
    return [(tonic + degree.semitones) % 12 for degree in degrees]


def _string(topic: Topic, number: int) -> str:
    return f"string {number} ({topic.instrument.string(number).open.note.pretty})"


def _elsewhere(topic: Topic, level: Level, cell: Cell, pitch_class: int) -> str:
    """Where on the neck the note is that was chosen instead."""
    note, degree = topic.named(pitch_class).pretty, topic.degree_words(pitch_class)
    found = [each for each in topic.cells(level) if each.midi % 12 == pitch_class]
    if not found:
        return f"{note} is {degree}."
    near = min(found, key=lambda each: (abs(each.string - cell.string), abs(each.fret - cell.fret)))
    return f"{note}, {degree}, is at {topic.where(near)}."
