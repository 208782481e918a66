"""Notes of a part with their strings, frets and fingers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from theorykit.errors import BadInput
from theorykit.instruments.fingering import finger_line
from theorykit.instruments.hand import places
from theorykit.instruments.instrument import Instrument
from theorykit.score.arrange import spelled
from theorykit.score.score import Score, ScoreNote
from theorykit.theory.chord import Chord
from theorykit.theory.key import Key
from theorykit.theory.pitch import Pitch

_PLAIN = Key.parse("C")
_NO_CHORD = Chord.parse("C")


def spelled_notes(score: Score, notes: Sequence[ScoreNote]) -> tuple[ScoreNote, ...]:
    """The notes, each with a spelling: its own, or what the chord or the key has."""
    if all(note.pitch is not None for note in notes):
        return tuple(notes)
    return tuple(
        note if note.pitch is not None else replace(note, pitch=_spelling(score, note))
        for note in notes
    )


def _spelling(score: Score, note: ScoreNote) -> Pitch:
    chord = next(
        (
            placed.chord
            for placed in score.chords
            if placed.chord is not None and placed.start <= note.start < placed.start + placed.beats
        ),
        None,
    )
    key = key_at(score, note.start) or _PLAIN
    # Without a chord the key's own triad has nothing that the key has not.
    home = Chord(key.tonic, _NO_CHORD.type)
    return spelled(round(note.midi), chord or home, key)


def key_at(score: Score, beat: object) -> Key | None:
    """The key in force at a beat."""
    found = score.key
    for start, key in score.keys:
        if start <= beat:  # type: ignore[operator]
            found = key
    return found


def placed_notes(
    notes: Sequence[ScoreNote], instrument: Instrument, *, capo: int = 0, tempo: float = 100.0
) -> tuple[ScoreNote, ...]:
    """The notes, each with a place on the neck: its own, or else the easiest line's.

    Chords whose places are not given are laid on the strings one by one, the highest note first.

    Raises
    ------
    BadInput
        With the note that the instrument has not got.

    Examples
    --------
    >>> from fractions import Fraction
    >>> from theorykit.instruments.catalogue import find_instrument
    >>> note = ScoreNote(Fraction(0), Fraction(1), 48, Pitch.parse("C3"))
    >>> [(n.string, n.fret) for n in placed_notes((note,), find_instrument("guitar"))]
    [(5, 3)]
    """
    if all(note.string is not None and note.fret is not None for note in notes):
        return tuple(notes)
    order = sorted(notes, key=lambda note: note.start)
    alone = all(first.start < second.start for first, second in pairwise(order))
    if not alone or not instrument.frets_a_finger:
        return _stacked(notes, instrument, capo)
    fingering = finger_line(
        instrument,
        [note.pitch for note in order if note.pitch is not None],
        capo=capo,
        beats=[float(note.beats) for note in order],
        beats_a_second=tempo / 60,
    )
    where = {
        id(note): replace(note, string=found.string, fret=found.fret, finger=found.finger)
        for note, found in zip(order, fingering.notes, strict=True)
    }
    return tuple(where[id(note)] for note in notes)


def _stacked(
    notes: Sequence[ScoreNote], instrument: Instrument, capo: int
) -> tuple[ScoreNote, ...]:
    neck = places(instrument, capo)
    taken: dict[object, set[int]] = {}
    found = list(notes)
    for index in sorted(range(len(notes)), key=lambda at: (notes[at].start, -notes[at].midi)):
        note = notes[index]
        used = taken.setdefault(note.start, set())
        free = [place for place in neck.get(round(note.midi), ()) if place[0] not in used]
        if not free:
            raise BadInput(
                "note", note.pitch or note.midi, f"no string of a {instrument.name} is free for it"
            )
        string, fret = min(free, key=lambda place: (place[1], place[0]))
        used.add(string)
        found[index] = replace(note, string=string, fret=fret)
    return tuple(found)
