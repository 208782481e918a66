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


def sheet_scene(selection: Selection, kind: str) -> dict[str, Any]:
    """What ``scene`` gives for the kinds "lines" and "sequences".

    To the scene of the changes, or of the scale, it adds ``sheet`` (its name in the atlas),
    ``kept`` (that of the line that was kept, or nothing), ``title`` of the music, ``count`` of its
    notes, and ``note`` (which is asked about, -1 for none); ``sentence`` is about that note. Music
    is written for a neck with no capo.
    """
    lines = kind == "lines"
    base = scale_scene(replace(selection, compare="", capo=0), "progression" if lines else "scale")
    sheet = chosen_line(selection, selection.number) if lines else chosen_sequence(selection)
    count = len(sheet.notes)
    note = selection.note if selection.note < count else -1
    return base | {
        "sentence": _sentence(selection, sheet, note, lines=lines),
        "title": _title(selection, lines=lines),
        "sheet": line_name(selection, selection.number) if lines else sequence_name(selection),
        "kept": line_name(selection, selection.kept) if lines and selection.kept >= 0 else "",
        "count": count,
        "note": note,
    }


def _title(selection: Selection, *, lines: bool) -> str:
    if not lines:
        return phrase(
            "sequence title",
            figure=selection.figure[:1].upper() + selection.figure[1:],
            rhythm=selection.rhythm,
            way=selection.direction,
        )
    kept = "" if selection.kept < 0 else phrase("line kept", number=selection.kept + 1)
    return phrase("line title", number=selection.number + 1, level=selection.level) + kept


def _sentence(selection: Selection, sheet: Sheet, note: int, *, lines: bool) -> str:
    if sheet.problem:
        return sheet.problem
    if note < 0:
        if lines:
            return LEVELS[LEVEL_NAMES.index(selection.level) + 1].promise
        words = find_pattern(selection.figure).words
        return words[:1].upper() + words[1:] + "."
    place = {"number": note + 1, "count": len(sheet.notes)}
    if lines:
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
