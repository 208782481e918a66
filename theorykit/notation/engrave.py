"""A part engraved: staff and tablature in one system, as SVG."""

from __future__ import annotations

import re
import threading
from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import blake2s
from pathlib import Path
from typing import Any

from theorykit.errors import BadInput, TheoryKitError
from theorykit.instruments.instrument import Instrument
from theorykit.notation.head import HEADS, head_svg
from theorykit.notation.mei import mei, plain
from theorykit.notation.sheet import Sheet, sheet
from theorykit.notation.stroke import Strokes
from theorykit.notation.words import words_of
from theorykit.score.score import Score
from theorykit.score.whole_file import whole_file

#: Widths in screen pixels.
NARROWEST, WIDEST, USUAL_WIDTH = 300, 4000, 840

#: The engraver's scale in percent, as usual and in large print.
_SCALE, _LARGE_SCALE = 40, 64

#: Stands for the prefix of the ids until that is known; no title can hold it.
_UNNAMED = "\ue000"

_PREFIX = re.compile("[A-Za-z][A-Za-z0-9_]{0,39}")

_OPTIONS: dict[str, Any] = {
    "breaks": "smart",
    # Lines break where the sheet says, and earlier only where a line would be too full.
    "breaksSmartSb": 0.0,
    "adjustPageHeight": True,
    "pageHeight": 60000,
    "svgViewBox": True,
    "svgFormatRaw": True,
    "header": "encoded",
    "footer": "none",
    "spacingStaff": 6,
    "spacingSystem": 6,
    "lyricTopMinMargin": 3.5,
    "lyricSize": 4,
    "harmDist": 1.5,
    "pageMarginLeft": 40,
    "pageMarginRight": 20,
    "pageMarginTop": 20,
    "pageMarginBottom": 20,
    "minLastJustification": 0.6,
}


@dataclass(frozen=True, slots=True)
class Engraving:
    """A part as a picture.

    Parameters
    ----------
    svg : str
        The whole of it, on one tall page.
    prefix : str
        What the ids of its notes begin with.
    note_ids : tuple of tuple of str
        For each note of the part, the ids of what is drawn for it: its head, those that are tied to
        it, and its fret. A note that a repeat sign plays again has the ids of the first time.
    words : str
        The same for those who can't see it.
    """

    svg: str
    prefix: str
    note_ids: tuple[tuple[str, ...], ...]
    words: str

    def _repr_html_(self) -> str:
        return f'<div class="engraving">{self.svg}</div>'

    def save(self, path: str | Path) -> None:
        """Write the SVG, whole or not at all.

        Raises
        ------
        BadInput
            If the file can't be written.
        """
        with whole_file(Path(path)) as file:
            file.write(b'<?xml version="1.0" encoding="UTF-8"?>\n' + self.svg.encode())


def engrave(
    score: Score,
    *,
    instrument: Instrument | str | None = None,
    part: str = "line",
    tablature: bool | None = None,
    chords: bool = True,
    numerals: bool = True,
    degrees: bool = True,
    fingering: bool = True,
    strokes: Strokes | None = None,
    roles: bool = True,
    repeats: bool = True,
    capo: int = 0,
    bars_a_line: int = 4,
    large: bool = False,
    width: int = USUAL_WIDTH,
    prefix: str | None = None,
) -> Engraving:
    """A part of a score as staff and tablature.

    Parameters
    ----------
    score : Score
    instrument : Instrument or str, optional
        Whose clef and strings; without one there is a staff alone.
    part : str
    tablature : bool, optional
        By default wherever the neck has frets. Notes that have no string and fret get those of the
        easiest fingering.
    chords, numerals : bool
        Chord symbols above the staff, and the same as numerals under them.
    degrees : bool
        Under each note, counted from the root of its chord.
    fingering : bool
        Which finger of the fretting hand, 0 for an open string, where that is known.
    strokes : {"pick", "bow"}, optional
        Marks of pick or bow.
    roles : bool
        Heads by what the note does over the chord; see `head.HEADS`.
    repeats : bool
        Choruses and sections that come twice are written once, with repeat signs and endings.
    capo : int
        Frets are counted from it.
    bars_a_line : int
        At most; crowded bars have lines of fewer.
    large : bool
        Large print.
    width : int
        Screen pixels.
    prefix : str, optional
        What the ids begin with; by default a name that is the same for the same sheet. Give one to
        show the same sheet twice on a page.

    Raises
    ------
    BadInput
        If anything is out of range, or the instrument can't play the part.

    Examples
    --------
    >>> from theorykit.score.run import scale_run
    >>> from theorykit.score.score import Part
    >>> from theorykit.theory.scale import Scale
    >>> notes = scale_run(Scale.parse("A minor pentatonic"), 2)
    >>> engraving = engrave(Score((Part("line", tuple(notes), "guitar"),)), prefix="run")
    >>> engraving.note_ids[3], engraving.svg.count('class="note"')
    (('run-n3',), 16)
    """
    _check_width(width)
    if prefix is not None and not (isinstance(prefix, str) and _PREFIX.fullmatch(prefix)):
        raise BadInput(
            "prefix", prefix, "no id begins so", accepted="a letter, then letters, digits and _"
        )
    ready = sheet(
        score,
        instrument=instrument,
        part=part,
        tablature=tablature,
        chords=chords,
        numerals=numerals,
        degrees=degrees,
        fingering=fingering,
        strokes=strokes,
        roles=roles,
        bars_a_line=bars_a_line,
        repeats=repeats,
        capo=capo,
    )
    draft = mei(ready, _UNNAMED)
    if prefix is None:
        prefix = "e" + blake2s(draft.encode(), digest_size=5).hexdigest()
    scale = _LARGE_SCALE if large else _SCALE
    pages = _drawn(draft.replace(_UNNAMED, prefix), prefix, scale=scale, width=width)
    words = words_of(ready)
    pages = [_with_heads(page, ready, prefix) if roles else page for page in pages]
    title = score.title or "Music"
    svg = _framed(pages, prefix, title, words, _legend(ready) if roles else [], large=large)
    return Engraving(svg, prefix, _note_ids(ready, prefix, svg), words)


def _check_width(width: object) -> None:
    if isinstance(width, bool) or not (isinstance(width, int) and NARROWEST <= width <= WIDEST):
        raise BadInput("width", width, "out of range", accepted=f"{NARROWEST} to {WIDEST} pixels")


_TOOLKITS = threading.local()


def _toolkit() -> Any:
    """The engraver, one for each thread: making one loads its fonts."""
    # Loading it takes longer than engraving, so only who engraves does.
    import verovio

    found = getattr(_TOOLKITS, "engraver", None)
    if found is None:
        verovio.enableLog(verovio.LOG_OFF)
        found = _TOOLKITS.engraver = verovio.toolkit()
    return found


def _drawn(text: str, prefix: str, *, scale: int, width: int) -> list[str]:
    """The pages as SVG."""
    engraver = _toolkit()
    engraver.setOptions(
        {
            **_OPTIONS,
            "scale": scale,
            "pageWidth": round(width * 100 / scale),
            # The engraver names what has no id by chance; this makes it the same each time.
            "xmlIdSeed": int.from_bytes(blake2s(prefix.encode(), digest_size=3).digest()) + 1,
        }
    )
    if not engraver.loadData(text):
        raise TheoryKitError("the engraver could not read the sheet")
    return [engraver.renderToSVG(page) for page in range(1, engraver.getPageCount() + 1)]


def _with_heads(svg: str, sheet: Sheet, prefix: str) -> str:
    """The page with the heads of the roles in place of the engraver's round ones."""
    pattern = re.compile(
        rf'<g id="{prefix}-n(\d+)(?:-\d+)?" class="note"[^>]*><g class="notehead">'
        r'(<use xlink:href="#(E0A[234])-[^"]*" '
        r'transform="translate\((-?\d+), (-?\d+)\) scale\(([\d.]+), [\d.]+\)" ?/>)'
    )

    def redrawn(match: re.Match[str]) -> str:
        role = sheet.notes[int(match[1])].role
        if role not in HEADS:
            return match[0]
        head = head_svg(
            role, match[3], int(match[4]), int(match[5]), float(match[6]), _stem(svg, match.end())
        )
        return match[0].replace(match[2], head)

    return pattern.sub(redrawn, svg)


_STEM = re.compile(
    r'class="(stem|note)"[^>]*>(?:<path d="M-?[\d.]+ (-?[\d.]+) L-?[\d.]+ (-?[\d.]+))?'
)


def _stem(svg: str, at: int) -> str:
    """Which way the stem goes of the note whose head ends at a place of the text."""
    found = _STEM.search(svg, at, at + 600)
    if found is None or found[1] == "note" or found[2] is None:
        return ""
    return "up" if float(found[3]) < float(found[2]) else "down"


def _legend(sheet: Sheet) -> list[str]:
    """The roles that the part has."""
    there = {note.role for note in sheet.notes}
    return [role for role in HEADS if role in there]


_ROOT = re.compile(
    r'<svg[^>]*?viewBox="0 0 ([\d.]+) ([\d.]+)"[^>]*>(?:<desc>.*?</desc>)?', re.DOTALL
)


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
    for page in pages:
        match = _ROOT.search(page)
        assert match is not None
        w, h = float(match[1]), float(match[2])
        body = page[match.end() : page.rindex("</svg>")]
        inner.append(
            f'<svg y="{high:g}" width="{w:g}" height="{h:g}" viewBox="0 0 {w:g} {h:g}">{body}</svg>'
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


def _note_ids(sheet: Sheet, prefix: str, svg: str) -> tuple[tuple[str, ...], ...]:
    drawn: dict[int, list[str]] = {}
    for match in re.finditer(rf'id="({prefix}-[nt](\d+)(?:-\d+)?)"', svg):
        drawn.setdefault(int(match[2]), []).append(match[1])
    for folded in sheet.bars:
        for again in folded.again:
            for first, second in zip(folded.bar.pieces, again.pieces, strict=True):
                for one, other in zip(first.notes, second.notes, strict=True):
                    drawn.setdefault(other, drawn.get(one, []))
    return tuple(tuple(drawn.get(index, ())) for index in range(len(sheet.notes)))
