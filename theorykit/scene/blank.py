"""A neck with nothing on it but what a teacher marks: the marks as data, and their picture."""

from __future__ import annotations

import html
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from theorykit.analysis import wording
from theorykit.errors import BadInput, nearest
from theorykit.instruments.catalogue import Instrument
from theorykit.instruments.fretboard import check_frets, shown_frets
from theorykit.scene.codes import CODES, LABEL_LIFT
from theorykit.scene.geometry import WOOD, line_columns, neck_cells, neck_geometry
from theorykit.scene.scale_scene import CHROMATIC_TOKENS
from theorykit.theory.key import TONICS

#: What is written on marks that have no words of their own: their notes, their degrees in the key,
#: or in which order they were made.
BLANK_LABELS = ("notes", "degrees", "numbers", "hidden")

#: The shapes of marks, by the role that each is drawn as.
BLANK_ROLES = ("scale", "root", "chord tone", "colour", "blue", "avoid")

#: What to call them where no scale and no chord is known.
_ROLE_WORDS = {"scale": "note", "root": "root"}

#: A mark has room for so many letters.
MOST_LETTERS = 3

#: The width of the picture; its height is the board's own.
WIDTH = 1180

_INLAY_RADIUS = 6

#: Corners of each marker about its middle, as shares of half its size; a circle has none.
OUTLINES: dict[str, tuple[tuple[float, float], ...]] = {
    "circle": (),
    "square": ((-1, -1), (1, -1), (1, 1), (-1, 1)),
    "hex": ((-1, 0), (-0.5, -0.87), (0.5, -0.87), (1, 0), (0.5, 0.87), (-0.5, 0.87)),
    "diamond": ((0, -1), (0.67, 0), (0, 1), (-0.67, 0)),
    "inverted_triangle": ((-1, -0.66), (1, -0.66), (0, 1)),
}


@dataclass(frozen=True, slots=True)
class NeckMark:
    """A mark on a neck.

    Parameters
    ----------
    string, fret : int
        1 for the first string; frets count from the capo, 0 for the open string.
    role : str
        Its shape, one of ``BLANK_ROLES``.
    text : str
        Words of its own, three letters at most; instead of its note, degree or number.
    """

    string: int
    fret: int
    role: str = BLANK_ROLES[0]
    text: str = ""

    @classmethod
    def of(cls, given: Any) -> NeckMark:
        """A mark from one, or from a sequence of its string, fret, role and text.

        Raises
        ------
        BadInput
            If it is no such sequence, or its role is unknown, or its text too long.

        Examples
        --------
        >>> NeckMark.of((4, 2, "root"))
        NeckMark(string=4, fret=2, role='root', text='')
        """
        if isinstance(given, NeckMark):
            return given
        parts = tuple(given) if isinstance(given, list | tuple) else ()
        places = [part for part in parts[:2] if type(part) is int]
        words = [part for part in parts[2:] if isinstance(part, str)]
        if not 2 <= len(parts) <= 4 or len(places) + len(words) != len(parts):
            raise BadInput("mark", given, "not a mark", accepted="(string, fret, role, text)")
        mark = cls(*parts)
        if mark.role not in BLANK_ROLES:
            raise BadInput(
                "role",
                mark.role,
                "not a shape of marks",
                accepted=", ".join(BLANK_ROLES),
                nearest=nearest(mark.role, BLANK_ROLES),
            )
        if len(mark.text) > MOST_LETTERS:
            raise BadInput("text", mark.text, "too long", accepted=f"{MOST_LETTERS} letters")
        return mark

    @property
    def short(self) -> tuple[Any, ...]:
        """As ``of`` takes it, without what need not be said."""
        parts = (self.string, self.fret, self.role, self.text)
        kept = 4 if self.text else 3 if self.role != BLANK_ROLES[0] else 2
        return parts[:kept]


def blank_board(
    instrument: Instrument, *, frets: int | None = None, capo: int = 0
) -> dict[str, Any]:
    """All that a blank neck is drawn and named from, as data that JSON can hold.

    Parameters
    ----------
    instrument : Instrument
    frets : int, optional
        The highest fret that is shown.
    capo : int

    Returns
    -------
    dict
        ``name``, ``voice``, ``board`` (wood, lines, inlays, words, window, height), ``cells`` (each
        place with ``string``, ``fret``, ``midi``, ``x``, ``y``), ``keys`` (each with ``name``,
        ``names`` of the twelve notes by pitch class, and their ``degrees``), ``roles``,
        ``outlines``, ``labels``, ``width``.

    Raises
    ------
    BadInput
        If the neck has not got those frets.
    """
    frets = shown_frets(instrument) if frets is None else frets
    check_frets(instrument, frets, capo)
    neck = neck_geometry(instrument, frets)
    return {
        "name": instrument.name,
        "voice": instrument.voice,
        "capo": capo,
        "board": {**neck["board"], "lines": line_columns(neck, capo)},
        "cells": neck_cells(neck, capo),
        "keys": _keys(),
        "roles": {
            role: {
                "words": _ROLE_WORDS.get(role, CODES[role].words),
                "marker": CODES[role].marker,
                "size": CODES[role].size,
                "fill": CODES[role].fill,
                "line": CODES[role].line,
                "line_width": CODES[role].line_width,
                "dashed": CODES[role].dash == "dashed",
                "text": CODES[role].text,
                "lift": LABEL_LIFT.get(CODES[role].marker, 0.0),
            }
            for role in BLANK_ROLES
        },
        "outlines": OUTLINES,
        "labels": BLANK_LABELS,
        "letters": MOST_LETTERS,
        "wood": WOOD,
        "inlay": _INLAY_RADIUS,
        "width": WIDTH,
    }


def _keys() -> dict[str, dict[str, Any]]:
    keys = {}
    for tonic in TONICS:
        names, degrees = [""] * 12, [""] * 12
        for semitones, token in enumerate(CHROMATIC_TOKENS):
            degree = wording.token_degree(token, tonic)
            pitch_class = (tonic.pitch_class + semitones) % 12
            names[pitch_class], degrees[pitch_class] = degree.at(tonic).pretty, degree.pretty
        keys[str(tonic)] = {"name": tonic.pretty, "names": names, "degrees": degrees}
    return keys


def check_marks(board: dict[str, Any], given: Iterable[Any]) -> tuple[NeckMark, ...]:
    """Marks that a neck has places for, each place once: the last mark there counts.

    Raises
    ------
    BadInput
        With the mark that is none, or that the neck has no place for.
    """
    places = {(cell["string"], cell["fret"]) for cell in board["cells"]}
    marks: dict[tuple[int, int], NeckMark] = {}
    for one in given:
        mark = NeckMark.of(one)
        place = (mark.string, mark.fret)
        if place not in places:
            frets = sorted(fret for string, fret in places if string == mark.string)
            strings = max(string for string, _ in places)
            accepted = f"frets {frets[0]} to {frets[-1]}" if frets else f"strings 1 to {strings}"
            raise BadInput("mark", mark.short, f"not on this {board['name']}", accepted=accepted)
        marks.pop(place, None)
        marks[place] = mark
    return tuple(marks.values())


def mark_labels(
    board: dict[str, Any], marks: Sequence[NeckMark], *, key: str, labels: str
) -> list[str]:
    """What is written on each mark.

    Examples
    --------
    >>> from theorykit.instruments.catalogue import find_instrument
    >>> board = blank_board(find_instrument("mandolin"))
    >>> marks = [NeckMark(4, 0), NeckMark(3, 4), NeckMark(2, 0, text="x")]
    >>> mark_labels(board, marks, key="G", labels="notes")
    ['G', 'F♯', 'x']
    >>> mark_labels(board, marks, key="A", labels="degrees")
    ['♭7', '6', 'x']
    """
    if labels == "hidden":
        return [""] * len(marks)
    midis = {(cell["string"], cell["fret"]): cell["midi"] for cell in board["cells"]}
    found = []
    for number, mark in enumerate(marks, start=1):
        pitch_class = midis[mark.string, mark.fret] % 12
        spelled = board["keys"][key]["degrees" if labels == "degrees" else "names"][pitch_class]
        found.append(mark.text or (str(number) if labels == "numbers" else spelled))
    return found


def blank_words(board: dict[str, Any], marks: Sequence[NeckMark], *, key: str, labels: str) -> str:
    """The text alternative: every mark, the lowest string first."""
    name = f"{board['name'][0].upper()}{board['name'][1:]} neck"
    if not marks:
        return f"{name} with no marks"
    written = zip(marks, mark_labels(board, marks, key=key, labels=labels), strict=True)
    told = [
        f"string {mark.string} {f'fret {mark.fret}' if mark.fret else 'open'}"
        + (f" {label}" if label else "")
        for mark, label in sorted(written, key=lambda each: (-each[0].string, each[0].fret))
    ]
    count = f"{len(marks)} mark" + ("s" if len(marks) > 1 else "")
    return f"{name} with {count}: {', '.join(told)}"


def blank_svg(
    board: dict[str, Any],
    marks: Sequence[NeckMark],
    *,
    key: str,
    labels: str,
    left_handed: bool = False,
) -> str:
    """The picture as an SVG that stands by itself, for print or where nothing runs.

    Parameters
    ----------
    board : dict
        From ``blank_board``.
    marks : sequence of NeckMark
    key, labels : str
    left_handed : bool
        True to see the neck as a left-handed player does.
    """
    drawn = board["board"]
    height = drawn["height"]
    left, right, bottom, top = drawn["window"]

    def across(x: float) -> float:
        share = (x - left) / (right - left)
        return float(round(WIDTH * (1 - share if left_handed else share), 1))

    def down(y: float) -> float:
        return float(round(height * (top - y) / (top - bottom), 1))

    wood = drawn["wood"]
    edges = sorted((across(wood["left"][0]), across(wood["right"][0])))
    low, high = down(wood["bottom"][0]), down(wood["top"][0])
    place = f'x="{edges[0]}" y="{high}" width="{edges[1] - edges[0]:.1f}"'
    parts = [f'<rect {place} height="{low - high:.1f}" fill="{WOOD}"/>']
    for x, y in zip(drawn["inlays"]["x"], drawn["inlays"]["y"], strict=True):
        parts.append(
            f'<circle cx="{across(x)}" cy="{down(y)}" r="{_INLAY_RADIUS}" fill="#e2d8c4"/>'
        )
    lines = drawn["lines"]
    for x0, y0, x1, y1, color, width in zip(*lines.values(), strict=True):
        parts.append(
            f'<line x1="{across(x0)}" y1="{down(y0)}" x2="{across(x1)}" y2="{down(y1)}" '
            f'stroke="{color}" stroke-width="{width}"/>'
        )
    words = drawn["words"]
    for x, y, text in zip(words["x"], words["y"], words["text"], strict=True):
        parts.append(
            f'<text x="{across(x)}" y="{down(y)}" fill="#444" font-size="12" '
            f'dominant-baseline="central">{html.escape(text)}</text>'
        )
    places = {(cell["string"], cell["fret"]): cell for cell in board["cells"]}
    for mark, label in zip(marks, mark_labels(board, marks, key=key, labels=labels), strict=True):
        cell = places[mark.string, mark.fret]
        x, y = across(cell["x"]), down(cell["y"])
        parts.append(_mark_svg(board["roles"][mark.role], x, y, label))
    title = html.escape(blank_words(board, marks, key=key, labels=labels))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" role="img" '
        f'font-family="Liberation Sans, Arial, sans-serif" text-anchor="middle">'
        f"<title>{title}</title>{''.join(parts)}</svg>"
    )


def _mark_svg(code: dict[str, Any], x: float, y: float, label: str) -> str:
    half = code["size"] / 2
    corners = OUTLINES[code["marker"]]
    ink = f'fill="{code["fill"]}" stroke="{code["line"]}" stroke-width="{code["line_width"]}"'
    if code["dashed"]:
        ink += ' stroke-dasharray="4 2.5"'
    if corners:
        points = " ".join(f"{x + half * dx:.1f},{y + half * dy:.1f}" for dx, dy in corners)
        shape = f'<polygon points="{points}" {ink}/>'
    else:
        shape = f'<circle cx="{x}" cy="{y}" r="{half}" {ink}/>'
    lifted = round(y - code["lift"] * code["size"], 1)
    return shape + (
        f'<text x="{x}" y="{lifted}" fill="{code["text"]}" font-size="12" font-weight="bold" '
        f'dominant-baseline="central">{html.escape(label)}</text>'
    )
