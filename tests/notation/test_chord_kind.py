"""Chord types as kinds and degrees, there and back, for all that symbols can say."""

from __future__ import annotations

import itertools

import pytest

from theorykit.errors import BadInput
from theorykit.notation.chord_kind import ChordKind, KindDegree, chord_kind, kind_chord
from theorykit.theory.chord import ChordType

QUALITIES = ("", "m", "maj", "dim", "aug", "ø")
EXTENSIONS = ("", "5", "6", "69", "7", "9", "11", "13")
CHANGES = (
    "", "b5", "(b5)", "#5", "b9", "#9", "#11", "b13", "b9b13", "#5b9", "b5#9", "b5b9", "#9#11",
    "sus2", "sus4", "sus24", "b9sus4", "add2", "add9", "add11", "add#11", "addb6", "no3", "no5",
    "add9no3", "alt", "maj7",
)  # fmt: skip


def every_type() -> dict[ChordType, str]:
    found: dict[ChordType, str] = {}
    for parts in itertools.product(QUALITIES, EXTENSIONS, CHANGES):
        text = "".join(parts)
        try:
            found.setdefault(ChordType.parse(text), text)
        except BadInput:
            continue
    return found


def test_every_chord_that_a_symbol_says_comes_back() -> None:
    types = every_type()
    assert len(types) > 300
    lost = [text for chord, text in types.items() if kind_chord(chord_kind(chord)) != chord]
    assert lost == []


def test_kinds_that_no_chart_writes() -> None:
    for name in ("Neapolitan", "pedal", "Tristan", "other", ""):
        with pytest.raises(BadInput, match="no chord of a chart"):
            kind_chord(ChordKind(name))


def test_a_kind_that_others_write_with_its_ninth_altered() -> None:
    # A dominant ninth whose ninth is lowered is the seventh chord with a flat ninth.
    kind = ChordKind("dominant-ninth", (KindDegree(9, -1, "alter"),))
    assert kind_chord(kind) == ChordType.parse("7b9")
