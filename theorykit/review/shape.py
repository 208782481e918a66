"""The outline of a take: how high and low it goes, and where it breathes."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from theorykit.review.finding import Finding
from theorykit.review.take import Take

#: In quarters: what is shorter than this is no breath (stipulated).
_BREATH = Fraction(1)
#: In bars: a phrase longer than this leaves the listener no room; most phrases have two to four
#: (common practice).
LONGEST_PHRASE_BARS = 8


@dataclass(frozen=True, slots=True)
class Shape:
    """The outline of a take.

    Parameters
    ----------
    lowest, highest : int
        MIDI numbers.
    rest_share : float
        How much of the form is silent.
    longest : Fraction
        In beats, the longest stretch with no rest of a quarter.
    longest_start : Fraction
        The beat at which that begins.
    """

    lowest: int
    highest: int
    rest_share: float
    longest: Fraction
    longest_start: Fraction


def shape(take: Take, quarter: Fraction, form_beats: Fraction) -> Shape:
    """The outline of a take.

    Parameters
    ----------
    take : Take
    quarter : Fraction
        In beats.
    form_beats : Fraction
        All choruses together.
    """
    notes = take.notes
    # A played note is let go a little before the next one: that is no rest.
    ends = [
        after.start if after.start - note.end < quarter / 2 else note.end
        for note, after in pairwise(notes)
    ] + [notes[-1].end]
    sounding = sum(
        (
            max(min(end, form_beats) - max(note.start, Fraction(0)), Fraction(0))
            for note, end in zip(notes, ends, strict=True)
        ),
        Fraction(0),
    )
    longest, longest_start, begun = Fraction(0), notes[0].start, notes[0].start
    for index, end in enumerate(ends):
        if end - begun > longest:
            longest, longest_start = end - begun, begun
        if index + 1 < len(notes) and notes[index + 1].start - end >= _BREATH * quarter * 3 / 4:
            begun = notes[index + 1].start
    midis = [note.midi for note in notes]
    share = max(0.0, 1 - float(sounding / form_beats))
    return Shape(min(midis), max(midis), share, longest, longest_start)


def shape_findings(outline: Shape, bar_beats: Fraction) -> tuple[Finding, ...]:
    """A phrase that is too long for a breath."""
    bars = float(outline.longest / bar_beats)
    if bars <= LONGEST_PHRASE_BARS:
        return ()
    return (
        Finding(
            "no breath",
            max(int(outline.longest_start // bar_beats) + 1, 1),
            Fraction(0),
            f"You play {bars:.0f} bars with no rest.",
            "Leave out the last beat of every fourth bar: the listener needs it to hear where a "
            "phrase ends.",
            min(0.3 + (bars - LONGEST_PHRASE_BARS) / 40, 0.6),
        ),
    )
