"""What was heard in a recording: its notes, how sure each is, and what could not be heard."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from theorykit.listening.tempo import ProposedTempo
from theorykit.score.score import Score
from theorykit.theory.table import html_table

Why = Literal["noise", "two notes at once", "too quiet"]

#: Less than this is a shaky note, and a shaky tempo (stipulated).
SHAKY = 0.5
#: A recording this far off is worth a word, in cents (a trained ear's least, common practice).
_OFF_CENTS = 5.0
#: So many stretches are named one by one.
_NAMED = 4


@dataclass(frozen=True, slots=True)
class HeardNote:
    """A note as it was heard.

    Parameters
    ----------
    onset, offset : float
        Seconds from the beginning of the recording.
    midi : int
        The half step that it is nearest to, once the recording is in tune.
    cents : float
        How far above that it is played, vibrato and bends in the mean.
    confidence : float
        0 to 1.
    """

    onset: float
    offset: float
    midi: int
    cents: float
    confidence: float


@dataclass(frozen=True, slots=True)
class Unheard:
    """A stretch that sounds and could not be heard as one note after another.

    Parameters
    ----------
    start, end : float
        Seconds.
    reason : str
        ``"noise"``, ``"two notes at once"`` or ``"too quiet"``.
    """

    start: float
    end: float
    reason: Why


@dataclass(frozen=True, slots=True)
class Heard:
    """What was heard in a recording.

    Parameters
    ----------
    score : Score
        The notes on a grid at the tempo, each with how far off it is played; its part is ``line``.
    notes : tuple of HeardNote
    tuning_cents : float
        How sharp the whole recording is; taken out of the notes.
    unheard : tuple of Unheard
    seconds : float
        How long the recording lasts.
    proposed : ProposedTempo or None
        Where the tempo was not given: the proposal that was used, or None if nothing could be told.
    given_tempo : bool
    first_beat_seconds : float
        Where beat 0 of the score lies in the recording.
    """

    score: Score
    notes: tuple[HeardNote, ...]
    tuning_cents: float
    unheard: tuple[Unheard, ...]
    seconds: float
    proposed: ProposedTempo | None
    given_tempo: bool
    first_beat_seconds: float

    @property
    def tempo(self) -> float:
        """Beats a minute."""
        return self.score.tempo

    @property
    def tempo_confidence(self) -> float:
        """1 where the tempo was given, 0 where nothing could be told."""
        if self.given_tempo:
            return 1.0
        return self.proposed.confidence if self.proposed is not None else 0.0

    def summary(self) -> str:
        """What was heard, in a few sentences.

        Examples
        --------
        >>> Heard(Score(()), (), 0.0, (), 2.0, None, False, 0.0).summary()
        'No notes were heard in 2.0 seconds.'
        """
        if not self.notes:
            lines = [f"No notes were heard in {self.seconds:.1f} seconds."]
        else:
            count = len(self.notes)
            notes = "1 note was" if count == 1 else f"{count} notes were"
            lines = [f"{notes} heard in {self.seconds:.1f} seconds.", self._tempo_words()]
            shaky = sum(note.confidence < SHAKY for note in self.notes)
            if shaky:
                lines.append(f"{shaky} of them {'is' if shaky == 1 else 'are'} unsure.")
        if abs(self.tuning_cents) >= _OFF_CENTS and self.notes:
            way = "sharp" if self.tuning_cents > 0 else "flat"
            lines.append(
                f"The whole recording is {abs(self.tuning_cents):.0f} cents {way} of A = 440 Hz;"
                " that was taken out."
            )
        lines += self._unheard_words()
        return " ".join(lines)

    def records(self) -> list[dict[str, object]]:
        """One plain row for each note."""
        pitches = [str(note.pitch) for part in self.score.parts for note in part.notes]
        return [
            {
                "onset": round(note.onset, 4),
                "offset": round(note.offset, 4),
                "midi": note.midi,
                "pitch": pitch,
                "cents": round(note.cents, 1),
                "confidence": round(note.confidence, 2),
            }
            for note, pitch in zip(self.notes, pitches, strict=True)
        ]

    def _tempo_words(self) -> str:
        if self.given_tempo:
            return f"The tempo was given: {self.tempo:g} beats a minute."
        if self.proposed is None:
            return (
                f"They are too few to tell a tempo; {self.tempo:g} beats a minute stands in for it."
            )
        words = f"The tempo seems to be {self.tempo:.0f} beats a minute"
        if self.proposed.confidence < SHAKY:
            words += ", which is unsure"
            if self.proposed.others:
                words += f"; it may be {self.proposed.others[0]:.0f}"
        return f"{words}."

    def _unheard_words(self) -> list[str]:
        if not self.unheard:
            return []
        named = [
            f"{stretch.start:.1f} to {stretch.end:.1f} s ({stretch.reason})"
            for stretch in self.unheard[:_NAMED]
        ]
        more = len(self.unheard) - len(named)
        words = ", ".join(named) + (f" and {more} more" if more else "")
        return [f"Not to be heard: {words}."]

    def _repr_html_(self) -> str:
        header = ("second", "note", "cents off", "sure")
        rows = [
            (
                f"{row['onset']:.2f}",
                str(row["pitch"]),
                f"{row['cents']:+.0f}",
                f"{row['confidence']:.0%}",
            )
            for row in self.records()
        ]
        return html_table(self.summary(), header, rows)
