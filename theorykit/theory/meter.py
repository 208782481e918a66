"""Meters: how many beats a bar has, and what one beat is."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from theorykit.errors import BadInput, nearest


@dataclass(frozen=True, slots=True)
class Meter:
    """A time signature as players count it.

    Parameters
    ----------
    name : str
        The signature, upper figure first.
    beats : int
        What is counted (and tapped) in a bar. In 6/8, 9/8 and 12/8 the beat is the dotted quarter,
        so that a 6/8 bar has two.
    beat_quarters : Fraction
        How many quarter notes one beat lasts.

    Examples
    --------
    >>> find_meter("6/8").beats, str(find_meter("6/8").beat_quarters)
    (2, '3/2')
    """

    name: str
    beats: int
    beat_quarters: Fraction

    @property
    def beat_parts(self) -> int:
        """Into how many equal parts a beat falls: 3 in the compound meters, else 2."""
        return 3 if self.beat_quarters.denominator == 2 and self.beat_quarters > 1 else 2


# Any theory handbook: simple meters count the note of the lower figure, compound ones the dotted
# note that holds three of them. In 5/8 and 7/8, whose beats are unequal, eighths are counted.
_ROWS = (
    ("4/4", 4, "1"),
    ("3/4", 3, "1"),
    ("2/4", 2, "1"),
    ("2/2", 2, "2"),
    ("6/8", 2, "3/2"),
    ("9/8", 3, "3/2"),
    ("12/8", 4, "3/2"),
    ("5/4", 5, "1"),
    ("7/4", 7, "1"),
    ("3/2", 3, "2"),
    ("5/8", 5, "1/2"),
    ("7/8", 7, "1/2"),
)

#: The meters that a chart may have, by name, in the order in which menus show them.
METERS: dict[str, Meter] = {
    name: Meter(name, beats, Fraction(quarters)) for name, beats, quarters in _ROWS
}


def find_meter(text: str) -> Meter:
    """A meter by its signature.

    Raises
    ------
    BadInput
        If charts have no such meter.
    """
    meter = METERS.get(text.strip()) if isinstance(text, str) else None
    if meter is None:
        raise BadInput(
            "meter",
            text,
            "not a meter of charts",
            accepted=", ".join(METERS),
            nearest=nearest(text, METERS) if isinstance(text, str) else None,
        )
    return meter


_SIGNATURE = re.compile(r"([1-9][0-9]?)/(1|2|4|8|16|32)")


def read_meter(text: str) -> Meter:
    """A meter by its signature: those of charts, and by the same rule all that tunes may have.

    Raises
    ------
    BadInput
        If it is no signature.

    Examples
    --------
    >>> read_meter("6/4").beats, read_meter("3/8").beats
    (2, 3)
    """
    if isinstance(text, str) and text.strip() in METERS:
        return METERS[text.strip()]
    match = _SIGNATURE.fullmatch(text.strip()) if isinstance(text, str) else None
    if match is None:
        accepted = "such as 4/4 or 6/8, the lower figure 1, 2, 4, 8, 16 or 32"
        raise BadInput("meter", text, "not a meter", accepted=accepted)
    upper, lower = int(match[1]), int(match[2])
    if upper > 3 and upper % 3 == 0:
        return Meter(match[0], upper // 3, Fraction(12, lower))
    return Meter(match[0], upper, Fraction(4, lower))
