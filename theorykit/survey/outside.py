"""Neighbour notes of a melody, and how it uses the notes that its scale has not got."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from theorykit.score.score import ScoreNote
from theorykit.theory.degree import Degree
from theorykit.theory.pitch import Note
from theorykit.theory.scale import Scale

#: What a note may be to those beside it, in the order in which it is asked (any handbook of
#: counterpoint; from memory).
USES = ("neighbour", "passing", "leading", "free")

_STEP = (1, 2)


@dataclass(frozen=True, slots=True)
class Outside:
    """A degree that the scale has not got, and how often it is used in which way."""

    degree: Degree
    uses: tuple[tuple[str, int], ...]

    @property
    def count(self) -> int:
        """How often it is there."""
        return sum(times for _, times in self.uses)


def melody(notes: Sequence[ScoreNote]) -> list[ScoreNote]:
    """One note after another: the highest of those that start together."""
    highest: dict[object, ScoreNote] = {}
    for note in notes:
        held = highest.get(note.start)
        if held is None or note.midi > held.midi:
            highest[note.start] = note
    return [highest[start] for start in sorted(highest)]  # type: ignore[type-var]


def use_of(before: ScoreNote | None, note: ScoreNote, after: ScoreNote | None) -> str:
    """What a note is to the ones beside it, one of `USES`.

    A neighbour leaves a note by step and comes back to it, and is no longer than that note; a
    passing note goes on by step the way it came; a leading note goes on by a half step.
    """
    if after is None:
        return "free"
    onward = after.midi - note.midi
    if before is not None:
        arriving = note.midi - before.midi
        by_step = abs(arriving) in _STEP and abs(onward) in _STEP
        short = note.beats <= max(before.beats, after.beats)
        if by_step and short and before.midi == after.midi:
            return "neighbour"
        if by_step and arriving * onward > 0:
            return "passing"
    return "leading" if abs(onward) == 1 else "free"


def neighbours(line: Sequence[ScoreNote]) -> tuple[int, int]:
    """How many upper and how many lower neighbour notes a melody has.

    Examples
    --------
    >>> from fractions import Fraction
    >>> def at(beat, midi):
    ...     return ScoreNote(Fraction(beat), Fraction(1), midi)
    >>> neighbours([at(0, 67), at(1, 69), at(2, 67), at(3, 66), at(4, 67)])
    (1, 1)
    """
    upper = lower = 0
    for before, note, after in zip(line, line[1:], line[2:], strict=False):
        if use_of(before, note, after) == "neighbour":
            upper += note.midi > before.midi
            lower += note.midi < before.midi
    return upper, lower


def outside_notes(line: Sequence[ScoreNote], scale: Scale) -> list[Outside]:
    """The degrees of a melody that a scale has not got, the commonest first.

    They are spelled as the melody spells them.

    Parameters
    ----------
    line : sequence of ScoreNote
    scale : Scale
    """
    inside = {note.pitch_class for note in (*scale.notes, *scale.notes_descending)}
    uses: dict[int, Counter[str]] = {}
    spelled: dict[int, Note | None] = {}
    padded = [None, *line, None]
    for before, note, after in zip(padded, line, padded[2:], strict=False):
        sound = round(note.midi) % 12
        if sound not in inside:
            uses.setdefault(sound, Counter())[use_of(before, note, after)] += 1
            spelled.setdefault(sound, None if note.pitch is None else note.pitch.note)
    found = [
        Outside(
            _degree(scale.tonic, sound, spelled[sound]),
            tuple((use, counted[use]) for use in USES if counted[use]),
        )
        for sound, counted in uses.items()
    ]
    return sorted(found, key=lambda each: (-each.count, each.degree.semitones))


def _degree(tonic: Note, sound: int, note: Note | None) -> Degree:
    if note is not None:
        return Degree.between(tonic, note)
    steps = (sound - tonic.pitch_class) % 12
    flat = {1: "b2", 3: "b3", 6: "#4", 8: "b6", 10: "b7"}
    return Degree.parse(flat.get(steps) or str((0, 2, 4, 5, 7, 9, 11).index(steps) + 1))
