"""How a played take lies in time: early or late, swung or even, steady or not."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from statistics import fmean, median, pstdev

from theorykit.review.finding import Finding
from theorykit.review.grid import Grid
from theorykit.review.role import JudgedNote
from theorykit.review.take import Take

#: In milliseconds (all stipulated): a note that stands out from the player's own time by less, a
#: take that lies off the click by less, a scatter or a drift through the form of less, is well in
#: time. Steady players scatter by about 10 ms.
LEAST_OFF, LEAST_BIAS, MOST_SCATTER, LEAST_DRIFT = 27.0, 20.0, 22.0, 30.0
#: A player who scatters by more than this many milliseconds is judged by his own time: a note then
#: stands out by so many milliseconds more for each that he scatters more (stipulated).
_USUAL_SCATTER, _STANDS_OUT = 12.0, 3.25
#: Next to a note that is off the same way, a note stands out from this share on: players are late
#: or early for a few notes together, and chance seldom is (stipulated).
_TOGETHER = 0.75
_ROUNDS = 3
#: What uneven time is practised at, as a share of the tempo (common practice).
_SLOWER = 0.8
#: Off-beats are swung from this share of half a pulse on; less belongs to the player's scatter.
_LEAST_SWING = 0.08
#: Kendall's tau from which on a drift is no chance (stipulated).
_LEAST_TAU = 0.35
#: Fewer notes tell no drift; fewer off-beat eighths no swing.
_LEAST_NOTES, _LEAST_OFF_BEATS = 12, 4
#: The middle half of a normal spread is 1.349 standard deviations wide (any book of statistics).
_QUARTILES = 1.349


@dataclass(frozen=True, slots=True)
class Timing:
    """A take's time.

    Parameters
    ----------
    mean, deviation : float
        Milliseconds late of the click (early below 0), and their standard deviation; swung eighths
        against where the player swings them.
    swing : float or None
        How much longer the first eighth of a pair is than the second; None if too few are played.
    drift : float
        Milliseconds by which it falls behind the click from the first note to the last; below 0
        where it runs ahead, and 0 where that may be chance.
    offsets : tuple of float
        For each note, milliseconds late.
    standing_out : tuple of float
        For each note, milliseconds late against the player's own time.
    threshold : float
        From how many milliseconds on a note stands out.
    bias : float
        Milliseconds late of the click at the beginning: where a take drags, being late on the whole
        is part of that.
    """

    mean: float
    deviation: float
    swing: float | None
    drift: float
    offsets: tuple[float, ...]
    standing_out: tuple[float, ...]
    threshold: float
    bias: float = 0.0


def timing(take: Take, grid: Grid) -> Timing | None:
    """The time of a take, or None where it was written and not played."""
    if not take.played:
        return None
    notes = take.notes
    off = [take.milliseconds(note.onset - note.start) for note in notes]
    halves = [
        index
        for index, note in enumerate(notes)
        if grid.cuts[0] == 2 and note.start / grid.pulse % 1 == Fraction(1, 2)
    ]
    swing = None
    straight = [value for index, value in enumerate(off) if index not in set(halves)]
    centre = median(straight or off)
    if len(halves) >= _LEAST_OFF_BEATS:
        late = median(off[index] for index in halves) - centre
        half = take.milliseconds(grid.pulse) / 2
        swing = (half + late) / max(half - late, 1.0)
        if abs(late) >= _LEAST_SWING * half:
            for index in halves:
                off[index] -= late
    drift = _drift([float(note.start) for note in notes], off)
    first, last = float(notes[0].start), float(notes[-1].start)
    span = max(last - first, 1.0)
    level = [
        value - drift * (float(note.start) - first) / span
        for note, value in zip(notes, off, strict=True)
    ]
    own, threshold = level, LEAST_OFF
    for _ in range(_ROUNDS):
        # Notes that stand out say nothing of the player's own time: it is told without them.
        middle = median(own)
        extra = max(_scatter(own) - _USUAL_SCATTER, 0.0)
        threshold = LEAST_OFF + _STANDS_OUT * extra
        own = [value for value in level if abs(value - middle) < threshold]
    standing = [value - middle for value in level]
    return Timing(
        fmean(off),
        pstdev(off),
        swing,
        drift,
        tuple(off),
        tuple(standing),
        threshold,
        fmean(level),
    )


def _scatter(values: Sequence[float]) -> float:
    """A standard deviation that a few notes far off do not move."""
    ordered = sorted(values)
    quarter = len(ordered) // 4
    return (ordered[-1 - quarter] - ordered[quarter]) / _QUARTILES


def _drift(beats: Sequence[float], off: Sequence[float]) -> float:
    """How much later the end lies than the beginning: by the median of the slopes (Theil 1950)."""
    if len(beats) < _LEAST_NOTES:
        return 0.0
    slopes = [
        (off[later] - off[earlier]) / (beats[later] - beats[earlier])
        for later in range(len(beats))
        for earlier in range(later)
        if beats[later] > beats[earlier]
    ]
    if not slopes:
        return 0.0
    tau = sum((slope > 0) - (slope < 0) for slope in slopes) / len(slopes)
    drift = median(slopes) * (beats[-1] - beats[0])
    return drift if abs(tau) >= _LEAST_TAU and abs(drift) >= LEAST_DRIFT / 2 else 0.0


def timing_findings(
    time: Timing | None, notes: Sequence[JudgedNote], tempo: float, bar_beats: Fraction
) -> tuple[Finding, ...]:
    """Notes that stand out, and what holds for the whole take."""
    if time is None:
        return ()
    found = []
    for judged_note, off, out in zip(notes, time.standing_out, _out(time), strict=True):
        if not out:
            continue
        kind = "late" if off > 0 else "early"
        words = f"{judged_note.name.pretty} comes about {rounded(off)} ms {kind}."
        suggestion = "Play the bar slowly with the click, and count into this note."
        severity = min(0.2 + max(abs(off) - LEAST_OFF, 0.0) / 100, 1.0)
        found.append(Finding(kind, judged_note.bar, judged_note.beat, words, suggestion, severity))
    return (*found, *_of_the_whole(time, tempo, bar_beats))


def _out(time: Timing) -> list[bool]:
    """Which notes stand out, alone or beside one that does."""
    off, far, near = time.standing_out, time.threshold, time.threshold * _TOGETHER
    found = [abs(value) >= far for value in off]
    for way in (range(1, len(off)), range(len(off) - 2, -1, -1)):
        back = -1 if way.step > 0 else 1
        for at in way:
            same_side = off[at] * off[at + back] > 0
            found[at] = found[at] or (found[at + back] and same_side and abs(off[at]) >= near)
    return found


def rounded(milliseconds: float) -> int:
    """As a person would say it: to the nearest five, late or early."""
    return 5 * round(abs(milliseconds) / 5)


def _of_the_whole(time: Timing, tempo: float, bar_beats: Fraction) -> list[Finding]:
    found = []

    def say(kind: str, words: str, suggestion: str, severity: float) -> None:
        found.append(Finding(kind, 0, Fraction(0), words, suggestion, min(severity, 1.0)))

    if abs(time.drift) >= LEAST_DRIFT:
        kind, way = ("drag", "behind") if time.drift > 0 else ("rush", "ahead")
        sparse = "on two and four only" if bar_beats == 4 else "once a bar only"
        say(
            kind,
            f"From the first note to the last you get about {rounded(time.drift)} ms {way}.",
            f"Let the click sound {sparse}, and keep it there for a whole chorus.",
            abs(time.drift) / 150,
        )
    bias = time.bias
    if abs(bias) >= LEAST_BIAS:
        kind, way = ("behind", "after") if bias > 0 else ("ahead", "before")
        say(
            kind,
            f"You play about {rounded(bias)} ms {way} the click throughout.",
            "If you mean it as a feel, keep it; if not, check first that the recording itself "
            "has no delay, then play long notes until they cover the click.",
            abs(bias) / 100,
        )
    if _scatter(time.standing_out) >= MOST_SCATTER:
        scatter = _scatter(time.standing_out)
        say(
            "uneven",
            f"Your notes stray from the beat by about {rounded(scatter)} ms either way.",
            f"Set the click to {5 * round(tempo * _SLOWER / 5)}, and stay there until every note "
            "falls into it.",
            scatter / 60,
        )
    return found
