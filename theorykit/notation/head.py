"""Heads of notes that say the role: a shape and a colour each, the same as on the neck.

The shapes fill the space of the engraver's own round head, so that stems, dots and ledger lines
stand as they would. An open one (half and whole notes) has a hole.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from theorykit.analysis.palette import BLUE, INK, OUTLINE, PURPLE, SKY, VERMILLION

#: Width of a black head and half its height, in the units of the engraver's font.
WIDTH, HALF = 314, 133

#: The widths of the heads that are replaced: black, half, whole (SMuFL 1.4 code points).
WIDTHS = {"E0A4": WIDTH, "E0A3": WIDTH, "E0A2": 405}

#: Where a stem starts, above the middle on the right or below it on the left.
_STEM_FROM = 44

#: How thick a stem is.
_STEM = 28

_Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Head:
    """How a role's notes look.

    Parameters
    ----------
    words : str
        What the legend says.
    points : tuple of (float, float)
        The corners, upwards, as shares of the width and of half the height; none for round.
    fill, line : str
        Colours.
    size : float
        1 is a usual head.
    """

    words: str
    points: _Points
    fill: str
    line: str
    size: float = 1.0


_HEXAGON = ((0.5, 1.12), (1, 0.62), (1, -0.62), (0.5, -1.12), (0, -0.62), (0, 0.62))
_SQUARE = ((0.04, 0.94), (0.96, 0.94), (0.96, -0.94), (0.04, -0.94))
_DIAMOND = ((0.5, 1.25), (1, 0), (0.5, -1.25), (0, 0))
_TRIANGLE = ((0, 1), (1, 1), (0.5, -1.25))

# The engraver's round head and its half note, from the font's own outline, as shares like the rest.
_ROUND = (
    "M0 -39c0 68 73 172 200 172c66 0 114 -37 114 -95c0 -84 -106 -171 -218 -171c-64 0 -96 30 -96 94z"
)
_ROUND_HOLE = "M40 -72c-26 43 152 176 222 140c30 -28 -10 -72 -80 -112c-64 -36 -122 -62 -142 -28z"

#: The heads by role, in the order of the legend.
HEADS: dict[str, Head] = {
    "root": Head("root of the chord", _HEXAGON, INK, INK),
    "chord tone": Head("chord tone", _SQUARE, BLUE, BLUE),
    "colour": Head("colour tone", (), SKY, OUTLINE),
    "passing": Head("passing", (), INK, INK, 0.72),
    "blue": Head("blue note", _DIAMOND, PURPLE, OUTLINE),
    "avoid": Head("avoid", _TRIANGLE, VERMILLION, VERMILLION),
}


@lru_cache(maxsize=128)
def head_path(role: str, glyph: str, stem: str = "") -> str:
    """The outline of a head, in the engraver's units, y upwards.

    Parameters
    ----------
    role : str
    glyph : str
        The head that it replaces: ``"E0A4"`` black, ``"E0A3"`` half, ``"E0A2"`` whole.
    stem : str
        ``"up"``, ``"down"`` or nothing: a shape that does not reach the stem gets a bit of it.
    """
    head = HEADS[role]
    is_open = glyph != "E0A4"
    if not head.points:
        return _ROUND + (_ROUND_HOLE if is_open else "")
    wide = WIDTHS[glyph]
    path = _polygon(head.points, wide)
    if is_open:
        middle = sum(y for _, y in head.points) / len(head.points)
        hole = tuple(
            (0.5 + (x - 0.5) * 0.6, middle + (y - middle) * 0.55) for x, y in reversed(head.points)
        )
        path += _polygon(hole, wide)
    return path + _tail(head.points, stem)


def _polygon(points: _Points, wide: int) -> str:
    corners = "L".join(f"{x * wide:.0f} {y * HALF:.0f}" for x, y in points)
    return f"M{corners}z"


def _tail(points: _Points, stem: str) -> str:
    """The bit of stem between where the engraver starts it and where the shape touches it."""
    side = {"up": 1.0, "down": 0.0}.get(stem)
    heights = [y * HALF for x, y in points if x == side]
    if side is None or not heights:
        return ""
    start = _STEM_FROM if stem == "up" else -_STEM_FROM
    low, high = min([*heights, start]), max([*heights, start])
    if min(heights) <= start <= max(heights):
        return ""
    left = WIDTH - _STEM if stem == "up" else 0
    return f"M{left} {low:.0f}V{high:.0f}H{left + _STEM}V{low:.0f}z"


def head_svg(role: str, glyph: str, x: float, y: float, scale: float, stem: str = "") -> str:
    """A head at its place, as SVG."""
    head = HEADS[role]
    # A small head keeps to its stem: the right end if that goes up, the left end if down.
    shift = {"down": 0.0, "up": 1.0}.get(stem, 0.5) * (1 - head.size) * WIDTHS[glyph]
    path = head_path(role, glyph, stem)
    # As a style, because the engraver's style sheet puts a line around every path.
    line = f"stroke:{head.line};stroke-width:26" if head.line != head.fill else "stroke:none"
    return (
        f'<path class="head" d="{path}" fill="{head.fill}" fill-rule="evenodd" style="{line}" '
        f'transform="translate({x + shift * scale:g}, {y:g}) '
        f'scale({scale * head.size:g}, {-scale * head.size:g})"/>'
    )
