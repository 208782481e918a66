"""How much each note of a melody weighs: by its length and by where in the bar it begins."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from theorykit.errors import BadInput
from theorykit.score.score import Score, ScoreBar, ScoreNote

#: What a note's length is multiplied by where it begins (stipulated: a bar's first note is heard
#: as harmony, what lies between two beats mostly passes).
DOWNBEAT, ON_THE_BEAT, BETWEEN = 1.6, 1.2, 0.9


@dataclass(frozen=True, slots=True)
class Weighed:
    """A note's place, pitch class and weight."""

    start: Fraction
    end: Fraction
    pitch_class: int
    weight: float


def melody(score: Score) -> tuple[ScoreNote, ...]:
    """The notes of the line, or of the first part that has any.

    Raises
    ------
    BadInput
        If the score has no notes.
    """
    parts = sorted(score.parts, key=lambda part: part.name != "line")
    for part in parts:
        if part.notes and part.name != "click":
            return part.notes
    raise BadInput("score", score.title, "has no notes")


def bars_of(score: Score) -> tuple[ScoreBar, ...]:
    """The score's bars, or those that its meter makes where it has none."""
    if score.bars:
        return score.bars
    beats = Fraction(score.signature.beats)
    return tuple(ScoreBar(at * beats, beats) for at in range(max(1, int(-(-score.end // beats)))))


def weighed(score: Score) -> list[Weighed]:
    """Every note of the melody with its weight in beats."""
    downbeats = {bar.start for bar in bars_of(score)}
    found = []
    for note in melody(score):
        accent = BETWEEN if note.start.denominator > 1 else ON_THE_BEAT
        if note.start in downbeats:
            accent = DOWNBEAT
        end = note.start + note.beats
        weight = float(note.beats) * accent
        found.append(Weighed(note.start, end, round(note.midi) % 12, weight))
    return found


def profile(notes: Sequence[Weighed]) -> list[float]:
    """What each pitch class weighs, of 1 in all."""
    sums = [0.0] * 12
    for note in notes:
        sums[note.pitch_class] += note.weight
    whole = sum(sums)
    return [each / whole for each in sums]
