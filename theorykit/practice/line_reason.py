"""Why a note of a line is there, in a sentence for a student."""

from __future__ import annotations

from theorykit.analysis import style as styles
from theorykit.practice.line_level import LEAP
from theorykit.practice.line_palette import Tone
from theorykit.practice.line_spot import Spot
from theorykit.theory.degree import Degree
from theorykit.theory.pitch import Note, Pitch

_STEPS = {1: "a half step", 2: "a whole step"}


def reason(
    spot: Spot, pitch: Pitch, before: Pitch | None, following: Pitch | None, *, pickup: bool
) -> str:
    """One sentence about a note.

    Parameters
    ----------
    spot : Spot
    pitch : Pitch
    before, following : Pitch or None
        Its neighbours in the phrase.
    pickup : bool
        True where it lies before the phrase's first bar.
    """
    tone, name = spot.tone_at(pitch.midi), pitch.note.pretty
    chord = spot.slot.chord.pretty
    if spot.slot.silent:
        chord += ", which is still in the ear"
    text = f"{name} is the tune's own note."
    if spot.pinned is None and tone is not None:
        text = _told(spot, tone, name, chord, pitch, before, following)
    elif tone is not None and tone.treatment == "rest":
        text = f"{name} is the tune's own note, {_member(tone)} of {chord}: it stays."
    if pickup:
        text += " It is a pick-up: it leads into the bar."
    return text


def _told(
    spot: Spot,
    tone: Tone,
    name: str,
    chord: str,
    pitch: Pitch,
    before: Pitch | None,
    following: Pitch | None,
) -> str:
    is_member = f"{name} is {_member(tone)} of {chord}"
    if tone.treatment == "rest":
        if spot.ends:
            return f"{is_member}, held to the end: the line is at rest."
        if spot.closes:
            return f"{is_member}: the phrase comes to rest on a chord tone and breathes."
        if spot.strong:
            guide = spot.guides and tone.member.number in {3, 7}
            told = "it tells this chord from the last one" if guide else "chord tones belong there"
            return f"{is_member}, on a strong beat: {told}."
        return f"{is_member}{_reached(pitch, before)}."
    goal = "the next note" if following is None else following.note.pretty
    way = _way(pitch, following)
    if tone.treatment == "lead":
        return (
            f"{name} lies {_beside(spot, tone)} of {chord}: a neighbour from outside the scale "
            f"that leads up to it."
        )
    if tone.treatment == "watch":
        return (
            f"{name} rubs, {_beside(spot, tone)} of {chord}, so it is only passed: short, off the "
            f"strong beat, and {way} to {goal}."
        )
    scale = _scale(spot)
    if tone.kind is styles.BLUE and tone.treatment == "blue":
        return (
            f"{name} is a blue note of {scale}, {_beside(spot, tone)} of {chord}; it goes on "
            f"{way} to {goal}."
        )
    if tone.treatment == "slur":
        return f"{name} only colours {scale}: it is short and goes {way} to {goal}."
    if tone.treatment == "brief":
        return (
            f"{name} belongs to {scale} but lies {_beside(spot, tone)} of {chord}: it is short and "
            f"goes {way} to {goal}."
        )
    return f"{name} belongs to {scale} and {_joins(pitch, before, following)}."


def _member(tone: Tone) -> str:
    return f"the {tone.member.ordinal}"


def _reached(pitch: Pitch, before: Pitch | None) -> str:
    """How a chord tone off the strong beats is come by."""
    if before is None:
        return ": the phrase begins on a chord tone"
    move, name = pitch.midi - before.midi, before.note.pretty
    if move == 0:
        return ", struck again"
    side = "up" if move > 0 else "down"
    if abs(move) in _STEPS:
        return f", {_STEPS[abs(move)]} {side} from {name}"
    if abs(move) < LEAP:
        return f", a third {side} from {name}"
    return f", a leap {side} from {name}: the line turns back after it"


def _beside(spot: Spot, tone: Tone) -> str:
    """The chord member that a note rubs against."""
    if tone.rubs is None:
        return "beside the notes"
    side = "below" if tone.kind.rubs_against > 0 else "above"
    note = tone.rubs.at(spot.slot.chord.root).pretty
    return f"a half step {side} {note}, the {tone.rubs.ordinal}"


def _scale(spot: Spot) -> str:
    entry = spot.slot.gritty_plan if spot.gritty else spot.slot.plan
    tonic: Note = entry.scale_tonic.at(spot.slot.tonic)
    return f"{tonic.pretty} {entry.scale.name}"


def _way(pitch: Pitch, following: Pitch | None) -> str:
    if following is None:
        return "on"
    move = following.midi - pitch.midi
    step = _STEPS.get(abs(move), f"{abs(move)} half steps")
    return f"{'up' if move > 0 else 'down'} {step}"


def _joins(pitch: Pitch, before: Pitch | None, following: Pitch | None) -> str:
    if following is None:
        return "stands alone"
    if before is None:
        return f"leads by step to {following.note.pretty}"
    if before.midi == following.midi:
        return f"is the neighbour of {following.note.pretty}"
    passes = (pitch.midi - before.midi) * (following.midi - pitch.midi) > 0
    if passes:
        return f"passes from {before.note.pretty} to {following.note.pretty}"
    return f"turns back to {following.note.pretty} by step"


def spelled_tone(spot: Spot, midi: int, *, rises: bool) -> tuple[Note, Degree]:
    """How a note of the line is written, and what it is above the chord's root.

    Parameters
    ----------
    spot : Spot
    midi : int
    rises : bool
        True where the line goes up from it: a blue fifth is then a raised fourth.
    """
    tone = spot.tone_at(midi)
    assert tone is not None
    if tone.treatment == "rest":
        return tone.member.at(spot.slot.chord.root), tone.member
    degree, member = tone.degree, tone.member
    if rises and tone.rising is not None:
        degree, member = tone.rising, tone.rising.minus(spot.slot.numeral.root)
    note = degree.at(spot.slot.tonic)
    return (note.simplified() if abs(note.alter) > 1 else note), member
