"""One thing that was noticed in a take."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

#: What can be found, with the heading under which a report tells it.
KINDS: dict[str, str] = {
    "other key": "Another key?",
    "other pace": "Beside the click",
    "avoid": "Notes that rub",
    "hanging": "Passing notes left hanging",
    "missed change": "Chord changes",
    "late": "Late notes",
    "early": "Early notes",
    "behind": "Behind the beat",
    "ahead": "Ahead of the beat",
    "drag": "Slowing down",
    "rush": "Speeding up",
    "uneven": "Uneven time",
    "no breath": "Room to breathe",
}


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing to mend.

    Parameters
    ----------
    kind : str
        One of ``KINDS``.
    bar : int
        Counted from 1 through all choruses; 0 where it concerns the whole take.
    beat : Fraction
        Counted from 1; 0 where it concerns a whole bar or more.
    words : str
        What was heard, in a sentence.
    suggestion : str
        What to do instead, in a sentence.
    severity : float
        From 0, a trifle, to 1.
    """

    kind: str
    bar: int
    beat: Fraction
    words: str
    suggestion: str
    severity: float

    def record(self) -> dict[str, object]:
        """A plain row."""
        return {
            "kind": self.kind,
            "bar": self.bar,
            "beat": round(float(self.beat), 3),
            "words": self.words,
            "suggestion": self.suggestion,
            "severity": round(self.severity, 3),
        }
