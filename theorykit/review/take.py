"""A take laid over its chart: where each note was meant to be, and how far off it was played."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from statistics import median

from theorykit.analysis.classification import classes
from theorykit.analysis.style import CHORD_TONE, Style
from theorykit.errors import BadInput
from theorykit.practice.line_chart import LineChart, Slot
from theorykit.review.grid import Grid
from theorykit.review.pace import found_lean, found_pace
from theorykit.score.score import Part, Score, ScoreNote
from theorykit.theory.meter import read_meter

#: How far a take may have to be moved, in bars: it may begin with a count-in, or its first bars may
#: not have been recorded.
_MOST_COUNTED, _MOST_MISSING = 4, 2
#: What moving a take costs, in shares of its notes (stipulated): a whole bar, and a broken one.
_MOVED, _OUT_OF_BARS = 0.06, 0.12
#: What each bar that was not recorded costs: a take with its beginning cut off is rare.
_UNRECORDED = 0.08
#: What each bar costs by which the first note lies off the first bar line, up to two of them.
_OFF_THE_START = 0.03
#: What it costs if the last notes lie less than a bar behind the end of the form: it had rather
#: begun later.
_OVER_THE_END = 0.05
#: A take this far off every place, in beats, was not recorded from a beat on (stipulated).
_LEAST_PHASE = Fraction(1, 8)
_PHASES = 24
#: So many notes are enough to tell by.
_HEARD_FOR_PHASE = 200
_BETTER = 0.5
#: By how much more of its worth a take must suit the chart in another key for that to be said, and
#: from how many notes on (stipulated).
_SUITS_BETTER, _FEWEST_NOTES = 0.2, 12


@dataclass(frozen=True, slots=True)
class TakeNote:
    """A note of a take, counted from the chart's first bar line.

    Parameters
    ----------
    start : Fraction
        Where it was meant, in beats.
    onset : Fraction
        Where it was heard.
    beats : Fraction
        How long it is held, no longer than to the next note.
    midi : int
    note : ScoreNote
        As the take has it.
    """

    start: Fraction
    onset: Fraction
    beats: Fraction
    midi: int
    note: ScoreNote

    @property
    def end(self) -> Fraction:
        """Where it stops, counted from where it was meant."""
        return self.start + self.beats


@dataclass(frozen=True, slots=True)
class Take:
    """A take on the chart's grid.

    Parameters
    ----------
    notes : tuple of TakeNote
        The highest of those that are struck together.
    lead : Fraction
        Beats of the recording before the chart's first bar line; below 0 where it starts later.
    tempo : float
    played : bool
        True where it was played, not written: then its timing can be told.
    choruses : int
    pace : float
        How much faster than the click it goes, where it does not keep to it: 1.05 for 5 % faster.
    moved : int
        By how many half steps it would suit the chart far better; 0 where it suits as it is.
    """

    notes: tuple[TakeNote, ...]
    lead: Fraction
    tempo: float
    played: bool
    choruses: int
    pace: float = 1.0
    moved: int = 0

    def milliseconds(self, beats: Fraction | float) -> float:
        """Beats as milliseconds."""
        return float(beats) * 60_000 / self.tempo


def solo_part(score: Score) -> Part:
    """The part of a score to be looked at: its line, or else its first other part with notes.

    Raises
    ------
    BadInput
        If it has no notes.
    """
    parts = [part for part in score.parts if part.notes and part.name not in ("click", "drone")]
    for part in sorted(parts, key=lambda part: part.name != "line"):
        return part
    raise BadInput("take", score.title or "untitled", "has no notes", accepted="a part with notes")


def aligned(
    score: Score,
    chart: LineChart,
    style: Style,
    *,
    count_in: Fraction | int | None = None,
    tempo: float | None = None,
    choruses: int | None = None,
) -> Take:
    """A take laid over one chorus of a chart, as often as it goes round.

    Parameters
    ----------
    score : Score
    chart : LineChart
        One chorus.
    style : Style
        Whose taste tells how well the notes suit the chords.
    count_in : Fraction, optional
        Beats of the recording before the first bar line; found by itself if not given.
    tempo : float, optional
        Of the click, if the file does not say.
    choruses : int, optional
        As many as the take lasts if not given.
    """
    part = solo_part(score)
    meter = read_meter(chart.meter)
    grid = Grid.of(meter)
    scale = Fraction(tempo / score.tempo).limit_denominator(10_000) if tempo else Fraction(1)
    # A file counts its own beats; a chart in 2/2 and a file in 4/4 go the same way.
    scale *= score.signature.beat_quarters / meter.beat_quarters
    played = any(note.shift for note in part.notes)
    pace = 1.0
    if played:
        pace = found_pace([float(note.onset * scale) for note in part.notes])
        scale *= Fraction(pace).limit_denominator(10_000)
    used = float(scale) * score.tempo
    beat_seconds = 60 / used
    heard = _melody([(note.onset * scale, note) for note in part.notes], beat_seconds)
    onsets = [onset for onset, _ in heard]
    # One who drags or rushes is followed, or the end of the take would be read as syncopation.
    lean = Fraction(found_lean([float(onset) for onset in onsets]) if played else 1)
    first = onsets[0]
    level = [first + (onset - first) * lean.limit_denominator(10_000) for onset in onsets]
    phase = Fraction(0)
    if played and (count_in is None or pace != 1):
        phase = _phase(grid, level, beat_seconds)
    places, _ = grid.placed([onset - phase for onset in level], beat_seconds)
    if pace != 1:
        # With no click to be late of, the player's own middle is the measure.
        off = [onset - phase - place for onset, place in zip(onsets, places, strict=True)]
        phase += Fraction(median(off)).limit_denominator(1000)
    notes = [
        TakeNote(place, onset - phase, _held(heard, index, scale), round(note.midi), note)
        for index, (place, (onset, note)) in enumerate(zip(places, heard, strict=True))
    ]
    ways = _leads(notes, chart, style, grid, None if count_in is None else Fraction(count_in))
    lead, moved_by = ways[0][1], 0
    best = max(ways, key=lambda up: ways[up][0])
    if len(notes) >= _FEWEST_NOTES and ways[best][0] >= ways[0][0] + _SUITS_BETTER:
        moved_by = (best + 5) % 12 - 5
    moved = tuple(
        TakeNote(note.start - lead, note.onset - lead, note.beats, note.midi, note.note)
        for note in notes
    )
    length = chart.bars[-1].start + chart.bars[-1].beats
    if choruses is None:
        # A last note on the bar line after the form ends it and begins nothing.
        choruses = max(1, math.ceil((moved[-1].start - chart.bars[0].beats) / length))
        if moved[-1].start < length:
            choruses = 1
    return Take(moved, lead + phase, used, played, choruses, pace, moved_by)


def _melody(
    notes: Sequence[tuple[Fraction, ScoreNote]], beat_seconds: float
) -> list[tuple[Fraction, ScoreNote]]:
    """The highest of the notes that are struck together."""
    found: list[tuple[Fraction, ScoreNote]] = []
    for onset, note in sorted(notes, key=lambda pair: (pair[0], pair[1].midi)):
        near = found and float(onset - found[-1][0]) * beat_seconds < 0.02
        if not near:
            found.append((onset, note))
        elif note.midi > found[-1][1].midi:
            found[-1] = (found[-1][0], note)
    return found


def _held(heard: Sequence[tuple[Fraction, ScoreNote]], index: int, scale: Fraction) -> Fraction:
    onset, note = heard[index]
    sounding = note.sounding_beats * scale
    if index + 1 < len(heard):
        sounding = min(sounding, heard[index + 1][0] - onset)
    return max(sounding, Fraction(1, 100))


def _phase(grid: Grid, every: Sequence[Fraction], beat_seconds: float) -> Fraction:
    """What part of a beat the recording begins before one; 0 if its notes lie near the beats."""
    onsets = every[:_HEARD_FOR_PHASE]

    def cost(phase: Fraction) -> float:
        return grid.placed([onset - phase for onset in onsets], beat_seconds)[1]

    plain = cost(Fraction(0))
    if plain * _BETTER <= _BETTER:
        return Fraction(0)
    others = [Fraction(step, _PHASES) for step in range(-_PHASES // 2 + 1, _PHASES // 2 + 1)]
    best = min((phase for phase in others if abs(phase) >= _LEAST_PHASE), key=cost)
    return best if cost(best) + _BETTER < plain * _BETTER else Fraction(0)


def slot_at(slots: Sequence[Slot], beat: Fraction) -> Slot:
    """The chord that holds at a beat; before the first, that one."""
    return slots[max(bisect_right([slot.start for slot in slots], beat) - 1, 0)]


def _leads(
    notes: Sequence[TakeNote], chart: LineChart, style: Style, grid: Grid, given: Fraction | None
) -> dict[int, tuple[float, Fraction]]:
    """For each number of half steps up: how well the notes suit the chords, and from which beat.

    That is where the chart begins in the take: where its notes suit the chords best.
    """
    bar = int(chart.bars[0].beats)
    size = float(chart.bars[-1].start + chart.bars[-1].beats)
    starts = [float(slot.start) for slot in chart.slots]
    tables = [
        [
            1.0 if kind is CHORD_TONE else -style.severity(kind)
            for kind, _ in classes(slot.numeral, chart.mode)
        ]
        for slot in chart.slots
    ]
    tonics = [slot.tonic.pitch_class for slot in chart.slots]
    heard = [(float(note.start), float(min(note.beats, Fraction(2))), note.midi) for note in notes]

    def worth(lead: float, up: int) -> float:
        total = weights = 0.0
        for start, beats, midi in heard:
            at = start - lead
            weight = beats * (2 if at % bar in grid.strong else 1)
            weights += weight
            if at < 0:
                # Notes in the count-in, but for a pick-up, speak against a place.
                total -= weight if at < -bar else 0
                continue
            number = bisect_right(starts, at % size) - 1
            total += weight * tables[number][(midi + up - tonics[number]) % 12]
        return total / weights

    def price(lead: float) -> float:
        bars = abs(lead) / bar
        cost = bars * _MOVED / 4 + (_MOVED if lead else 0)
        cost += max(-lead, 0) / bar * _UNRECORDED + (_OUT_OF_BARS if lead % bar else 0)
        cost += min(abs(heard[0][0] - lead) / bar, 2.0) * _OFF_THE_START
        over = heard[-1][0] - lead - size
        return cost + (_OVER_THE_END if over > 0 and 0 < over % size < bar else 0)

    leads = [float(at) for at in range(-_MOST_MISSING * bar, _MOST_COUNTED * bar + 1)]
    if given is not None:
        leads = [float(given)]
    prices = {lead: price(lead) for lead in leads}

    def best(up: int, among: Sequence[float]) -> tuple[float, Fraction]:
        value, lead = max((worth(lead, up) - prices[lead], lead) for lead in among)
        return value, Fraction(lead) if given is None else given

    found = {0: best(0, leads)}
    # Another key is weighed at whole bars only: that is quicker, and it has to be clear anyway.
    whole = [lead for lead in leads if lead % bar == 0] or leads
    return found | {up: best(up, whole) for up in range(1, 12)}
