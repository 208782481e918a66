"""Several necks under one selection: each shows the same notes where its own strings have them."""

from __future__ import annotations

from typing import Any

import pytest

from theorykit.errors import BadInput
from theorykit.instruments.catalogue import INSTRUMENTS
from theorykit.scene.ensemble import MOST_NECKS, ensemble_necks, ensemble_scene
from theorykit.scene.scene import scene
from theorykit.scene.selection import Selection

A_MINOR_PENTATONIC = Selection.of(key="A", scale="minor pentatonic", progression="12-bar blues")


def written(neck: dict[str, Any], low: int, high: int) -> dict[int, list[tuple[int, str]]]:
    """Frets and labels of each string, between two frets."""
    found: dict[int, list[tuple[int, str]]] = {}
    for mark in neck["neck"]:
        if low <= mark["fret"] <= high:
            found.setdefault(mark["string"], []).append((mark["fret"], mark["label"]))
    return found


def test_a_guitar_and_a_mandolin_have_the_scale_where_players_know_it() -> None:
    necks = ensemble_necks(("guitar", "mandolin"))
    guitar, mandolin = ensemble_scene(A_MINOR_PENTATONIC, necks)["necks"]
    # The box at the fifth fret, and the open position of a mandolin (common practice).
    assert written(guitar, 5, 8) == {
        1: [(5, "A"), (8, "C")],
        2: [(5, "E"), (8, "G")],
        3: [(5, "C"), (7, "D")],
        4: [(5, "G"), (7, "A")],
        5: [(5, "D"), (7, "E")],
        6: [(5, "A"), (8, "C")],
    }
    assert written(mandolin, 0, 3) == {
        1: [(0, "E"), (3, "G")],
        2: [(0, "A"), (3, "C")],
        3: [(0, "D"), (2, "E")],
        4: [(0, "G"), (2, "A")],
    }


def test_a_capo_is_one_necks_own() -> None:
    necks = ensemble_necks(("guitar", "fiddle"), {"guitar": 2})
    guitar, fiddle = ensemble_scene(A_MINOR_PENTATONIC, necks)["necks"]
    # Common practice: capo 2 makes the open strings F sharp, B, E, A, C sharp, F sharp.
    assert written(guitar, 0, 0) == {4: [(0, "E")], 3: [(0, "A")]}
    assert written(fiddle, 0, 0) == {4: [(0, "G")], 3: [(0, "D")], 2: [(0, "A")], 1: [(0, "E")]}


@pytest.mark.parametrize("instrument", INSTRUMENTS)
def test_each_neck_is_what_an_explorer_of_its_own_would_show(instrument: str) -> None:
    selection = A_MINOR_PENTATONIC.changed(step=8)
    (shown,) = ensemble_scene(selection, ensemble_necks((instrument,)))["necks"]
    alone = scene(selection.changed(instrument=instrument))
    assert shown["neck"] == alone["neck"]
    assert shown["alt"] == alone["alt"]["neck"]


@pytest.mark.parametrize(
    ("instruments", "capos"),
    [
        ((), {}),
        (("mandolin",) * (MOST_NECKS + 1), {}),
        ("mandolin", {}),
        (("lute",), {}),
        (("mandolin",), {"guitar": 2}),
        (("mandolin",), {"mandolin": 40}),
    ],
)
def test_what_can_not_hang_on_the_wall_is_refused(instruments: Any, capos: Any) -> None:
    with pytest.raises(BadInput):
        ensemble_necks(instruments, capos)
