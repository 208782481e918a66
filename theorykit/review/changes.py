"""Whether a take follows the chords: what it plays where each one begins."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from theorykit.analysis.guide_tones import GUIDES, motion
from theorykit.practice.line_chart import LineChart, Slot
from theorykit.review.finding import Finding
from theorykit.review.role import JudgedNote
from theorykit.theory.degree import Degree

#: By how much the last chord must suit the notes better than the one that sounds, as a share of
#: their length, for a change to be missed; and how much of the chord must be played at all
#: (stipulated).
_CLEARLY, _LEAST_PLAYED = 0.25, 0.3


@dataclass(frozen=True, slots=True)
class Change:
    """A chord change and what was played at it.

    Parameters
    ----------
    before, slot : Slot
        The chord that ends and the one that begins.
    bar : int
        Counted from 1.
    beat : Fraction
        Counted from 1.
    target : JudgedNote or None
        The first note over the new chord, within its first beat; None where there is a rest.
    member : str
        Which chord member it is, e.g. ``"third"``; empty where it is none.
    missed : bool
        True where the notes still belong to the chord before.
    """

    before: Slot
    slot: Slot
    bar: int
    beat: Fraction
    target: JudgedNote | None
    member: str
    missed: bool

    @property
    def hit(self) -> bool:
        """True where a chord tone stands at the change."""
        return bool(self.member)

    @property
    def guided(self) -> bool:
        """True where it is the third or the seventh, which tell the chord best."""
        return self.member in GUIDES


def changes(notes: Sequence[JudgedNote], chart: LineChart) -> tuple[Change, ...]:
    """Every chord change of a chart, with what was played at it."""
    found = []
    bar_beats = chart.bars[0].beats
    for before, slot in pairwise(chart.slots):
        if not slot.changes or slot.silent or before.silent:
            continue
        target = _target(notes, slot)
        member = ""
        if target is not None and target.in_chord:
            member = _member(target, slot)
        found.append(
            Change(
                before,
                slot,
                slot.bar + 1,
                slot.start % bar_beats + 1,
                target,
                member,
                _missed(notes, before, slot, hit=bool(member)),
            )
        )
    return tuple(found)


def _target(notes: Sequence[JudgedNote], slot: Slot) -> JudgedNote | None:
    """The first note over a chord, or the one that is tied into it."""
    for judged_note in notes:
        note = judged_note.note
        if judged_note.slot is slot and judged_note.anticipates:
            return judged_note
        if slot.start <= note.start < min(slot.start + 1, slot.end):
            return judged_note
    return None


def _member(target: JudgedNote, slot: Slot) -> str:
    for member in slot.numeral.type.degrees:
        if member.semitones % 12 == (target.note.midi - slot.chord.root.pitch_class) % 12:
            return member.ordinal
    return "root"


def _missed(notes: Sequence[JudgedNote], before: Slot, slot: Slot, *, hit: bool) -> bool:
    inside = [one for one in notes if slot.start <= one.note.start < slot.end]
    if hit or (inside and inside[0].in_chord and inside[0].slot is slot):
        return False
    old = {note.pitch_class for note in before.chord.notes}
    new = {note.pitch_class for note in slot.chord.notes}
    # A note that only the new chord has, on a strong beat, says that the player has heard it.
    if any(one.strong and one.note.midi % 12 in new - old for one in inside):
        return False
    played = in_old = in_new = 0.0
    for judged_note in notes:
        note = judged_note.note
        length = float(min(note.end, slot.end) - max(note.start, slot.start))
        if length <= 0 or judged_note.slot.start > slot.start:
            continue
        played += length
        in_old += length if note.midi % 12 in old else 0.0
        in_new += length if note.midi % 12 in new else 0.0
    if played < _LEAST_PLAYED * float(slot.end - slot.start):
        return False
    return (in_old - in_new) / played >= _CLEARLY


def change_findings(found: Sequence[Change]) -> tuple[Finding, ...]:
    """Changes that were missed, each with the nearest note to aim at."""
    findings = []
    for change in found:
        if not change.missed:
            continue
        old, new = change.before.chord.pretty, change.slot.chord.pretty
        words = f"The chord goes to {new}, and your notes still belong to {old}."
        findings.append(
            Finding(
                "missed change",
                change.bar,
                change.beat,
                words,
                f"Aim for {_aim(change)} when {new} comes.",
                0.8,
            )
        )
    return tuple(findings)


def _aim(change: Change) -> str:
    """The note that tells the new chord from the old: its third or seventh, or else another."""
    slot = change.slot
    sounded = {note.pitch_class for note in change.before.chord.notes}
    every = list(slot.numeral.type.degrees)
    root = slot.chord.root
    fresh = [member for member in every if member.at(root).pitch_class not in sounded]
    members = [member for member in fresh if member.ordinal in GUIDES] or fresh or every
    old = [Degree.between(slot.chord.root, note) for note in change.before.chord.notes]
    steps = [
        (abs(motion(start, member)) or 12, member, start) for member in members for start in old
    ]
    _, member, start = min(steps, key=lambda step: step[0])
    goal, source = member.at(slot.chord.root), start.at(slot.chord.root).simplified()
    size = {1: "a half step", 2: "a whole step"}.get(abs(motion(start, member)), "not far")
    way = "above" if motion(start, member) > 0 else "below"
    where = f", {size} {way} {source.pretty}" if size != "not far" else ""
    return f"{goal.pretty}, its {member.ordinal}{where},"
