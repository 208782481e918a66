"""The engraver's pages made into one picture.

Heads get their roles, degrees and bends their places; then title, text alternative and legend.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from theorykit.notation.head import HEADS, WIDTHS, head_svg
from theorykit.notation.mei import plain
from theorykit.notation.sheet import Sheet

_HEAD = re.compile(
    r'<use xlink:href="#(E0A[234])-[^"]*" '
    r'transform="translate\((-?\d+), (-?\d+)\) scale\(([\d.]+), [\d.]+\)" ?/>'
)
_STEM = re.compile(r'class="stem"[^>]*><path d="M-?[\d.]+ (-?[\d.]+) L-?[\d.]+ (-?[\d.]+)')
_SYLLABLE = re.compile(r'(class="syl"[^>]*><text) x="-?\d+"')
_MUSIC_LETTER = re.compile(r'<tspan font-family="Leipzig" font-size="(\d+)px">([\uea64\uea66])')

#: The flat and the sharp of the music font's own letters (SMuFL 1.4), as every font has them.
_PLAIN_LETTERS = {"\uea64": "♭", "\uea66": "♯"}

_FRET = re.compile(r'<text x="(-?\d+)" y="(-?\d+)"')

#: A bend's curve, in the engraver's units: where it starts and ends beside the middle of the fret's
#: number, how high above the foot of its word it ends, and the size of its arrow.
_BEND_FROM, _BEND_TO, _BEND_UP, _ARROW = 120, 250, 230, 80


def picture(pages: Sequence[str], sheet: Sheet, prefix: str, words: str, *, large: bool) -> str:
    """One picture of all pages.

    Parameters
    ----------
    pages : sequence of str
        SVG, as the engraver makes it.
    sheet : Sheet
    prefix : str
        What ids begin with.
    words : str
        The text alternative.
    large : bool
        Whether the legend is in large print too.
    """
    there = {note.role for note in sheet.notes} if sheet.roles else set()
    legend = [role for role in HEADS if role in there]
    finished = [_finished(page, sheet, prefix) for page in pages]
    title = sheet.score.title or "Music"
    return _framed(finished, prefix, title, words, legend, large=large)


def _finished(svg: str, sheet: Sheet, prefix: str) -> str:
    """A page with each note's head in its role's shape, and its degree right below it."""
    # The music font's letters are twice as big as what stands beside them.
    svg = _MUSIC_LETTER.sub(
        lambda found: f'<tspan font-size="{int(found[1]) // 2}px">{_PLAIN_LETTERS[found[2]]}', svg
    )
    parts = re.split(rf'(<g id="{prefix}-([nt])(\d+)(?:-\d+)?" class="note")', svg)
    frets: dict[int, tuple[int, int]] = {}
    # Text, then for each note its start, kind and place in the part, and what reaches to the next.
    for place in range(1, len(parts), 4):
        kind, index, body = parts[place + 1], int(parts[place + 2]), parts[place + 3]
        if kind == "t":
            fret = _FRET.search(body)
            if fret is not None:
                frets[index] = int(fret[1]), int(fret[2])
        else:
            role = sheet.notes[index].role if sheet.roles else ""
            parts[place + 3] = _noted(body, role)
        parts[place + 1] = parts[place + 2] = ""
    return _bent("".join(parts), prefix, frets)


def _noted(part: str, role: str) -> str:
    head = _HEAD.search(part)
    if head is None:
        return part
    x, y, scale = int(head[2]), int(head[3]), float(head[4])
    middle = round(x + WIDTHS[head[1]] * scale / 2)
    part = _SYLLABLE.sub(rf'\1 x="{middle}" text-anchor="middle"', part, count=1)
    if role not in HEADS:
        return part
    found = _STEM.search(part)
    stem = "" if found is None else "up" if float(found[2]) < float(found[1]) else "down"
    return part.replace(head[0], head_svg(role, head[1], x, y, scale, stem), 1)


def _bent(svg: str, prefix: str, frets: dict[int, tuple[int, int]]) -> str:
    """The page with a curve from each bent fret up to what the bend is worth."""

    def redrawn(match: re.Match[str]) -> str:
        x, y = frets.get(int(match[2]), (0, 0))
        if not y:
            return match[0]
        end, top = x + _BEND_TO, int(match[3]) - _BEND_UP
        curve = (
            f'<path d="M{x + _BEND_FROM} {y - 100}Q{end} {y - 100} {end} {top + _ARROW}" '
            f'fill="none" style="stroke-width:22"/>'
            f'<path d="M{end} {top}l{-_ARROW // 2} {_ARROW}h{_ARROW}z"/>'
        )
        return f'{match[1]}{curve}<text x="{end + _ARROW}" y="{match[3]}"'

    pattern = rf'(<g id="{prefix}-b(\d+)" class="dir bend"[^>]*>)<text x="-?\d+" y="(-?\d+)"'
    return re.sub(pattern, redrawn, svg)


_ROOT = re.compile(r"<svg([^>]*)>(?:\s*<desc>.*?</desc>)?", re.DOTALL)
_VIEW = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')
_NAME = re.compile(r' id="(\w+)"')


def _framed(
    pages: Sequence[str],
    prefix: str,
    title: str,
    words: str,
    legend: Sequence[str],
    *,
    large: bool,
) -> str:
    """The pages one below the other in one picture, with its text alternative and its legend."""
    inner: list[str] = []
    wide = high = 0.0
    for number, page in enumerate(pages, start=1):
        root = _ROOT.search(page)
        assert root is not None
        view, own = _VIEW.search(root[1]), _NAME.search(root[1])
        assert view is not None
        assert own is not None
        w, h = float(view[1]), float(view[2])
        # The engraver's own name for the picture is in its style sheet and in its signs' names.
        name = f"{prefix}-page{number}"
        body = page[root.end() : page.rindex("</svg>")].replace(own[1], name)
        inner.append(
            f'<svg id="{name}" y="{high:g}" width="{w:g}" height="{h:g}" '
            f'viewBox="0 0 {w:g} {h:g}">{body}</svg>'
        )
        wide, high = max(wide, w), high + h
    if legend:
        size = 17 if large else 12
        rows = _legend_svg(legend, high + size, wide, size)
        inner.append(rows[0])
        high = rows[1]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        f'id="{prefix}" class="engraved" role="img" aria-labelledby="{prefix}-title {prefix}-desc" '
        f'viewBox="0 0 {wide:g} {high:g}" width="{wide:g}" height="{high:g}" '
        'style="max-width:100%;height:auto;background:#fff" overflow="visible">'
        f'<title id="{prefix}-title">{plain(title)}</title>'
        f'<desc id="{prefix}-desc">{plain(words)}</desc>{"".join(inner)}</svg>'
    )


def _legend_svg(roles: Sequence[str], y: float, wide: float, size: int) -> tuple[str, float]:
    """The legend, and how high the picture is with it."""
    scale = size / 400
    x, out = 24.0, ['<g class="legend" font-family="serif" fill="#111111">']
    for role in roles:
        words = HEADS[role].words
        # About half an em a letter; a row that would run over the edge goes on below.
        step = size * (2.6 + 0.5 * len(words))
        if x + step > wide and x > 24:
            x, y = 24.0, y + size * 1.6
        out.append(head_svg(role, "E0A4", x, y - size * 0.3, scale))
        out.append(f'<text x="{x + size * 1.2:g}" y="{y:g}" font-size="{size}">{words}</text>')
        x += step
    out.append("</g>")
    return "".join(out), y + size * 0.8
