"""A part engraved: staff and tablature in one system, as SVG."""

from __future__ import annotations

import re
import threading
from dataclasses import dataclass
from hashlib import blake2s
from pathlib import Path
from typing import Any

from theorykit.errors import BadInput, TheoryKitError
from theorykit.files import whole_file
from theorykit.instruments.instrument import Instrument
from theorykit.notation.line import MARGINS, line_starts
from theorykit.notation.mei import mei
from theorykit.notation.picking import Strokes
from theorykit.notation.picture import picture
from theorykit.notation.sheet import Sheet, sheet
from theorykit.notation.words import words_of
from theorykit.score.score import Score

#: Widths in screen pixels.
NARROWEST, WIDEST, USUAL_WIDTH = 300, 4000, 840

#: The engraver's scale in percent, as usual and in large print.
_SCALE, _LARGE_SCALE = 40, 64

#: Pixels of a letter above the first bar, at the usual scale.
_LETTER_WIDTH = 7.0

#: Stands for the prefix of the ids until that is known; no title can hold it.
_UNNAMED = "\ue000"

_PREFIX = re.compile("[A-Za-z][A-Za-z0-9_]{0,39}")

_OPTIONS: dict[str, Any] = {
    # Lines break where the sheet says: the engraver's own breaking lays out everything twice.
    "breaks": "encoded",
    "adjustPageHeight": True,
    "pageHeight": 60000,
    "svgViewBox": True,
    "svgFormatRaw": True,
    "header": "encoded",
    "footer": "none",
    # Signs within chord symbols come from the page's own font; the music font would weigh 57 kB.
    "smuflTextFont": "none",
    "spacingStaff": 6,
    "spacingSystem": 6,
    "lyricTopMinMargin": 3.5,
    "lyricSize": 4,
    "harmDist": 1.5,
    "pageMarginLeft": 40,
    "pageMarginRight": 20,
    "pageMarginTop": 20,
    "pageMarginBottom": 20,
    "minLastJustification": 0.5,
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
    scale = _LARGE_SCALE if large else _SCALE
    pixels = width * _SCALE / scale
    letters = round((pixels - MARGINS) / _LETTER_WIDTH)
    draft = mei(ready, _UNNAMED, line_starts(ready, pixels), letters=letters)
    if prefix is None:
        prefix = "e" + blake2s(draft.encode(), digest_size=5).hexdigest()
    pages = _drawn(draft.replace(_UNNAMED, prefix), prefix, scale=scale, width=width)
    words = words_of(ready)
    svg = picture(pages, ready, prefix, words, large=large)
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
        # It finds its fonts by itself in the main thread alone.
        found = _TOOLKITS.engraver = verovio.toolkit(False)
        found.setResourcePath(str(Path(verovio.__file__).parent / "data"))
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
