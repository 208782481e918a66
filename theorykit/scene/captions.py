"""Text alternatives and the sentences that tell what a scale is."""

from __future__ import annotations

from collections.abc import Sequence

from theorykit.analysis.wording import token
from theorykit.scene.codes import CODES
from theorykit.theory.degree import Degree
from theorykit.theory.scale import ScaleFormula

#: What the chart and the sentence say where no chord sounds.
NO_CHORD, SILENCE_SHORT = "N.C.", "free"
SILENCE = "No chord sounds here: nothing rubs."


def alternatives(
    instrument: str, heading: str, marks: Sequence[dict[str, str] | None], tonic: int
) -> dict[str, str]:
    """What each picture shows, in words: for neck, keyboard and ruler, from the tonic up."""
    notes = ", ".join(
        f"{mark['name']} ({mark['degree']}) {CODES[mark['role']].words}"
        for mark in (*marks[tonic:], *marks[:tonic])
        if mark is not None
    )
    return {
        "neck": f"{instrument[:1].upper()}{instrument[1:]} neck, {heading}: {notes}",
        "keyboard": f"Piano keyboard, {heading}: {notes}",
        "ruler": f"Half-step ruler, {heading}: {notes}",
    }


def scale_sentence(first: ScaleFormula, second: ScaleFormula | None) -> str:
    """What a scale is, or what sets two apart, with its notes as degree tokens."""
    if second is None or second.name == first.name:
        if first.follows_chord:
            return "The tones of the tonic chord."
        degrees = " ".join(degree.pretty for degree in first.degrees)
        return f"{{1}} {first.name} is {_names(first, first.semitones)}: {degrees}."
    if first.follows_chord or second.follows_chord:
        return f"{{1}} {first.name} beside {second.name}."
    mine, theirs = set(first.semitones), set(second.semitones)
    gains = _names(second, sorted(theirs - mine))
    losses = _names(first, sorted(mine - theirs))
    if not gains and not losses:
        return f"{{1}} {first.name} and {second.name} have the same notes."
    change = " and ".join(
        part for part in (gains and f"adds {gains}", losses and f"leaves out {losses}") if part
    )
    return f"Beside {{1}} {first.name}, {{1}} {second.name} {change}."


def _names(scale: ScaleFormula, semitones: Sequence[int]) -> str:
    by_semitone: dict[int, tuple[Degree, Degree | None]] = {
        degree.semitones: (degree, scale.alternate(index))
        for index, degree in enumerate(scale.degrees)
    }
    words = [f"{{{token(*by_semitone[semitone])}}}" for semitone in semitones]
    if len(words) <= 1:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"
