"""What is practised from written music: a line or a sequence, in a few letters for a browser.

A line's notes, tablature and reasons are one entry of the atlas, its engraving another; an
engraving is large, so a page has only some.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from theorykit.errors import BadInput
from theorykit.instruments.catalogue import find_instrument
from theorykit.notation.engrave import engrave
from theorykit.notation.note_names import note_names
from theorykit.notation.tablature import tablature_text
from theorykit.practice.line import line_over
from theorykit.practice.sequence import sequence
from theorykit.scene.selection import (
    FIGURES,
    GRIT_NAMES,
    GRITS,
    LEVEL_NAMES,
    RHYTHM_NAMES,
    WAYS,
    Selection,
)
from theorykit.score.score import Score, ScoreNote
from theorykit.theory.key import Key
from theorykit.theory.scale import Scale

#: The tempo that fingerings are chosen for; the player's may be another.
_TEMPO = 100.0

#: Screen pixels of an engraving.
_WIDTH = 1100


@dataclass(frozen=True, slots=True)
class Sheet:
    """A piece to practise.

    Parameters
    ----------
    score : Score or None
        None where there is none.
    reasons : tuple of str
        One for each note of a line; none for a sequence.
    problem : str
        Why there is none.
    """

    score: Score | None
    reasons: tuple[str, ...] = ()
    problem: str = ""

    @property
    def notes(self) -> tuple[ScoreNote, ...]:
        """The notes in their order."""
        return self.score.part("line").notes if self.score is not None else ()


def line_name(selection: Selection, number: int) -> str:
    """What an atlas calls a line."""
    level, grit = LEVEL_NAMES.index(selection.level), GRIT_NAMES.index(selection.grit)
    words = (
        selection.key,
        selection.progression,
        selection.taste.name,
        selection.instrument,
        f"{level}.{grit}.{number}",
    )
    return "line/" + "/".join(words)


def sequence_name(selection: Selection) -> str:
    """What an atlas calls a sequence."""
    ways = (
        FIGURES.index(selection.figure),
        WAYS.index(selection.direction),
        RHYTHM_NAMES.index(selection.rhythm),
    )
    words = (selection.key, selection.scale, selection.instrument, ".".join(map(str, ways)))
    return "sequence/" + "/".join(words)


@lru_cache(maxsize=512)
def line_sheet(
    key: str, progression: str, style: str, instrument: str, level: int, grit: float, number: int
) -> Sheet:
    """An example line; the same for the same number."""
    selection = Selection.of(key=key, progression=progression, style=style, instrument=instrument)
    chart = selection.chart
    try:
        line = line_over(
            chart,
            Key(selection.tonic, chart.mode),
            level=level,
            grit=grit,
            style=selection.taste,
            instrument=selection.neck,
            seed=number,
            tempo=_TEMPO,
        )
    except BadInput as error:
        return Sheet(None, problem=str(error))
    return Sheet(line.score, line.reasons)


@lru_cache(maxsize=512)
def sequence_sheet(
    key: str, scale: str, figure: str, direction: str, rhythm: str, instrument: str
) -> Sheet:
    """A scale in a sequence, over the compass of an instrument."""
    selection = Selection.of(key=key, scale=scale, instrument=instrument)
    try:
        score = sequence(
            Scale(selection.tonic, selection.formula),
            figure,
            direction=direction,
            rhythm=rhythm,
            instrument=selection.neck,
            tempo=_TEMPO,
        )
    except BadInput as error:
        return Sheet(None, problem=str(error))
    return Sheet(score)


def chosen_line(selection: Selection, number: int) -> Sheet:
    """The line of a number under what is chosen."""
    return line_sheet(
        selection.key,
        selection.progression,
        selection.style,
        selection.instrument,
        LEVEL_NAMES.index(selection.level) + 1,
        GRITS[selection.grit],
        number,
    )


def chosen_sequence(selection: Selection) -> Sheet:
    """The sequence that is chosen."""
    return sequence_sheet(
        selection.key,
        selection.scale,
        selection.figure,
        selection.direction,
        selection.rhythm,
        selection.instrument,
    )


def tablature_of(sheet: Sheet, instrument: str) -> str:
    """The sheet as text: tablature, or the names of the notes where the neck has no frets."""
    neck = find_instrument(instrument)
    if sheet.score is None:
        return ""
    if not neck.frets_a_finger or neck.fretless:
        return note_names(sheet.score)
    return tablature_text(sheet.score, neck, degrees=True)


def sheet_code(sheet: Sheet, instrument: str) -> list[str]:
    """A sheet as an atlas has it: length, notes, tablature, reasons, and what is amiss.

    A note is its start, beats, key, string, fret, finger (``-`` where it has none), name, degree
    and bend, if any: beats after its start and half steps, in pairs.
    """
    if sheet.score is None:
        return ["0", "", "", "", sheet.problem]
    notes = ";".join(map(_note_code, sheet.notes))
    length = _number(max(sheet.score.end, sheet.notes[-1].end))
    return [length, notes, tablature_of(sheet, instrument), "\n".join(sheet.reasons), ""]


def engraving_code(sheet: Sheet, instrument: str) -> list[str]:
    """An engraving as an atlas has it: the picture, the ids of each note in it, what it says."""
    if sheet.score is None:
        return []
    drawn = engrave(sheet.score, instrument=find_instrument(instrument), width=_WIDTH)
    ids = ";".join(" ".join(each) for each in drawn.note_ids)
    return [drawn.svg, ids, drawn.words]


def _note_code(note: ScoreNote) -> str:
    place = [note.string, note.fret, note.finger]
    fields = [
        _number(note.start),
        _number(note.beats),
        str(int(note.midi)),
        *("-" if value is None else str(value) for value in place),
        note.pitch.pretty if note.pitch is not None else "-",
        note.degree.pretty if note.degree is not None else "-",
    ]
    if note.glide is not None:
        fields += [f"{_number(at)}:{height:g}" for at, height in note.glide.points]
    return " ".join(fields)


def _number(beats: object) -> str:
    return f"{float(beats):.5f}".rstrip("0").rstrip(".")  # type: ignore[arg-type]
