"""The pace of a take that was not played to its click."""

from __future__ import annotations

import cmath
from collections.abc import Sequence
from functools import partial

#: How far off its click a take may be, and in what steps that is searched (stipulated).
_MOST_OFF, _STEPS = 0.1, 160
#: Less than this is a player who drags or rushes a little, which is told as such (stipulated).
LEAST_OFF = 0.015
#: Into what a beat may be cut.
_CUTS = (1, 2, 3, 4)
#: Fewer notes show no pace of their own.
_FEWEST_NOTES = 16
#: How much evener the notes must lie at the pace found, of ``len(_CUTS)`` at most (stipulated).
_EVENER = 0.4
#: What lies as evenly as this keeps to its click; nothing else need be tried (stipulated).
_EVEN = 1.3
#: In how many steps each way a small lean is searched, and how much evener it must be (stipulated).
_LEAN_STEPS, _LEANS = 30, 0.1


def found_pace(onsets: Sequence[float]) -> float:
    """How much faster than the click a take goes: 1.05 for 5 % faster; 1 where it keeps to it.

    At the right pace notes lie on the beats' parts all through the take, so that their places
    within a part point one way (Rayleigh's measure of a direction; any handbook of circular
    statistics).

    Parameters
    ----------
    onsets : sequence of float
        In beats of the click.

    Examples
    --------
    >>> round(found_pace([0.5 * beat / 1.05 for beat in range(64)]), 3)
    1.05
    >>> found_pace([0.5 * beat for beat in range(64)])
    1.0
    """
    if len(onsets) < _FEWEST_NOTES:
        return 1.0

    at_click = _even(onsets, 1.0)
    if at_click >= _EVEN:
        return 1.0
    paces = [1 + _MOST_OFF * step / _STEPS for step in range(-_STEPS, _STEPS + 1)]
    best = max(paces, key=partial(_even, onsets))
    if abs(best - 1) < LEAST_OFF or _even(onsets, best) < at_click + _EVENER:
        return 1.0
    fine = [best + _MOST_OFF / _STEPS * step / 10 for step in range(-10, 11)]
    found: float = max(fine, key=partial(_even, onsets))
    return round(found, 4)


def found_lean(onsets: Sequence[float]) -> float:
    """The same for a player who keeps to the click and still drags or rushes a little.

    What is laid on a grid with this taken out keeps its written place to the end.

    Examples
    --------
    >>> round(found_lean([0.5 * beat / 0.995 for beat in range(96)]), 4)
    0.995
    """
    if len(onsets) < _FEWEST_NOTES:
        return 1.0
    paces = [1 + LEAST_OFF * step / _LEAN_STEPS for step in range(-_LEAN_STEPS, _LEAN_STEPS + 1)]
    best: float = max(paces, key=partial(_even, onsets))
    return best if _even(onsets, best) >= _even(onsets, 1.0) + _LEANS else 1.0


def _even(onsets: Sequence[float], pace: float) -> float:
    """How evenly notes lie on the parts of a beat at some pace, up to ``len(_CUTS)``."""
    turns = [
        sum(cmath.exp(2j * cmath.pi * cut * pace * onset) for onset in onsets) for cut in _CUTS
    ]
    return sum(abs(turn) for turn in turns) / len(onsets)
