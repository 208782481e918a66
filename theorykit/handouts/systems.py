"""An engraving cut into its systems, so that a page can break between two of them."""

from __future__ import annotations

import re
from html import escape

from theorykit.handouts.mark_picture import FONT
from theorykit.notation.engrave import Engraving

_SYSTEM = re.compile(r'<g id="[^"]*" class="system">')
_HEADING = re.compile(r'<g id="[^"]*" class="pgHead">')
_PAGE = re.compile(r'<svg id="([^"]*)" y="[\d.]+" width="([\d.]+)" height="[\d.]+"[^>]*>')
_SCALED = re.compile(r'<svg class="definition-scale"[^>]*?viewBox="0 0 (\d+) \d+">')
_MARGIN = re.compile(r'<g class="page-margin" transform="translate\((-?\d+), ')

#: A head is drawn round its own middle, which its ``transform`` tells.
_HEAD = re.compile(r'(<path class="head") d="[^"]*"')
_HEIGHT = re.compile(
    r'translate\(-?[\d.]+, ?(-?[\d.]+)\)| y="(-?[\d.]+)"'
    r"|[ML]-?[\d.]+ (-?[\d.]+)|-?[\d.]+,(-?[\d.]+)"
)

#: What letters and signs reach above and below the places that they are put at, engraver's units.
_ABOVE, _BELOW = 420, 260


def systems(engraving: Engraving) -> list[str]:
    """Each system of an engraving as an SVG of its own, without title and legend.

    Parameters
    ----------
    engraving : Engraving
    """
    text = engraving.svg
    pages = list(_PAGE.finditer(text))
    ends = [page.start() for page in pages[1:]] + [len(text)]
    found: list[str] = []
    for page, end in zip(pages, ends, strict=True):
        body = text[page.end() : end]
        scaled, margin = _SCALED.search(body), _MARGIN.search(body)
        assert scaled is not None
        assert margin is not None
        signs = body[: scaled.start()]
        starts = [match.start() for match in _SYSTEM.finditer(body)]
        heading = _HEADING.search(body)
        last = heading.start() if heading else body.index("</svg>", starts[-1]) - len("</g>")
        for start, stop in zip(starts, [*starts[1:], last], strict=True):
            name = f"{page[1]}-{len(found)}"
            inside = signs.replace(page[1], name), body[start:stop].replace(page[1], name)
            found.append(_alone(*inside, margin, name, int(scaled[1]), float(page[2])))
    return found


def _alone(
    signs: str, system: str, margin: re.Match[str], name: str, wide: int, pixels: float
) -> str:
    heights = [
        float(next(filter(None, each))) for each in _HEIGHT.findall(_HEAD.sub(r"\1", system))
    ]
    left = int(margin[1])
    low, high = min(heights) - _ABOVE, max(heights) + _BELOW
    scale = pixels / wide
    tall = high - low
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        f'viewBox="0 0 {wide} {tall:g}" width="{pixels:g}" height="{tall * scale:g}" '
        f'color="black" font-family="{FONT}" id="{escape(name)}">'
        f'{signs}<g transform="translate({left}, {-low:g})">{system}</g></svg>'
    )
