"""Where the hand may be for a note: each string that has it, and each finger that can stop it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from theorykit.instruments.fingering_cost import LEAN_BACK, STRETCHED, place_cost
from theorykit.instruments.fretboard import cells
from theorykit.instruments.instrument import Instrument
from theorykit.instruments.positions import FINGERS, hand_frets, melody_strings


@dataclass(frozen=True, slots=True)
class Stop:
    """A place for a note under a hand: where the finger is, and where the index finger.

    Parameters
    ----------
    string, fret : int
        As in ``fretboard.Cell``.
    finger : int
        0 for an open string.
    position : int or None
        The index finger's fret, the lower one where it has two; None on an open string, which
        leaves the hand free.
    cost : float
        Of the place by itself.
    """

    string: int
    fret: int
    finger: int
    position: int | None
    cost: float


def allowed_stops(
    instrument: Instrument,
    midi: int,
    capo: int,
    lowest: int,
    highest: int,
    *,
    closed: bool = False,
    roll: bool = False,
) -> list[Stop]:
    """The places of a note with the hand in a window; empty if it has none.

    Parameters
    ----------
    instrument : Instrument
    midi, capo : int
    lowest, highest : int
        The window of the index finger, counted from the capo.
    closed : bool
        True to take an open string only for a note that is nowhere else in the window.
    roll : bool
        False to take a string that is out of order only for a note that is nowhere else.
    """
    found = [
        stop
        for stop in stops_of(instrument, midi, capo)
        if stop.position is None or lowest <= stop.position <= highest
    ]
    if not roll:
        in_order = melody_strings(instrument)
        found = [stop for stop in found if stop.string in in_order] or found
    if closed:
        found = [stop for stop in found if stop.finger] or found
    return found


@lru_cache(maxsize=4096)
def stops_of(instrument: Instrument, midi: int, capo: int) -> tuple[Stop, ...]:
    """Every place of a note, with every finger that can stop it.

    Examples
    --------
    The D of a mandolin's lowest string under the ring finger: on the lower or on the upper one of
    its two frets, or leaning back:

    >>> from theorykit.instruments.catalogue import find_instrument
    >>> stops = stops_of(find_instrument("mandolin"), 62, 0)
    >>> [(stop.fret, stop.position) for stop in stops if stop.finger == 3]
    [(7, 3), (7, 2), (7, 4)]
    """
    found = []
    for string, fret in places(instrument, capo).get(midi, ()):
        if fret == 0:
            found.append(Stop(string, 0, 0, None, 0.0))
            continue
        for finger in range(1, FINGERS + 1):
            for position, reach in _positions(instrument.frets_a_finger, fret, finger):
                wide = fret - position >= hand_frets(instrument, position + capo)
                cost = place_cost(finger, position, reach=reach, wide=wide)
                found.append(Stop(string, fret, finger, position, cost))
    return tuple(found)


def _positions(each: int, fret: int, finger: int) -> Iterator[tuple[int, str]]:
    """Each fret where the index finger may be while another one stops a fret, and the reach."""
    first = fret - each * (finger - 1)
    ways = [(first, "")]
    if each > 1:
        # A finger that has two half steps may stop the upper one; the little finger has but one.
        if finger < FINGERS:
            ways.append((first - 1, ""))
        if finger > 2:
            ways.append((first + 1, LEAN_BACK))
    if finger == 1:
        ways.append((first + 1, STRETCHED))
    elif finger == FINGERS:
        ways.append((first - 1, STRETCHED))
    for position, reach in ways:
        if position >= 1:
            yield position, reach


@lru_cache(maxsize=64)
def places(instrument: Instrument, capo: int) -> dict[int, tuple[tuple[int, int], ...]]:
    """String and fret of every note of a neck, by its MIDI number."""
    found: dict[int, list[tuple[int, int]]] = {}
    for cell in cells(instrument, frets=instrument.frets, capo=capo):
        found.setdefault(cell.midi, []).append((cell.string, cell.fret))
    return {midi: tuple(where) for midi, where in found.items()}
