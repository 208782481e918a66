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
from theorykit.analysis.style import CLASSES
from theorykit.theory.chord import ChordType
from theorykit.theory.degree import Degree
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.scale import ScaleFormula, printed_degree

if TYPE_CHECKING:
    from theorykit.analysis.fit import Fit, Placement

#: What is said of a note that rubs too little to mind, by its class.
_LIGHTLY = {
    styles.PASSING: "passes",
    styles.TENSION: "is a tension",
    styles.AVOID_DIATONIC: "passes",
    styles.AVOID_FOREIGN: "passes",
    styles.LEADING_CONFLICT: "leans up",
    styles.APPROACH: "leads up",
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


def in_degrees(template: str) -> str:
    """The sentence with no key: notes as degrees, chords as numerals.

    >>> in_degrees("Over {5:7}, leave out {b3}.")
    'Over V7, leave out ♭3.'
    """

    def name(match: re.Match[str]) -> str:
        degree = Degree.parse(match[1].partition("|")[0])
        if match[2] is None:
            return degree.pretty
        return Numeral(degree, ChordType.parse(match[2])).pretty

    return TOKEN.sub(name, template)


def told(template: str, tonic: Note | None) -> str:
    """The sentence in a key with music signs, or in degrees where no key is given."""
    return in_degrees(template) if tonic is None else fill(template, tonic, pretty=True)


def chord_words(numeral: Numeral) -> str:
    """A chord symbol as a template, e.g. ``"{5:7}"``, ``"{1:}/{3}"``."""
    bass = f"/{{{numeral.bass}}}" if numeral.bass is not None else ""
    return f"{{{numeral.root}:{numeral.type.suffix}}}{bass}"


def scale_words(scale: ScaleFormula, tonic: Degree, numeral: Numeral) -> str:
    """A scale's full name as a template, e.g. ``"{1} minor pentatonic"``."""
    if scale.follows_chord:
        return f"the {chord_words(numeral)} {scale.name}"
    return f"{{{tonic}}} {scale.name}"


def note_words(placement: Placement, place: int) -> str:
    """A note of a placed scale as a template, e.g. ``"{b5|#4}"``."""
    said = placement.words.get(place)
    if said is None:
        name = token(placement.degree(place), placement.alternate(place))
        said = placement.words[place] = f"{{{name}}}"
    return said


def member_words(numeral: Numeral, member: Degree) -> str:
    """A chord member as a template, e.g. ``"{2}, the fifth"``."""
    return f"{{{numeral.root.plus(member)}}}, the {member.ordinal}"


def rub_words(placement: Placement, place: int) -> str:
    """Where a note rubs, e.g. ``"a half step above {2}, the fifth"``."""
    harmony, step = placement.harmony, placement.steps[place]
    said = harmony.words.get(step)
    if said is None:
        member = harmony.members[step]
        side = "above" if CLASSES[harmony.codes[step]].rubs_against < 0 else "below"
        assert member is not None  # only a note that rubs is asked about
        said = f"a half step {side} {member_words(harmony.numeral, member)}"
        harmony.words[step] = said
    return said


def sentence(verdict: str, scale: ScaleFormula, scale_tonic: Degree, held: Fit) -> str:
    """The advice over one chord as one sentence.

    Parameters
    ----------
    verdict : {"stay", "pass", "leave", "switch"}
    scale, scale_tonic : ScaleFormula, Degree
        What to play.
    held : Fit
        The chosen scale over the chord.
    """
    placement = held.placement
    unwanted = held.unwanted_places
    careful = () if verdict == "switch" else held.careful_places
    # Styles agree more often than not, so a sentence is made once for all that say the same.
    key = (verdict, unwanted, careful, scale.name, scale_tonic.number, scale_tonic.alter)
    said = placement.words.get(key)
    if said is None:
        said = _sentence(verdict, scale, scale_tonic, placement, unwanted, careful)
        placement.words[key] = said
    return said


def _sentence(
    verdict: str,
    scale: ScaleFormula,
    scale_tonic: Degree,
    placement: Placement,
    unwanted: tuple[int, ...],
    careful: tuple[int, ...],
) -> str:
    words = placement.harmony.words
    chord = words.get("chord") or words.setdefault("chord", chord_words(placement.numeral))
    held_name = scale_words(placement.scale, placement.tonic, placement.numeral)
    if verdict == "switch":
        new_name = scale_words(scale, scale_tonic, placement.numeral)
        text = f"Over {chord}, leave {held_name} for {new_name}: {_rubs(placement, unwanted)}"
        return text + _replacement(placement, unwanted, scale, scale_tonic) + "."
    if verdict == "leave":
        text = f"Over {chord}, stay on {held_name} but leave out {_names(placement, unwanted)}"
        if careful:
            text += f" and pass through {_names(placement, careful)}"
        return f"{text}: {_rubs(placement, (*unwanted, *careful))}."
    if verdict == "pass":
        return (
            f"Over {chord}, stay on {held_name} and pass through {_names(placement, careful)}: "
            f"{_rubs(placement, careful)}."
        )
    if placement.scale.follows_chord:
        every = _names(placement, range(len(placement.codes)))
        return f"Over {chord}, its own notes are {every}: rest on any of them."
    return f"Over {chord}, stay on {held_name}: {_settled(placement)}."


def _settled(placement: Placement) -> str:
    """Why one may stay: the blue notes, or else the notes that rub too little to mind."""
    kinds = [CLASSES[code] for code in placement.codes]
    blue = [place for place, kind in enumerate(kinds) if kind is styles.BLUE]
    if blue:
        are = "is a blue note" if len(blue) == 1 else "are blue notes"
        members = [placement.member(place) for place in blue]
        against = ", and ".join(
            member_words(placement.numeral, member) for member in members if member is not None
        )
        return f"{_names(placement, blue)} {are}, a half step below {against}"
    light = [place for place, kind in enumerate(kinds) if kind.rubs_against]
    told = [
        f"{note_words(placement, place)} {_LIGHTLY[kinds[place]]}, {rub_words(placement, place)}"
        for place in light
    ]
    return "; ".join(told) if told else "no note of it rubs"


def short_words(verdict: str, scale: ScaleFormula, scale_tonic: Degree, held: Fit) -> str:
    """The advice in as few words as a bar of the chart has room for."""
    if verdict == "stay":
        return "stay"
    placement = held.placement
    if verdict == "switch":
        return f"switch to {scale_words(scale, scale_tonic, placement.numeral)}"
    if verdict == "leave":
        return f"leave out {_names(placement, held.unwanted_places)}"
    return f"pass through {_names(placement, held.careful_places)}"


def _names(placement: Placement, places: Sequence[int]) -> str:
    return listed([note_words(placement, place) for place in places])


def _rubs(placement: Placement, places: Sequence[int]) -> str:
    """Where each note rubs."""
    return "; ".join(
        [f"{note_words(placement, place)} lies {rub_words(placement, place)}" for place in places]
    )


def _replacement(
    placement: Placement, unwanted: Sequence[int], scale: ScaleFormula, tonic: Degree
) -> str:
    """Which chord members the new scale has in place of the notes that rubbed."""
    start = tonic.semitones
    new = {(start + step) % 12 for step in scale.semitones}
    members = dict.fromkeys(
        f"{{{degree}}}"
        for degree in (
            placement.numeral.root.plus(member)
            for member in map(placement.member, unwanted)
            if member is not None
        )
        if degree.semitones % 12 in new
    )
    if not members:
        return ""
    takes = "takes" if len(members) == 1 else "take"
    place = "its" if len(unwanted) == 1 else "their"
    return f"; {listed(list(members))} {takes} {place} place"


def listed(words: Sequence[str]) -> str:
    """Words as a list in a sentence: ``a, b and c``."""
    if len(words) <= 1:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"
