"""What a line may do with each of the twelve notes over a chord, in a style."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from theorykit.analysis import style as styles
from theorykit.analysis.classification import Harmony
from theorykit.analysis.fit import NoteFit
from theorykit.analysis.resolution import resolve
from theorykit.analysis.style import CARE_AT, CLASSES, SWITCH_AT, NoteClass, Style
from theorykit.analysis.tonality import TuneMode
from theorykit.theory.degree import Degree
from theorykit.theory.numeral import Numeral
from theorykit.theory.scale import ScaleFormula

#: How a line may use a note: rest on it, join with it, dwell on it as a blue note, pass it briefly,
#: slur it to a neighbour a half step off, pass it with care, lead up from it.
Treatment = Literal["rest", "join", "blue", "brief", "slur", "watch", "lead"]

#: The scale that a gritty bar holds.
GRITTY_SCALE = "blues"


@dataclass(frozen=True, slots=True)
class Tone:
    """A note over a chord.

    Parameters
    ----------
    degree : Degree
        Above the tonic.
    member : Degree
        Above the chord's root.
    kind : NoteClass
    role : str
        As views draw it.
    treatment : str
    goals : tuple of int
        The steps that take it to a chord member, in half steps, the best first.
    rubs : Degree or None
        The chord member a half step off, above the chord's root.
    rising : Degree or None
        How it is written on the way up, above the tonic, if not as ``degree``.
    """

    degree: Degree
    member: Degree
    kind: NoteClass
    role: str
    treatment: Treatment
    goals: tuple[int, ...]
    rubs: Degree | None = None
    rising: Degree | None = None


#: For each half step above the tonic what a line may do there; None to leave it out.
Palette = tuple[Tone | None, ...]


@lru_cache(maxsize=4096)
def palette(
    numeral: Numeral, mode: TuneMode, style: Style, scale: ScaleFormula, tonic: Degree
) -> Palette:
    """What a line may do with each of the twelve notes over a chord.

    The chord's own notes are all there, and put the scale's notes of their letters aside.

    Parameters
    ----------
    numeral : Numeral
    mode : {"major", "minor", "Mixolydian", "Dorian"}
    style : Style
    scale : ScaleFormula
        The one that is held, on ``tonic``, a degree of the key.
    tonic : Degree

    Examples
    --------
    >>> from theorykit.analysis.style import find_style
    >>> from theorykit.theory.scale import find_scale
    >>> five, jazz = Numeral.parse("V7"), find_style("jazz")
    >>> notes = palette(five, "major", jazz, find_scale("Mixolydian"), Degree(1))
    >>> [str(tone.degree) for tone in notes if tone and tone.treatment != "lead"]
    ['1', '2', '3', '4', '5', '6', '7']
    """
    harmony = Harmony.of(numeral, mode)
    gritty = scale.name == GRITTY_SCALE
    members = {degree.semitones % 12: degree for degree in numeral.members}
    letters = {degree.number for degree in numeral.members}
    held = [tonic.plus(degree) for degree in scale.degrees]
    passed = {tonic.plus(degree).semitones % 12 for degree in scale.ornaments}
    names = {
        degree.semitones % 12: degree for degree in held if gritty or degree.number not in letters
    }
    second = {
        held[place].semitones % 12: tonic.plus(alternate)
        for place, alternate in enumerate(scale.alternates)
        if alternate is not None
    }
    found: list[Tone | None] = []
    for step in range(12):
        kind, severity = CLASSES[harmony.codes[step]], style.severities[harmony.codes[step]]
        if step in members:
            degree = members[step]
            member = degree.minus(numeral.root)
            role = "root" if member == Degree(1) else "chord tone"
            found.append(Tone(degree, member, kind, role, "rest", ()))
            continue
        leads = kind in {styles.APPROACH, styles.BLUE}
        if severity >= SWITCH_AT or (step not in names and not leads):
            found.append(None)
            continue
        name = names.get(step)
        note = NoteFit(
            name if name is not None else _neighbour(members[(step + 1) % 12], numeral),
            None,
            kind,
            severity,
            harmony.members[step],
        )
        goals = tuple(way.half_steps for way in resolve(note, numeral))
        treatment = _treatment(kind, severity, known=name is not None, ornament=step in passed)
        found.append(
            Tone(
                note.degree,
                note.degree.minus(numeral.root),
                kind,
                kind.role,
                treatment,
                goals if treatment != "lead" else (1,),
                harmony.members[step],
                second.get(step),
            )
        )
    return tuple(found)


def _treatment(kind: NoteClass, severity: float, *, known: bool, ornament: bool) -> Treatment:
    if not known:
        return "lead"
    if kind.role == "avoid" or severity >= CARE_AT:
        return "watch"
    if ornament:
        return "slur"
    if kind in {styles.PASSING, styles.APPROACH}:
        return "brief"
    return "blue" if kind is styles.BLUE else "join"


def _neighbour(goal: Degree, numeral: Numeral) -> Degree:
    """How a half step below a chord member is written: on the letter below, but a lowered third."""
    if goal.minus(numeral.root) == Degree(3):
        return Degree(goal.number, goal.alter - 1)
    number = (goal.number - 2) % 7 + 1
    surplus = goal.semitones - 1 - Degree(number).semitones
    return Degree(number, (surplus + 6) % 12 - 6)
