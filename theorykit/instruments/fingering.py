"""Fingering a line: for each note a string, a fret and a finger, so that the hand has least to do.

A shortest path (Sayegh 1989, Computer Music Journal 13(3), from memory). An open string leaves the
hand where it is, so the hand's position is carried on through it. All costs are 0 or more, in a
unit of effort that is stipulated; what holds them are fingerings of handbooks in the tests.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from theorykit.errors import BadInput
from theorykit.instruments.fretboard import cells, stop_distance
from theorykit.instruments.instrument import Instrument
from theorykit.instruments.positions import FINGERS, hand_frets
from theorykit.theory.pitch import Pitch

#: What each thing costs: a stopped note, each fret that the hand is up the neck, the little finger,
#: a stretch.
STOPPED, HIGH, LITTLE, STRETCH = 0.3, 0.06, 0.1, 0.8
#: Going to another string, for each that is crossed; one finger for two frets; a shift of the hand,
#: and each millimetre of it. While an open string rings, the hand has time: half the price.
CROSSING, SAME_FINGER, SHIFT, SHIFT_MM = 0.35, 0.8, 1.0, 0.08

INFINITE = float("inf")

#: The widest that a hammer-on or pull-off goes, in half steps (common practice: within the hand).
WIDEST_SLUR = 4


@dataclass(frozen=True, slots=True)
class Stop:
    """A place for a note under a hand: where the finger and where the index finger is.

    Parameters
    ----------
    string, fret : int
        As in ``fretboard.Cell``.
    finger : int
        0 for an open string.
    position : int or None
        The index finger's fret; None on an open string, which leaves the hand free.
    cost : float
        Of the place by itself.
    """

    string: int
    fret: int
    finger: int
    position: int | None
    cost: float


@dataclass(frozen=True, slots=True)
class FingeredNote:
    """A note of a line with its place.

    Parameters
    ----------
    pitch : Pitch
        Spelled as it was given.
    string, fret, finger : int
        Finger 0 is an open string.
    position : int or None
        Where the index finger is; None before the first stopped note.
    joined : str
        How it follows from the note before without a new stroke, where that is easy:
        ``"hammer-on"``, ``"pull-off"``, ``"slide"`` or nothing.
    """

    pitch: Pitch
    string: int
    fret: int
    finger: int
    position: int | None
    joined: str = ""


@dataclass(frozen=True, slots=True)
class Fingering:
    """A fingered line and what it costs."""

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
        True to strike no string twice in a row, as a banjo's rolls do.

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
    pitches = [
        note if isinstance(note, Pitch) else Pitch.parse(note)
        for note in (notes.split() if isinstance(notes, str) else notes)
    ]
    last = instrument.frets - capo
    highest = last if highest_position is None else highest_position
    if not 1 <= lowest_position <= highest <= last:
        raise BadInput(
            "position",
            f"{lowest_position} to {highest}",
            "not a window on the neck",
            accepted=f"1 to {last}",
        )
    choices = []
    for number, pitch in enumerate(pitches, start=1):
        stops = allowed_stops(instrument, pitch.midi, closed, lowest_position, highest, capo)
        if not stops:
            raise _unplayable(instrument, pitch, number, capo)
        choices.append(stops)
    if not pitches:
        return Fingering((), 0.0)
    cost, path = _cheapest(instrument, pitches, choices, capo, roll)
    found: list[FingeredNote] = []
    hand: int | None = None
    before: Stop | None = None
    for pitch, stop in zip(pitches, path, strict=True):
        moved = stop.position is not None and hand is not None and stop.position != hand
        hand = hand if stop.position is None else stop.position
        joined = _joined(before, stop, moved)
        found.append(FingeredNote(pitch, stop.string, stop.fret, stop.finger, hand, joined))
        before = stop
    return Fingering(tuple(found), round(cost, 4))


def allowed_stops(
    instrument: Instrument, midi: int, closed: bool, lowest: int, highest: int, capo: int
) -> list[Stop]:
    """The places of a note whose hand is in the window; open ones only where they are wanted."""
    every = stops_of(instrument, midi, capo)
    stopped = [s for s in every if s.position is not None and lowest <= s.position <= highest]
    opened = [stop for stop in every if stop.position is None]
    if closed and stopped:
        return stopped
    return opened + stopped


@lru_cache(maxsize=4096)
def stops_of(instrument: Instrument, midi: int, capo: int) -> tuple[Stop, ...]:
    """Every place of a note, with every finger that can stop it."""
    found = []
    each = instrument.frets_a_finger
    for string, fret in _places(instrument, capo).get(midi, ()):
        if fret == 0:
            found.append(Stop(string, 0, 0, None, 0.0))
            continue
        for finger in range(1, FINGERS + 1):
            little = LITTLE if finger == FINGERS else 0.0
            first = fret - each * (finger - 1)
            # A finger with two half steps may stop the upper one; the little finger has one.
            positions = [first] if each == 1 or finger == FINGERS else [first, first - 1]
            # The index finger reaches a fret back, the little finger one on.
            stretched = first + 1 if finger == 1 else first - 1 if finger == FINGERS else None
            for position in (*positions, stretched):
                if position is None or position < 1:
                    continue
                wide = position == stretched or fret - position >= hand_frets(
                    instrument, position + capo
                )
                cost = STOPPED + HIGH * position + little + (STRETCH if wide else 0.0)
                found.append(Stop(string, fret, finger, position, round(cost, 4)))
    return tuple(found)


@lru_cache(maxsize=64)
def _places(instrument: Instrument, capo: int) -> dict[int, tuple[tuple[int, int], ...]]:
    """String and fret of every note of a neck, by its number."""
    found: dict[int, list[tuple[int, int]]] = {}
    for cell in cells(instrument, frets=instrument.frets, capo=capo):
        found.setdefault(cell.midi, []).append((cell.string, cell.fret))
    return {midi: tuple(places) for midi, places in found.items()}


@lru_cache(maxsize=64)
def shift_costs(instrument: Instrument, capo: int) -> tuple[tuple[float, ...], ...]:
    """What a shift costs, by the index finger's fret after it and before it; 0 is nowhere yet."""
    frets = range(instrument.frets - capo + 1)
    stops = [stop_distance(instrument, fret + capo) for fret in frets]
    return tuple(
        tuple(
            0.0 if not here or here == there else SHIFT + SHIFT_MM * abs(stops[here] - stops[there])
            for here in frets
        )
        for there in frets
    )


def _cheapest(
    instrument: Instrument,
    pitches: Sequence[Pitch],
    choices: Sequence[Sequence[Stop]],
    capo: int,
    roll: bool,
) -> tuple[float, list[Stop]]:
    """The cheapest way through the choices, with the hand carried on through open strings."""
    to = shift_costs(instrument, capo)
    # A state is the number of a place and where the hand is, 0 while it is nowhere yet.
    reached = {(i, stop.position or 0): stop.cost for i, stop in enumerate(choices[0])}
    ways: list[dict[tuple[int, int], tuple[int, int]]] = []
    for number in range(1, len(choices)):
        olds = choices[number - 1]
        before = [
            (state, olds[state[0]].string, olds[state[0]].fret, olds[state[0]].finger, cost)
            for state, cost in reached.items()
        ]
        now: dict[tuple[int, int], float] = {}
        way: dict[tuple[int, int], tuple[int, int]] = {}
        for i, stop in enumerate(choices[number]):
            string, fret, finger, position = stop.string, stop.fret, stop.finger, stop.position
            if position is None:
                # The hand stays where it was, wherever that is.
                for state, old_string, _, _, so_far in before:
                    cost = so_far + stop.cost + CROSSING * abs(old_string - string)
                    key = (i, state[1])
                    if cost < now.get(key, INFINITE) and not (roll and old_string == string):
                        now[key] = cost
                        way[key] = state
                continue
            best, origin, shift = INFINITE, None, to[position]
            for state, old_string, old_fret, old_finger, so_far in before:
                cost = so_far + CROSSING * abs(old_string - string)
                # While an open string rings, the hand has time.
                cost += shift[state[1]] if old_finger else shift[state[1]] / 2
                if finger == old_finger and fret != old_fret:
                    cost += SAME_FINGER
                if cost < best and not (roll and old_string == string):
                    best, origin = cost, state
            if origin is not None:
                now[i, position] = best + stop.cost
                way[i, position] = origin
        if not now:
            raise BadInput(
                "note",
                f"{pitches[number]} (number {number + 1})",
                "no string but the one just struck has it",
            )
        reached = now
        ways.append(way)
    end = min(reached, key=lambda state: reached[state])
    cost, path = reached[end], [choices[-1][end[0]]]
    for number in range(len(ways) - 1, -1, -1):
        end = ways[number][end]
        path.append(choices[number][end[0]])
    return cost, path[::-1]


def _joined(before: Stop | None, stop: Stop, moved: bool) -> str:
    if before is None or before.string != stop.string or before.fret == stop.fret:
        return ""
    if before.finger and before.finger == stop.finger:
        return "slide"
    if moved or abs(stop.fret - before.fret) > WIDEST_SLUR:
        return ""
    return "hammer-on" if stop.fret > before.fret else "pull-off"


def _unplayable(instrument: Instrument, pitch: Pitch, number: int, capo: int) -> BadInput:
    reason = f"not on a {instrument.name}"
    if pitch.midi in _places(instrument, capo):
        reason = "not in the window"
    lowest = min((string.open for string in instrument.strings), key=lambda open_: open_.midi)
    behind = f" behind a capo at fret {capo}" if capo else ""
    accepted = f"{lowest}{behind} and up, to fret {instrument.frets - capo}"
    return BadInput("note", f"{pitch} (number {number})", reason, accepted=accepted)
