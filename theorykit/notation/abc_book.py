"""Books of tunes in ABC: which tunes a text holds, and each one's lines."""

from __future__ import annotations

import re
from dataclasses import dataclass

from theorykit.errors import TuneError
from theorykit.notation.tune import MOST_BYTES

#: What a book may hold, and each of its tunes: more than any does.
MOST_TUNES, MOST_LETTERS = 20_000, 500_000

_ESCAPED = re.compile(r"\\([\\%&])")


@dataclass(frozen=True, slots=True)
class AbcTune:
    """A tune in a book.

    Parameters
    ----------
    number : int
        Its ``X:``.
    title : str
    first_line : int
        Where it begins in the text, counted from 1.
    lines : tuple of str
    """

    number: int
    title: str
    first_line: int
    lines: tuple[str, ...]


def abc_decoded(data: str | bytes) -> str:
    """ABC as text: UTF-8, or the code page of older files.

    Raises
    ------
    TuneError
        If it is too large.
    """
    if len(data) > MOST_BYTES:
        raise TuneError(f"more than {MOST_BYTES // 1_000_000} MB")
    if isinstance(data, str):
        return data.removeprefix("\ufeff")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace")


def abc_tunes(data: str | bytes) -> list[AbcTune]:
    r"""The tunes of a text, in its order; what stands between them is passed over.

    Raises
    ------
    TuneError
        If it is too large.

    Examples
    --------
    >>> book = abc_tunes("X:1\nT:One\nK:C\nC|\n\nX:2\nT:Two\nK:G\nG|\n")
    >>> [(tune.number, tune.title) for tune in book]
    [(1, 'One'), (2, 'Two')]
    """
    found: list[AbcTune] = []
    lines: list[str] = []
    first, number, title, inside = 0, 0, "", False

    def close() -> None:
        if inside:
            found.append(AbcTune(number, title, first, tuple(lines)))

    # Only what ends a line in any editor: a form feed within a title does not.
    for at, line in enumerate(re.split(r"\r\n|\r|\n", abc_decoded(data)), start=1):
        if line.startswith("X:"):
            close()
            if len(found) >= MOST_TUNES:
                raise TuneError(f"more than {MOST_TUNES} tunes", line=at)
            digits = line[2:].partition("%")[0].strip()
            good = digits.isascii() and digits.isdigit() and len(digits) < 10
            lines, first, title, inside = [], at, "", True
            number = int(digits) if good else 0
        elif not line.strip():
            close()
            inside = False
        if inside:
            lines.append(line)
            if line.startswith("T:") and not title:
                title = abc_said(line[2:])
    close()
    return found


def abc_said(text: str) -> str:
    """A text field as it is meant."""
    return _ESCAPED.sub(r"\1", " ".join(text.split()))


def find_tune(data: str | bytes, number: int | None) -> AbcTune:
    """The tune with a number, or the first one.

    Raises
    ------
    TuneError
        If there is none, or it is longer than any tune.
    """
    tunes = abc_tunes(data)
    for tune in tunes:
        if number is None or tune.number == number:
            if sum(map(len, tune.lines)) + len(tune.lines) > MOST_LETTERS:
                raise TuneError(f"a tune of more than {MOST_LETTERS} letters", line=tune.first_line)
            return tune
    if not tunes:
        raise TuneError("has no tune: a tune begins with a line X:")
    raise TuneError(f"has no tune X:{number}")
