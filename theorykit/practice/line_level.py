"""The levels of a line: what each one promises, and how far it may leap."""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.errors import BadInput


@dataclass(frozen=True, slots=True)
class Level:
    """What a line of a level keeps to.

    Parameters
    ----------
    number : int
    name : str
    promise : str
        What a student can count on, in a sentence.
    widest : int
        The largest leap, in half steps.
    scale, chromatic, blue, answers : bool
        Whether it has scale notes between the chord's, half-step neighbours from below, blue
        notes, and calls with answers.
    steps_in : int
        The largest move onto a note that is not in the chord.
    """

    number: int
    name: str
    promise: str
    widest: int
    scale: bool
    chromatic: bool
    blue: bool
    answers: bool
    steps_in: int


#: The largest move that counts as a step, over a scale of seven notes and over one with gaps.
STEP, BLUES_STEP = 2, 3
#: From a fourth on a move is a leap that has to be made good.
LEAP = 5

#: The order in which improvisers are taught them (common practice).
LEVELS: dict[int, Level] = {
    1: Level(
        1,
        "chord tones",
        "Every note is in the chord; after a fourth or a fifth the line turns back.",
        7,
        scale=False,
        chromatic=False,
        blue=False,
        answers=False,
        steps_in=0,
    ),
    2: Level(
        2,
        "joined by scale notes",
        "Chord tones stand on the strong beats, and scale notes join them by step.",
        9,
        scale=True,
        chromatic=False,
        blue=False,
        answers=False,
        steps_in=STEP,
    ),
    3: Level(
        3,
        "neighbours and pick-ups",
        "Chord tones stand on the strong beats; half-step neighbours lead up to them, and phrases "
        "begin before the bar.",
        12,
        scale=True,
        chromatic=True,
        blue=False,
        answers=False,
        steps_in=4,
    ),
    4: Level(
        4,
        "blues, call and answer",
        "Two bars call and two answer in the same rhythm; strong beats have chord tones and, where "
        "it is gritty, blue notes.",
        12,
        scale=True,
        chromatic=True,
        blue=True,
        answers=True,
        steps_in=4,
    ),
}


def find_level(number: object) -> Level:
    """A level by its number.

    Raises
    ------
    BadInput
        If there is no such level.

    Examples
    --------
    >>> find_level(2).name
    'joined by scale notes'
    """
    if isinstance(number, bool) or not isinstance(number, int) or number not in LEVELS:
        raise BadInput("level", number, "no such level", accepted=f"1 to {len(LEVELS)}")
    return LEVELS[number]
