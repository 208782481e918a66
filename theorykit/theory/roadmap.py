"""Road maps: the repeats, endings and jumps of a chart, and the order in which bars are played."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from theorykit.errors import BadInput

#: What may be marked in a chart, and whether it stands at the start or at the end of its bar.
PLACES = {
    "repeat start": "start",
    "ending": "start",
    "segno": "start",
    "coda": "start",
    "section": "start",
    "key": "start",
    "repeat end": "end",
    "to coda": "end",
    "fine": "end",
    "da capo": "end",
    "dal segno": "end",
}

# Longer than any chart that people play, and a bound on what a mistyped one may cost.
_MOST_PLAYED = 8192


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark in a chart.

    Parameters
    ----------
    bar : int
        The bar at which it stands, counted from 0.
    kind : str
        One of ``PLACES``.
    value : str
        How often a repeat is played (``"2"``), which times an ending is for (``"1"``, ``"12"``),
        what a jump leads to (``"fine"``, ``"coda"`` or nothing), a section's name, or a key as a
        numeral of the home key (``"II"``, ``"vi"`` for the minor one).
    """

    bar: int
    kind: str
    value: str = ""


def playing_order(count: int, marks: Iterable[Mark]) -> tuple[int, ...]:
    """The bars, counted from 0, in the order in which they are played.

    A repeat goes back to the last ``|:``, or to where the repeat before it ended, or to the
    beginning. After a D.C. or D.S. repeats are not taken again, and the last ending is played
    (common practice).

    Raises
    ------
    BadInput
        If the marks contradict each other.

    Examples
    --------
    >>> marks = [Mark(1, "ending", "1"), Mark(1, "repeat end", "2"), Mark(2, "ending", "2")]
    >>> playing_order(3, marks)
    (0, 1, 0, 2)
    """
    at: dict[int, dict[str, str]] = {}
    for mark in marks:
        here = at.setdefault(mark.bar, {})
        if mark.kind in here:
            raise _bad(f"bar {mark.bar + 1} has two marks of one kind: {mark.kind}")
        here[mark.kind] = mark.value
    _check_repeats(at)
    _check_jumps(at)
    groups = _endings(count, at)
    return _walk(count, at, groups)


def _bad(reason: str) -> BadInput:
    return BadInput("road map", "of a chart", reason)


def _bars_with(at: dict[int, dict[str, str]], kind: str, value: str | None = None) -> list[int]:
    return sorted(
        bar for bar, here in at.items() if kind in here and value in {None, here.get(kind)}
    )


def _check_repeats(at: dict[int, dict[str, str]]) -> None:
    unclosed: int | None = None
    for bar in sorted(at):
        if "repeat start" in at[bar]:
            if unclosed is not None:
                break
            unclosed = bar
        if "repeat end" in at[bar]:
            unclosed = None
    if unclosed is not None:
        raise _bad(f"bar {unclosed + 1}: '|:' is never closed by ':|'")


def _check_jumps(at: dict[int, dict[str, str]]) -> None:
    jumps = [(bar, here[kind]) for bar, here in at.items()
             for kind in ("da capo", "dal segno") if kind in here]  # fmt: skip
    if len(jumps) > 1:
        raise _bad("has more than one D.C. or D.S.")
    for kind in ("segno", "coda", "to coda", "fine"):
        if len(_bars_with(at, kind)) > 1:
            raise _bad(f"has more than one {kind}")
    wanted: dict[str, str] = {}
    for _, value in jumps:
        if value == "fine":
            wanted["fine"] = "'al Fine'"
        elif value == "coda":
            wanted.update({"to coda": "'al Coda'", "coda": "'al Coda'"})
    if _bars_with(at, "dal segno"):
        wanted["segno"] = "D.S."
    for kind in ("segno", "coda", "to coda", "fine"):
        if kind in wanted and not _bars_with(at, kind):
            raise _bad(f"has {wanted[kind]}, but no {kind}")
        if kind not in wanted and _bars_with(at, kind):
            raise _bad(f"has a {kind}, but nothing leads to it")
    if "coda" in wanted and _bars_with(at, "coda")[0] <= jumps[0][0]:
        raise _bad("its coda stands before the jump to it")
    if "to coda" in wanted and _bars_with(at, "to coda")[0] > jumps[0][0]:
        raise _bad("'to coda' stands after the D.C. or D.S.")


def _endings(count: int, at: dict[int, dict[str, str]]) -> dict[int, tuple[int, int]]:
    """For each bar that begins an ending: how often its repeat is played, and the next ending."""
    starts = _bars_with(at, "ending")
    groups: list[list[int]] = []
    for bar in starts:
        # An ending goes on with the group before it when that has just gone back.
        if groups and "1" not in at[bar]["ending"]:
            groups[-1].append(bar)
        else:
            groups.append([bar])
    ends, opens = _bars_with(at, "repeat end"), _bars_with(at, "repeat start")
    result: dict[int, tuple[int, int]] = {}
    for group in groups:
        numbers = sorted("".join(at[bar]["ending"] for bar in group))
        if numbers != [str(number) for number in range(1, len(numbers) + 1)] or len(group) < 2:
            raise _bad(f"bar {group[0] + 1}: its endings are not 1., 2. and so on")
        for bar, following in pairwise(group):
            if "repeat end" not in at.get(following - 1, {}):
                raise _bad(f"bar {following}: the ending has no ':|' before the next one")
            if bisect_left(ends, bar) < bisect_left(ends, following - 1):
                raise _bad(f"bar {bar + 1}: a repeat ends inside an ending")
            if at[following - 1]["repeat end"] != "2":
                raise _bad(f"bar {following}: its endings say how often it is played")
        for bar, following in zip(group, [*group[1:], count], strict=True):
            result[bar] = (len(numbers), following)
        after = ends[bisect_left(ends, group[-1]) :][:1]
        again = opens[bisect_left(opens, group[-1]) :][:1]
        if after and not (again and again[0] <= after[0]):
            raise _bad(f"bar {after[0] + 1}: the last ending goes on, so no '|:' is open")
    return result


def _walk(
    count: int, at: dict[int, dict[str, str]], endings: dict[int, tuple[int, int]]
) -> tuple[int, ...]:
    order: list[int] = []
    bar, back_to, time, jumped = 0, 0, 1, ""
    starts = sorted(endings)
    while bar < count:
        here = at.get(bar, {})
        if "repeat start" in here and back_to != bar:
            back_to, time = bar, 1
        if "ending" in here:
            times, following = endings[bar]
            now = times if jumped else time
            if str(now) not in here["ending"] and following < count:
                bar = following
                continue
        order.append(bar)
        if len(order) > _MOST_PLAYED:
            raise _bad(f"plays more than {_MOST_PLAYED} bars")
        if jumped == "fine" and "fine" in here:
            break
        if jumped == "coda" and "to coda" in here:
            bar = _bars_with(at, "coda")[0]
            continue
        if "repeat end" in here:
            inside = starts[bisect_left(starts, back_to) : bisect_right(starts, bar)]
            times = max((endings[each][0] for each in inside), default=int(here["repeat end"]))
            if not jumped and time < times:
                bar, time = back_to, time + 1
                continue
            back_to, time = bar + 1, 1
        kind = next((kind for kind in ("da capo", "dal segno") if kind in here), None)
        if kind is not None and not jumped:
            jumped = here[kind] or "end"
            bar = 0 if kind == "da capo" else _bars_with(at, "segno")[0]
            back_to, time = bar, 1
            continue
        bar += 1
    return tuple(order)
