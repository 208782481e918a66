"""A neck as SVG for print: frets as they really lie, each mark by shape and text."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from typing import Any

from theorykit.handouts.mark_picture import FONT, mark_svg
from theorykit.instruments.instrument import Instrument
from theorykit.scene.geometry import neck_geometry

_INK, _FRET, _INLAY, _STRING, _GUIDE = "#111111", "#555555", "#dddddd", "#777777", "#bbbbbb"

#: How wide a mark is beside the distance of two strings, and the most beside that of two frets.
_OF_STRINGS, _OF_FRETS = 0.78, 0.92


def neck_svg(
    instrument: Instrument,
    marks: Iterable[dict[str, Any]],
    *,
    alt: str,
    width: float,
    string_gap: float,
    first: int = 0,
    last: int | None = None,
    capo: int = 0,
    left_handed: bool = False,
    text: float = 8.0,
) -> str:
    """A stretch of a neck with marks.

    Parameters
    ----------
    instrument : Instrument
    marks : iterable of dict
        As a scene has them: ``string``, ``fret`` (from the capo), ``x``, ``role``, ``label``.
    alt : str
        The text alternative.
    width : float
        Points.
    string_gap : float
        Points from string to string.
    first, last : int
        The space between these two frets is shown, counted from the nut; the whole neck if not
        given. Where the open strings are in it, there is room for their marks.
    capo : int
        Frets are numbered from it.
    left_handed : bool
        True to have the nut at the right.
    text : float
        Points of fret numbers and string names.
    """
    neck = neck_geometry(instrument)
    fret_x = neck["fret_x"]
    last = min(len(fret_x) - 1 if last is None else last, len(fret_x) - 1)
    begin, end = fret_x[first], fret_x[last]
    # Room for the open strings' marks and the strings' names, in points.
    size = string_gap * _OF_STRINGS
    room = text * 2.0 + (size * 1.35 if first <= capo else 0.0)
    # Where the finger or the bar lies at the place itself, the last mark reaches over the end.
    over = size * 0.75 if instrument.fretless or not instrument.frets_a_finger else 3.0
    scale = (width - room - over) / (end - begin)
    narrowest = min(fret_x[fret + 1] - fret_x[fret] for fret in range(first, last)) * scale
    size = min(size, narrowest * _OF_FRETS)
    count = len(instrument.strings)
    top = string_gap * 0.65
    bottom = top + string_gap * (count - 1)
    height = bottom + string_gap * 0.65 + text * 1.3

    def place(mm: float) -> float:
        across: float = room + (mm - begin) * scale
        return width - across if left_handed else across

    def row(string: int) -> float:
        return top + string_gap * (string - 1)

    edge = string_gap * 0.42
    drawn: list[str] = []
    present = [fret for fret in range(max(first, 1), last + 1) if instrument.has_fret(fret)]
    for inlay in neck["inlays"]:
        if first < inlay["fret"] <= last:
            x, middle = place(neck["stop_x"][inlay["fret"]]), (top + bottom) / 2
            offsets = (-string_gap, string_gap) if inlay["double"] else (0.0,)
            drawn += [
                f'<circle cx="{x:.2f}" cy="{middle + off:.2f}" r="{size * 0.3:.2f}" '
                f'fill="{_INLAY}"/>'
                for off in offsets
            ]
    fret_color = _GUIDE if instrument.fretless else _FRET
    for fret in present:
        drawn.append(_line(place(fret_x[fret]), top - edge, bottom + edge, fret_color, 0.9))
    if first:
        drawn.append(_line(place(begin), top - edge, bottom + edge, fret_color, 0.9))
    for number, string in enumerate(instrument.strings, start=1):
        start = place(max(fret_x[min(string.start_fret, last)], begin))
        drawn += [
            f'<line x1="{start:.2f}" y1="{row(number) + off:.2f}" x2="{place(end):.2f}" '
            f'y2="{row(number) + off:.2f}" stroke="{_STRING}" stroke-width="0.7"/>'
            for off in ((-0.9, 0.9) if string.strands > 1 else (0.0,))
        ]
    if first == 0:
        drawn.append(_line(place(0.0), top - edge - 1, bottom + edge + 1, _INK, 3.0))
    if capo and first <= capo <= last:
        drawn.append(_line(place(fret_x[capo]), top - edge - 1, bottom + edge + 1, _INK, 5.0))
    side = "start" if left_handed else "end"
    for number, each in enumerate(neck["strings"], start=1):
        name = each["name"].lower() if each["start"] else each["name"]
        x = width - text * 1.6 if left_handed else text * 1.6
        drawn.append(_text(x, row(number) + text * 0.36, name, text, side, "bold"))
    for fret in present:
        if fret > max(first, capo):
            x, foot = place(neck["stop_x"][fret]), height - text * 0.25
            name = str(fret - capo) if capo else instrument.fret_name(fret)
            drawn.append(_text(x, foot, name, text, "middle"))
    for mark in marks:
        # A short string's open note sounds at its own peg.
        held = mark["fret"] + capo
        begins = instrument.strings[mark["string"] - 1].start_fret + capo
        if mark["fret"]:
            if not first < held <= last:
                continue
            x = place(mark["x"])
        else:
            if not first <= begins <= last:
                continue
            off = -size * (0.95 if capo else 0.85)
            x = place(fret_x[begins]) + (-off if left_handed else off)
        drawn.append(mark_svg(mark["role"], x, row(mark["string"]), size, mark["label"]))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.2f} {height:.2f}" '
        f'width="{width:.2f}pt" height="{height:.2f}pt" role="img" font-family="{FONT}">'
        f"<title>{escape(alt)}</title>{''.join(drawn)}</svg>"
    )


def _line(x: float, y1: float, y2: float, color: str, wide: float) -> str:
    return (
        f'<line x1="{x:.2f}" y1="{y1:.2f}" x2="{x:.2f}" y2="{y2:.2f}" stroke="{color}" '
        f'stroke-width="{wide:g}"/>'
    )


def _text(x: float, y: float, text: str, size: float, anchor: str, weight: str = "normal") -> str:
    return (
        f'<text x="{x:.2f}" y="{y:.2f}" font-size="{size:g}" font-weight="{weight}" '
        f'text-anchor="{anchor}" fill="{_INK}">{escape(text)}</text>'
    )
