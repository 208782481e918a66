"""A note of a line before its pitch is known, and what may stand there."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from theorykit.practice.line_chart import Slot
from theorykit.practice.line_level import BLUES_STEP, STEP, Level
from theorykit.practice.line_palette import Palette, Tone

#: The longest note that may be watched, passed briefly or lead up: an eighth, in quarters; and the
#: longest that is not in the chord.
LONGEST_BRIEF, LONGEST_JOIN = Fraction(1, 2), Fraction(1)

#: A line ends on one of these members.
FINAL_MEMBERS = frozenset({1, 3, 5})


@dataclass(frozen=True, slots=True)
class Spot:
    """A note to be found.

    Parameters
    ----------
    start, beats : Fraction
    quarters : Fraction
        How long it is, in quarters.
    slot : Slot
    gritty : bool
    strong : bool
    rests : bool
        True where a rest follows, so that nothing can resolve.
    closes, ends : bool
        The last of a phrase, and the last of all.
    height : float
        Where the contour is, as a MIDI number.
    like : int or None
        The move onto the same note of the call, in half steps.
    pinned : int or None
        A MIDI number that stands.
    """

    start: Fraction
    beats: Fraction
    quarters: Fraction
    slot: Slot
    gritty: bool
    strong: bool
    rests: bool
    closes: bool
    ends: bool
    height: float
    like: int | None = None
    pinned: int | None = None

    @property
    def palette(self) -> Palette:
        """What may be played here."""
        return self.slot.gritty if self.gritty else self.slot.plain

    @property
    def step(self) -> int:
        """The largest move that is a step here."""
        return BLUES_STEP if self.gritty else STEP

    @property
    def guides(self) -> bool:
        """True where a new chord begins, which its third and seventh tell best."""
        return self.slot.changes and self.start == self.slot.start

    def tone_at(self, midi: int) -> Tone | None:
        """What a pitch is here."""
        return self.palette[(midi - self.slot.tonic.pitch_class) % 12]


def allowed(tone: Tone, spot: Spot, level: Level) -> bool:
    """True where a level lets a note stand, whatever comes before and after it."""
    if tone.treatment == "rest":
        return not spot.ends or tone.member.number in FINAL_MEMBERS
    if not level.scale or spot.closes or spot.ends or spot.rests:
        return False
    if tone.treatment == "lead" and not level.chromatic:
        return False
    if tone.treatment == "blue" and spot.gritty:
        return True
    if spot.strong or spot.quarters > LONGEST_JOIN:
        return False
    return tone.treatment == "join" or spot.quarters <= LONGEST_BRIEF
