"""The order in which the bars of a tune file are played, however loosely it marks its repeats."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from theorykit.errors import BadInput
from theorykit.theory.roadmap import Mark, playing_order


class MarkedBar(Protocol):
    """What the order needs to know of a bar; see ``tune.TuneBar``."""

    repeat_start: bool
    repeat_end: int
    ending: str
    double: bool
    jumps: list[tuple[str, str]]


def played(bars: Sequence[MarkedBar]) -> tuple[Sequence[int], str]:
    """The bars, counted from 0, in the order in which they are played, and a remark on it.

    Files leave out the start of a repeat where a double bar line or the end of the last repeat
    shows it, and close the last ending too (common practice). Where the marks contradict each
    other even so, the jumps are left out, and then all of them.
    """
    marks = _marks(bars)
    jumps = [
        Mark(index, kind, value) for index, bar in enumerate(bars) for kind, value in bar.jumps
    ]
    for chosen, remark in (
        ([*marks, *jumps], ""),
        (marks, "its jumps contradict each other and are not played" if jumps else ""),
    ):
        try:
            return playing_order(len(bars), chosen), remark
        except BadInput:
            continue
    return range(len(bars)), "its repeats contradict each other: each bar is played once"


def _marks(bars: Sequence[MarkedBar]) -> list[Mark]:
    found: list[Mark] = []
    opened: set[int] = set()
    # Where a repeat goes back to, whether the file says so, and the endings since.
    start, said, endings = 0, False, 0
    for index, bar in enumerate(bars):
        double = index > 0 and bars[index - 1].double and not bar.ending
        if bar.repeat_start and said and not endings:
            # A start that meets the next one is closed there.
            found += [Mark(start, "repeat start"), Mark(index - 1, "repeat end", "2")]
            opened.add(start)
        if bar.repeat_start or (double and (not said or endings > 1)):
            start, said, endings = index, bar.repeat_start, 0
        if bar.ending:
            endings += 1
            found.append(Mark(index, "ending", bar.ending))
        if not bar.repeat_end:
            continue
        goes_on = _goes_on(bars, index + 1)
        # The last ending of a repeat may be closed like the others, but goes nowhere.
        if goes_on or not endings:
            if start not in opened:
                found.append(Mark(start, "repeat start"))
                opened.add(start)
            times = 2 if endings else bar.repeat_end
            found.append(Mark(index, "repeat end", str(times)))
        if not goes_on:
            start, said, endings = index + 1, False, 0
    return found


def _goes_on(bars: Sequence[MarkedBar], index: int) -> bool:
    """True where the bar begins an ending that is not the first."""
    return index < len(bars) and bool(bars[index].ending) and "1" not in bars[index].ending
