"""A chord shape: which string is stopped where, by which finger."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from theorykit.errors import BadInput

Frets = tuple[int | None, ...]

_ONE_DIGIT = re.compile(r"[0-9xX]+")


@dataclass(frozen=True, slots=True)
class Barre:
    """A finger that lies across several strings.

    Parameters
    ----------
    finger, fret : int
    low_string, high_string : int
        The strings at its ends; the low one has the larger number.
    """

    finger: int
    fret: int
    low_string: int
    high_string: int


@dataclass(frozen=True, slots=True)
class Shape:
    """A way to hold a chord.

    Parameters
    ----------
    frets : tuple of (int or None)
        String 1 first, counted from the capo, 0 for an open string and None for a muted one.
    fingers : tuple of int
        String 1 first: 1 for the index finger to 4, 0 for an open or muted string.
    barres : tuple of Barre
    midis : tuple of (int or None)
        What each string sounds, string 1 first.
    span_mm : float
        From the lowest place that is stopped to the highest.
    cost : float
        Effort: the lower, the sooner a player would take it.
    """

    frets: Frets
    fingers: tuple[int, ...]
    barres: tuple[Barre, ...]
    midis: tuple[int | None, ...]
    span_mm: float
    cost: float

    @property
    def text(self) -> str:
        """The frets as players write them: the last string first, ``x`` for a muted one."""
        return format_frets(self.frets)

    @property
    def lowest_fret(self) -> int:
        """The lowest fret that is stopped, 0 if none is."""
        return min((fret for fret in self.frets if fret), default=0)


def format_frets(frets: Frets) -> str:
    """Frets (string 1 first) as a text that starts with the last string.

    >>> format_frets((3, 3, 0, 0, None, 3)), format_frets((10, 12, 12, 12, 10, None))
    ('3x0033', 'x-10-12-12-12-10')
    """
    words = ["x" if fret is None else str(fret) for fret in reversed(frets)]
    return ("-" if any(len(word) > 1 for word in words) else "").join(words)


def parse_frets(text: str, strings: int) -> Frets:
    """Read what ``format_frets`` writes.

    Parameters
    ----------
    text : str
        The last string first; with hyphens where a fret has two digits.
    strings : int
        How many the instrument has.

    Returns
    -------
    tuple of (int or None)
        String 1 first.

    Raises
    ------
    BadInput
        If it is anything else.

    Examples
    --------
    >>> parse_frets("3x0033", 6)
    (3, 3, 0, 0, None, 3)
    """
    accepted = f"{strings} frets from the lowest string, x for a muted one, as in 3x0033"
    if not isinstance(text, str):
        raise BadInput("frets", text, "not a text", accepted=accepted)
    words: Sequence[str] = text.split("-") if "-" in text else text
    if "-" not in text and not _ONE_DIGIT.fullmatch(text):
        raise BadInput("frets", text, "not digits and x", accepted=accepted)
    if len(words) != strings:
        raise BadInput("frets", text, f"names {len(words)} strings", accepted=accepted)
    found: list[int | None] = []
    for word in words:
        if word.lower() != "x" and not (word.isascii() and word.isdigit()):
            raise BadInput("frets", text, f"{word!r} is no fret", accepted=accepted)
        found.append(None if word.lower() == "x" else int(word))
    return tuple(reversed(found))
