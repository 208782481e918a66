"""The rhythms of a line: a small vocabulary for each level, joined to phrases that breathe.

Lengths are in eighths. A bar falls into groups, on each of which a figure is played; a phrase ends
on a longer note and a rest (common practice; the weights are stipulated).
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from theorykit.practice.line_figures import (
    FIGURES,
    GROUPS,
    SHORT_BARS,
    bar_eighths,
    figure_edges,
    figure_lengths,
    strong_eighths,
)

#: How often a bar takes up the rhythm of the one before, and a phrase that of the one before.
BAR_AGAIN, PHRASE_AGAIN = 0.4, 0.5
#: How often a phrase of a lower level is twice as long.
LONG_PHRASE = 0.25
#: From level 3 on, how often a phrase begins before its bar.
PICKUP = 0.7

_REST_BEFORE_PICKUP = 2
_LEAST_LAST = 2


@dataclass(frozen=True, slots=True)
class Beat:
    """A note of a rhythm: where and how long, in eighths from the phrase's first bar line."""

    at: Fraction
    eighths: Fraction

    @property
    def end(self) -> Fraction:
        """Where it is over."""
        return self.at + self.eighths


@dataclass(frozen=True, slots=True)
class PhraseRhythm:
    """The rhythm of a phrase.

    Parameters
    ----------
    first_bar, bars : int
    beats : tuple of Beat
        Those before 0 are the pick-up.
    answers : bool
        True where the rhythm is that of the phrase before.
    """

    first_bar: int
    bars: int
    beats: tuple[Beat, ...]
    answers: bool


def phrase_rhythms(
    meter: str,
    level: int,
    changes: Sequence[frozenset[Fraction]],
    chance: random.Random,
    *,
    last: bool,
) -> list[PhraseRhythm]:
    """The rhythms of the phrases of a chorus.

    Parameters
    ----------
    meter : str
    level : int
    changes : sequence of set
        For each bar, where in it a chord begins, in eighths.
    chance : random.Random
    last : bool
        True for the last chorus, which ends on a long note.
    """
    plan = _lengths(len(changes), meter, level, chance)
    if last and bar_eighths(meter) - max(changes[-1]) < _LEAST_LAST:
        # So late a chord leaves a call no room to breathe, so nothing answers there.
        plan[-1] = (plan[-1][0], False)
    found: list[PhraseRhythm] = []
    first = 0
    for number, (bars, answers) in enumerate(plan):
        ends = last and number == len(plan) - 1
        before = found[-1] if found else None
        here = changes[first : first + bars]
        if answers and before is not None:
            beats = _repeated(before)
            if ends:
                beats = _held(beats, meter, bars)
        else:
            follows = number + 1 < len(plan) and plan[number + 1][1]
            union = list(here)
            if follows:
                after = changes[first + bars : first + 2 * bars]
                union = [one | other for one, other in zip(here, after, strict=True)]
            # The last answer keeps this rhythm and ends on the last chord.
            leaves = follows and last and number + 2 == len(plan)
            waits = max(changes[-1]) if leaves else None
            beats = _body(meter, level, union, chance, ends=ends, waits=waits)
        pickup: tuple[Beat, ...] = ()
        if level >= 3 and before is not None:
            pickup = _pickup(before, meter, beats, chance)
        found.append(PhraseRhythm(first, bars, (*pickup, *beats), answers))
        first += bars
    return found


def _lengths(bars: int, meter: str, level: int, chance: random.Random) -> list[tuple[int, bool]]:
    """How many bars each phrase has, and whether it answers the one before."""
    found: list[tuple[int, bool]] = []
    if level >= 4:
        while bars > 0:
            found.append((min(2, bars), False))
            bars -= found[-1][0]
            if bars >= 2:
                found.append((2, True))
                bars -= 2
        return found
    unit = 4 if meter in SHORT_BARS else 2
    while bars > 0:
        long = chance.random() < LONG_PHRASE and unit == 2 and bars >= 2 * unit
        length = 2 * unit if long else unit
        length = min(length, bars)
        if bars - length == 1:
            length += 1
        before = found[-1] if found else (0, True)
        again = before[0] == length and not before[1] and chance.random() < PHRASE_AGAIN
        found.append((length, again))
        bars -= length
    return found


def _body(
    meter: str,
    level: int,
    changes: Sequence[frozenset[Fraction]],
    chance: random.Random,
    *,
    ends: bool,
    waits: Fraction | None = None,
) -> tuple[Beat, ...]:
    """A phrase from its first bar line on."""
    size = bar_eighths(meter)
    tail = _tail(meter, level, changes[-1], chance, ends=ends, waits=waits)
    held = ends or waits is not None
    longest = size - tail[-1].at if held else Fraction(size)
    beats: list[Beat] = []
    before: list[str] = []
    for bar, inside in enumerate(changes[:-1]):
        again = bool(before) and chance.random() < BAR_AGAIN and _fits(before, meter, inside)
        figures = before if again and bar > 1 else _bar(meter, level, inside, chance, bar, longest)
        beats += _placed(figures, bar * size)
        before = figures
    start = Fraction((len(changes) - 1) * size)
    beats += [Beat(beat.at + start, beat.eighths) for beat in tail]
    edges = [bar * size + change for bar, inside in enumerate(changes) for change in sorted(inside)]
    return tuple(_cut(beat, edges) for beat in beats)


def _cut(beat: Beat, edges: Sequence[Fraction]) -> Beat:
    """A note that no figure ends where a chord does, ended there."""
    end = min((edge for edge in edges if edge > beat.at), default=beat.end)
    return beat if beat.end <= end else Beat(beat.at, end - beat.at)


def _fits(figures: Sequence[str], meter: str, changes: frozenset[Fraction]) -> bool:
    at = 0
    for figure, (length, _) in zip(figures, GROUPS[meter], strict=True):
        inside = {change - at for change in changes if at <= change < at + length}
        if not inside <= figure_edges(figure):
            return False
        at += length
    return True


def _bar(
    meter: str,
    level: int,
    changes: frozenset[Fraction],
    chance: random.Random,
    bar: int,
    longest: Fraction,
) -> list[str]:
    figures, at = [], 0
    for group, (length, _) in enumerate(GROUPS[meter]):
        inside = frozenset(change - at for change in changes if at <= change < at + length)
        opens = bar == 0 and group == 0
        figures.append(_chosen(level, length, inside, chance, opens=opens, longest=longest))
        at += length
    return figures


def _chosen(
    level: int,
    length: int,
    changes: frozenset[Fraction],
    chance: random.Random,
    *,
    opens: bool,
    longest: Fraction,
) -> str:
    """A figure for a group: with a note where a chord begins, if the vocabulary has one."""
    offered = [
        (figure, weight)
        for figure, weight in FIGURES[level][length]
        if (opens or not figure.startswith("r"))
        and max(each for each, sounds in figure_lengths(figure) if sounds) <= longest
    ]
    fitting = [(figure, weight) for figure, weight in offered if changes <= figure_edges(figure)]
    choice = fitting or offered
    if not choice:
        return " ".join(["1"] * length)
    figures = [figure for figure, _ in choice]
    return chance.choices(figures, [weight for _, weight in choice])[0]


def _placed(figures: Sequence[str], start: Fraction | int) -> list[Beat]:
    at, found = Fraction(start), []
    for figure in figures:
        for length, sounds in figure_lengths(figure):
            if sounds:
                found.append(Beat(at, length))
            at += length
    return found


def _tail(
    meter: str,
    level: int,
    changes: frozenset[Fraction],
    chance: random.Random,
    *,
    ends: bool,
    waits: Fraction | None,
) -> list[Beat]:
    """The last bar of a phrase: figures, a longer note and, but at the very end, a rest."""
    groups, size = GROUPS[meter], bar_eighths(meter)
    starts = [sum(length for length, _ in groups[:number]) for number in range(len(groups))]
    latest = max(changes)
    if ends:
        # The last note waits for the last chord and is held to the end.
        strong = strong_eighths(meter)
        onsets = [Fraction(at) for at in starts if at >= latest and at in strong and size - at >= 4]
        final = min(onsets, default=latest)
        if len(onsets) > 1 and chance.random() < 0.3:
            final = onsets[1]
    else:
        final = _phrase_end(groups, starts, chance)
        if waits is not None:
            final = max(final, waits)
    figures: list[Beat] = []
    for at, (length, _) in zip(starts, groups, strict=True):
        if at >= final:
            break
        inside = frozenset(change - at for change in changes if at <= change < at + length)
        longest = size - final if ends or waits is not None else Fraction(size)
        figure = _chosen(level, length, inside, chance, opens=False, longest=longest)
        figures += [beat for beat in _placed([figure], at) if beat.at < final]
    figures = [Beat(beat.at, min(beat.eighths, final - beat.at)) for beat in figures]
    if ends:
        return [*figures, Beat(final, size - final)]
    room = size - final
    group = next(
        length for at, (length, _) in zip(starts, groups, strict=True) if at <= final < at + length
    )
    held = min(Fraction(group), room - 2) if room > 3 else room - 1
    held = max(held, Fraction(1))
    return [*figures, Beat(final, held)]


def _phrase_end(
    groups: Sequence[tuple[int, bool]], starts: Sequence[int], chance: random.Random
) -> Fraction:
    """Where the last note of a phrase begins."""
    if len(groups) > 1:
        # More phrases than not are over with the bar's first beat, and leave room for a pick-up.
        choice = [*starts[:1], *starts] if len(groups) == 2 else starts[:-1]
        return Fraction(chance.choice(choice))
    length = groups[0][0]
    if length >= 6:
        return Fraction(chance.choice((0, 2)))
    return Fraction(0)


def _repeated(before: PhraseRhythm) -> tuple[Beat, ...]:
    return tuple(beat for beat in before.beats if beat.at >= 0)


def _held(beats: tuple[Beat, ...], meter: str, bars: int) -> tuple[Beat, ...]:
    """The rhythm of an answer that ends the line: its last note is held to the end of the bar."""
    end = Fraction(bars * bar_eighths(meter))
    last = beats[-1]
    return (*beats[:-1], Beat(last.at, end - last.at))


def _pickup(
    before: PhraseRhythm, meter: str, beats: tuple[Beat, ...], chance: random.Random
) -> tuple[Beat, ...]:
    """Eighths that lead into a phrase, in the rest that the one before leaves."""
    room = before.bars * bar_eighths(meter) - before.beats[-1].end - _REST_BEFORE_PICKUP
    count = min(int(room), 3)
    if count < 1 or beats[0].at > 0 or chance.random() >= PICKUP:
        return ()
    count = chance.randint(min(2, count), count)
    return tuple(Beat(Fraction(-number), Fraction(1)) for number in range(count, 0, -1))
