"""Where a note that rubs goes: to which chord member, and by what step."""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.analysis.advice import Advice
from theorykit.analysis.fit import NoteFit
from theorykit.analysis.wording import member_words, token
from theorykit.theory.degree import Degree
from theorykit.theory.numeral import Numeral

#: A note resolves by step: a half step or a whole step (any handbook; from memory).
_LARGEST_STEP = 2


@dataclass(frozen=True, slots=True)
class Resolution:
    """A note's step to a chord member.

    Parameters
    ----------
    note : NoteFit
    numeral : Numeral
        The chord as it sounds.
    member : Degree
        The chord member, above the chord's root.
    half_steps : int
        -2 or -1 downwards, 1 or 2 upwards.
    """

    note: NoteFit
    numeral: Numeral
    member: Degree
    half_steps: int

    @property
    def to(self) -> Degree:
        """The chord member as a degree of the key."""
        return self.numeral.root.plus(self.member)

    @property
    def direction(self) -> str:
        """``"down"`` or ``"up"``."""
        return "down" if self.half_steps < 0 else "up"

    @property
    def step(self) -> str:
        """``"half step"`` or ``"whole step"``."""
        return "half step" if abs(self.half_steps) == 1 else "whole step"

    @property
    def words(self) -> str:
        """As a template, e.g. ``"{b3} goes down a half step to {2}, the fifth"``."""
        name = f"{{{token(self.note.degree, self.note.alternate)}}}"
        goal = member_words(self.numeral, self.member)
        return f"{name} goes {self.direction} a {self.step} to {goal}"


def resolve(note: NoteFit, numeral: Numeral) -> tuple[Resolution, ...]:
    """Every step that takes a note to a chord member, the best first.

    The smaller step first, then the one downwards (stipulated): so a note that rubs goes to the
    member that it rubs against. A chord tone needs none.

    Parameters
    ----------
    note : NoteFit
    numeral : Numeral
        The chord as it sounds.

    Examples
    --------
    >>> from theorykit.analysis.advice import advise
    >>> from theorykit.analysis.style import find_style
    >>> from theorykit.theory.scale import find_scale
    >>> five = Numeral.parse("V")
    >>> advice = advise(find_scale("minor pentatonic"), five, find_style("bluegrass"))
    >>> [step.words for step in resolve(advice.watch[0], five)]
    ['{b3} goes down a half step to {2}, the fifth']
    """
    root, start = numeral.root.semitones, note.degree.semitones
    found = []
    for member in numeral.type.degrees:
        distance = (root + member.semitones - start + 6) % 12 - 6
        if distance == 0:
            return ()
        if abs(distance) <= _LARGEST_STEP:
            found.append(Resolution(note, numeral, member, distance))
    found.sort(key=lambda step: (abs(step.half_steps), step.half_steps))
    return tuple(found)


def resolve_watched(advice: Advice) -> tuple[Resolution, ...]:
    """The best resolution of each note that the advice says to watch, in that order."""
    return tuple(resolve(note, advice.numeral)[0] for note in advice.watch)
