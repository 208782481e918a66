"""What stands on the pages of a PDF, as two readers of other people tell it."""

from __future__ import annotations

import io
from dataclasses import dataclass

import pypdfium2
from pypdf import PdfReader


@dataclass(frozen=True, slots=True)
class Letter:
    """A letter on a page, with its box in points from the lower left."""

    page: int
    text: str
    left: float
    bottom: float
    right: float
    top: float

    @property
    def area(self) -> float:
        return (self.right - self.left) * (self.top - self.bottom)

    def shared(self, other: Letter) -> float:
        """How much of the smaller of two boxes lies in the other."""
        wide = min(self.right, other.right) - max(self.left, other.left)
        high = min(self.top, other.top) - max(self.bottom, other.bottom)
        if wide <= 0 or high <= 0:
            return 0.0
        return wide * high / min(self.area, other.area)


def letters(pdf: bytes) -> list[Letter]:
    """Every letter that can be seen."""
    found = []
    for number, page in enumerate(pypdfium2.PdfDocument(pdf)):
        text = page.get_textpage()
        for index in range(text.count_chars()):
            seen = text.get_text_range(index, 1)
            box = text.get_charbox(index)
            if seen.strip() and box[2] > box[0] and box[3] > box[1]:
                found.append(Letter(number, seen, *box))
    return found


def texts(pdf: bytes) -> list[str]:
    """The text of each page."""
    pages = [page.get_textpage() for page in pypdfium2.PdfDocument(pdf)]
    return [page.get_text_range(0, page.count_chars()) for page in pages]


def sizes(pdf: bytes) -> list[tuple[float, str]]:
    """Size in points and text of every run of letters, as pypdf walks over them."""
    found: list[tuple[float, str]] = []

    def seen(
        text: str, matrix: list[float], place: list[float], _font: object, size: float
    ) -> None:
        if text.strip():
            # The size, scaled by both matrices (PDF 32000-1:2008, 9.4.4).
            height = size * (place[1] ** 2 + place[3] ** 2) ** 0.5
            found.append((height * (matrix[1] ** 2 + matrix[3] ** 2) ** 0.5, text))

    for page in PdfReader(io.BytesIO(pdf)).pages:
        page.extract_text(visitor_text=seen)
    return found


def overlapping(found: list[Letter], share: float = 0.3) -> list[tuple[str, str, int]]:
    """Pairs of letters that lie on each other."""
    pairs = []
    ordered = sorted(found, key=lambda letter: (letter.page, letter.left))
    for place, one in enumerate(ordered):
        for other in ordered[place + 1 :]:
            if other.page != one.page or other.left >= one.right:
                break
            if one.shared(other) > share:
                pairs.append((one.text, other.text, one.page + 1))
    return pairs
