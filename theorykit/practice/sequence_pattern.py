"""Sequence patterns: a small figure that moves through a scale step by step, as data."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from theorykit.errors import BadInput, nearest

#: The widest figure, in steps above or below the note it starts from.
MOST_STEPS, MOST_NOTES = 15, 16

_TEXT = re.compile(r"-?[0-9]{1,2}(?:(?:[\s,]+|-)-?[0-9]{1,2})*")
_STEP = re.compile(r"(?:(?<=[\s,-])|^)-?[0-9]{1,2}")


@dataclass(frozen=True, slots=True)
class SequencePattern:
    """A figure that is repeated from one note of a scale after another.

    Parameters
    ----------
    name : str
    steps : tuple of int
        The figure upwards: 1 is the note that it is built on, 2 the next note of the scale above,
        0 the next below.
    down : tuple of int
        The figure downwards, counted from the same note; the way up backwards if not given.
    stride : int
        By how many notes of the scale each figure lies higher than the one before.
    by_letter : bool
        True where the steps are the sizes of intervals, so that 8 is the octave in every scale;
        False where they count the scale's own notes.
    words : str
        What it is, in a line.
    source : str

    Examples
    --------
    >>> find_pattern("threes").steps, find_pattern("threes").way_down
    ((1, 2, 3), (3, 2, 1))
    >>> find_pattern("1-2-3-5").offsets(7)
    (0, 1, 2, 4)
    """

    name: str
    steps: tuple[int, ...]
    down: tuple[int, ...] = ()
    stride: int = 1
    by_letter: bool = False
    words: str = field(default="", compare=False)
    source: str = field(default="", compare=False)

    def __post_init__(self) -> None:
        shown = "-".join(map(str, self.steps))
        accepted = f"1 to {MOST_NOTES} steps such as 1-2-3-5, none beyond {MOST_STEPS}"
        every = (*self.steps, *self.down)
        if not self.steps or max(len(self.steps), len(self.down)) > MOST_NOTES:
            raise BadInput("pattern", shown, "no figure of so many notes", accepted=accepted)
        if any(isinstance(step, bool) or not isinstance(step, int) for step in every):
            raise BadInput("pattern", shown, "holds what is no step", accepted=accepted)
        if max(every) > MOST_STEPS or min(every) < -MOST_STEPS:
            raise BadInput("pattern", shown, "reaches too far", accepted=accepted)
        if isinstance(self.stride, bool) or not 1 <= self.stride <= 7:
            raise BadInput("stride", self.stride, "out of range", accepted="1 to 7")

    @property
    def way_down(self) -> tuple[int, ...]:
        """The figure downwards."""
        return self.down or self.steps[::-1]

    def offsets(self, notes: int, *, down: bool = False) -> tuple[int, ...]:
        """How many notes of a scale each note of the figure lies above the first step.

        Parameters
        ----------
        notes : int
            How many the scale has in an octave.
        down : bool

        Raises
        ------
        BadInput
            If the figure is made of intervals that a scale of so few notes has not got.
        """
        steps = self.way_down if down else self.steps
        if not self.by_letter:
            return tuple(step - 1 for step in steps)
        found = []
        for step in steps:
            octaves, inside = divmod(step - 1, 7)
            if inside >= notes:
                raise BadInput(
                    "pattern",
                    self.name,
                    f"a scale of {notes} notes has none",
                    accepted="a scale of seven notes, or groups such as threes",
                )
            found.append(octaves * notes + inside)
        return tuple(found)


_PRACTICE = "common practice"


def _steps(text: str) -> tuple[int, ...]:
    return tuple(int(step) for step in text.split())


def _group(name: str, steps: str, words: str, down: str = "", stride: int = 1) -> SequencePattern:
    return SequencePattern(name, _steps(steps), _steps(down), stride, words=words, source=_PRACTICE)


def _by_letter(name: str, steps: str, words: str, down: str = "") -> SequencePattern:
    return SequencePattern(
        name, _steps(steps), _steps(down), by_letter=True, words=words, source=_PRACTICE
    )


_ROWS = (
    _group("scale", "1", "the scale as it stands"),
    _group("twos", "1 2", "pairs of neighbours: 1-2, 2-3, 3-4"),
    _group("threes", "1 2 3", "three notes from each: 1-2-3, 2-3-4"),
    _group("fours", "1 2 3 4", "four notes from each: 1-2-3-4, 2-3-4-5"),
    _group("fives", "1 2 3 4 5", "five notes from each"),
    _group("sixes", "1 2 3 4 5 6", "six notes from each"),
    _group("threes by thirds", "1 2 3", "1-2-3, 3-4-5, 5-6-7", stride=2),
    _group("fours by thirds", "1 2 3 4", "1-2-3-4, 3-4-5-6", stride=2),
    _group("three and back", "1 2 3 1", "1-2-3-1, 2-3-4-2", down="3 2 1 3"),
    _group("three and return", "1 2 3 2", "1-2-3-2, 2-3-4-3", down="3 2 1 2"),
    _group("turns", "1 2 1 0", "around each note: above, the note, below", down="1 0 1 2"),
    _group("five and back", "1 2 3 4 5 4 3 2", "five notes up and down from each"),
    _group("1-2-3-5", "1 2 3 5", "three steps and a skip to the fifth"),
    _group("5-3-2-1", "5 3 2 1", "the same from the fifth down", down="5 3 2 1"),
    _group("1-3-2-4", "1 3 2 4", "two thirds, interlocked"),
    _group("3-1-2", "3 1 2", "a third down and a step up"),
    _by_letter("thirds", "1 3", "1-3, 2-4, 3-5"),
    _by_letter("fourths", "1 4", "1-4, 2-5, 3-6"),
    _by_letter("fifths", "1 5", "1-5, 2-6, 3-7"),
    _by_letter("sixths", "1 6", "1-6, 2-7, 3-8"),
    _by_letter("sevenths", "1 7", "1-7, 2-8, 3-9"),
    _by_letter("octaves", "1 8", "each note and its octave"),
    _by_letter("ninths", "1 9", "1-9, 2-10"),
    _by_letter("tenths", "1 10", "1-10, 2-11"),
    _by_letter("thirds, top first", "3 1", "3-1, 4-2, 5-3", down="1 3"),
    _by_letter("thirds, turned by pairs", "1 3 4 2", "up a third, down the next", down="4 2 1 3"),
    _by_letter("triads", "1 3 5", "the scale's triads, broken upwards"),
    _by_letter("triads, up and down", "1 3 5 3", "up and back on each triad", down="5 3 1 3"),
    _by_letter("triads with the octave", "1 3 5 8", "each triad and its root above"),
    _by_letter("triads, first inversion", "3 5 8", "each triad from its third up"),
    _by_letter("triads, second inversion", "-2 1 3", "each triad from the fifth below its root"),
    _by_letter("seventh chords", "1 3 5 7", "the scale's seventh chords, broken upwards"),
    _by_letter("seventh chords, 3 to 9", "3 5 7 9", "each from its third to its ninth"),
)

#: The patterns by name, in the order in which menus show them.
SEQUENCES: dict[str, SequencePattern] = {pattern.name: pattern for pattern in _ROWS}


def find_pattern(pattern: SequencePattern | str | Sequence[int]) -> SequencePattern:
    """A pattern by name, or from steps of the scale: ``(1, 2, 3, 5)`` or ``"1-2-3-5"``.

    Raises
    ------
    BadInput
        If there is none of that name and the text holds no steps.

    Examples
    --------
    >>> find_pattern((1, 2, 4, 3)).name, find_pattern("broken thirds").name
    ('1-2-4-3', 'thirds')
    """
    if isinstance(pattern, SequencePattern):
        return pattern
    if not isinstance(pattern, str):
        steps = tuple(pattern)
        return SequencePattern("-".join(map(str, steps)), steps)
    folded = " ".join(pattern.split()).casefold()
    for name in (folded, folded.removeprefix("broken "), folded.removeprefix("in ")):
        if name in SEQUENCES:
            return SEQUENCES[name]
    if _TEXT.fullmatch(folded):
        return find_pattern(tuple(int(step) for step in _STEP.findall(folded)))
    raise BadInput(
        "pattern",
        pattern,
        "unknown",
        accepted=f"{', '.join(SEQUENCES)}, or steps such as 1-2-3-5",
        nearest=nearest(pattern, SEQUENCES),
    )
