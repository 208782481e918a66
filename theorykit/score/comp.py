"""What the chords are played with: which notes, and at which strokes of the feel."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from theorykit.score.feel import Stroke
from theorykit.score.harmony import Span

#: G3, the lowest note of a mandolin, from which chops are built. Root and fifth alone start at E3,
#: an octave over the bass: lower, the two would be one.
CHOP_LOWEST, POWER_LOWEST = 55, 52

#: More notes than this in one octave are a blur.
MOST_NOTES = 4

#: How loud the stroke is that a chord gets if the feel has none for it.
_ADDED_LEVEL = 0.85


@dataclass(frozen=True, slots=True)
class CompStroke:
    """A chord that sounds: when and for how long, how loud, what, and of which span."""

    start: Fraction
    beats: Fraction
    level: float
    what: str
    span: Span


def comp_strokes(
    spans: Sequence[Span], strokes: Sequence[tuple[Fraction, Stroke]]
) -> list[CompStroke]:
    """The strokes that sound over a chorus; a chord that the feel passes over gets one of its own.

    Parameters
    ----------
    spans : sequence of Span
    strokes : sequence of (Fraction, Stroke)
        Every stroke of the feel with its beat.
    """
    found: list[CompStroke] = []
    for span in spans:
        if span.silent:
            continue
        inside = [
            CompStroke(at, min(stroke.beats, span.end - at), stroke.level, stroke.what, span)
            for at, stroke in strokes
            if span.start <= at < span.end
        ]
        if not inside:
            beats = min(span.beats, Fraction(1, 2))
            inside = [CompStroke(span.start, beats, _ADDED_LEVEL, "chord", span)]
        found += inside
    return found


def close_voicing(root: int, members: Sequence[int]) -> list[int]:
    """A chord within an octave from the lowest note of a mandolin up, lowest note first.

    Of a chord of more than four notes a perfect fifth is left out first, then the root, which the
    bass has, then what lies lowest of the stack above the seventh.

    Parameters
    ----------
    root : int
        Pitch class.
    members : sequence of int
        Half steps above the root, stacked upwards.

    Examples
    --------
    >>> close_voicing(7, (0, 4, 7)), close_voicing(7, (0, 4, 7, 10, 2, 9))
    ([55, 59, 62], [57, 59, 64, 65])
    """
    stack = list(dict.fromkeys(members))
    for spared in (7, 0):
        if len(stack) > MOST_NOTES and spared in stack:
            stack.remove(spared)
    while len(stack) > MOST_NOTES:
        del stack[2]
    return sorted(_key_from(CHOP_LOWEST, root + member) for member in stack)


def power_voicing(root: int, fifth: int | None) -> list[int]:
    """Root, fifth and octave, low on the neck; pitch classes in, key numbers out.

    Examples
    --------
    >>> power_voicing(9, 4)
    [57, 64, 69]
    """
    low = _key_from(POWER_LOWEST, root)
    return [low] + ([low + (fifth - root) % 12] if fifth is not None else []) + [low + 12]


def _key_from(lowest: int, pitch_class: int) -> int:
    return lowest + (pitch_class - lowest) % 12
