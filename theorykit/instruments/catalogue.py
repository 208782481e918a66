"""Instruments as data: tunings, short strings, courses, scale lengths, inlays.

String order everywhere: string 1 first, the one nearest the player's feet, as tablature counts.
"""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.errors import BadInput, nearest
from theorykit.theory.pitch import Pitch


@dataclass(frozen=True, slots=True)
class String:
    """A string or a course of strings.

    Parameters
    ----------
    open : Pitch
        What it sounds when it is not stopped.
    start_fret : int
        The fret at which it begins: 0 at the nut, 5 for a banjo's short fifth string.
    strands : int
        Strings in the course: 2 on a mandolin.
    """

    open: Pitch
    start_fret: int = 0
    strands: int = 1


@dataclass(frozen=True, slots=True)
class Instrument:
    """A fretted or bowed neck.

    Parameters
    ----------
    name : str
    strings : tuple of String
        String 1 first.
    scale_length_mm : float
        Nut to bridge.
    frets : int
        How many the neck has.
    inlays : tuple of int
        Frets with a position mark.
    double_inlays : tuple of int
        Those of them that have two.
    voice : str
        Which of the player's voices sounds it.
    """

    name: str
    strings: tuple[String, ...]
    scale_length_mm: float
    frets: int
    inlays: tuple[int, ...]
    double_inlays: tuple[int, ...] = (12,)
    voice: str = "guitar"

    def string(self, number: int) -> String:
        """String ``number``, 1 for the first.

        Raises
        ------
        BadInput
            If the instrument has no such string.
        """
        if not 1 <= number <= len(self.strings):
            raise BadInput(
                "string", number, f"not on a {self.name}", accepted=f"1 to {len(self.strings)}"
            )
        return self.strings[number - 1]


def _strings(tuning: str, *, strands: int = 1) -> tuple[String, ...]:
    """Strings from pitches written as players say them, the lowest (last) string first."""
    return tuple(String(Pitch.parse(name), 0, strands) for name in reversed(tuning.split()))


# Tunings: string makers' sets, from memory; checked against the tables of independent packages in
# the tests. Scale lengths: typical makers' values, from memory. Inlays: common practice.
_CATALOGUE = (
    Instrument(
        "mandolin",
        _strings("G3 D4 A4 E5", strands=2),
        scale_length_mm=352,
        frets=20,
        inlays=(5, 7, 10, 12, 15),
        voice="mandolin",
    ),
    Instrument(
        "guitar",
        _strings("E2 A2 D3 G3 B3 E4"),
        scale_length_mm=648,
        frets=20,
        inlays=(3, 5, 7, 9, 12, 15, 17),
        voice="guitar",
    ),
    Instrument(
        "banjo",
        (*_strings("D3 G3 B3 D4"), String(Pitch.parse("G4"), start_fret=5)),
        scale_length_mm=667,
        frets=22,
        inlays=(3, 5, 7, 10, 12, 15, 17),
        voice="banjo",
    ),
)

#: The catalogue by name, in the order in which menus show it.
INSTRUMENTS: dict[str, Instrument] = {item.name: item for item in _CATALOGUE}

_ALIASES = {"five-string banjo": "banjo", "5-string banjo": "banjo"}


def find_instrument(name: str) -> Instrument:
    """An instrument by name.

    Raises
    ------
    BadInput
        If the catalogue has none of that name.

    Examples
    --------
    >>> [str(string.open) for string in find_instrument("mandolin").strings]
    ['E5', 'A4', 'D4', 'G3']
    """
    folded = " ".join(name.split()).casefold() if isinstance(name, str) else ""
    found = INSTRUMENTS.get(_ALIASES.get(folded, folded))
    if found is None:
        raise BadInput(
            "instrument",
            name,
            "not in the catalogue",
            accepted=", ".join(INSTRUMENTS),
            nearest=nearest(folded, [*INSTRUMENTS, *_ALIASES]),
        )
    return found
