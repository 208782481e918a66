"""Rhythms of exercises: the lengths that come round and round, as data."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import cycle

from theorykit.errors import BadInput, nearest
from theorykit.theory.meter import Meter


@dataclass(frozen=True, slots=True)
class Rhythm:
    """Lengths that are played over and over, whatever the notes are grouped in.

    Parameters
    ----------
    name : str
    quarters : tuple of Fraction
        One round, in quarter notes.
    words : str
        What it is, in a line.

    Examples
    --------
    >>> [str(length) for length in find_rhythm("gallop").quarters]
    ['1/2', '1/4', '1/4']
    """

    name: str
    quarters: tuple[Fraction, ...]
    words: str = ""

    def __post_init__(self) -> None:
        if not self.quarters or min(self.quarters) <= 0:
            shown = " ".join(map(str, self.quarters))
            raise BadInput("rhythm", shown, "needs lengths", accepted="quarter notes above 0")

    def beats(self, meter: Meter) -> tuple[Fraction, ...]:
        """One round in the meter's beats.

        Raises
        ------
        BadInput
            For a triplet in a meter whose beat falls in three by itself.

        Examples
        --------
        >>> from theorykit.theory.meter import find_meter
        >>> [str(length) for length in find_rhythm("eighths").beats(find_meter("6/8"))]
        ['1/3']
        """
        if meter.beat_parts == 3 and any(length.denominator % 3 == 0 for length in self.quarters):
            reason = f"a beat of {meter.name} falls in three already"
            raise BadInput("rhythm", self.name, reason, accepted="eighths", nearest="eighths")
        return tuple(length / meter.beat_quarters for length in self.quarters)

    def lengths(self, meter: Meter) -> Iterator[Fraction]:
        """The lengths in beats, without end."""
        return cycle(self.beats(meter))


def _rhythm(name: str, quarters: str, words: str) -> Rhythm:
    return Rhythm(name, tuple(Fraction(length) for length in quarters.split()), words)


#: The rhythms by name, in the order in which menus show them (common practice, all of them).
RHYTHMS: dict[str, Rhythm] = {
    rhythm.name: rhythm
    for rhythm in (
        _rhythm("quarters", "1", "one note a beat"),
        _rhythm("eighths", "1/2", "two notes a beat"),
        _rhythm("triplets", "1/3", "three notes a beat"),
        _rhythm("sixteenths", "1/4", "four notes a beat"),
        _rhythm("sixteenth triplets", "1/6", "six notes a beat"),
        _rhythm("dotted", "3/4 1/4", "long and short: a dotted eighth and a sixteenth"),
        _rhythm("snap", "1/4 3/4", "short and long: a sixteenth and a dotted eighth"),
        _rhythm("shuffle", "2/3 1/3", "long and short, as a triplet with its first two tied"),
        _rhythm("gallop", "1/2 1/4 1/4", "an eighth and two sixteenths"),
        _rhythm("turned gallop", "1/4 1/4 1/2", "two sixteenths and an eighth"),
    )
}


def find_rhythm(rhythm: Rhythm | str | Sequence[Fraction | float]) -> Rhythm:
    """A rhythm by name, or from lengths in quarter notes.

    Raises
    ------
    BadInput
        If there is none of that name.

    Examples
    --------
    >>> find_rhythm("triplets").words
    'three notes a beat'
    >>> find_rhythm([Fraction(3, 2), Fraction(1, 2)]).name
    '3/2 1/2'
    """
    if isinstance(rhythm, Rhythm):
        return rhythm
    if isinstance(rhythm, str):
        found = RHYTHMS.get(" ".join(rhythm.split()).casefold())
        if found is None:
            raise BadInput(
                "rhythm",
                rhythm,
                "unknown",
                accepted=", ".join(RHYTHMS),
                nearest=nearest(rhythm, RHYTHMS),
            )
        return found
    lengths = tuple(Fraction(length).limit_denominator(48) for length in rhythm)
    return Rhythm(" ".join(map(str, lengths)), lengths)
