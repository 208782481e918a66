"""What a handout is made of: headings and blocks of plain data, the same for paper and browser."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Words:
    """A paragraph; ``small`` for what stands under a picture or at the end."""

    text: str
    small: bool = False


@dataclass(frozen=True, slots=True)
class Points:
    """A list of short sentences."""

    items: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture with its text alternative.

    Parameters
    ----------
    svg : str
    alt : str
        The same for those who can't see it.
    width : float
        Points on paper; never more than the page has.
    caption : str
        What stands above it.
    """

    svg: str
    alt: str
    width: float
    caption: str = ""


@dataclass(frozen=True, slots=True)
class Pictures:
    """Pictures side by side, as many in a row as ``columns``, or as fit where that is 0."""

    pictures: tuple[Picture, ...]
    columns: int = 0


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of words under headings; ``wide`` is the column that takes what room is left."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    wide: int


@dataclass(frozen=True, slots=True)
class ChordCell:
    """A chord of a chart with what to do over it."""

    chord: str
    numeral: str
    verdict: str
    short: str


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar of a chart: its number, its section where one begins, its chords."""

    number: int
    section: str
    chords: tuple[ChordCell, ...]


@dataclass(frozen=True, slots=True)
class ChartBars:
    """A chart, ``columns`` bars to a line."""

    bars: tuple[Bar, ...]
    columns: int


@dataclass(frozen=True, slots=True)
class Step:
    """A line of a routine, with a box to tick for it and one for each tempo."""

    at: str
    length: str
    title: str
    tempos: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Steps:
    """A routine to tick off."""

    steps: tuple[Step, ...]


Block = Words | Points | Picture | Pictures | Table | ChartBars | Steps


@dataclass(frozen=True, slots=True)
class Part:
    """A heading and what stands under it; a page break comes between parts, not inside."""

    heading: str
    blocks: tuple[Block, ...]

    def as_data(self) -> dict[str, Any]:
        """The part as plain data; each block says its kind."""
        blocks = [{"kind": type(block).__name__, **asdict(block)} for block in self.blocks]
        return {"heading": self.heading, "blocks": blocks}
