"""A line as it is given back: its score, its phrases and a reason for each note."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from theorykit.errors import BadInput
from theorykit.score.score import Score, ScoreNote
from theorykit.theory.table import html_table

#: Whose taste decides what rubs, if no style is named.
DEFAULT_STYLE = "bluegrass"


@dataclass(frozen=True, slots=True)
class Phrase:
    """A phrase of a line.

    Parameters
    ----------
    first, beyond : int
        The numbers of its first note and of the one after its last.
    start, beats : Fraction
        Its bars; a pick-up lies before them.
    answers : bool
        True where it takes up the rhythm of the phrase before.
    """

    first: int
    beyond: int
    start: Fraction
    beats: Fraction
    answers: bool


@dataclass(frozen=True, slots=True)
class Line:
    """A solo, with its reasons.

    Parameters
    ----------
    score : Score
        Its part is ``line``.
    reasons : tuple of str
        One for each note.
    phrases : tuple of Phrase
    gritty : tuple of bool
        For each bar, whether the blues scale is held there.
    level : int
    """

    score: Score
    reasons: tuple[str, ...]
    phrases: tuple[Phrase, ...]
    gritty: tuple[bool, ...]
    level: int

    @property
    def notes(self) -> tuple[ScoreNote, ...]:
        """The notes of the line."""
        return self.score.part("line").notes

    def why(self, index: int) -> str:
        """Why a note is there, counted from 0.

        Raises
        ------
        BadInput
            If the line has no such note.
        """
        if not isinstance(index, int) or not 0 <= index < len(self.reasons):
            accepted = f"0 to {len(self.reasons) - 1}"
            raise BadInput("note number", index, "not in this line", accepted=accepted)
        return self.reasons[index]

    def records(self) -> list[dict[str, object]]:
        """One plain row for each note, its bar counted from 1."""
        beats = self.score.bars[0].beats
        return [
            {
                "bar": int(note.start // beats) + 1,
                "beat": float(note.start % beats) + 1,
                "beats": float(note.beats),
                "pitch": str(note.pitch),
                "degree": str(note.degree),
                "role": note.role,
                "string": note.string,
                "fret": note.fret,
                "why": why,
            }
            for note, why in zip(self.notes, self.reasons, strict=True)
        ]

    def _repr_html_(self) -> str:
        header = ("bar", "beat", "beats", "note", "role", "string", "fret", "why")
        rows = [
            (
                str(row["bar"]),
                f"{row['beat']:.3g}",
                f"{row['beats']:.3g}",
                *(
                    "" if row[name] is None else str(row[name])
                    for name in ("pitch", "role", "string", "fret", "why")
                ),
            )
            for row in self.records()
        ]
        title = " ".join(word for word in (self.score.title, f"in {self.score.key}") if word)
        return html_table(f"{title}: a line of level {self.level}", header, rows)
