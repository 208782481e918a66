"""Every note of a line before its pitch is known: when, over which chord, and near what height."""

from __future__ import annotations

import random
from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from theorykit.errors import BadInput
from theorykit.practice.line_chart import LineChart, Slot
from theorykit.practice.line_contour import heights
from theorykit.practice.line_figures import bar_eighths, strong_eighths
from theorykit.practice.line_level import Level
from theorykit.practice.line_model import Phrase
from theorykit.practice.line_rhythm import PhraseRhythm, phrase_rhythms
from theorykit.practice.line_search import find_pitches
from theorykit.practice.line_spot import Spot
from theorykit.theory.meter import find_meter

#: How many moves in one direction, and how many turns in a row, a listener bears (stipulated); and
#: how often a dull phrase is tried again.
MOST_STRAIGHT, MOST_TO_AND_FRO = 8, 4
TRIES = 4


def gritty_bars(chart: LineChart, grit: float, chance: random.Random) -> tuple[bool, ...]:
    """For each bar whether it is gritty; rarely where the blues scale has notes to leave out."""
    rubs = [False] * len(chart.bars)
    for slot in chart.slots:
        rubs[slot.bar] |= slot.gritty_plan.fit.has_unwanted
    return tuple(chance.random() < (grit * grit if rub else grit) for rub in rubs)


def _changes(chart: LineChart, eighths: Fraction) -> list[frozenset[Fraction]]:
    """For each bar where in it chords begin, in eighths."""
    found: list[set[Fraction]] = [set() for _ in chart.bars]
    for slot in chart.slots:
        found[slot.bar].add((slot.start - chart.bars[slot.bar].start) * eighths)
    return [frozenset(starts) for starts in found]


def laid_out(
    chart: LineChart,
    level: Level,
    gritty: Sequence[bool],
    compass: Sequence[int],
    choruses: int,
    chance: random.Random,
) -> tuple[list[Spot], list[Phrase]]:
    """Every note that is to be found, and the phrases that they make."""
    eighths = find_meter(chart.meter).beat_quarters * 2
    changes = _changes(chart, eighths)
    per_chorus = len(chart.bars) // choruses
    rhythms: list[PhraseRhythm] = []
    for chorus in range(choruses):
        first = chorus * per_chorus
        found = phrase_rhythms(
            chart.meter,
            level.number,
            changes[first : first + per_chorus],
            chance,
            last=chorus == choruses - 1,
        )
        rhythms += [replace(rhythm, first_bar=rhythm.first_bar + first) for rhythm in found]
    spots: list[Spot] = []
    phrases: list[Phrase] = []
    contour: list[float] = []
    for number, rhythm in enumerate(rhythms):
        if not (rhythm.answers and contour and len(contour) == rhythm.bars * 4 + 1):
            contour = heights(compass, rhythm.bars * 4, level.number, chance)
        start = chart.bars[rhythm.first_bar].start
        first_spot = len(spots)
        ends = number == len(rhythms) - 1
        for index, beat in enumerate(rhythm.beats):
            last = index == len(rhythm.beats) - 1
            following = None if last else rhythm.beats[index + 1]
            at = start + beat.at / eighths
            until = at + beat.eighths / eighths
            slot = slot_at(chart.slots, at)
            share = (beat.at / bar_eighths(chart.meter)) / rhythm.bars
            height = contour[min(max(round(share * rhythm.bars * 4), 0), len(contour) - 1)]
            spots.append(
                Spot(
                    at,
                    until - at,
                    (until - at) * eighths / 2,
                    slot,
                    gritty[slot.bar],
                    is_strong(chart, slot, at, eighths),
                    following is None or until < start + following.at / eighths,
                    last,
                    last and ends,
                    height,
                )
            )
        beats = rhythm.bars * chart.bars[0].beats
        phrases.append(Phrase(first_spot, len(spots), start, beats, rhythm.answers))
    return spots, phrases


def slot_at(slots: Sequence[Slot], beat: Fraction) -> Slot:
    """The chord that sounds at a beat."""
    low, high = 0, len(slots)
    while high - low > 1:
        middle = (low + high) // 2
        if slots[middle].start <= beat:
            low = middle
        else:
            high = middle
    return slots[low]


def is_strong(chart: LineChart, slot: Slot, at: Fraction, eighths: Fraction) -> bool:
    """True on the meter's strong beats and where a chord begins."""
    inside = (at % chart.bars[0].beats) * eighths
    return inside in strong_eighths(chart.meter) or at == slot.start


def found_pitches(
    spots: Sequence[Spot],
    phrases: Sequence[Phrase],
    level: Level,
    compass: Sequence[int],
    chance: random.Random,
) -> list[int]:
    """A pitch for every spot, phrase by phrase.

    Raises
    ------
    BadInput
        If the compass leaves no way.
    """
    midis: list[int] = []
    call: list[int] = []
    for phrase in phrases:
        wanted = list(spots[phrase.first : phrase.beyond])
        opens = next(i for i, spot in enumerate(wanted) if spot.start >= phrase.start)
        if phrase.answers and call:
            wanted = _like(wanted, call, opens)
        before = midis[-1] if midis else None
        tries = (find_pitches(wanted, level, compass, chance, before=before) for _ in range(TRIES))
        found = _liveliest(tries) or find_pitches(wanted, level, compass, chance)
        if found is None:
            raise BadInput(
                "compass",
                f"{compass[0]} to {compass[-1]}",
                f"leaves no way over {wanted[0].slot.chord}",
                accepted="more notes, or another key",
            )
        midis += found
        call = found[opens:]
    return midis


def _liveliest(tries: Iterable[list[int] | None]) -> list[int] | None:
    """The first try that is not dull, or else the least dull."""
    best: list[int] | None = None
    for found in tries:
        if found is None:
            return best
        if best is None or dullness(found) < dullness(best):
            best = found
        if not dullness(best):
            break
    return best


def dullness(midis: Sequence[int]) -> int:
    """How much longer than bearable a phrase goes to and fro, or one way.

    Examples
    --------
    >>> dullness([60, 64, 60, 64, 60, 64, 60, 64]), dullness([60, 62, 64, 67, 64, 62, 60])
    (3, 0)
    """
    ways = [after > before for before, after in pairwise(midis) if after != before]
    straight = to_and_fro = run = turns = 1
    for before, after in pairwise(ways):
        run = run + 1 if before == after else 1
        turns = 1 if before == after else turns + 1
        straight, to_and_fro = max(straight, run), max(to_and_fro, turns)
    return max(0, straight - MOST_STRAIGHT) + max(0, to_and_fro - MOST_TO_AND_FRO)


def _like(wanted: list[Spot], call: Sequence[int], opens: int) -> list[Spot]:
    """An answer's notes, the first two thirds of which move as the call's do."""
    body = len(wanted) - opens
    found = list(wanted)
    for number in range(1, min(len(call), 2 * body // 3)):
        place = opens + number
        found[place] = replace(found[place], like=call[number] - call[number - 1])
    return found
