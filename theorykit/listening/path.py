"""The likeliest way through the pitches of a take: which note sounds when, and since when."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from theorykit.listening.periods import FINE, STEP_SECONDS, Floats, Periods

#: A chance is never told to be less, or nothing could outweigh one step.
_LEAST = 0.01
#: What a change of pitch costs where nothing is struck, and where something is (stipulated; natural
#: logarithms of chances).
_CHANGE, _STRUCK_CHANGE = 14.0, 3.0
#: Between a note and silence.
_STOP = 4.0
#: From this strength on something is surely struck (measured: plucks 0.8 to 8, all else up to 0.3).
STROKE = 0.5
#: A bowed or blown note begins so much before its pitch outweighs the one before it, which dies
#: away meanwhile; and so much before it is found after silence (measured, bowed and reed voices).
_SWELL_SECONDS, _SWELL_ALONE_SECONDS = 0.035, 0.01
_SILENCE_STEPS = 12
#: From this strength on and with such a dip before it a soft stroke begins a note anew (measured:
#: the swings of a vibrato reach 10 dB).
_SOFT_AGAIN, _DIP_DB = 0.1, 11.0
#: What is new at a stroke counts so much in the chances of a pitch, at first and later on.
_NEW, _NEW_LATER = 0.7, 0.2
_NEW_SECONDS, _NEW_FADES_SECONDS = 0.12, 0.15
#: How far off a note's start its stroke may lie.
_NEAR_SECONDS = 0.07
#: Notes struck again are at least so far apart.
_AGAIN_SECONDS = 0.07
#: Shorter than this is no note but what lies between two.
_SHORTEST_SECONDS = 0.045


@dataclass(frozen=True, slots=True)
class Stretch:
    """Steps in which one note sounds.

    Parameters
    ----------
    first, beyond : int
        Steps.
    midi : int
    start_seconds : float
        Its stroke, finer than the steps.
    """

    first: int
    beyond: int
    midi: int
    start_seconds: float


def in_tune(periods: Periods) -> tuple[float, float]:
    """How many cents a take is sharp, and how sure that is, from 0 to 1.

    The mean direction of all pitches, a half step once round: what lies between two notes and what
    is bent up from one to the next weighs little.
    """
    columns = np.arange(periods.chances.shape[1])
    angle = 2 * np.pi * (periods.lowest + columns / FINE)
    weight = periods.chances.sum(axis=0, dtype=np.float64)
    direction = complex(np.sum(weight * np.exp(1j * angle)))
    total = float(weight.sum())
    if not total:
        return 0.0, 0.0
    return float(np.angle(direction) / (2 * np.pi) * 100), abs(direction) / total


def half_steps(periods: Periods, cents: float, lowest: int, highest: int) -> Floats:
    """The chances of whole half steps, when all lies so many cents sharp."""
    columns = np.arange(periods.chances.shape[1])
    near = np.round(periods.lowest + columns / FINE - cents / 100).astype(int) - lowest
    chances = np.zeros((len(periods.chances), highest - lowest + 1), np.float32)
    for column, place in enumerate(near):
        if 0 <= place <= highest - lowest:
            chances[:, place] += periods.chances[:, column]
    return chances


def peaks(strength: Floats) -> npt.NDArray[np.int64]:
    """The steps at which something begins."""
    padded = np.pad(strength, 3, mode="constant")
    around = np.lib.stride_tricks.sliding_window_view(padded, 7).max(axis=1)
    return np.nonzero((strength >= around) & (strength > 0))[0]


def with_new(
    chances: Floats,
    new: Floats,
    strokes: list[int],
    strength: Floats,
    loud: npt.NDArray[np.bool_],
) -> Floats:
    """The chances with those of what is new at each stroke, which hold until the next.

    Where it is loud they hold though no period is found: strings that ring on hide it.
    """
    mixed = chances.copy()
    for row, step in enumerate(strokes):
        first = step + 1
        beyond = strokes[row + 1] if row + 1 < len(strokes) else len(chances)
        after = np.arange(beyond - first) * STEP_SECONDS
        fade = np.exp(-np.maximum(after - _NEW_SECONDS, 0) / _NEW_FADES_SECONDS)
        sure = min(float(strength[step]) / STROKE, 1.0)
        share = sure * (_NEW_LATER + (_NEW - _NEW_LATER) * fade[:, None])
        held = np.minimum(chances[first:beyond].sum(axis=1, keepdims=True), 1)
        held = np.maximum(held, loud[first:beyond, None])
        mixed[first:beyond] += share * (held * new[row] - chances[first:beyond])
    return mixed


def strokes(strength: Floats) -> list[int]:
    """The steps at which something may be struck."""
    found = peaks(strength)
    return [int(step) for step in found[strength[found] > 0.2 * STROKE]]


def likeliest(
    chances: Floats, strength: Floats, loud: npt.NDArray[np.bool_]
) -> npt.NDArray[np.int64]:
    """For each step the column that sounds, or -1 (Viterbi 1967)."""
    count, pitches = chances.shape
    share = np.minimum(strength / STROKE, 1)
    reach = np.lib.stride_tricks.sliding_window_view(np.pad(share, 3), 7).max(axis=1)
    change = _CHANGE - (_CHANGE - _STRUCK_CHANGE) * reach
    seen = np.log(np.maximum(chances, _LEAST))
    silent = np.log(np.maximum(1 - chances.sum(axis=1), _LEAST))
    seen[~loud] = np.log(_LEAST)
    silent[~loud] = 0.0
    cost = np.concatenate([seen, silent[:, None]], axis=1).astype(np.float64)
    came = np.empty((count, pitches + 1), np.int16)
    own = np.arange(pitches + 1)
    best = cost[0].copy()
    for step in range(1, count):
        top = int(np.argmax(best[:-1]))
        leap = best[top] - change[step]
        rise = best[-1] - _STOP
        from_any = np.full(pitches + 1, max(leap, rise))
        source = top if leap >= rise else pitches
        from_any[-1] = best[top] - _STOP
        stay = best >= from_any
        came[step] = np.where(stay, own, source)
        came[step, -1] = pitches if stay[-1] else top
        best = np.where(stay, best, from_any) + cost[step]
    path = np.empty(count, np.int64)
    path[-1] = int(np.argmax(best))
    for step in range(count - 1, 0, -1):
        path[step - 1] = came[step, path[step]]
    path[path == pitches] = -1
    return path


def stretches(
    path: npt.NDArray[np.int64], strength: Floats, level: Floats, lowest: int
) -> list[Stretch]:
    """The notes of a path: each where its pitch begins, and where it is struck again.

    Parameters
    ----------
    path : array
        For each step a column, or -1.
    strength : array
    level : array
        Power at each step, by a short window.
    lowest : int
        MIDI number of the first column.
    """
    struck = peaks(strength)
    struck = struck[strength[struck] > 0.1 * STROKE]
    again = _struck_again(struck, strength, level)
    edges = np.nonzero(np.diff(path))[0] + 1
    bounds = [0, *edges.tolist(), len(path)]
    near = round(_NEAR_SECONDS / STEP_SECONDS)
    apart = round(_AGAIN_SECONDS / STEP_SECONDS)
    # First step, the one beyond, column, and its stroke or None.
    begun: list[tuple[int, int, int, int | None]] = []
    for first, beyond in pairwise(bounds):
        column = int(path[first])
        if column < 0 or (beyond - first) * STEP_SECONDS < _SHORTEST_SECONDS:
            continue
        at = _nearest(struck, strength, first, near)
        starts: list[tuple[int, int | None]] = [(first, at)]
        last = first if at is None else at
        for step in again:
            if step - last >= apart and first + apart <= step < beyond - 4:
                starts.append((step, step))
                last = step
        ends = [start for start, _ in starts[1:]] + [beyond]
        for (start, stroke), end in zip(starts, ends, strict=True):
            begun.append((start, end, column, stroke))
    found = [strength[stroke] if stroke is not None else 0.0 for *_, stroke in begun]
    bowed = bool(begun) and float(np.median(found)) < STROKE
    return [
        Stretch(first, beyond, lowest + column, _onset(path, strength, first, stroke, bowed=bowed))
        for first, beyond, column, stroke in begun
    ]


def _struck_again(struck: npt.NDArray[np.int64], strength: Floats, level: Floats) -> list[int]:
    """The strokes that begin a note anew even where its pitch stays."""
    found = []
    for step in struck.tolist():
        if strength[step] >= STROKE:
            found.append(step)
        elif strength[step] >= _SOFT_AGAIN:
            low = float(level[max(step - 8, 0) : step + 1].min())
            high = float(level[step : step + 9].max())
            if high > low * 10 ** (_DIP_DB / 10):
                found.append(step)
    return found


def _onset(
    path: npt.NDArray[np.int64], strength: Floats, first: int, stroke: int | None, *, bowed: bool
) -> float:
    """Where a note begins: at its stroke, or where a bow or a reed begins to swell."""
    if stroke is not None and (strength[stroke] >= STROKE or not bowed):
        return _fine(strength, stroke)
    if not bowed:
        return first * STEP_SECONDS
    # One sound dying away while the next swells may leave no pitch for a while.
    alone = bool((path[max(first - _SILENCE_STEPS, 0) : first] < 0).all())
    return first * STEP_SECONDS - (_SWELL_ALONE_SECONDS if alone else _SWELL_SECONDS)


def _nearest(struck: npt.NDArray[np.int64], strength: Floats, step: int, near: int) -> int | None:
    inside = struck[np.abs(struck - step) <= near]
    if not len(inside):
        return None
    return int(inside[np.argmax(strength[inside])])


def _fine(strength: Floats, step: int) -> float:
    """A peak between steps: the top of a parabola through it and its neighbours."""
    if not 0 < step < len(strength) - 1:
        return step * STEP_SECONDS
    left, middle, right = (float(value) for value in strength[step - 1 : step + 2])
    bend = left - 2 * middle + right
    off = 0.5 * (left - right) / bend if bend < 0 else 0.0
    return (step + off) * STEP_SECONDS
