"""Positions: what of a scale lies under a hand that stays where it is.

Frets count from the capo, as everywhere; distances in millimetres count from the real nut.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from theorykit.errors import BadInput
from theorykit.instruments.fretboard import ScaleCell, scale_cells, stop_distance
from theorykit.instruments.instrument import Instrument
from theorykit.theory.scale import Scale

#: From the index finger's place to the little finger's without a stretch (stipulated: it gives four
#: frets at the nut of a guitar, seven of a mandolin and three of a bass, as those are fingered).
HAND_MM = 105.0

FINGERS = 4

#: How many notes a string a pattern may have.
FEWEST_A_STRING, MOST_A_STRING = 2, 4


@dataclass(frozen=True, slots=True)
class Position:
    """A scale under one hand, each pitch once, rising.

    Parameters
    ----------
    index : int
        The index finger's fret.
    last : int
        The last fret that the hand covers without a stretch.
    closed : bool
        True when no open string is used, so that the shape can be moved to any key.
    places : tuple of ScaleCell
    """

    index: int
    last: int
    closed: bool
    places: tuple[ScaleCell, ...]

    @property
    def pattern(self) -> tuple[tuple[int, int], ...]:
        """Each place as string and frets above the index finger: what stays when it is moved."""
        return tuple((place.cell.string, place.cell.fret - self.index) for place in self.places)

    @property
    def stretches(self) -> tuple[ScaleCell, ...]:
        """The places that the hand has to stretch for."""
        return tuple(
            place
            for place in self.places
            if place.cell.fret and not self.index <= place.cell.fret <= self.last
        )

    def on_string(self, number: int) -> tuple[int, ...]:
        """The frets of one string, rising."""
        return tuple(place.cell.fret for place in self.places if place.cell.string == number)

    def finger(self, fret: int) -> int:
        """The finger for a fret: 1 for the index finger, 0 for an open string.

        A hand that covers more than four half steps gives two of them to each finger.
        """
        if not fret:
            return 0
        each = 1 if self.last - self.index < FINGERS else 2
        return min(max((fret - self.index) // each + 1, 1), FINGERS)


def melody_strings(instrument: Instrument) -> tuple[int, ...]:
    """The strings that a scale runs over, from the lowest up.

    A string that breaks the order is left out (common practice: the scale skips a banjo's fifth
    string and a ukulele's high fourth).

    >>> from theorykit.instruments.catalogue import find_instrument
    >>> melody_strings(find_instrument("ukulele"))
    (3, 2, 1)
    """
    kept: list[int] = []
    lowest: int | None = None
    for number, string in enumerate(instrument.strings, start=1):
        if lowest is None or string.open.midi < lowest:
            kept.append(number)
            lowest = string.open.midi
    return tuple(reversed(kept))


def hand_frets(instrument: Instrument, fret: int) -> int:
    """How many half steps a hand covers whose index finger is at ``fret``, counted from the nut.

    Raises
    ------
    BadInput
        If a bar is slid on the strings, so that there are no positions.

    Examples
    --------
    >>> from theorykit.instruments.catalogue import find_instrument
    >>> [hand_frets(find_instrument(name), 1) for name in ("guitar", "mandolin", "bass")]
    [4, 7, 3]
    """
    if not instrument.frets_a_finger:
        raise BadInput("instrument", instrument.name, "played with a bar; a bar has no positions")
    # Where two half steps go to a finger, the little finger has but one.
    most = FINGERS * instrument.frets_a_finger - (instrument.frets_a_finger - 1)
    start = stop_distance(instrument, fret)
    width = 1
    while width < most and stop_distance(instrument, fret + width) - start <= HAND_MM:
        width += 1
    return width


def position(
    instrument: Instrument, scale: Scale, fret: int, *, closed: bool = False, capo: int = 0
) -> Position:
    """The scale with the index finger at ``fret``.

    Open strings belong to the first position, unless it is to be closed. A note that lies under no
    finger is reached by a stretch on the string where the hand then spans least, the index finger's
    first.

    Parameters
    ----------
    instrument : Instrument
    scale : Scale
    fret : int
        1 or more, counted from the capo.
    closed : bool
    capo : int

    Raises
    ------
    BadInput
        If the neck has not got the position.

    Examples
    --------
    >>> from theorykit.instruments.catalogue import find_instrument
    >>> found = position(find_instrument("mandolin"), Scale.parse("G major"), 1)
    >>> [found.on_string(number) for number in (4, 3, 2, 1)]
    [(0, 2, 4, 5), (0, 2, 4, 5), (0, 2, 3, 5), (0, 2, 3, 5, 7)]
    """
    placed = _by_string(instrument, scale, capo)
    most = instrument.frets - capo
    if isinstance(fret, bool) or not isinstance(fret, int) or not 1 <= fret <= most:
        raise BadInput("position", fret, "not on the neck", accepted=f"1 to {most}")
    last = min(fret + hand_frets(instrument, fret + capo) - 1, most)
    is_open = fret == 1 and not closed
    taken = {
        number: [place for place in row if _under(place.cell.fret, fret, last, is_open)]
        for number, row in placed.items()
    }
    used = [number for number, row in taken.items() if row]
    for low, high in pairwise(used):
        _join(taken, placed, low, high)
    places = tuple(place for number in used for place in taken[number])
    return Position(fret, last, not is_open, places)


@lru_cache(maxsize=256)
def _by_string(
    instrument: Instrument, scale: Scale, capo: int
) -> Mapping[int, Sequence[ScaleCell]]:
    """The scale's places on each melody string, the lowest string first."""
    if scale.formula.follows_chord:
        raise BadInput("scale", scale, "its notes are those of a chord")
    rows: dict[int, list[ScaleCell]] = {number: [] for number in melody_strings(instrument)}
    for place in scale_cells(instrument, scale, frets=instrument.frets, capo=capo):
        if place.cell.string in rows:
            rows[place.cell.string].append(place)
    return rows


def _under(fret: int, index: int, last: int, is_open: bool) -> bool:
    return index <= fret <= last or (is_open and fret == 0)


def _join(
    taken: dict[int, list[ScaleCell]],
    placed: Mapping[int, Sequence[ScaleCell]],
    low: int,
    high: int,
) -> None:
    """Make the scale run on from one string to the next: no pitch twice, none left out."""
    top = taken[high][0].cell.midi
    # What both strings have is played on the higher one, which saves a finger.
    taken[low] = [place for place in taken[low] if place.cell.midi < top]
    if not taken[low]:
        return
    bottom = taken[low][-1].cell.midi
    below = [p for p in placed[low] if bottom < p.cell.midi < top and p.cell.fret]
    above = [p for p in placed[high] if bottom < p.cell.midi < top and p.cell.fret]
    missing = sorted({place.cell.midi for place in (*below, *above)})
    choices = []
    for split in range(len(missing) + 1):
        up = [place for place in below if place.cell.midi in missing[:split]]
        back = [place for place in above if place.cell.midi in missing[split:]]
        if len(up) + len(back) == len(missing):
            rows = ([*taken[low], *up], [*back, *taken[high]])
            choices.append((max(map(_span, rows)), split, rows))
    if choices:
        taken[low], taken[high] = min(choices, key=lambda choice: choice[:2])[2]


def _span(row: Sequence[ScaleCell]) -> int:
    stopped = [place.cell.fret for place in row if place.cell.fret]
    return max(stopped) - min(stopped) if stopped else 0


def closed_positions(instrument: Instrument, scale: Scale, *, capo: int = 0) -> list[Position]:
    """The movable positions up the neck: one for each note of the scale on the lowest string.

    The index finger is on that note or a fret below it, whichever needs fewer stretches.

    >>> from theorykit.instruments.catalogue import find_instrument
    >>> found = closed_positions(find_instrument("guitar"), Scale.parse("A minor pentatonic"))
    >>> [position.index for position in found[:5]]
    [2, 5, 7, 10, 12]
    """
    rows = _by_string(instrument, scale, capo)
    lowest = next(iter(rows.values()))
    found: dict[tuple[ScaleCell, ...], Position] = {}
    for start in (place.cell.fret for place in lowest if place.cell.fret):
        tries = [
            position(instrument, scale, fret, closed=True, capo=capo)
            for fret in (start, start - 1)
            if fret >= 1
        ]
        best = min(tries, key=lambda each: len(each.stretches))
        width = hand_frets(instrument, best.index + capo)
        if best.index + capo + width - 1 <= instrument.frets:
            found.setdefault(best.places, best)
    return list(found.values())


def patterns(
    instrument: Instrument, scale: Scale, notes_a_string: int, *, capo: int = 0
) -> list[Position]:
    """Closed patterns with as many notes on every string, one from each degree of the scale.

    They rise without a break, so the hand may move on the way; ``last`` is the highest fret of
    all. A pattern that would leave the neck is left out.

    Raises
    ------
    BadInput
        If the number can't be used.

    Examples
    --------
    >>> from theorykit.instruments.catalogue import find_instrument
    >>> found = patterns(find_instrument("guitar"), Scale.parse("A minor pentatonic"), 2)
    >>> [found[1].on_string(number) for number in (6, 5, 4, 3, 2, 1)]
    [(5, 8), (5, 7), (5, 7), (5, 7), (5, 8), (5, 8)]
    """
    if notes_a_string not in range(FEWEST_A_STRING, MOST_A_STRING + 1):
        accepted = f"{FEWEST_A_STRING} to {MOST_A_STRING}"
        raise BadInput("notes a string", notes_a_string, "out of range", accepted=accepted)
    rows = _by_string(instrument, scale, capo)
    by_midi = {
        number: {place.cell.midi: place for place in row if place.cell.fret}
        for number, row in rows.items()
    }
    midis = sorted({midi for row in by_midi.values() for midi in row})
    lowest = next(iter(by_midi.values()))
    found: dict[int, Position] = {}
    for first in lowest:
        start = midis.index(first)
        places: list[ScaleCell] = []
        for step, row in enumerate(by_midi.values()):
            low = start + step * notes_a_string
            wanted = midis[low : low + notes_a_string]
            places += [row[midi] for midi in wanted if midi in row]
        if len(places) == notes_a_string * len(by_midi):
            frets = [place.cell.fret for place in places]
            pattern = Position(min(frets), max(frets), True, tuple(places))
            found.setdefault(first % 12, pattern)
    return list(found.values())
