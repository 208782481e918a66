"""Advice in plain words, with no key in them.

A sentence names notes by degree tokens: ``{b3}`` is the note on the lowered third of the key,
``{b5|#4}`` one with two spellings, ``{5:7}`` the chord symbol of a dominant seventh on the fifth
degree. ``fill`` puts a key's names in; views do the same with their table of names.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING

from theorykit.analysis import style as styles
from theorykit.theory.degree import Degree
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.scale import ScaleFormula, printed_degree

if TYPE_CHECKING:
    from theorykit.analysis.fit import Fit, NoteFit

#: What is said of a note that rubs too little to mind, by its class.
_LIGHTLY = {
    styles.PASSING.name: "passes",
    styles.TENSION.name: "is a tension",
    styles.AVOID_DIATONIC.name: "passes",
    styles.AVOID_FOREIGN.name: "passes",
    styles.LEADING_CONFLICT.name: "leans up",
    styles.APPROACH.name: "leads up",
}

TOKEN = re.compile(r"\{([^}:]+)(?::([^}]*))?\}")


def token(degree: Degree, alternate: Degree | None = None) -> str:
    """The name of a note in any key, e.g. ``"b5|#4"`` (what stands inside the braces)."""
    return f"{degree}|{alternate}" if alternate is not None else str(degree)


def token_degree(text: str, tonic: Note) -> Degree:
    """The degree that a token prints as in a key."""
    first, _, second = text.partition("|")
    alternate = Degree.parse(second) if second else None
    return printed_degree(Degree.parse(first), alternate, tonic)


def fill(template: str, tonic: Note, *, pretty: bool = False) -> str:
    """Put a key's names into a sentence.

    >>> fill("Over {5:7}, leave out {b3}.", Note.parse("Bb"))
    'Over F7, leave out Db.'
    """

    def name(match: re.Match[str]) -> str:
        note = token_degree(match[1], tonic).at(tonic)
        suffix = match[2] or ""
        if pretty:
            return note.pretty + suffix.replace("b", "♭").replace("#", "♯")
        return str(note) + suffix

    return TOKEN.sub(name, template)


def chord_words(numeral: Numeral) -> str:
    """A chord symbol as a template, e.g. ``"{5:7}"``, ``"{1:}/{3}"``."""
    bass = f"/{{{numeral.bass}}}" if numeral.bass is not None else ""
    return f"{{{numeral.root}:{numeral.type.suffix}}}{bass}"


def scale_words(scale: ScaleFormula, tonic: Degree, numeral: Numeral) -> str:
    """A scale's full name as a template, e.g. ``"{1} minor pentatonic"``."""
    if scale.follows_chord:
        return f"the {chord_words(numeral)} {scale.name}"
    return f"{{{tonic}}} {scale.name}"


def sentence(
    verdict: str,
    numeral: Numeral,
    chosen: ScaleFormula,
    scale: ScaleFormula,
    scale_tonic: Degree,
    held: Fit,
) -> str:
    """The advice over one chord as one sentence."""
    chord = chord_words(numeral)
    held_name = scale_words(chosen, numeral.root if chosen.follows_chord else Degree(1), numeral)
    unwanted, careful = held.unwanted, held.careful
    if verdict == "switch":
        new_name = scale_words(scale, scale_tonic, numeral)
        text = f"Over {chord}, leave {held_name} for {new_name}: {_rubs(unwanted, numeral)}"
        return text + _replacement(unwanted, numeral, scale, scale_tonic) + "."
    if verdict == "leave":
        text = f"Over {chord}, stay on {held_name} but leave out {_names(unwanted)}"
        if careful:
            text += f" and pass through {_names(careful)}"
        return f"{text}: {_rubs((*unwanted, *careful), numeral)}."
    if verdict == "pass":
        return (
            f"Over {chord}, stay on {held_name} and pass through {_names(careful)}: "
            f"{_rubs(careful, numeral)}."
        )
    if chosen.follows_chord:
        return f"Over {chord}, its own notes are {_names(held.notes)}: rest on any of them."
    return f"Over {chord}, stay on {held_name}: {_settled(held, numeral)}."


def _settled(held: Fit, numeral: Numeral) -> str:
    """Why one may stay: the blue notes, or else the notes that rub too little to mind."""
    if not held.rubs:
        return "no note of it rubs"
    blue = [note for note in held.notes if note.kind is styles.BLUE]
    if blue:
        noun = "a blue note" if len(blue) == 1 else "blue notes"
        verb = "is" if len(blue) == 1 else "are"
        against = ", and ".join(
            f"{{{_member_token(note, numeral)}}}, {_the(note)}" for note in blue
        )
        return f"{_names(blue)} {verb} {noun}, a half step below {against}"
    light = [note for note in held.notes if note.kind.rubs_against]
    return "; ".join(
        f"{_names([note])} {_LIGHTLY[note.kind.name]}, a half step {_side(note)} "
        f"{{{_member_token(note, numeral)}}}, {_the(note)}"
        for note in light
    )


def short_words(
    verdict: str,
    scale: ScaleFormula,
    scale_tonic: Degree,
    numeral: Numeral,
    held: Fit,
) -> str:
    """The advice in as few words as a bar of the chart has room for."""
    if verdict == "switch":
        return f"switch to {scale_words(scale, scale_tonic, numeral)}"
    if verdict == "stay":
        return "stay"
    if verdict == "leave":
        return f"leave out {_names(held.unwanted)}"
    return f"pass through {_names(held.careful)}"


def _names(notes: Sequence[NoteFit]) -> str:
    return _list([f"{{{token(note.degree, note.alternate)}}}" for note in notes])


def _rubs(notes: Sequence[NoteFit], numeral: Numeral) -> str:
    """Where each note rubs; notes that rub alike are told together."""
    parts = []
    for note in notes:
        member = f"{{{_member_token(note, numeral)}}}, {_the(note)}"
        parts.append(f"{_names([note])} lies a half step {_side(note)} {member}")
    return "; ".join(parts)


def _replacement(
    unwanted: Sequence[NoteFit], numeral: Numeral, scale: ScaleFormula, tonic: Degree
) -> str:
    """Which chord members the new scale has in place of the notes that rubbed."""
    new = {tonic.plus(degree).semitones % 12 for degree in scale.degrees}
    members = []
    for note in unwanted:
        member = _member_token(note, numeral)
        if Degree.parse(member).semitones % 12 in new and f"{{{member}}}" not in members:
            members.append(f"{{{member}}}")
    if not members:
        return ""
    takes, place = ("takes", "its") if len(unwanted) == 1 else ("take", "their")
    if len(members) == 1:
        takes = "takes"
    return f"; {_list(members)} {takes} {place} place"


def _member_token(note: NoteFit, numeral: Numeral) -> str:
    assert note.member is not None
    return str(numeral.root.plus(note.member))


def _side(note: NoteFit) -> str:
    return "above" if note.kind.rubs_against < 0 else "below"


def _the(note: NoteFit) -> str:
    assert note.member is not None
    return f"the {note.member.ordinal}"


def _list(words: Sequence[str]) -> str:
    if len(words) <= 1:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"
