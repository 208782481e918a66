"""Which menus each kind of explorer has, and what their options are called."""

from __future__ import annotations

from collections.abc import Sequence

from theorykit.analysis.saved_style import read_style
from theorykit.scene.harmony import Kind
from theorykit.scene.phrases import MEMBER_WORDS
from theorykit.scene.selection import (
    FEEL_NAMES,
    FIGURES,
    GRIT_NAMES,
    LABELS,
    LEVEL_NAMES,
    OMISSIONS,
    PATTERNS,
    PLACES,
    RHYTHM_NAMES,
    WAYS,
    Offer,
)
from theorykit.theory.chord import ChordType
from theorykit.theory.key import TONICS
from theorykit.theory.pitch import Note

#: What stands beside each menu, by the choice that it sets.
MENU_WORDS = {
    "key": "Key",
    "scale": "Scale",
    "compare": "Compare with",
    "progression": "Progression",
    "style": "Style",
    "feel": "Band",
    "pattern": "Cut into",
    "root": "Root",
    "quality": "Chord",
    "omit": "Leave out",
    "place": "Where",
    "figure": "Figure",
    "direction": "Way",
    "rhythm": "Rhythm",
    "level": "Level",
    "grit": "Blues in it",
    "instrument": "Instrument",
    "labels": "Labels",
}

#: Where a capo may be set: written music is for a neck without one.
CAPO_KINDS: tuple[Kind, ...] = ("progression", "scale", "positions", "shapes")

#: The menus of each kind, in their order.
MENUS: dict[Kind, tuple[str, ...]] = {
    "progression": (
        "key",
        "scale",
        "compare",
        "progression",
        "style",
        "feel",
        "instrument",
        "labels",
    ),
    "scale": ("key", "scale", "compare", "instrument", "labels"),
    "ensemble": ("key", "scale", "compare", "progression", "style", "feel", "labels"),
    "positions": ("key", "scale", "pattern", "instrument", "labels"),
    "shapes": ("root", "quality", "omit", "place", "instrument", "labels"),
    "sequences": ("key", "scale", "figure", "direction", "rhythm", "instrument", "labels"),
    "lines": ("key", "progression", "style", "level", "grit", "feel", "instrument", "labels"),
    "tunes": ("key", "scale", "style", "level", "grit", "feel", "instrument", "labels"),
}

#: The part of an offer that lists the options of a menu, where they are not fixed.
OFFERED = {
    "scale": "scales",
    "progression": "progressions",
    "style": "styles",
    "instrument": "instruments",
    "quality": "qualities",
}
_FIXED = {
    "key": tuple(map(str, TONICS)),
    "root": tuple(map(str, TONICS)),
    "feel": FEEL_NAMES,
    "labels": LABELS,
    "pattern": PATTERNS,
    "omit": OMISSIONS,
    "place": PLACES,
    "figure": FIGURES,
    "direction": WAYS,
    "rhythm": RHYTHM_NAMES,
    "level": LEVEL_NAMES,
    "grit": GRIT_NAMES,
}


def options(offer: Offer, name: str) -> tuple[str, ...]:
    """What a menu offers, by the choice that it sets; the empty text compares nothing."""
    if name in _FIXED:
        return _FIXED[name]
    if name == "compare":
        return ("", *offer.scales)
    listed: tuple[str, ...] = getattr(offer, OFFERED[name])
    return listed


def option_words(name: str, values: Sequence[str]) -> list[str]:
    """What the options of a menu are called on the screen."""
    return [_words(name, value) for value in values]


def _words(name: str, value: str) -> str:
    if name in {"key", "root"}:
        return Note.parse(value).pretty
    if name == "style":
        return read_style(value).name
    if name == "quality":
        return {"": "major", "m": "minor"}.get(value) or ChordType.parse(value).pretty
    if name == "omit":
        return MEMBER_WORDS.get(value, "nothing")
    return value or "–"
