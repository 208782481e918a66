"""A routine: what is practised, in which keys, how fast and how long, with rests.

The minutes add up to what was asked for, rests included. What a body can take is for the player,
a teacher and a clinician to say; the cautions here are the usual ones, and no advice on health.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

from theorykit.errors import BadInput, nearest
from theorykit.practice.routine_keys import key_round
from theorykit.practice.routine_time import LONGEST_STRETCH, REST_SECONDS, shares, with_rests
from theorykit.practice.sequence_pattern import find_pattern
from theorykit.score.score import FASTEST, SLOWEST, check_tempo
from theorykit.theory.form import find_progression
from theorykit.theory.key import Key
from theorykit.theory.meter import find_meter
from theorykit.theory.progression import Progression
from theorykit.theory.scale import find_scale

#: What can be practised, in the order in which it is (common practice: hands first, then ear and
#: head, music last, while there is still time to enjoy it).
KINDS = ("scale", "shapes", "sequence", "line", "progression")

#: What of a routine is spent on warming up.
_WARM_UP_SHARE = 0.1

FEWEST_MINUTES, MOST_MINUTES = 3, 240

# A block shorter than this is over before the hand has settled; a rung of the ladder likewise.
_SHORTEST_BLOCK, _SHORTEST_RUNG = 60, 30

# How much faster the next tempo may be where the ladder is thinned (stipulated).
_HIGHEST_RUNG = 1.25

_ROUNDING = 1e-6

#: What every routine says (common practice of teachers).
CAUTIONS = (
    "Start slow and loose; go up a tempo only when the one before was clean and easy.",
    "Rest when the clock says so, and sooner when hands, arms, neck or back tire.",
    "Pain, numbness or tingling means stop. If it comes back, see a clinician before you play on.",
    "Keep it soft enough to talk over. Loud practice needs ear plugs and longer rests.",
    "Ringing or dull ears mean stop; if that stays, see a clinician.",
    "Your teacher knows your hands: what they say goes before this plan.",
)


@dataclass(frozen=True, slots=True)
class RoutineItem:
    """A thing to practise.

    Parameters
    ----------
    kind : str
        One of `KINDS`.
    name : str
        The scale's, the form's, or what a line or a set of shapes is called.
    pattern : str
        For a sequence.
    positions : tuple of int
        Frets of the index finger, which take turns from key to key.
    meter : str
    tempo : tuple of float, optional
        From, to and step, where not the routine's.
    weight : float
        How much of the time it gets against the others.

    Examples
    --------
    >>> RoutineItem("sequence", "major", pattern="threes").title
    'major in threes'
    """

    kind: str
    name: str
    pattern: str = ""
    positions: tuple[int, ...] = ()
    meter: str = "4/4"
    tempo: tuple[float, float, float] | None = None
    weight: float = 1.0

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            close = nearest(self.kind, KINDS) if isinstance(self.kind, str) else None
            raise BadInput("item", self.kind, "unknown", accepted=", ".join(KINDS), nearest=close)
        if self.kind in ("scale", "sequence"):
            find_scale(self.name)
        if self.kind == "sequence":
            find_pattern(self.pattern)
        if self.kind == "progression":
            find_progression(self.name)
        elif not self.name.strip():
            raise BadInput("item", self.name, "has no name", accepted="what to practise")
        find_meter(self.meter)
        if self.tempo is not None:
            tempo_ladder(*self.tempo)
        if not 0 < self.weight < float("inf"):
            raise BadInput("weight", self.weight, "out of range", accepted="more than 0")

    @property
    def title(self) -> str:
        """What it is, with no key."""
        if self.kind == "sequence":
            return f"{self.name} in {self.pattern}"
        return f"{self.name} scale" if self.kind == "scale" else self.name

    @property
    def form(self) -> Progression | None:
        """The chart of a progression."""
        return find_progression(self.name).unfolded() if self.kind == "progression" else None


@dataclass(frozen=True, slots=True)
class Rung:
    """A tempo of a block, and how many seconds are spent at it."""

    tempo: float
    seconds: int


@dataclass(frozen=True, slots=True)
class Block:
    """A stretch of a routine in one key.

    Parameters
    ----------
    kind : str
        One of `KINDS`, ``"warm-up"`` or ``"rest"``.
    seconds : int
    item : RoutineItem, optional
        None for a rest.
    key : Key, optional
    position : int, optional
    tempos : tuple of Rung
        The ladder that is climbed; its seconds add up to the block's.
    """

    kind: str
    seconds: int
    item: RoutineItem | None = None
    key: Key | None = None
    position: int | None = None
    tempos: tuple[Rung, ...] = ()

    @property
    def title(self) -> str:
        """What it is, key and position included."""
        if self.item is None:
            return "Rest: put the instrument down, stand up, shake out your hands"
        place = "" if self.position is None else f", position {self.position}"
        warm = "Warm-up: " if self.kind == "warm-up" else ""
        if self.item.kind in ("scale", "sequence") and self.key is not None:
            return f"{warm}{self.key.tonic} {self.item.title}{place}"
        return f"{warm}{self.item.title}, {self.key}{place}"


@dataclass(frozen=True, slots=True)
class Routine:
    """A practice plan.

    Parameters
    ----------
    blocks : tuple of Block
        In their order; their seconds add up to the minutes that were asked for.
    left_out : tuple of str
        Items and keys for which there was no time: the next session begins there.
    cautions : tuple of str
    """

    blocks: tuple[Block, ...]
    left_out: tuple[str, ...] = ()
    cautions: tuple[str, ...] = field(default=CAUTIONS, repr=False)

    @property
    def seconds(self) -> int:
        """How long it lasts."""
        return sum(block.seconds for block in self.blocks)

    @property
    def minutes(self) -> float:
        """How long it lasts, rests included."""
        return self.seconds / 60

    def records(self) -> list[dict[str, object]]:
        """The table: a plain row for each block, with the second at which it begins."""
        rows: list[dict[str, object]] = []
        at = 0
        for block in self.blocks:
            rows.append(
                {
                    "at": clock(at),
                    "minutes": block.seconds / 60,
                    "kind": block.kind,
                    "title": block.title,
                    "key": None if block.key is None else str(block.key),
                    "position": block.position,
                    "tempos": [rung.tempo for rung in block.tempos],
                }
            )
            at += block.seconds
        return rows

    def checklist(self) -> str:
        """Plain text to print, with a box to tick for each block."""
        lines = [f"Practice, {self.minutes:g} minutes"]
        at = 0
        for block in self.blocks:
            tempos = ", ".join(f"{rung.tempo:g}" for rung in block.tempos)
            more = f" ({tempos} beats a minute)" if tempos else ""
            lines.append(f"[ ] {clock(at)}  {clock(block.seconds)}  {block.title}{more}")
            at += block.seconds
        if self.left_out:
            lines += ["", "Next time:", *(f"[ ] {what}" for what in self.left_out)]
        lines += ["", *(f"- {caution}" for caution in self.cautions)]
        return "\n".join(lines) + "\n"

    def playlist(self) -> list[dict[str, object]]:
        """What a player plays one after another: an entry for each tempo, and for each rest.

        ``seconds`` is how long the entry lasts; ``bars`` (of a progression ``choruses`` too) is
        what fits into it whole, and at least one.
        """
        entries: list[dict[str, object]] = []
        for block in self.blocks:
            if block.item is None or block.key is None:
                entries.append({"title": block.title, "kind": "rest", "seconds": block.seconds})
                continue
            entries += [_entry(block, block.item, block.key, rung) for rung in block.tempos]
        return entries


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

    blocks, left = with_rests(plan, round(minutes * 60), longest, rest_seconds, _rest, _cut)
    return Routine(tuple(blocks), tuple(left))


def tempo_ladder(slowest: float, fastest: float, step: float) -> tuple[float, ...]:
    """The tempos from one to another; the last is reached even if the step does not.

    Raises
    ------
    BadInput
        If it does not rise, or has tempos that nobody can play to.

    Examples
    --------
    >>> tempo_ladder(60, 95, 10)
    (60, 70, 80, 90, 95)
    """
    for tempo in (slowest, fastest):
        check_tempo(tempo)
    if slowest > fastest or not 0 < step <= FASTEST - SLOWEST:
        shown = f"{slowest:g} to {fastest:g} by {step:g}"
        raise BadInput("tempos", shown, "do not rise", accepted="from, to and a step above 0")
    found = []
    at = slowest
    while at < fastest:
        found.append(at)
        at += step
    return (*found, fastest)


def clock(seconds: int) -> str:
    """Minutes and seconds, e.g. ``"12:05"``."""
    return f"{seconds // 60}:{seconds % 60:02}"


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


def _cut(block: Block, seconds: int) -> tuple[Block, Block]:
    """A block in two, the ladder going on where it was."""
    first: list[Rung] = []
    second: list[Rung] = []
    room = seconds
    for rung in block.tempos:
        taken = min(rung.seconds, room)
        if taken:
            first.append(replace(rung, seconds=taken))
        if rung.seconds > taken:
            second.append(replace(rung, seconds=rung.seconds - taken))
        room -= taken
    return (
        replace(block, seconds=seconds, tempos=tuple(first)),
        replace(block, seconds=block.seconds - seconds, tempos=tuple(second)),
    )


def _entry(block: Block, item: RoutineItem, key: Key, rung: Rung) -> dict[str, object]:
    """An entry of the playlist."""
    form = item.form
    meter = find_meter(item.meter if form is None else form.meter)
    bars = max(int(rung.seconds * rung.tempo / 60 / meter.beats), 1)
    entry: dict[str, object] = {
        "title": block.title,
        "kind": block.kind,
        "key": str(key),
        "position": block.position,
        "meter": meter.name,
        "tempo": rung.tempo,
        "bars": bars,
        "seconds": rung.seconds,
    }
    if form is not None:
        entry |= {"progression": item.name, "choruses": max(bars // len(form.bars), 1)}
    elif item.kind in ("scale", "sequence"):
        entry |= {"scale": f"{key.tonic} {find_scale(item.name).name}"}
        entry |= {"pattern": item.pattern or "scale"}
    return entry
