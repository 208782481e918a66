"""Fingering a line: for each note a string, a fret and a finger, so that the hand has least to do.

A shortest path over where the hand may be for each note (Sayegh 1989, Computer Music Journal 13(3),
from memory). An open string leaves the hand where it is, so its position is carried on through it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from operator import itemgetter

from theorykit.errors import BadInput
from theorykit.instruments.fingering_cost import (
    HALF_STEP_SLIDE,
    INFINITE,
    SAME_FINGER,
    SHIFT_FROM_OPEN,
    crossing_costs,
    haste,
    shift_costs,
)
from theorykit.instruments.fretboard import check_frets
from theorykit.instruments.hand import Stop, allowed_stops, places
from theorykit.instruments.instrument import Instrument
from theorykit.theory.pitch import Pitch

#: Notes up to so many seconds are quick: eighths at 100 beats a minute, and shorter (stipulated).
QUICK_SECONDS = 0.3

#: The widest that a hammer-on or a pull-off goes and the widest slide, in half steps (stipulated:
#: within the hand, and about as far as it goes without being lifted).
WIDEST_SLUR, WIDEST_SLIDE = 4, 5


@dataclass(frozen=True, slots=True)
class FingeredNote:
    """A note of a line with its place.

    Parameters
    ----------
    pitch : Pitch
        Spelled as it was given.
    string, fret, finger : int
        The fret counts from the capo; fret and finger 0 are an open string.
    position : int or None
        Where the index finger is, the lower fret where it has two; None before the first stopped
        note.
    joined : str
        How it follows from the note before with no new stroke, where that eases: ``"slide"`` where
        one finger goes on; ``"hammer-on"`` or ``"pull-off"`` from a stroke to a quick note off the
        beat; or nothing.
    """

    pitch: Pitch
    string: int
    fret: int
    finger: int
    position: int | None
    joined: str = ""


@dataclass(frozen=True, slots=True)
class Fingering:
    """A fingered line and what it costs, in the unit of effort of ``fingering_cost``."""

    notes: tuple[FingeredNote, ...]
    cost: float


def finger_line(
    instrument: Instrument,
    notes: str | Sequence[Pitch | str],
    *,
    closed: bool = False,
    lowest_position: int = 1,
    highest_position: int | None = None,
    capo: int = 0,
    roll: bool = False,
    beats: float | Sequence[float] = 0.5,
    beats_a_second: float = 2.0,
) -> Fingering:
    """The easiest fingering of a line.

    Parameters
    ----------
    instrument : Instrument
    notes : str or sequence of (Pitch or str)
        Such as ``"G3 A3 B3"``.
    closed : bool
        True to use no open string, except for a note that is nowhere else.
    lowest_position, highest_position : int
        The window that the index finger keeps to, counted from the capo.
    capo : int
    roll : bool
        True to strike no string twice in a row, as a banjo's rolls do. Every string is used then,
        and no crossing costs anything, as each finger that plucks has its own. Otherwise a string
        out of order, a banjo's fifth or a ukulele's high fourth, has only what no other one has.
    beats : float or sequence of float
        How long the notes are, all of them or each, from a beat on; eighths if not given.
    beats_a_second : float
        The longer a note, the less a shift of the hand after it costs, and the less there is to
        ease by a slur.

    Raises
    ------
    BadInput
        With the note that can't be played so.

    Examples
    --------
    >>> from theorykit.instruments.catalogue import find_instrument
    >>> line = finger_line(find_instrument("guitar"), "C3 D3 E3 F3 G3")
    >>> [(note.string, note.fret, note.finger) for note in line.notes]
    [(5, 3, 3), (4, 0, 0), (4, 2, 2), (4, 3, 3), (3, 0, 0)]
    """
    if not instrument.frets_a_finger:
        raise BadInput("instrument", instrument.name, "played with a bar; a bar has no fingering")
    check_frets(instrument, instrument.frets, capo)
    pitches = [
        note if isinstance(note, Pitch) else Pitch.parse(note)
        for note in (notes.split() if isinstance(notes, str) else notes)
    ]
    lengths = _lengths(beats, beats_a_second, len(pitches))
    hastes = [haste(length / beats_a_second) for length in lengths]
    last = instrument.frets - capo
    highest = last if highest_position is None else highest_position
    if not 1 <= lowest_position <= highest <= last:
        window = _span((lowest_position, highest)).partition(" ")[2]
        raise BadInput("position", window, "not on the neck", accepted=f"1 to {last}")
    choices = []
    for number, pitch in enumerate(pitches, start=1):
        stops = allowed_stops(
            instrument, pitch.midi, capo, lowest_position, highest, closed=closed, roll=roll
        )
        if not stops:
            raise _unplayable(instrument, pitch, number, capo, (lowest_position, highest))
        choices.append(stops)
    if not pitches:
        return Fingering((), 0.0)
    crossings = crossing_costs(len(instrument.strings), roll=roll)
    cost, path = _cheapest(crossings, shift_costs(instrument, capo), choices, hastes)
    if len(path) < len(pitches):
        raise _struck_twice(pitches[len(path)], len(path) + 1, closed)
    found: list[FingeredNote] = []
    hand: int | None = None
    before: Stop | None = None
    at = 0.0
    for pitch, stop, length in zip(pitches, path, lengths, strict=True):
        moved = stop.position is not None and hand is not None and stop.position != hand
        hand = hand if stop.position is None else stop.position
        joined = "" if before is None else _joined(instrument, before, stop, moved)
        if joined in _SLURS and not (
            # A slur binds two notes, the stronger one first, where the strokes are quick.
            found[-1].joined not in _SLURS
            and _off_the_beat(at)
            and lengths[len(found) - 1] / beats_a_second <= QUICK_SECONDS
        ):
            joined = ""
        found.append(FingeredNote(pitch, stop.string, stop.fret, stop.finger, hand, joined))
        before = stop
        at += length
    return Fingering(tuple(found), round(cost, 4))


def _lengths(beats: float | Sequence[float], beats_a_second: float, count: int) -> list[float]:
    """Each note's beats."""
    lengths = [beats] * count if isinstance(beats, (int, float)) else list(beats)
    if len(lengths) != count:
        raise BadInput("beats", len(lengths), "not one for each note", accepted=str(count))
    for kind, each in (("beats", lengths), ("beats a second", [beats_a_second])):
        for number in each:
            if not 0 < number < math.inf:
                raise BadInput(kind, number, "no length of time", accepted="more than 0")
    return lengths


def _cheapest(
    crossings: Sequence[Sequence[float]],
    shifts: Sequence[Sequence[float]],
    choices: Sequence[Sequence[Stop]],
    hastes: Sequence[float],
) -> tuple[float, list[Stop]]:
    """The cheapest way through the choices, with the hand carried on through open strings.

    Where there is no way on, the path ends before the note that can't be struck.
    """
    # A state is the number of a place and where the hand is, 0 while it is nowhere yet.
    reached = {(i, stop.position or 0): stop.cost for i, stop in enumerate(choices[0])}
    ways: list[dict[tuple[int, int], tuple[int, int]]] = []
    for olds, stops, hurry in zip(choices, choices[1:], hastes, strict=False):
        before = []
        for state, cost in sorted(reached.items(), key=itemgetter(1)):
            old = olds[state[0]]
            # While an open string rings, the hand has time.
            ease = hurry if old.finger else hurry * SHIFT_FROM_OPEN
            before.append((state, state[1], old.string, old.fret, old.finger, ease, cost))
        now: dict[tuple[int, int], float] = {}
        way: dict[tuple[int, int], tuple[int, int]] = {}
        for i, stop in enumerate(stops):
            fret, finger, position = stop.fret, stop.finger, stop.position
            crossing = crossings[stop.string]
            if position is None:
                # The hand stays where it was, wherever that is.
                for state, hand, old_string, _, _, _, cost in before:
                    cost += crossing[old_string]
                    key = (i, hand)
                    if cost < now.get(key, INFINITE):
                        now[key] = cost
                        way[key] = state
                continue
            best, origin, shift = INFINITE, None, shifts[position]
            for state, hand, old_string, old_fret, old_finger, ease, cost in before:
                if cost >= best:
                    # The cheapest come first, and nothing makes a way cheaper.
                    break
                cost += crossing[old_string] + shift[hand] * ease
                if finger == old_finger and fret != old_fret:
                    near = old_string == stop.string and -2 < fret - old_fret < 2
                    cost += HALF_STEP_SLIDE if near else SAME_FINGER
                if cost < best:
                    best, origin = cost, state
            if origin is not None:
                now[i, position] = best + stop.cost
                way[i, position] = origin
        if not now:
            break
        reached = now
        ways.append(way)
    end = min(reached, key=reached.__getitem__)
    cost, path = reached[end], [choices[len(ways)][end[0]]]
    for number in range(len(ways) - 1, -1, -1):
        end = ways[number][end]
        path.append(choices[number][end[0]])
    return cost, path[::-1]


def _off_the_beat(at: float) -> bool:
    """Whether a place lies between two beats, however thirds of a beat were rounded."""
    return abs(at - round(at)) > 1e-6


_SLURS = ("hammer-on", "pull-off")


def _joined(instrument: Instrument, before: Stop, stop: Stop, moved: bool) -> str:
    """How a note may follow with no new stroke."""
    wide = abs(stop.fret - before.fret)
    if before.string != stop.string or not wide:
        return ""
    if before.finger and before.finger == stop.finger:
        return "slide" if wide <= WIDEST_SLIDE else ""
    # Where no fret ends the string the bow slurs, and there is nothing to hammer on.
    if instrument.fretless or moved or wide > WIDEST_SLUR:
        return ""
    return "hammer-on" if stop.fret > before.fret else "pull-off"


def _unplayable(
    instrument: Instrument, pitch: Pitch, number: int, capo: int, window: tuple[int, int]
) -> BadInput:
    on_the_neck = places(instrument, capo)
    lowest = min((string.open for string in instrument.strings), key=lambda open_: open_.midi)
    behind = f" behind a capo at fret {capo}" if capo else ""
    accepted: str | None = f"{lowest}{behind} and up, to fret {instrument.frets - capo}"
    reason = f"not on a {instrument.name}"
    if pitch.midi in on_the_neck:
        frets = sorted(fret for _, fret in on_the_neck[pitch.midi])
        reason = f"not under a hand at {_span(window)}"
        accepted = f"a window that has fret {' or '.join(map(str, frets))}"
    elif min(on_the_neck) < pitch.midi < max(on_the_neck):
        reason = f"between the frets of a {instrument.name}"
        accepted = None
    return BadInput("note", f"{pitch} (number {number})", reason, accepted=accepted)


def _span(window: tuple[int, int]) -> str:
    lowest, highest = window
    return f"fret {lowest}" if lowest == highest else f"frets {lowest} to {highest}"


def _struck_twice(pitch: Pitch, number: int, closed: bool) -> BadInput:
    reason = "no string but the one just struck has it" + (" stopped" if closed else "")
    return BadInput("note", f"{pitch} (number {number})", reason)
