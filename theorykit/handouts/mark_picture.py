"""The marks of a neck as SVG for print: each role by its shape and its text, colour or none."""

from __future__ import annotations

import math
from html import escape

from theorykit.scene.codes import CODES, LABEL_LIFT

#: Letters in pictures, by name: the print's own font first.
FONT = "'DejaVu Sans', 'Liberation Sans', Arial, sans-serif"

#: A code's size is in screen pixels; one of this size has the size that a picture asks for.
_USUAL = 25.0

#: No mark is wider than this beside a usual one, so that those on neighbouring strings keep apart.
_WIDEST = 1.26

_HALF_ROOT_3 = math.sqrt(3) / 2


def mark_svg(role: str, x: float, y: float, size: float, label: str = "") -> str:
    """A mark with its middle at a place.

    Parameters
    ----------
    role : str
        One of ``CODES``.
    x, y : float
    size : float
        How wide a usual mark is; the codes say how much wider or smaller others are.
    label : str
        What is written on it.
    """
    code = CODES[role]
    half = size * min(code.size / _USUAL, _WIDEST) / 2
    line = max(size * code.line_width / _USUAL, 0.7)
    dash = (
        f' stroke-dasharray="{size * 0.2:.2f} {size * 0.11:.2f}"' if code.dash == "dashed" else ""
    )
    look = f'fill="{code.fill}" stroke="{code.line}" stroke-width="{line:.2f}"{dash}'
    if code.marker == "circle":
        shape = f'<circle cx="{x:.2f}" cy="{y:.2f}" r="{half:.2f}" {look}/>'
    else:
        corners = " ".join(
            f"{x + half * across:.2f},{y + half * down:.2f}"
            for across, down in _CORNERS[code.marker]
        )
        shape = f'<polygon points="{corners}" {look} stroke-linejoin="round"/>'
    if not label:
        return shape
    letters = size * (0.56 if len(label) < 2 else 0.52 if len(label) < 3 else 0.4)
    foot = y - LABEL_LIFT.get(code.marker, 0.0) * half * 2 + letters * 0.36
    return (
        f'{shape}<text x="{x:.2f}" y="{foot:.2f}" font-size="{letters:.2f}" font-weight="bold" '
        f'text-anchor="middle" font-family="{FONT}" fill="{code.text}">{escape(label)}</text>'
    )


#: The corners of each shape, as shares of half its width, y downwards.
_CORNERS: dict[str, tuple[tuple[float, float], ...]] = {
    "hex": tuple((math.cos(math.pi / 3 * turn), math.sin(math.pi / 3 * turn)) for turn in range(6)),
    "square": ((-1, -1), (1, -1), (1, 1), (-1, 1)),
    "diamond": ((0, -1), (0.92, 0), (0, 1), (-0.92, 0)),
    "triangle": ((0, -_HALF_ROOT_3), (1, _HALF_ROOT_3), (-1, _HALF_ROOT_3)),
    "inverted_triangle": ((0, _HALF_ROOT_3), (1, -_HALF_ROOT_3), (-1, -_HALF_ROOT_3)),
}


def lone_mark(role: str, size: float = 16.0) -> str:
    """A mark by itself, for a legend, as a whole SVG document."""
    side = size * 1.5
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {side:g} {side:g}" '
        f'width="{side:g}pt" height="{side:g}pt">{mark_svg(role, side / 2, side / 2, size)}</svg>'
    )
