"""The sheet that a handout is printed on: its size, its margins, how big its letters are."""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.errors import BadInput, nearest

#: Width and height in points: ISO 216 (210 x 297 mm) and ANSI/ASME Y14.1 A (8.5 x 11 in).
PAPERS: dict[str, tuple[float, float]] = {"a4": (595.28, 841.89), "letter": (612.0, 792.0)}

#: On every side, in points: what any printer leaves white, and a hole punch takes.
MARGIN = 45.0

#: Points of a letter of the text; 18 is what large print begins with (common practice of printers
#: for the partly sighted).
TEXT, LARGE_TEXT = 10.0, 18.0


@dataclass(frozen=True, slots=True)
class Sheet:
    """A sheet of paper with its letters.

    Parameters
    ----------
    paper : {"a4", "letter"}
    large : bool
        Large print.
    """

    paper: str = "a4"
    large: bool = False

    def __post_init__(self) -> None:
        if self.paper not in PAPERS:
            close = nearest(str(self.paper), PAPERS)
            raise BadInput(
                "paper", self.paper, "unknown", accepted=", ".join(PAPERS), nearest=close
            )

    @property
    def size(self) -> tuple[float, float]:
        """Width and height in points."""
        return PAPERS[self.paper]

    @property
    def text(self) -> float:
        """The size of its letters in points."""
        return LARGE_TEXT if self.large else TEXT

    @property
    def width(self) -> float:
        """Points between the margins."""
        return self.size[0] - 2 * MARGIN

    @property
    def height(self) -> float:
        """Points between the margins."""
        return self.size[1] - 2 * MARGIN
