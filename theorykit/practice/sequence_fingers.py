"""Strings, frets and fingers for the notes of an exercise."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from theorykit.errors import BadInput
from theorykit.instruments.fingering import finger_line
from theorykit.instruments.fretboard import ScaleCell
from theorykit.instruments.instrument import Instrument
from theorykit.instruments.positions import FINGERS, Position
from theorykit.instruments.positions import position as scale_position
from theorykit.score.score import ScoreNote
from theorykit.theory.pitch import Pitch
from theorykit.theory.scale import Scale, ScaleFormula


def fingered_line(
    instrument: Instrument,
    notes: Sequence[ScoreNote],
    *,
    tempo: float,
    closed: bool = False,
) -> list[ScoreNote]:
    """The notes with the places where they are easiest to play.

    Raises
    ------
    BadInput
        With the note that the instrument has not got.
    """
    fingering = finger_line(
        instrument,
        [written_pitch(note) for note in notes],
        closed=closed,
        beats=[float(note.beats) for note in notes],
        beats_a_second=tempo / 60,
    )
    return [
        replace(note, string=placed.string, fret=placed.fret, finger=placed.finger)
        for note, placed in zip(notes, fingering.notes, strict=True)
    ]


def written_pitch(note: ScoreNote) -> Pitch:
    """How a note of a line is spelled.

    Raises
    ------
    BadInput
        If nobody has said.
    """
    if note.pitch is None:
        raise BadInput("note", note.midi, "has no spelling", accepted="notes with a pitch")
    return note.pitch


def position_of(
    instrument: Instrument | None, scale: Scale, position: Position | int, *, closed: bool = False
) -> Position:
    """A position of a scale, by the fret of the index finger or as it is given.

    Raises
    ------
    BadInput
        If there is no instrument for it, or the neck has not got it.
    """
    if instrument is None:
        raise BadInput("position", position, "of what instrument?", accepted="an instrument too")
    if not isinstance(position, Position):
        position = scale_position(instrument, scale, position, closed=closed)
    if not position.places:
        raise BadInput("position", position.index, f"nothing of {scale} lies there")
    return position


def fingered_position(
    instrument: Instrument, scale: Scale, hand: Position, notes: Sequence[ScoreNote]
) -> list[ScoreNote]:
    """The notes with their places in a position; each pitch has one.

    Raises
    ------
    BadInput
        With the note that does not lie in it.
    """
    cells = {place.cell.midi: place for place in hand.places}
    if scale.formula.descending:
        # The other notes of the way down lie under the same hand.
        down = Scale(scale.tonic, ScaleFormula("way down", scale.formula.descending))
        below = scale_position(instrument, down, max(hand.index, 1), closed=hand.closed)
        for other in below.places:
            cells.setdefault(other.cell.midi, other)
    fingers = _fingers(instrument, hand)
    found = []
    for note in notes:
        place = cells.get(int(note.midi))
        if place is None:
            raise BadInput("note", written_pitch(note), "does not lie in the position")
        cell = place.cell
        finger = fingers.get(cell.midi, hand.finger(cell.fret))
        found.append(replace(note, string=cell.string, fret=cell.fret, finger=finger))
    return found


def _fingers(instrument: Instrument, hand: Position) -> dict[int, int]:
    """The finger of each place; string by string where the hand can't lie over all of it."""
    each = max(instrument.frets_a_finger, 1)
    if hand.last - hand.index < FINGERS * each:
        return {place.cell.midi: hand.finger(place.cell.fret) for place in hand.places}
    rows: dict[int, list[ScaleCell]] = {}
    for place in hand.places:
        rows.setdefault(place.cell.string, []).append(place)
    found = {}
    for row in rows.values():
        lowest, highest = row[0].cell.fret, row[-1].cell.fret
        # Over five frets the first two fingers are spread: 3-5-7 is first, second, fourth.
        spread = each == 1 and highest - lowest >= FINGERS
        for place in row:
            above = (place.cell.fret - lowest) // each
            finger = above if spread and above > 1 else above + 1
            found[place.cell.midi] = min(finger, FINGERS)
    return found
