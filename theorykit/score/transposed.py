"""A score's line in another key."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from theorykit.score.score import Score, ScoreNote
from theorykit.theory.interval import Interval
from theorykit.theory.key import Key
from theorykit.theory.pitch import Note

_OCTAVE = 12
#: More than half an octave up, and the same key lies nearer below.
_NEAR = 6


def transposed(score: Score, tonic: Note, *, compass: Collection[int] = ()) -> Score:
    """A score with another tonic, each note spelled as far from it as before.

    Fingering is left out: it belongs to the old notes.

    Parameters
    ----------
    score : Score
        With a key.
    tonic : Note
    compass : collection of int
        MIDI numbers that can be played: of the octaves up and down, the one in which most notes
        lie there, the nearest among equals. Any will do if there are none.

    Returns
    -------
    Score
        Its chords move too. Notes that leave the range of MIDI keep to the nearest octave in it.

    Examples
    --------
    >>> from fractions import Fraction
    >>> from theorykit.score.score import Part
    >>> from theorykit.theory.pitch import Pitch
    >>> third = ScoreNote(Fraction(0), Fraction(1), 66, Pitch.parse("F#4"))
    >>> score = Score((Part("line", (third,), "guitar"),), key=Key.parse("D"))
    >>> str(transposed(score, Note.parse("Bb")).part("line").notes[0].pitch)
    'D4'
    """
    if score.key is None:
        return score
    interval = Interval.between(score.key.tonic, tonic)
    steps, half_steps = interval.steps, interval.semitones
    if half_steps > _NEAR:
        steps, half_steps = steps - 7, half_steps - _OCTAVE
    octave = _best_octave(score, half_steps, compass)
    steps, half_steps = steps + 7 * octave, half_steps + _OCTAVE * octave
    parts = tuple(
        replace(part, notes=tuple(_moved(note, steps, half_steps) for note in part.notes))
        for part in score.parts
    )
    chords = tuple(
        placed if placed.chord is None else replace(placed, chord=placed.chord.transposed(interval))
        for placed in score.chords
    )
    return replace(
        score,
        parts=parts,
        chords=chords,
        key=Key(tonic, score.key.mode),
        keys=tuple((at, Key(interval.above(key.tonic), key.mode)) for at, key in score.keys),
    )


def _best_octave(score: Score, half_steps: int, compass: Collection[int]) -> int:
    midis = [round(note.midi) + half_steps for part in score.parts for note in part.notes]
    playable = frozenset(compass)

    def lost(octave: int) -> tuple[int, int]:
        there = [midi + _OCTAVE * octave for midi in midis]
        out = sum(not 0 <= midi <= 127 for midi in there)
        return out * len(midis) + sum(bool(playable) and m not in playable for m in there), abs(
            octave
        )

    return min((0, 1, -1, 2, -2), key=lost)


def _moved(note: ScoreNote, steps: int, half_steps: int) -> ScoreNote:
    midi = note.midi + half_steps
    pitch = note.pitch.shifted(steps, half_steps) if note.pitch is not None else None
    while midi < 0:
        midi, pitch = midi + _OCTAVE, pitch.shifted(7, _OCTAVE) if pitch is not None else None
    while midi > 127:
        midi, pitch = midi - _OCTAVE, pitch.shifted(-7, -_OCTAVE) if pitch is not None else None
    return replace(note, midi=midi, pitch=pitch, string=None, fret=None, finger=None)
