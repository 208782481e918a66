"""Classes of note over chord, and how severely each style takes them.

This is a stipulated model of a convention, not a law: it puts numbers on what players of a style
hold. It rests on one inequality, that a foreign note a half step above a chord tone weighs at
least ``SWITCH_AT``. The fourth over a major chord, the sixth over ii, the flat thirteenth over V
and one blues scale throughout are disputed between Nettles & Graf 1997, Levine 1995 and Temperley
2007 (all from memory).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from theorykit.errors import BadInput, nearest

#: From here a note calls for care: pass through it, do not rest on it.
CARE_AT = 0.3
#: From here a note is unwanted: change the scale, or leave the note out.
SWITCH_AT = 0.7


@dataclass(frozen=True, slots=True)
class NoteClass:
    """How a note stands to a chord.

    Parameters
    ----------
    name : str
    role : str
        What is drawn: ``root``, ``chord tone``, ``colour``, ``passing``, ``blue`` or ``avoid``.
    rubs_against : int
        Half steps from the note to the chord member that it rubs against: -1 when the member lies
        below, +1 when it lies above, 0 when there is none.
    """

    name: str
    role: str
    rubs_against: int


CHORD_TONE = NoteClass("chord tone", "chord tone", 0)
PASSING = NoteClass("passing", "passing", -1)
TENSION = NoteClass("functional tension", "colour", -1)
AVOID_DIATONIC = NoteClass("avoid, in the key", "avoid", -1)
AVOID_FOREIGN = NoteClass("avoid, foreign to the key", "avoid", -1)
LEADING_CONFLICT = NoteClass("leading-note conflict", "avoid", +1)
BLUE = NoteClass("blue", "blue", +1)
APPROACH = NoteClass("approach", "passing", +1)
COLOUR = NoteClass("colour", "colour", 0)

#: In the order in which the rules are tried.
CLASSES = (
    CHORD_TONE,
    PASSING,
    TENSION,
    AVOID_DIATONIC,
    AVOID_FOREIGN,
    LEADING_CONFLICT,
    BLUE,
    APPROACH,
    COLOUR,
)

#: The roles that views draw, in the order of the legend.
ROLES = ("root", "chord tone", "colour", "passing", "blue", "avoid")

_STYLE_NAMES = ("bluegrass", "country", "blues", "jazz", "classical")
_SEVERITIES = {
    CHORD_TONE: (0.0, 0.0, 0.0, 0.0, 0.0),
    PASSING: (0.20, 0.20, 0.15, 0.45, 0.25),
    TENSION: (0.15, 0.20, 0.15, 0.05, 0.15),
    AVOID_DIATONIC: (0.45, 0.45, 0.40, 0.55, 0.45),
    AVOID_FOREIGN: (0.90, 0.95, 0.60, 0.75, 1.0),
    LEADING_CONFLICT: (0.35, 0.45, 0.30, 0.60, 0.80),
    BLUE: (0.25, 0.40, 0.10, 0.25, 0.80),
    APPROACH: (0.25, 0.40, 0.10, 0.25, 0.80),
    COLOUR: (0.05, 0.05, 0.05, 0.0, 0.15),
}


@dataclass(frozen=True, slots=True)
class Style:
    """A name and a severity, 0 to 1, for each class of note.

    Parameters
    ----------
    name : str
    severities : tuple of float
        In the order of ``CLASSES``.

    Attributes
    ----------
    switch_classes, care_classes : int
        The classes that are left out and those that are passed through, a bit for each of
        ``CLASSES``.

    Examples
    --------
    >>> find_style("blues").severity(BLUE) < find_style("classical").severity(BLUE)
    True
    """

    name: str
    severities: tuple[float, ...]
    switch_classes: int = field(init=False, repr=False, compare=False)
    care_classes: int = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        # Worked out once: the advice over every scale, chord and style asks for them all the time.
        switch = sum(1 << i for i, taken in enumerate(self.severities) if taken >= SWITCH_AT)
        care = sum(1 << i for i, taken in enumerate(self.severities) if taken >= CARE_AT)
        object.__setattr__(self, "switch_classes", switch)
        object.__setattr__(self, "care_classes", care & ~switch)

    def severity(self, kind: NoteClass) -> float:
        """How severely the style takes a class of note."""
        return self.severities[CLASSES.index(kind)]

    def edited(self, name: str, changes: Mapping[NoteClass, float]) -> Style:
        """A style of another name with some severities changed.

        Raises
        ------
        BadInput
            If a severity is not between 0 and 1.
        """
        for kind, severity in changes.items():
            if not 0.0 <= severity <= 1.0:
                raise BadInput("severity", severity, f"of {kind.name}", accepted="0 to 1")
        return Style(name, tuple(changes.get(kind, self.severity(kind)) for kind in CLASSES))


#: The styles by name, in the order in which menus show them.
STYLES: dict[str, Style] = {
    name: Style(name, tuple(_SEVERITIES[kind][index] for kind in CLASSES))
    for index, name in enumerate(_STYLE_NAMES)
}


def find_style(name: str) -> Style:
    """A style by name.

    Raises
    ------
    BadInput
        If there is none of that name.
    """
    folded = name.strip().casefold() if isinstance(name, str) else ""
    if folded not in STYLES:
        raise BadInput(
            "style",
            name,
            "no style of that name",
            accepted=", ".join(STYLES),
            nearest=nearest(folded, STYLES),
        )
    return STYLES[folded]
