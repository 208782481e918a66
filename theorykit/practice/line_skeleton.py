"""A tune varied: its skeleton stays, what lies between is found anew.

The skeleton is what an ear keeps of a tune: the notes on the strong beats and the long ones (common
practice). What joins them may go, in a rhythm of its own or in the tune's.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from theorykit.analysis.style import Style, find_style
from theorykit.errors import BadInput
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.instrument import Instrument
from theorykit.practice.line_chart import LineChart
from theorykit.practice.line_compass import playable_notes
from theorykit.practice.line_figures import bar_eighths
from theorykit.practice.line_finish import finished
from theorykit.practice.line_layout import gritty_bars, is_strong, slot_at
from theorykit.practice.line_level import Level, find_level
from theorykit.practice.line_model import DEFAULT_STYLE, Line, Phrase
from theorykit.practice.line_search import find_pitches
from theorykit.practice.line_spot import Spot
from theorykit.practice.line_tune import melody_of, tune_chart
from theorykit.score.arrange import spelled
from theorykit.score.score import Score, ScoreNote
from theorykit.theory.form import find_progression
from theorykit.theory.key import Key
from theorykit.theory.meter import find_meter
from theorykit.theory.pitch import Pitch
from theorykit.theory.progression import Progression

#: From this length, in quarters, a note belongs to the skeleton wherever it stands.
LONG = Fraction(1)
#: How far beyond the tune's own compass a variation may go, in half steps.
BEYOND = 4
#: A rest of a quarter ends a phrase.
BREATH = Fraction(1)
#: How often a varied place keeps the tune's rhythm, where that has notes to vary.
SAME_RHYTHM = 0.4

_ARCHES = (-3.0, 0.0, 0.0, 3.0)
_LEAST_BEFORE_BREATH = 4


@dataclass(frozen=True, slots=True)
class _Place:
    """A note of the variation before its pitch is known."""

    start: Fraction
    beats: Fraction
    given: ScoreNote | None


def line_from_tune(
    score: Score,
    progression: Progression | str | None = None,
    key: Key | str | None = None,
    *,
    vary: float = 0.5,
    level: int = 2,
    grit: float = 0.3,
    style: Style | str | None = None,
    instrument: Instrument | str | None = None,
    lowest: int | None = None,
    highest: int | None = None,
    seed: int = 0,
    closed: bool = False,
) -> Line:
    """A variation of a tune that keeps its skeleton.

    Parameters
    ----------
    score : Score
        The tune is its part ``line``.
    progression : Progression or str, optional
        Its chords, if the score has none or others are wanted.
    key : Key or str, optional
        If not the score's.
    vary : float
        What share of the places between the skeleton's notes is varied: 0 gives the tune itself.
    level, grit, style, seed, closed
        As in ``line.line_over``; what is new keeps the promises of its level.
    instrument : Instrument or str, optional
    lowest, highest : int, optional
        A little beyond the tune's own compass if not given.

    Raises
    ------
    BadInput
        If the tune has no notes, no chords or no key, or something is out of range.

    Examples
    --------
    >>> from theorykit.practice.line import line_over
    >>> tune = line_over("I-IV-V vamp", "G", level=1, seed=2).score
    >>> varied = line_from_tune(tune, vary=1.0, seed=1)
    >>> strong = {(note.start, note.midi) for note in tune.part("line").notes if not note.start % 2}
    >>> strong <= {(note.start, note.midi) for note in varied.notes}
    True
    """
    kind = find_level(level)
    for name, share in (("vary", vary), ("grit", grit)):
        if isinstance(share, bool) or not isinstance(share, (int, float)) or not 0 <= share <= 1:
            raise BadInput(name, share, "out of range", accepted="0 to 1")
    tune = melody_of(score.part("line").notes)
    if not tune:
        raise BadInput("tune", score.title, "has no notes")
    home = Key.parse(key) if isinstance(key, str) else key or score.key
    if home is None:
        raise BadInput("key", None, "the score names none", accepted="a key such as G or Am")
    taste = style if isinstance(style, Style) else find_style(style or DEFAULT_STYLE)
    neck = find_instrument(instrument) if isinstance(instrument, str) else instrument
    if isinstance(progression, str):
        progression = find_progression(progression, key=home)
    chart = tune_chart(score, progression, home, taste)
    chance = random.Random(f"tune {seed}")
    midis = [round(note.midi) for note in tune]
    low = min(midis) - BEYOND if lowest is None else lowest
    high = max(midis) + BEYOND if highest is None else highest
    if neck is None:
        compass = tuple(range(low, high + 1))
    else:
        whole = playable_notes(neck, None, 127)
        compass = tuple(midi for midi in whole if low <= midi <= high)
    gritty = gritty_bars(chart, grit if kind.blue else 0.0, chance)
    ground = _Ground(chart, kind, gritty, compass, find_meter(chart.meter).beat_quarters * 2)
    placed = ground.varied(tune, vary, chance)
    spots = [ground.spot(place, midi) for place, midi in placed]
    given = [
        None if place.given is None else ground.spelling(place.given, spot)
        for (place, _), spot in zip(placed, spots, strict=True)
    ]
    line = finished(
        chart,
        spots,
        [midi for _, midi in placed],
        _phrases(spots),
        gritty,
        kind,
        neck,
        tempo=score.tempo,
        closed=closed,
        given=given,
    )
    return replace(line, score=replace(line.score, title=score.title or chart.title))


@dataclass(frozen=True, slots=True)
class _Ground:
    """What a tune is varied on."""

    chart: LineChart
    level: Level
    gritty: Sequence[bool]
    compass: Sequence[int]
    #: How many eighths a beat has.
    eighths: Fraction

    def spot(self, place: _Place, height: float, *, rests: bool = False) -> Spot:
        slot = slot_at(self.chart.slots, place.start)
        return Spot(
            place.start,
            place.beats,
            place.beats * self.eighths / 2,
            slot,
            self.gritty[slot.bar],
            is_strong(self.chart, slot, place.start, self.eighths),
            rests=rests,
            closes=False,
            ends=False,
            height=height,
            pinned=None if place.given is None else round(place.given.midi),
        )

    def spelling(self, note: ScoreNote, spot: Spot) -> Pitch:
        """As the tune has it, or else as chord and key do."""
        if note.pitch is not None:
            return note.pitch
        here = [key for at, key in self.chart.keys if at <= max(note.start, Fraction(0))][-1]
        return spelled(round(note.midi), spot.slot.chord, here)

    def stays(self, note: ScoreNote) -> bool:
        """True for a note of the skeleton."""
        slot = slot_at(self.chart.slots, note.start)
        long = note.beats * self.eighths / 2 >= LONG
        return note.start < 0 or long or is_strong(self.chart, slot, note.start, self.eighths)

    def varied(
        self, tune: Sequence[ScoreNote], vary: float, chance: random.Random
    ) -> list[tuple[_Place, int]]:
        """Every note of the variation with its pitch."""
        kept = sorted({0, *(i for i, note in enumerate(tune) if self.stays(note)), len(tune) - 1})
        found: list[tuple[_Place, int]] = []
        for here, there in pairwise(kept):
            between = tune[here + 1 : there]
            before = found[-1] if found else None
            new = None
            if tune[here].start >= 0 and chance.random() < vary:
                new = self.joined(before, tune[here], between, tune[there], chance)
            if new is None:
                own = (tune[here], *between)
                new = [(_Place(n.start, n.beats, n), round(n.midi)) for n in own]
            found += new
        last = tune[-1]
        return [*found, (_Place(last.start, last.beats, last), round(last.midi))]

    def joined(
        self,
        before: tuple[_Place, int] | None,
        start: ScoreNote,
        between: Sequence[ScoreNote],
        goal: ScoreNote,
        chance: random.Random,
    ) -> list[tuple[_Place, int]] | None:
        """A new way from one note of the skeleton to the next; None where there is none."""
        places = self.rhythm(start, between, goal, chance)
        free = len(places) - 1
        if not free:
            return None
        layout = [*places, _Place(goal.start, goal.beats, goal)]
        climb = (goal.midi - start.midi) / (free + 1)
        arch = chance.choice(_ARCHES)
        spots = []
        for number, place in enumerate(layout):
            bow = arch * math.sin(math.pi * number / (free + 1))
            end = place.start + place.beats
            rests = number < len(layout) - 1 and end < layout[number + 1].start
            spots.append(self.spot(place, start.midi + climb * number + bow, rests=rests))
        if before is not None:
            known = replace(self.spot(before[0], before[1]), pinned=before[1])
            spots.insert(0, known)
        midis = find_pitches(spots, self.level, self.compass, chance)
        if midis is None:
            return None
        return list(zip(places, midis[-free - 2 : -1], strict=True))

    def rhythm(
        self,
        start: ScoreNote,
        between: Sequence[ScoreNote],
        goal: ScoreNote,
        chance: random.Random,
    ) -> list[_Place]:
        """What is played up to the next note of the skeleton, the first note included."""
        own = [_Place(start.start, start.beats, start)]
        own += [_Place(note.start, note.beats, None) for note in between]
        last = between[-1] if between else start
        end = last.start + last.beats
        # Where the tune breathes, so does the variation.
        breathes = (goal.start - end) * self.eighths / 2 >= BREATH
        until = end if breathes else goal.start
        room = (until - start.start) * self.eighths
        into_bar = start.start % self.chart.bars[0].beats * self.eighths
        if room.denominator > 1 or into_bar.denominator > 1:
            return own
        if between and chance.random() < SAME_RHYTHM:
            return own
        most = int(room)
        bar_left = bar_eighths(self.chart.meter) - int(into_bar)
        if most < 2 or most > 2 * bar_left or (breathes and most < _LEAST_BEFORE_BREATH):
            return own
        # What stays of the first note: an eighth, a quarter, or all but what leads on.
        holds = [held for held in (1, 2, most - 2, most - 1) if 1 <= held < most]
        held = min(chance.choice(holds), bar_left)
        eighth = 1 / self.eighths
        places = [_Place(start.start, held * eighth, start)]
        for number in range(held, most):
            places.append(_Place(start.start + number * eighth, eighth, None))
        return places


def _phrases(spots: Sequence[Spot]) -> list[Phrase]:
    """The phrases between the rests."""
    edges = [0]
    for index, (spot, after) in enumerate(pairwise(spots), start=1):
        rest = after.start - spot.start - spot.beats
        if rest * spot.quarters / spot.beats >= BREATH:
            edges.append(index)
    edges.append(len(spots))
    found = []
    for first, beyond in pairwise(edges):
        start = max(spots[first].start, Fraction(0))
        end = spots[beyond - 1].start + spots[beyond - 1].beats
        found.append(Phrase(first, beyond, start, end - start, answers=False))
    return found
