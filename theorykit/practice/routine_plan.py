"""A routine as it stands: blocks in their order, as a table, a checklist and a playlist."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from theorykit.practice.routine_item import RoutineItem
from theorykit.theory.key import Key
from theorykit.theory.meter import find_meter
from theorykit.theory.scale import find_scale

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


def clock(seconds: int) -> str:
    """Minutes and seconds, e.g. ``"12:05"``."""
    return f"{seconds // 60}:{seconds % 60:02}"


def cut_block(block: Block, seconds: int) -> tuple[Block, Block]:
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
