"""Places in a take as a player says them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from theorykit.analysis.wording import listed
from theorykit.review.finding import Finding

if TYPE_CHECKING:
    from theorykit.review.review import Review

#: A bar list longer than this says less than its first bars do; so do more lists by chorus.
_MOST_BARS, _MOST_LISTS = 6, 3


def bar_words(bars: Iterable[int], review: Review) -> str:
    """Bars as a player counts them: ``bar 5``, ``bars 3 and 7``, ``bar 2 of chorus 3``."""
    form = len(review.chart.bars) // review.take.choruses
    numbers = sorted({max(bar, 1) for bar in bars})
    if review.take.choruses == 1:
        return _bar_list(numbers)
    by_chorus: dict[int, list[int]] = {}
    for number in numbers:
        by_chorus.setdefault((number - 1) // form + 1, []).append((number - 1) % form + 1)
    alike: dict[tuple[int, ...], list[int]] = {}
    for chorus, inside in by_chorus.items():
        alike.setdefault(tuple(inside), []).append(chorus)
    told = [
        f"{_bar_list(inside)} of {_chorus_list(choruses, review.take.choruses)}"
        for inside, choruses in alike.items()
    ]
    if len(told) > _MOST_LISTS:
        told = [*told[: _MOST_LISTS - 1], f"{len(told) - _MOST_LISTS + 1} more choruses"]
    return listed(told)


def _chorus_list(choruses: Sequence[int], every: int) -> str:
    if len(choruses) == every > 1:
        return "every chorus"
    numbers = _runs(choruses)
    return f"chorus{'' if len(choruses) == 1 else 'es'} {listed(numbers)}"


def place_words(finding: Finding, review: Review) -> str:
    """A finding's place: ``bar 5, beat 3``."""
    where = bar_words([finding.bar], review)
    return f"{where}, {_beat(float(finding.beat))}" if finding.beat else where


def _beat(beat: float) -> str:
    """``beat 2``, ``the and of beat 2``, or just after or before one."""
    whole, part = int(beat), beat - int(beat)
    if part == 0:
        return f"beat {whole}"
    if part == 0.5:
        return f"the and of beat {whole}"
    return f"just after beat {whole}" if part < 0.5 else f"just before beat {whole + 1}"


def _bar_list(numbers: Sequence[int]) -> str:
    words = _runs(numbers)
    if len(words) > _MOST_BARS:
        return f"bars {', '.join(words[:_MOST_BARS])} and {len(words) - _MOST_BARS} more"
    return f"bar{'' if len(numbers) == 1 else 's'} {listed(words)}"


def _runs(numbers: Sequence[int]) -> list[str]:
    """Numbers in their order, three or more that follow one another as ``3 to 6``."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    words: list[str] = []
    for run in runs:
        words += [f"{run[0]} to {run[-1]}"] if len(run) > 2 else [str(number) for number in run]
    return words


def counted(number: float, noun: str) -> str:
    """``1 bar``, ``2.5 bars``."""
    return f"{number:g} {noun}{'' if number == 1 else 's'}"
