"""A lesson on paper: chart, neck, shapes, an example line, a routine, and what to look up."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Protocol

from theorykit.errors import BadInput, nearest
from theorykit.files import whole_file
from theorykit.handouts.block import Part
from theorykit.handouts.chart_part import chart_part, reference_part
from theorykit.handouts.neck_part import neck_part, shapes_part
from theorykit.handouts.paper import Sheet
from theorykit.handouts.practice_part import line_part, routine_part
from theorykit.handouts.setting import Setting
from theorykit.handouts.typeset import typeset
from theorykit.handouts.web_page import web_page
from theorykit.scene.selection import Selection
from theorykit.theory.form import FORMS, MORE_FORMS

#: The parts by name, in the order in which they stand.
PARTS: dict[str, Callable[[Setting], Part]] = {
    "chart": chart_part,
    "neck": neck_part,
    "shapes": shapes_part,
    "line": line_part,
    "routine": routine_part,
    "reference": reference_part,
}

#: A title that is longer is a text.
LONGEST_TITLE = 300

#: Signs that turn the direction of what follows; a title has the direction of its letters.
_TURNS = "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"

SUFFIXES = (".pdf", ".html")


class Chosen(Protocol):
    """Anything that holds a selection, such as a study."""

    @property
    def selection(self) -> Selection:
        """What is chosen."""


@dataclass(frozen=True, slots=True)
class Handout:
    """Sheets for students, as PDF or as a page to print from a browser; the same content in both.

    Parameters
    ----------
    title, subtitle : str
    parts : tuple of Part
    sheet : Sheet
    named : bool
        True to have lines for a student's name and the date.
    """

    title: str
    subtitle: str
    parts: tuple[Part, ...]
    sheet: Sheet
    named: bool = True

    def pdf(self) -> bytes:
        """The handout as a PDF; the same bytes for the same content, wherever it is made."""
        return typeset(self.title, self.subtitle, self.parts, self.sheet, named=self.named)

    def html(self) -> str:
        """The handout as one page that fetches nothing, to read or to print from a browser."""
        return web_page(self.title, self.subtitle, self.parts, self.sheet, named=self.named)

    def save(self, path: str | Path) -> Path:
        """Write a ``.pdf`` or ``.html`` file, whole or not at all.

        Raises
        ------
        BadInput
            For another suffix, or if the file can't be written.
        """
        target = Path(path)
        suffix = target.suffix.casefold()
        if suffix not in SUFFIXES:
            raise BadInput(
                "output",
                target.name,
                "no format of a handout has that ending",
                accepted=", ".join(SUFFIXES),
                nearest=nearest(suffix, SUFFIXES) if suffix else None,
            )
        content = self.pdf() if suffix == ".pdf" else self.html().encode()
        with whole_file(target) as file:
            file.write(content)
        return target

    def _repr_html_(self) -> str:
        return self.html()


def handout(
    study: Chosen | Selection,
    *,
    title: str | None = None,
    paper: str = "a4",
    large_print: bool = False,
    parts: Sequence[str] = tuple(PARTS),
) -> Handout:
    """Sheets for students, from what is chosen in a study.

    ``handout(Study(key="A"))`` has a title, what was chosen, and these parts::

        ┌──────────────────────────────────────────────────────────────────────────────┐
        │ A minor pentatonic over the 12-bar blues                                     │
        │ Key of A · A minor pentatonic · mandolin (G3 D4 A4 E5) · 96 beats a minute   │
        │                                                                              │
        │    The chart                 An example line                                 │
        │    On the neck               A practice routine                              │
        │    Chord shapes              To look up                                      │
        └──────────────────────────────────────────────────────────────────────────────┘

    Parameters
    ----------
    study : Study or Selection
    title : str, optional
        What stands at the top, letter by letter; scale and chart if not given.
    paper : {"a4", "letter"}
    large_print : bool
        Text of 18 points and bigger pictures.
    parts : sequence of str
        Some of ``PARTS``, in the order in which they are to stand.

    Raises
    ------
    BadInput
        With the option that can't be used.

    Examples
    --------
    >>> sheets = handout(Selection.of(key="A", instrument="mandolin"), parts=("chart", "neck"))
    >>> sheets.title, [part.heading for part in sheets.parts]
    ('A minor pentatonic over the 12-bar blues', ['The chart', 'On the neck'])
    """
    selection = study if isinstance(study, Selection) else study.selection
    wanted = _checked_parts(parts)
    setting = Setting(selection, Sheet(paper, large_print))
    name = f"{selection.tonic.pretty} {selection.scale}"
    if selection.progression in FORMS or selection.progression in MORE_FORMS:
        name += f" over the {selection.progression}"
    neck = selection.neck
    about = [
        f"Key of {setting.key.tonic.pretty}{' minor' if setting.key.mode == 'minor' else ''}",
        f"{selection.tonic.pretty} {selection.scale}",
        f"{neck.name} ({neck.tuning})" if len(neck.tuning) < 40 else neck.name,
        f"{selection.tempo} beats a minute",
    ]
    if selection.capo:
        about.insert(3, f"capo {selection.capo}")
    if selection.left_handed:
        about.insert(3, "left-handed")
    return Handout(
        checked_title(title) if title is not None else name,
        " · ".join(about),
        tuple(PARTS[part](setting) for part in wanted),
        setting.sheet,
    )


def checked_title(title: object) -> str:
    """A title in one line, letter by letter as it was given.

    Raises
    ------
    BadInput
        If it is empty, no text, or too long.
    """
    if not isinstance(title, str):
        raise BadInput("title", title, "not a text", accepted="a line of text")
    spaced = "".join(
        "" if each in _TURNS else " " if unicodedata.category(each) == "Cc" else each
        for each in title
    )
    line = " ".join(spaced.split())
    if not line or len(line) > LONGEST_TITLE:
        reason = "too long" if line else "there is none"
        raise BadInput("title", title, reason, accepted=f"1 to {LONGEST_TITLE} letters")
    return line


def _checked_parts(parts: Sequence[str]) -> tuple[str, ...]:
    wanted = (parts,) if isinstance(parts, str) else tuple(parts)
    for part in wanted:
        if part not in PARTS:
            close = nearest(str(part), PARTS)
            raise BadInput("part", part, "unknown", accepted=", ".join(PARTS), nearest=close)
    if not wanted:
        raise BadInput("parts", "", "there is none", accepted=", ".join(PARTS))
    return tuple(dict.fromkeys(wanted))
