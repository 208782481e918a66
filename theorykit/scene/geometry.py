"""Where things lie: neck, keyboard and ruler in their own units, as plain data."""

from __future__ import annotations

from typing import Any

from theorykit.instruments.catalogue import Instrument
from theorykit.instruments.fretboard import SHOWN_FRETS, fret_distance, stop_distance
from theorykit.instruments.keyboard import piano_keys
from theorykit.instruments.positions import melody_strings

#: An open string's mark lies this share of the scale length before the nut (or the capo).
OPEN_OFFSET = 0.024

#: Digits after the point of a millimetre: a hundredth is less than a pixel, and tables stay small.
PLACES = 2

#: Heights on the keyboard, whose white keys are one unit high.
WHITE_MARK_Y = 0.17
BLACK_MARK_Y = 0.53
BLACK_LENGTH = 0.62

#: Heights on the ruler, whose slots lie between -0.5 and 0.5.
ABOVE_Y, BELOW_Y = 1.15, -1.15


def neck_geometry(instrument: Instrument, frets: int = SHOWN_FRETS) -> dict[str, Any]:
    """A neck's lines and places, in millimetres from the nut; string 1 lies highest, at y = -1.

    Returns
    -------
    dict
        ``strings`` (each ``midi``, ``name``, ``start``, ``strands``), ``melody`` (the strings that
        a scale runs over, the lowest first), ``fingered`` (not played with a bar), ``fret_x`` (of
        fret 0 to the last), ``stop_x`` (where a finger stops each fret; None where the neck has no
        fret; the first is not used), ``inlays`` (each ``fret``, ``double``), ``open_offset``,
        ``name``, ``voice``, ``board`` (what is drawn under the marks).
    """
    frets = min(frets, instrument.frets)
    length = instrument.scale_length_mm
    fret_x = [round(length * fret_distance(fret), PLACES) for fret in range(frets + 1)]
    # A dulcimer has no fret at some half steps, so no finger stops a string there.
    stop_x: list[float | None] = [
        round(stop_distance(instrument, fret), PLACES)
        if fret and instrument.has_fret(fret)
        else None
        for fret in range(frets + 1)
    ]
    stop_x[0] = 0.0
    return {
        "name": instrument.name,
        "voice": instrument.voice,
        "strings": [
            {
                "midi": string.open.midi,
                "name": string.open.note.pretty,
                "start": string.start_fret,
                "strands": string.strands,
            }
            for string in instrument.strings
        ],
        "fret_x": fret_x,
        "stop_x": stop_x,
        "fingered": instrument.frets_a_finger > 0,
        "melody": list(melody_strings(instrument)),
        "open_offset": round(OPEN_OFFSET * length, PLACES),
        "inlays": [
            {"fret": fret, "double": fret in instrument.double_inlays}
            for fret in instrument.inlays
            if fret <= frets
        ],
        "board": _board(instrument, frets, fret_x, stop_x),
    }


#: Screen pixels for each string, and for what lies above and below the strings.
PIXELS_A_STRING, PIXELS_AROUND = 36, 44

WOOD, FRET, INLAY, STRING, NUT = "#f6f1e7", "#b9ac93", "#e2d8c4", "#6d6d6d", "#2b2b2b"
GUIDE = "#e3dac6"
NUT_WIDTH, CAPO_WIDTH, FRET_WIDTH, GUIDE_WIDTH = 6, 9, 2, 1

#: How far before its fret a capo lies, as a share of the distance of an open string's mark.
CAPO_SHARE = 0.3


def _board(
    instrument: Instrument, frets: int, fret_x: list[float], stop_x: list[float | None]
) -> dict[str, Any]:
    """What is drawn of a neck under the marks, as columns, and the window on it."""
    count, last = len(instrument.strings), fret_x[frets]
    top, bottom = -0.4, -count - 0.6
    # Every line of the neck is in one table: each table that is drawn costs time at every repaint.
    present = [fret for fret in range(1, frets + 1) if instrument.has_fret(fret)]
    # On a fretless neck faint guides stand where the half steps lie, to count by.
    color, wide = (GUIDE, GUIDE_WIDTH) if instrument.fretless else (FRET, FRET_WIDTH)
    lines = [(x, top, x, bottom, color, wide) for x in (fret_x[fret] for fret in present)]
    for number, string in enumerate(instrument.strings, start=1):
        # The strands of a course lie a little apart; thicker strings sound lower.
        spread = 0.09 if string.strands > 1 else 0.0
        width = (1.0 + max(0, 76 - string.open.midi) / 24) / string.strands**0.5
        for strand in range(string.strands):
            y = round(-number + spread * (strand - (string.strands - 1) / 2), 3)
            lines.append((fret_x[string.start_fret], y, last, y, STRING, round(width, 2)))
    lines.append((0.0, top, 0.0, bottom, NUT, NUT_WIDTH))
    marked = [fret for fret in instrument.inlays if fret <= frets]
    middle = -(count + 1) / 2
    inlays = [
        (stop_x[fret], y)
        for fret in marked
        for y in ((middle - 1, middle + 1) if fret in instrument.double_inlays else (middle,))
    ]
    length = instrument.scale_length_mm
    words = [(stop_x[fret], -count - 0.95, instrument.fret_name(fret)) for fret in present]
    for number, string in enumerate(instrument.strings, start=1):
        name = string.open.note.pretty
        x = round(fret_x[string.start_fret] - 0.055 * length, PLACES)
        # A short string is written small, as its peg's name is in tablature.
        words.append((x, -number, name.lower() if string.start_fret else name))
    return {
        "wood": {"left": [0.0], "right": [last], "top": [top], "bottom": [bottom]},
        "lines": _columns(("x0", "y0", "x1", "y1", "color", "width"), lines),
        "inlays": _columns(("x", "y"), inlays),
        "words": _columns(("x", "y", "text"), words),
        "window": [
            round(-0.07 * length, PLACES),
            round(last + 0.012 * length, PLACES),
            -count - 1.25,
            -0.2,
        ],
        "height": PIXELS_A_STRING * count + PIXELS_AROUND,
    }


def _columns(names: tuple[str, ...], rows: list[Any]) -> dict[str, list[Any]]:
    return {name: [row[i] for row in rows] for i, name in enumerate(names)}


def line_columns(neck: dict[str, Any], capo: int) -> dict[str, list[Any]]:
    """The lines of a neck, the capo's included where there is one."""
    lines: dict[str, list[Any]] = neck["board"]["lines"]
    if not capo:
        return lines
    wood = neck["board"]["wood"]
    x = neck["fret_x"][capo] - CAPO_SHARE * neck["open_offset"]
    bar = (x, wood["top"][0], x, wood["bottom"][0], NUT, CAPO_WIDTH)
    return {name: [*lines[name], value] for name, value in zip(lines, bar, strict=True)}


def neck_cells(neck: dict[str, Any], capo: int) -> list[dict[str, Any]]:
    """Every place of a neck that sounds, with its place on the picture; frets count from the capo.

    Parameters
    ----------
    neck : dict
        From ``neck_geometry``.
    capo : int
    """
    cells: list[dict[str, Any]] = []
    last = len(neck["fret_x"]) - 1
    for number, string in enumerate(neck["strings"], start=1):
        sounding = string["midi"] + capo
        # Up the neck a short string's own capo may lie past what is shown.
        before = neck["fret_x"][min(string["start"] + capo, last)] - neck["open_offset"]
        cells.append(
            {"string": number, "fret": 0, "midi": sounding, "x": round(before, 3), "y": -number}
        )
        cells += [
            {
                "string": number,
                "fret": fret,
                "midi": sounding + fret - string["start"],
                "x": neck["stop_x"][fret + capo],
                "y": -number,
            }
            for fret in range(string["start"] + 1, last - capo + 1)
            if neck["stop_x"][fret + capo] is not None
        ]
    return cells


def keyboard_geometry() -> list[dict[str, Any]]:
    """The piano keys, white ones first: ``midi``, ``black``, edges, the place of a mark (x, y)."""
    return [
        {
            "midi": key.midi,
            "black": key.black,
            "left": round(key.left, 3),
            "width": key.width,
            "bottom": 1 - BLACK_LENGTH if key.black else 0.0,
            "x": round(key.left + key.width / 2, 3),
            "y": BLACK_MARK_Y if key.black else WHITE_MARK_Y,
        }
        for key in piano_keys()
    ]
