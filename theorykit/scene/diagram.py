"""Chord diagrams: where everything lies, as plain data, and the same as SVG for print.

Strings run down, the lowest at the left; the root's dots are hexagons, so that they stand out
without colour.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from pathlib import Path

from theorykit.instruments.instrument import Instrument
from theorykit.instruments.shape import Shape
from theorykit.instruments.shape_change import members_at
from theorykit.theory.chord import Chord

#: The fewest frets that a diagram shows.
ROWS = 4

#: Sizes in points: between strings and frets, of dots, above and below the grid, beside it.
STRING_GAP, FRET_GAP, DOT = 15.0, 19.0, 6.6
ABOVE, BELOW, LEFT, RIGHT = 36.0, 18.0, 24.0, 14.0

FONT = "'Liberation Sans', Arial, sans-serif"

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Label:
    """A text at a place; ``kind`` says what it tells: title, fret, finger, member, loose."""

    x: float
    y: float
    text: str
    kind: str


@dataclass(frozen=True, slots=True)
class Dot:
    """A stopped place, with the finger that stops it."""

    x: float
    y: float
    finger: int
    is_root: bool

    @property
    def outline(self) -> tuple[Point, ...]:
        """The corners of a root's hexagon."""
        turns = [math.pi / 6 + math.pi / 3 * corner for corner in range(6)]
        radius = DOT * 1.2
        return tuple(
            (round(self.x + radius * math.cos(t), 2), round(self.y + radius * math.sin(t), 2))
            for t in turns
        )


@dataclass(frozen=True, slots=True)
class Diagram:
    """A chord diagram; a notebook shows it as a picture.

    Parameters
    ----------
    shape : Shape
    instrument : Instrument
    chord : Chord
    left_handed : bool
        True to have the lowest string at the right.
    title : str
        What stands above; the chord's symbol if empty.

    Examples
    --------
    >>> from theorykit.instruments.catalogue import find_instrument
    >>> from theorykit.instruments.shape_search import find_shapes
    >>> mandolin, g = find_instrument("mandolin"), Chord.parse("G")
    >>> Diagram(find_shapes(mandolin, g)[0], mandolin, g).spoken
    'G: string 4 open, string 3 open, string 2 fret 2, string 1 fret 3'
    """

    shape: Shape
    instrument: Instrument
    chord: Chord
    left_handed: bool = False
    title: str = ""

    @property
    def base(self) -> int:
        """The fret above the first row: 0 where the diagram starts at the nut."""
        stopped = [fret for fret in self.shape.frets if fret]
        return 0 if max(stopped, default=0) <= ROWS else min(stopped) - 1

    @property
    def rows(self) -> int:
        """How many frets are shown."""
        return max(ROWS, max((fret or 0 for fret in self.shape.frets), default=0) - self.base)

    @property
    def width(self) -> float:
        """In points."""
        return LEFT + STRING_GAP * (len(self.shape.frets) - 1) + RIGHT

    @property
    def height(self) -> float:
        """In points."""
        return ABOVE + FRET_GAP * self.rows + BELOW

    def string_x(self, number: int) -> float:
        """Where string ``number`` lies."""
        last = len(self.shape.frets)
        return LEFT + STRING_GAP * (number - 1 if self.left_handed else last - number)

    def fret_y(self, fret: float) -> float:
        """Where a fret lies; half of one is between two."""
        return ABOVE + FRET_GAP * (fret - self.base)

    @property
    def lines(self) -> tuple[tuple[Point, Point, float], ...]:
        """Strings, frets and nut: from, to, width."""
        ends = sorted((self.string_x(1), self.string_x(len(self.shape.frets))))
        bottom = ABOVE + FRET_GAP * self.rows
        drawn = []
        for row in range(self.rows + 1):
            y = ABOVE + FRET_GAP * row
            nut = row == 0 and self.base == 0
            drawn.append(((ends[0], y), (ends[1], y), 3.2 if nut else 0.8))
        for number, string in enumerate(self.instrument.strings, start=1):
            start = min(max(string.start_fret, self.base), self.base + self.rows)
            if start < self.base + self.rows:
                x = self.string_x(number)
                drawn.append(((x, self.fret_y(start)), (x, bottom), 0.8))
        return tuple(drawn)

    @property
    def barres(self) -> tuple[tuple[Point, Point], ...]:
        """Where a finger lies across, from end to end."""
        return tuple(
            (
                (self.string_x(barre.low_string), self.fret_y(barre.fret - 0.5)),
                (self.string_x(barre.high_string), self.fret_y(barre.fret - 0.5)),
            )
            for barre in self.shape.barres
        )

    @property
    def dots(self) -> tuple[Dot, ...]:
        """The stopped places, string 1 first."""
        members = members_at(self.shape, self.chord)
        return tuple(
            Dot(
                self.string_x(number),
                self.fret_y(fret - 0.5),
                self.shape.fingers[number - 1],
                str(members[number - 1]) == "1",
            )
            for number, fret in enumerate(self.shape.frets, start=1)
            if fret
        )

    @property
    def labels(self) -> tuple[Label, ...]:
        """Title, fret number, members below, open and muted strings above."""
        middle = (self.string_x(1) + self.string_x(len(self.shape.frets))) / 2
        found = [Label(middle, 12.0, self.title or self.chord.pretty, "title")]
        if self.base:
            x = min(self.string_x(1), self.string_x(len(self.shape.frets)))
            found.append(Label(x - 8, self.fret_y(self.base + 0.5) + 4, str(self.base + 1), "fret"))
        members = members_at(self.shape, self.chord)
        for number, fret in enumerate(self.shape.frets, start=1):
            x, member = self.string_x(number), members[number - 1]
            if not fret:
                found.append(Label(x, ABOVE - 7, "×" if fret is None else "○", "loose"))
            if member is not None:
                found.append(Label(x, self.height - 6, member.pretty, "member"))
        return tuple(found)

    @property
    def spoken(self) -> str:
        """What it shows, in words."""
        words = []
        for number, fret in reversed(list(enumerate(self.shape.frets, start=1))):
            how = "muted" if fret is None else "open" if fret == 0 else f"fret {fret}"
            words.append(f"string {number} {how}")
        return f"{self.title or self.chord.pretty}: {', '.join(words)}"

    def _repr_svg_(self) -> str:
        return diagrams_svg([self])


#: How each kind of label is written: size, weight, anchor.
STYLES = {
    "title": (13, "bold", "middle"),
    "fret": (9.5, "normal", "end"),
    "finger": (9.5, "bold", "middle"),
    "member": (9, "normal", "middle"),
    "loose": (11, "normal", "middle"),
}


@dataclass(frozen=True, slots=True)
class DiagramRow:
    """Several diagrams side by side, as a sheet for students has them.

    Parameters
    ----------
    diagrams : tuple of Diagram
    columns : int
        How many stand in a line.
    """

    diagrams: tuple[Diagram, ...]
    columns: int = 6

    def _repr_svg_(self) -> str:
        return diagrams_svg(self.diagrams, columns=self.columns)

    def save(self, path: str | Path) -> Path:
        """Write the SVG; the file is written whole or not at all."""
        target = Path(path)
        unfinished = target.with_name(f".{target.name}.part")
        try:
            unfinished.write_text(self._repr_svg_(), encoding="utf-8")
            unfinished.replace(target)
        finally:
            unfinished.unlink(missing_ok=True)
        return target


def diagrams_svg(diagrams: Sequence[Diagram], *, columns: int = 6) -> str:
    """Chord diagrams as one SVG document: black on white, sizes in points.

    Parameters
    ----------
    diagrams : sequence of Diagram
    columns : int
        How many stand in a line.
    """
    lines = [diagrams[i : i + columns] for i in range(0, len(diagrams), columns)]
    width = max((sum(each.width for each in line) for line in lines), default=0.0)
    parts, y = [], 0.0
    for line in lines:
        x = 0.0
        for each in line:
            parts.append(f'<g transform="translate({x:g} {y:g})">{_body(each)}</g>')
            x += each.width
        y += max(each.height for each in line) + 8
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {y:g}" '
        f'width="{width:g}pt" height="{y:g}pt" font-family="{FONT}" role="img">'
        f"<title>{escape('; '.join(each.spoken for each in diagrams))}</title>"
        f"{''.join(parts)}</svg>"
    )


def _body(diagram: Diagram) -> str:
    parts = []
    for (x1, y1), (x2, y2), width in diagram.lines:
        parts.append(
            f'<line x1="{x1:g}" y1="{y1:g}" x2="{x2:g}" y2="{y2:g}" '
            f'stroke="#222" stroke-width="{width:g}"/>'
        )
    for (x1, y1), (x2, y2) in diagram.barres:
        parts.append(
            f'<line x1="{x1:g}" y1="{y1:g}" x2="{x2:g}" y2="{y2:g}" '
            f'stroke="#111" stroke-width="{2 * DOT:g}" stroke-linecap="round"/>'
        )
    for dot in diagram.dots:
        if dot.is_root:
            points = " ".join(f"{x:g},{y:g}" for x, y in dot.outline)
            parts.append(f'<polygon points="{points}" fill="#111"/>')
        else:
            parts.append(f'<circle cx="{dot.x:g}" cy="{dot.y:g}" r="{DOT:g}" fill="#111"/>')
        if dot.finger:
            parts.append(_text(Label(dot.x, dot.y + 3.4, str(dot.finger), "finger"), "#fff"))
    parts += [_text(label, "#111") for label in diagram.labels]
    return "".join(parts)


def _text(label: Label, fill: str) -> str:
    size, weight, anchor = STYLES[label.kind]
    return (
        f'<text x="{label.x:g}" y="{label.y:g}" font-size="{size:g}" font-weight="{weight}" '
        f'text-anchor="{anchor}" fill="{fill}">{escape(label.text)}</text>'
    )
