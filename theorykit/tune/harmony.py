"""The chords that a tune may be given, by mode, and how one follows another.

All figures are costs and are stipulated: the order of the chords and the strong progressions are
common practice (any harmony handbook: I to anywhere, II and IV to V, V to I; bVII to I or IV in
modal tunes); their sizes were fitted to no collection.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from theorykit.theory.numeral import Numeral


@dataclass(frozen=True, slots=True)
class Choice:
    """A chord that may be chosen.

    Parameters
    ----------
    numeral : Numeral
    function : str
        ``"T"`` at home, ``"S"`` away from it, ``"D"`` leading back, ``"A"`` leading to V.
    cost : float
        What it costs to use it at all, whatever the melody.
    """

    numeral: Numeral
    function: str
    cost: float

    @property
    def text(self) -> str:
        """The numeral."""
        return str(self.numeral)


# numeral, function, cost
_ROWS: dict[str, str] = {
    "major": """I T 0, V D 0.25, IV S 0.35, ii S 0.9, vi T 1.0, iii T 1.9, bVII S 1.9,
        V/V A 1.5, V/ii A 2.2, iv S 2.4, vii° D 2.4""",
    "mixolydian": "I T 0, bVII D 0.2, IV S 0.5, V D 0.7, v D 0.9, ii S 1.2, vi T 1.4",
    "minor": "i T 0, V D 0.35, iv S 0.5, bVII D 0.5, bVI S 0.8, bIII T 0.7, v D 1.0, ii° S 1.9",
    "dorian": "i T 0, bVII D 0.2, IV S 0.6, bIII T 0.8, v D 0.8, V D 1.0, ii S 1.7",
}

# From the function of one chord to that of the next, where the chord changes.
_MOVES: dict[str, float] = {
    "TT": 0.5, "TS": 0.1, "TD": 0.1, "TA": 0.3,
    "ST": 0.2, "SS": 0.5, "SD": 0.0, "SA": 0.4,
    "DT": 0.0, "DS": 0.7, "DD": 0.6, "DA": 0.8,
    "AT": 0.8, "AS": 0.8, "AD": 0.0, "AA": 1.0,
}  # fmt: skip

#: What any change of chord costs, at a bar line and within a bar.
CHANGE_AT_BAR, CHANGE_WITHIN = 0.35, 1.1

#: What a note costs, by weight: a member of the chord, one of the scale, any other.
ROOT, THIRD, FIFTH, SEVENTH = 0.0, 0.05, 0.15, 0.7
IN_SCALE, OUTSIDE = 1.15, 1.5

#: What it costs to begin and to end elsewhere than on the tonic chord.
BEGIN_AWAY, END_AWAY = 0.8, 2.0

#: What a strain's last bar costs on a chord that neither rests nor leads home, and what is taken
#: off where it comes home from a chord that leads there.
STRAIN_AWAY, CADENCE = 0.9, 0.7


@lru_cache(maxsize=8)
def choices(mode: str) -> tuple[Choice, ...]:
    """The chords of a mode, the likeliest first."""
    rows = (row.split() for row in _ROWS[mode].split(","))
    return tuple(Choice(Numeral.parse(text), kind, float(cost)) for text, kind, cost in rows)


def move_cost(one: Choice, other: Choice, *, at_bar: bool) -> float:
    """What it costs to go from one chord to another; nothing to stay."""
    if one is other:
        return 0.0
    change = CHANGE_AT_BAR if at_bar else CHANGE_WITHIN
    applied = one.function == "A" and one.numeral.target is not None
    if applied and one.numeral.target.root != other.numeral.root:  # type: ignore[union-attr]
        change += 1.0
    return change + _MOVES[one.function + other.function]


@lru_cache(maxsize=128)
def note_costs(choice: Choice) -> tuple[float, ...]:
    """What each half step above the tonic costs over a chord, for each beat of weight."""
    root = choice.numeral.root.semitones % 12
    members = [degree.semitones % 12 for degree in choice.numeral.type.degrees]
    costs = [OUTSIDE] * 12
    for step in (0, 2, 4, 5, 7, 9, 11, 3, 10, 8):
        costs[step] = min(costs[step], IN_SCALE)
    dominant = choice.numeral.type.suffix == "" and choice.function in {"D", "A"}
    if dominant:
        costs[(root + 10) % 12] = SEVENTH
    for member, cost in zip(members, (ROOT, THIRD, FIFTH), strict=False):
        costs[(root + member) % 12] = cost
    return tuple(costs)
