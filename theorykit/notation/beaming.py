"""Beams: which of a bar's short notes hang together, and by how many lines."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from theorykit.notation.stroke import Stroke
from theorykit.theory.meter import Meter

#: What a line of a beam does at a note.
BEGIN, CONTINUE, END, FORWARD, BACKWARD = (
    "begin",
    "continue",
    "end",
    "forward hook",
    "backward hook",
)


def beams(voice: Sequence[Stroke], meter: Meter, lead: Fraction) -> list[tuple[str, ...]]:
    """What each line of the beam does at each sign of a voice, the outermost line first.

    Notes of one beat hang together; in meters of four beats, a half bar of nothing but eighths
    does too (common practice).

    Parameters
    ----------
    voice : sequence of Stroke
    meter : Meter
    lead : Fraction
        Quarters that a pick-up lacks to a full bar.
    """
    groups: list[list[int]] = []
    for index, sign in enumerate(voice):
        if not sign.sounds or _lines(sign) == 0:
            groups.append([])
            continue
        same = (
            groups
            and groups[-1]
            and _place(voice[groups[-1][-1]], meter, lead) == _place(sign, meter, lead)
        )
        if same:
            groups[-1].append(index)
        else:
            groups.append([index])
    if meter.beats % 4 == 0 and meter.beat_quarters == 1:
        groups = _joined(groups, voice, lead)
    found: list[tuple[str, ...]] = [()] * len(voice)
    for group in groups:
        if len(group) > 1:
            for at, index in enumerate(group):
                found[index] = _at(voice, group, at)
    return found


def _place(sign: Stroke, meter: Meter, lead: Fraction) -> int:
    return int((sign.offset + lead) // meter.beat_quarters)


def _joined(groups: list[list[int]], voice: Sequence[Stroke], lead: Fraction) -> list[list[int]]:
    """Two beats of plain eighths that make a half bar, as one group."""
    found: list[list[int]] = []
    for group in groups:
        before = found[-1] if found else []
        both = [*before, *group]
        eighths = all(
            voice[index].base == Fraction(1, 2) and voice[index].tuplet is None for index in both
        )
        if len(before) == len(group) == 2 and eighths:
            start = voice[before[0]].offset + lead
            if start % 2 == 0 and voice[group[0]].offset + lead == start + 1:
                found[-1] = both
                continue
        found.append(group)
    return found


def _lines(sign: Stroke) -> int:
    """How many beams a value has: one for an eighth, two for a sixteenth."""
    return max(0, (1 / sign.base).numerator.bit_length() - 1) if sign.base < 1 else 0


def _at(voice: Sequence[Stroke], group: Sequence[int], at: int) -> tuple[str, ...]:
    lines = [_lines(voice[index]) for index in group]
    parts: list[str] = []
    for line in range(1, lines[at] + 1):
        left = at > 0 and lines[at - 1] >= line
        right = at < len(group) - 1 and lines[at + 1] >= line
        if left and right:
            parts.append(CONTINUE)
        elif right:
            parts.append(BEGIN)
        elif left:
            parts.append(END)
        else:
            parts.append(BACKWARD if at else FORWARD)
    return tuple(parts)
