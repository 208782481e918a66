"""Which written music a page takes along: nothing new is written there, and all is too much.

Each menu is cut to so many options that every combination of them is there. Engravings are large:
a page has those next to what was chosen, and tablature as text for the others.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import islice, product

from theorykit.scene.atlas import PACKED_LINES, Atlas, music_of
from theorykit.scene.harmony import Kind
from theorykit.scene.menus import options
from theorykit.scene.selection import Offer, Selection
from theorykit.scene.sheet_scene import OVER_A_CHART

#: How many sheets a page has at most of each kind, and how many of them engraved (stipulated: a
#: page stays below 2.5 MB with them, and takes less than a minute to make).
MOST_SHEETS = {"lines": 450, "sequences": 600, "tunes": 300}
MOST_ENGRAVED = 8

#: How many lines there are of each combination.
LINES_EACH = 2

#: Whose options are kept first.
_ORDER = {
    "lines": ("key", "level", "instrument", "progression", "grit", "style"),
    "tunes": ("key", "instrument", "level", "grit", "style"),
    "sequences": ("key", "instrument", "figure", "rhythm", "direction", "scale"),
}


#: What students are given first (common practice), where not all figures fit.
_FIRST = {
    "figure": ("scale", "threes", "fours", "thirds", "triads", "1-2-3-5", "sixths"),
    "rhythm": ("eighths", "triplets", "sixteenths"),
}


def packed_menus(offer: Offer, selection: Selection, kind: Kind) -> dict[str, tuple[str, ...]]:
    """The options that a page keeps of each menu, by the choice that it sets: the chosen one first.

    Empty for a kind that has no written music.
    """
    if kind not in _ORDER:
        return {}
    room = MOST_SHEETS[kind] // (LINES_EACH if kind in OVER_A_CHART else 1)
    kept = {}
    for name in _ORDER[kind]:
        offered = options(offer, name)
        chosen = getattr(selection, name)
        ranked = dict.fromkeys([chosen, *_FIRST.get(name, ()), *offered])
        first = list(ranked)[: max(room, 1)]
        kept[name] = tuple(value for value in offered if value in first)
        room //= len(kept[name])
    return kept


def packed_sheets(
    offer: Offer,
    selection: Selection,
    kind: Kind,
    report: Callable[[int, int], None] | None = None,
) -> Atlas:
    """The sheets of a page's explorer, and some of them engraved."""
    menus = packed_menus(offer, selection, kind)
    if not menus:
        return {}
    begun = replace(selection, kept=-1, note=-1, step=0)
    over = kind in OVER_A_CHART
    numbers = sorted({*range(LINES_EACH), begun.number}) if over else [begun.number]
    ways = [dict(zip(menus, values, strict=True)) for values in product(*menus.values())]
    engraved = set(islice(_near(begun, menus, numbers), MOST_ENGRAVED))
    found: Atlas = {PACKED_LINES: list(map(str, numbers))} if over else {}
    for done, (way, number) in enumerate(product(ways, numbers), start=1):
        here = begun.changed(number=number, **way)
        found |= music_of(here, kind, engraved=here in engraved)
        if report:
            report(done, len(ways) * len(numbers))
    return found


def _near(
    chosen: Selection, menus: dict[str, tuple[str, ...]], numbers: list[int]
) -> Iterator[Selection]:
    """What differs from the chosen music in one thing only, the chosen first."""
    yield chosen
    for number in numbers:
        if number != chosen.number:
            yield replace(chosen, number=number)
    for name in ("level", "figure", "instrument", "rhythm", "grit", "direction", "key"):
        kept = menus.get(name, ())
        for value in dict.fromkeys([*_FIRST.get(name, ()), *kept]):
            if value in kept and value != getattr(chosen, name):
                yield chosen.changed(**{name: value})
