"""What a plan may hold over each chord, and what that costs; ``plan`` tells what the parts mean."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from theorykit.analysis.advice import candidates
from theorykit.analysis.classification import Harmony
from theorykit.analysis.fit import Fit, Placement, home_of
from theorykit.analysis.style import Style
from theorykit.theory.degree import Degree
from theorykit.theory.scale import ScaleFormula
from theorykit.theory.shortest_path import Cost

#: Beats that a change of scale is worth (stipulated).
CHANGE_COST = 0.6
#: Beats that each note to leave out costs, for each beat that the chord lasts (stipulated).
UNWANTED_COST = 0.5
#: Beats that each beat on another scale costs where the held one would do (stipulated).
AWAY_COST = 0.4

_TONIC = Degree(1)
_BILLION = 1_000_000_000

#: A scale that can be held: its tonic, or None for the key's own or the one that the chord moves.
Option = tuple[Degree | None, ScaleFormula]


def plan_options(scale: ScaleFormula, harmonies: Iterable[Harmony]) -> tuple[Option, ...]:
    """The scales that a plan may use: the held one, and what advice would change to anywhere."""
    found: dict[Option, None] = {(None, scale): None}
    for harmony in harmonies:
        for tonic, other in candidates(scale, harmony.numeral, harmony.mode):
            at_home = other == scale and (tonic == _TONIC or scale.follows_chord)
            if not at_home:
                found[(tonic, other)] = None
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Step:
    """An option over a chord, with the parts of its cost.

    Parameters
    ----------
    option : Option
    fit : Fit
        The scale over the chord.
    rub, unwanted, away : float
        In beats.
    """

    option: Option
    fit: Fit
    rub: float
    unwanted: float
    away: float

    @property
    def billionths(self) -> int:
        """The cost as a whole number, so that sums of it can be compared exactly."""
        return round((self.rub + self.unwanted + self.away) * _BILLION)


def steps_over(
    options: Sequence[Option], harmony: Harmony, style: Style, length: float
) -> list[Step]:
    """Every option over one chord, the held scale first.

    Parameters
    ----------
    options : sequence of Option
        As ``plan_options`` gives them.
    harmony : Harmony
    style : Style
    length : float
        In beats; 0 where no chord sounds.
    """
    steps: list[Step] = []
    for tonic, scale in options:
        fit = Fit(Placement(scale, tonic or home_of(scale, harmony.numeral), harmony), style)
        unwanted = UNWANTED_COST * len(fit.unwanted_places) * length
        home_would_do = bool(steps) and not steps[0].unwanted
        away = AWAY_COST * length if home_would_do else 0.0
        steps.append(Step((tonic, scale), fit, (1.0 - fit.score) * length, unwanted, away))
    return steps


def moves_from(home: Option) -> Callable[[Step | None, Step | None], Cost]:
    """What it costs to go from one step to the next."""
    change = round(CHANGE_COST * _BILLION)

    def move(before: Step | None, after: Step | None) -> Cost:
        changes = (before.option if before else home) != (after.option if after else home)
        return (change * changes + (after.billionths if after else 0),)

    return move
