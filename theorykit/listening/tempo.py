"""A tempo proposed for a take: the beat that most of its notes lie on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

#: Tempos that are looked at, and the one that players take most often, with how far others lie from
#: it in octaves (stipulated; listeners tap near 120, any handbook of rhythm perception).
_SLOWEST, _FASTEST, _USUAL, _SPREAD = 50.0, 210.0, 110.0, 0.9
_STEP = 1.0015
#: Players scatter by so many seconds about the beat (stipulated).
_SCATTER = 0.015
#: What notes on a beat, on its half, and on thirds and quarters of it speak for it.
_PARTS = ((1, 1.0), (2, 0.85), (3, 0.55), (4, 0.5))
LEAST_NOTES = 6
_PIECE_SECONDS = 15.0


@dataclass(frozen=True, slots=True)
class ProposedTempo:
    """A tempo, and how sure it is.

    Parameters
    ----------
    tempo : float
        Beats a minute.
    first_beat_seconds : float
        A beat, at or before the first note.
    confidence : float
        0 to 1: how far it leads the next that is not half or double of it, and how well it fits.
    others : tuple of float
        Tempos that fit too, the best first.
    """

    tempo: float
    first_beat_seconds: float
    confidence: float
    others: tuple[float, ...]


def propose_tempo(onsets: Sequence[float]) -> ProposedTempo | None:
    """The tempo that notes seem to be played in; None if they are too few to tell.

    Parameters
    ----------
    onsets : sequence of float
        In seconds, in their order.

    Examples
    --------
    >>> found = propose_tempo([0.0, 0.5, 0.75, 1.0, 1.5, 2.0, 2.25, 2.5, 3.0, 4.0])
    >>> round(found.tempo), found.first_beat_seconds
    (120, 0.0)
    """
    times = np.asarray(onsets, dtype=np.float64)
    if len(times) < LEAST_NOTES or times[-1] - times[0] < 2:
        return None
    tempos = _SLOWEST * _STEP ** np.arange(int(np.log(_FASTEST / _SLOWEST) / np.log(_STEP)) + 1)
    fits, phases = np.empty(len(tempos)), np.empty(len(tempos))
    pieces = _pieces(times)
    for place, tempo in enumerate(tempos):
        found = [_fit(piece, 60 / tempo) for piece in pieces]
        weights = [len(piece) for piece in pieces]
        fits[place] = np.average([fit for fit, _ in found], weights=weights)
        phases[place] = found[0][1]
    usual = np.exp(-((np.log2(tempos / _USUAL) / _SPREAD) ** 2) / 2)
    worth = fits * usual
    best = int(np.argmax(worth))
    tempo = float(tempos[best])
    rest = worth.copy()
    others: list[float] = []
    rivals = 0.0
    for _ in range(4):
        near = np.abs(np.log(tempos / tempos[int(np.argmax(rest))])) < 0.03
        rest[near] = 0
        following = int(np.argmax(rest))
        if rest[following] < 0.6 * worth[best]:
            break
        others.append(round(float(tempos[following]), 1))
        if not others[1:]:
            rivals = float(rest[following])
    period = 60 / tempo
    period, phase = _refined(times, period, phases[best])
    first = phase + np.floor((times[0] - phase) / period + 0.25) * period
    lead = 1 - rivals / float(worth[best]) if worth[best] > 0 else 0.0
    confidence = float(np.clip(fits[best], 0, 1)) * (0.5 + 0.5 * lead)
    return ProposedTempo(
        round(60 / period, 2), round(max(float(first), 0.0), 4), round(confidence, 2), tuple(others)
    )


def beat_of(onsets: Sequence[float], tempo: float) -> float:
    """Where a beat lies, just before the first note or at it, in seconds.

    Examples
    --------
    >>> round(beat_of([0.75, 1.0, 1.52, 2.0, 2.5], 120), 2)
    0.5
    """
    if not len(onsets):
        return 0.0
    times = np.asarray(onsets, dtype=np.float64)
    period = 60 / tempo
    phase = _fit(times, period)[1]
    # The tempo is given: only where the beat lies is told, by the middle of what is near.
    off = (times - phase) / period * 2
    gap = (off - np.round(off)) * period / 2
    near = np.abs(gap) < 2.5 * _SCATTER
    phase += float(np.median(gap[near])) if near.any() else 0.0
    first = phase + np.floor((times[0] - phase) / period + 0.25) * period
    return round(float(first), 4)


def _pieces(times: np.ndarray) -> list[np.ndarray]:
    """Notes in stretches short enough for a tempo to be tried on: none is hit to the last digit."""
    edges = np.arange(times[0], times[-1], _PIECE_SECONDS)
    pieces = [times[(times >= edge) & (times < edge + _PIECE_SECONDS)] for edge in edges]
    return [piece for piece in pieces if len(piece) >= LEAST_NOTES] or [times]


def _fit(times: np.ndarray, period: float) -> tuple[float, float]:
    """How well notes lie on a beat of a period, 0 to 1, and where the beat lies."""
    # Of all the places where the beat may lie, the first notes' own are tried, and a few more.
    inside = times % period
    candidates = np.unique(np.round(inside / (_SCATTER / 2)).astype(int)) * (_SCATTER / 2)
    if len(candidates) > 24:
        candidates = np.linspace(0, period, 24, endpoint=False)
    off = (times[None, :] - candidates[:, None]) / period
    worth = np.zeros_like(off)
    for parts, weight in _PARTS:
        gap = np.abs(off * parts - np.round(off * parts)) / parts * period
        # The finer the cut, the easier it is to be near one.
        worth = np.maximum(worth, weight * np.exp(-((gap / _SCATTER) ** 2) / 2))
    total = worth.mean(axis=1)
    best = int(np.argmax(total))
    chance = _by_chance(period)
    return max(float(total[best] - chance) / (1 - chance), 0.0), float(candidates[best])


def _by_chance(period: float) -> float:
    """What notes anywhere would fit a beat by."""
    return min(sum(w * p for p, w in _PARTS) * _SCATTER * 1.6 / period, 0.8)


def _refined(times: np.ndarray, period: float, phase: float) -> tuple[float, float]:
    """Period and phase by least squares over the notes that lie near halves of a beat."""
    until = times[0] + _PIECE_SECONDS
    while True:
        # Longer and longer: what is known from the beginning tells which beat a later note is on.
        part = times[times <= until]
        count = np.round((part - phase) / period * 2)
        near = np.abs(part - phase - count * period / 2) < 2.5 * _SCATTER
        if near.sum() < 4 or len(set(count[near].tolist())) < 3:
            break
        half, start = np.polyfit(count[near], part[near], 1)
        period, phase = 2 * float(half), float(start)
        if until >= times[-1]:
            break
        until += until - times[0]
    return period, phase
