"""A routine: what is practised, in which keys, how fast and how long, with rests.

The minutes add up to what was asked for, rests included. What a body can take is for the player,
a teacher and a clinician to say; the cautions here are the usual ones, and no advice on health.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from theorykit.errors import BadInput
from theorykit.practice.routine_item import KINDS, RoutineItem, tempo_ladder
from theorykit.practice.routine_keys import key_round
from theorykit.practice.routine_plan import CAUTIONS, Block, Routine, Rung, cut_block
from theorykit.practice.routine_time import LONGEST_STRETCH, REST_SECONDS, shares, with_rests
from theorykit.theory.key import Key

__all__ = [
    "CAUTIONS",
    "KINDS",
    "Block",
    "Routine",
    "RoutineItem",
    "Rung",
    "key_round",
    "routine",
    "tempo_ladder",
]

#: What of a routine is spent on warming up.
_WARM_UP_SHARE = 0.1

FEWEST_MINUTES, MOST_MINUTES = 3, 240

# A block shorter than this is over before the hand has settled; a rung of the ladder likewise.
_SHORTEST_BLOCK, _SHORTEST_RUNG = 60, 30

# How much faster the next tempo may be where the ladder is thinned (stipulated).
_HIGHEST_RUNG = 1.25

_ROUNDING = 1e-6


def routine(
    items: Iterable[RoutineItem],
    *,
    minutes: float = 30,
    keys: Sequence[Key | str] | str = "fourths",
    start: Key | str = "C",
    count: int = 3,
    tempo: tuple[float, float, float] = (60, 100, 10),
    warm_up: bool = True,
    longest_minutes: float = LONGEST_STRETCH / 60,
    rest_seconds: int = REST_SECONDS,
    in_order: bool = False,
    seed: int = 0,
) -> Routine:
    """A practice plan that takes just the minutes that there are.

    It begins with a slow warm-up, goes from scales and shapes to music, climbs the tempos in each
    key, and rests after ten minutes at the latest. Where time is short it leaves out keys, then
    items, and says which.

    Parameters
    ----------
    items : iterable of RoutineItem
    minutes : float
        All of it, rests included; whole seconds.
    keys : sequence of (Key or str), or str
        The keys themselves, or an order of `KEY_ORDERS`.
    start, count
        The first key of the round and how many of it.
    tempo : tuple of float
        From, to and step, in beats a minute.
    warm_up : bool
    longest_minutes : float
        The longest stretch with no rest.
    rest_seconds : int
    in_order : bool
        True to keep the items in the order in which they are given.
    seed : int
        For keys at random.

    Raises
    ------
    BadInput

    Examples
    --------
    >>> plan = routine([RoutineItem("scale", "major"), RoutineItem("progression", "12-bar blues")],
    ...     minutes=15, start="G", count=2)
    >>> [(row["at"], row["kind"], row["key"]) for row in plan.records()]
    [('0:00', 'warm-up', 'G major'), ('1:24', 'scale', 'G major'), ('4:33', 'scale', 'C major'), \
('7:42', 'rest', None), ('8:42', 'progression', 'G major'), ('11:51', 'progression', 'C major')]
    >>> plan.minutes
    15.0
    """
    todo = list(items)
    if not todo:
        raise BadInput("items", "", "there is nothing to practise", accepted="an item or more")
    # Minutes that were divided from seconds are whole seconds but for a rounding.
    fits = FEWEST_MINUTES <= minutes <= MOST_MINUTES
    if not fits or abs(minutes * 60 - round(minutes * 60)) > _ROUNDING:
        accepted = f"{FEWEST_MINUTES} to {MOST_MINUTES}, in whole seconds"
        raise BadInput("minutes", minutes, "out of range", accepted=accepted)
    if not 2 <= longest_minutes <= MOST_MINUTES:
        raise BadInput("longest stretch", longest_minutes, "out of range", accepted="2 minutes up")
    longest = int(longest_minutes * 60)
    most = f"10 to {longest // 2} seconds"
    if isinstance(rest_seconds, bool) or rest_seconds not in range(10, longest // 2 + 1):
        raise BadInput("rest", rest_seconds, "out of range", accepted=most)
    ladder = tempo_ladder(*tempo)
    tonics = (
        key_round(keys, start=start, count=count, seed=seed)
        if isinstance(keys, str)
        else tuple(key if isinstance(key, Key) else Key.parse(key) for key in keys)
    )
    if not tonics:
        raise BadInput("keys", "", "there is none", accepted="a key or more")
    if not in_order:
        todo.sort(key=lambda item: KINDS.index(item.kind))

    def plan(work: int) -> tuple[list[Block], list[str]]:
        return _work(work, todo, tonics, ladder, warm_up=warm_up)

    blocks, left = with_rests(plan, round(minutes * 60), longest, rest_seconds, _rest, cut_block)
    return Routine(tuple(blocks), tuple(left))


def _work(
    seconds: int,
    items: Sequence[RoutineItem],
    keys: Sequence[Key],
    ladder: Sequence[float],
    *,
    warm_up: bool,
) -> tuple[list[Block], list[str]]:
    """The blocks with no rests, which fill the seconds, and what there is no time for."""
    blocks: list[Block] = []
    left: list[str] = []
    first = items[0]
    if warm_up:
        share = max(round(seconds * _WARM_UP_SHARE), _SHORTEST_BLOCK)
        position = first.positions[0] if first.positions else None
        slow = first.tempo[0] if first.tempo is not None else ladder[0]
        blocks.append(Block("warm-up", share, first, keys[0], position, (Rung(slow, share),)))
        seconds -= share
    kept = list(items)
    while len(kept) > 1 and min(_by_weight(seconds, kept)) < _SHORTEST_BLOCK:
        left.insert(0, kept.pop().title)
    for item, share in zip(kept, _by_weight(seconds, kept), strict=True):
        fitting = max(min(len(keys), share // _SHORTEST_BLOCK), 1)
        left += [Block(item.kind, 0, item, key).title for key in keys[fitting:]]
        tempos = tempo_ladder(*item.tempo) if item.tempo is not None else ladder
        for place, (key, part) in enumerate(
            zip(keys[:fitting], shares(share, [1.0] * fitting), strict=True)
        ):
            position = item.positions[place % len(item.positions)] if item.positions else None
            rungs = _rungs(part, tempos)
            blocks.append(Block(item.kind, part, item, key, position, rungs))
    return blocks, left


def _by_weight(seconds: int, items: Sequence[RoutineItem]) -> list[int]:
    return shares(seconds, [item.weight for item in items])


def _rungs(seconds: int, ladder: Sequence[float]) -> tuple[Rung, ...]:
    """The ladder, thinned until there is time for each of its tempos.

    No rung is more than a quarter faster than the one before; rather than that it ends earlier.
    """
    count = max(min(len(ladder), seconds // _SHORTEST_RUNG), 1)
    picked = list(ladder[:count])
    for top in range(len(ladder), count, -1):
        # The first and the last are kept, and what lies evenly between.
        places = [round(place * (top - 1) / max(count - 1, 1)) for place in range(count)]
        thinned = [ladder[place] for place in places]
        if thinned[-1] == ladder[top - 1] and all(
            high <= low * _HIGHEST_RUNG for low, high in pairwise(thinned)
        ):
            picked = thinned
            break
    parts = shares(seconds, [1.0] * len(picked))
    return tuple(Rung(tempo, part) for tempo, part in zip(picked, parts, strict=True))


def _rest(seconds: int) -> Block:
    return Block("rest", seconds)
