"""Guide tones: the chord tones that lead from chord to chord by the least motion."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from theorykit.analysis.wording import chord_words
from theorykit.errors import BadInput
from theorykit.theory.degree import ORDINALS, Degree
from theorykit.theory.numeral import Numeral
from theorykit.theory.progression import Progression
from theorykit.theory.shortest_path import Cost, cheapest_path

#: The members that tell one chord from the next, and so make the best guides (common practice).
GUIDES = ("third", "seventh")

_MEMBER_NAMES = tuple(name for number, name in ORDINALS.items() if number not in {8, 10, 12})


@dataclass(frozen=True, slots=True)
class GuideTone:
    """One note of a line.

    Parameters
    ----------
    numeral : Numeral
        The chord.
    member : Degree
        Above the chord's root.
    degree : Degree
        The same note above the key's tonic.
    half_steps : int
        Motion from the note before, at most six up or five down; 0 for the first.
    """

    numeral: Numeral
    member: Degree
    degree: Degree
    half_steps: int


@dataclass(frozen=True, slots=True)
class Lead:
    """From a chord tone to the nearest tone of the next chord.

    Parameters
    ----------
    start, to : GuideTone
        ``to.half_steps`` is the motion.
    """

    start: GuideTone
    to: GuideTone

    @property
    def words(self) -> str:
        """As a template, e.g. ``"{3}, the third of {1:}, rises a half step to {4}, ..."``."""
        start = f"{{{self.start.degree}}}, the {self.start.member.ordinal} of "
        to = f"{{{self.to.degree}}}, the {self.to.member.ordinal} of "
        start, to = start + chord_words(self.start.numeral), to + chord_words(self.to.numeral)
        distance = self.to.half_steps
        if distance == 0:
            return f"{start}, stays as {to}"
        verb = "rises" if distance > 0 else "falls"
        size = {1: "a half step", 2: "a whole step"}.get(
            abs(distance), f"{abs(distance)} half steps"
        )
        return f"{start}, {verb} {size} to {to}"


def motion(start: Degree, to: Degree) -> int:
    """Half steps from one note to the nearest place of another: -5 to 6.

    >>> motion(Degree.parse("7"), Degree.parse("1"))
    1
    """
    return (to.semitones - start.semitones + 5) % 12 - 5


def leads(current: Numeral, following: Numeral) -> tuple[Lead, ...]:
    """For each tone of a chord the nearest of the next one; both, where two are as near.

    Examples
    --------
    >>> [lead.words for lead in leads(Numeral.parse("V7"), Numeral.parse("I"))][1]
    '{7}, the third of {5:7}, rises a half step to {1}, the root of {1:}'
    """
    found = []
    for start in _tones(current, ()):
        moved = [_moved(start, tone) for tone in _tones(following, ())]
        least = min(abs(tone.half_steps) for tone in moved)
        found += [Lead(start, tone) for tone in moved if abs(tone.half_steps) == least]
    return tuple(found)


def guide_tone_line(
    progression: Progression,
    *,
    members: Sequence[str] = GUIDES,
    start: str | None = None,
) -> tuple[GuideTone, ...]:
    """The line through a whole form that moves least, a note for each chord.

    Parameters
    ----------
    progression : Progression
    members : sequence of str
        Which chord members to use, by their plain names; a chord that has none of them gives all
        of its own.
    start : str, optional
        The member of the first chord to start on.

    Returns
    -------
    tuple of GuideTone
        Of lines that move as little, the one with fewer half steps upwards: guide tones fall.

    Raises
    ------
    BadInput
        If a member has no such name, or the first chord has not got the one to start on.

    Examples
    --------
    >>> line = guide_tone_line(Progression.parse("| ii7 | V7 | Imaj7 |"))
    >>> [str(tone.degree) for tone in line], [tone.half_steps for tone in line]
    (['4', '4', '3'], [0, 0, -1])
    """
    for member in (*members, *([start] if start is not None else [])):
        if member not in _MEMBER_NAMES:
            raise BadInput(
                "chord member", member, "no such member", accepted=", ".join(_MEMBER_NAMES)
            )
    numerals = [chord.numeral for chord in progression.chords]
    layers = [_tones(numeral, members) for numeral in numerals]
    if start is not None:
        layers[0] = [tone for tone in _tones(numerals[0], ()) if tone.member.ordinal == start]
        if not layers[0]:
            raise BadInput("chord member", start, f"the first chord, {numerals[0]}, has none")
    _, path = cheapest_path(layers, _cost)
    return (path[0], *(_moved(before, after) for before, after in pairwise(path)))


def _cost(before: GuideTone | None, after: GuideTone | None) -> Cost:
    if before is None or after is None:
        return (0, 0)
    distance = motion(before.degree, after.degree)
    return (abs(distance), max(distance, 0))


def _tones(numeral: Numeral, members: Sequence[str]) -> list[GuideTone]:
    every = [
        GuideTone(numeral, member, numeral.root.plus(member), 0) for member in numeral.type.degrees
    ]
    return [tone for tone in every if tone.member.ordinal in members] or every


def _moved(before: GuideTone, after: GuideTone) -> GuideTone:
    distance = motion(before.degree, after.degree)
    return GuideTone(after.numeral, after.member, after.degree, distance)
