"""The scene of written music: the scale or the changes of the moment, and the notes to practise."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from theorykit.practice.line_level import LEVELS
from theorykit.practice.sequence_pattern import find_pattern
from theorykit.scene.phrases import phrase
from theorykit.scene.scale_scene import scale_scene
from theorykit.scene.selection import LEVEL_NAMES, Selection
from theorykit.scene.sheet import (
    Sheet,
    chosen_line,
    chosen_sequence,
    line_name,
    sequence_name,
)
from theorykit.scene.tune_sheet import chosen_tune, tune_name, tune_title

#: The kinds of written music, and those of them that lie over a chart.
WRITTEN = ("sequences", "lines", "tunes")
OVER_A_CHART = ("lines", "tunes")


def sheet_scene(selection: Selection, kind: str) -> dict[str, Any]:
    """What ``scene`` gives for the kinds "lines", "tunes" and "sequences".

    To the scene of the changes, or of the scale, it adds ``sheet`` (its name in the atlas),
    ``kept`` (that of the line that was kept, or nothing), ``title`` of the music, ``count`` of its
    notes, and ``note`` (which is asked about, -1 for none); ``sentence`` is about that note. Music
    is written for a neck with no capo.
    """
    lines = kind in OVER_A_CHART
    base = scale_scene(replace(selection, compare="", capo=0), "progression" if lines else "scale")
    sheet = chosen_sheet(selection, kind)
    count = len(sheet.notes)
    note = selection.note if selection.note < count else -1
    return base | {
        "sentence": _sentence(selection, sheet, note, kind),
        "title": _title(selection, kind),
        "sheet": sheet_name(selection, kind),
        "kept": (
            sheet_name(replace(selection, number=selection.kept), kind)
            if lines and selection.kept >= 0
            else ""
        ),
        "count": count,
        "note": note,
    }


def sheet_name(selection: Selection, kind: str) -> str:
    """What an atlas calls the music that is chosen."""
    if kind == "sequences":
        return sequence_name(selection)
    return (tune_name if kind == "tunes" else line_name)(selection, selection.number)


def chosen_sheet(selection: Selection, kind: str) -> Sheet:
    """The music that is chosen."""
    if kind == "sequences":
        return chosen_sequence(selection)
    return (chosen_tune if kind == "tunes" else chosen_line)(selection, selection.number)


def _title(selection: Selection, kind: str) -> str:
    if kind == "sequences":
        return phrase(
            "sequence title",
            figure=selection.figure[:1].upper() + selection.figure[1:],
            rhythm=selection.rhythm,
            way=selection.direction,
        )
    if kind == "tunes":
        return _tune_words(selection, selection.number) + _kept_words(selection, kind)
    title = phrase("line title", number=selection.number + 1, level=selection.level)
    return title + _kept_words(selection, kind)


def _tune_words(selection: Selection, number: int) -> str:
    title = tune_title(selection.tune)
    return title if number == 0 else phrase("tune variation", title=title, number=number)


def _kept_words(selection: Selection, kind: str) -> str:
    if selection.kept < 0:
        return ""
    if kind == "tunes":
        return phrase("tune kept", what=_tune_words(selection, selection.kept))
    return phrase("line kept", number=selection.kept + 1)


def _sentence(selection: Selection, sheet: Sheet, note: int, kind: str) -> str:
    if sheet.problem:
        return sheet.problem
    if note < 0:
        return _promise(selection, kind)
    place = {"number": note + 1, "count": len(sheet.notes)}
    if kind in OVER_A_CHART:
        return phrase("line note", why=sheet.reasons[note], **place)
    asked = sheet.notes[note]
    name = asked.pitch.pretty if asked.pitch is not None else "-"
    degree = asked.degree.pretty if asked.degree is not None else "-"
    where = ""
    if asked.string is not None:
        opened = asked.fret == 0
        words = "note open" if opened else "note stopped"
        where = phrase(words, string=asked.string, fret=asked.fret, finger=asked.finger)
    return phrase("sequence note", pitch=name, degree=degree, **place) + where


def _promise(selection: Selection, kind: str) -> str:
    """What the music as a whole is."""
    if kind == "tunes" and selection.number == 0:
        return phrase("tune itself")
    if kind in OVER_A_CHART:
        return LEVELS[LEVEL_NAMES.index(selection.level) + 1].promise
    words = find_pattern(selection.figure).words
    return words[:1].upper() + words[1:] + "."
