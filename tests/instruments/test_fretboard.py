"""Fret geometry and cells."""

from __future__ import annotations

import pytest

from theorykit.errors import BadInput
from theorykit.instruments.catalogue import INSTRUMENTS, find_instrument
from theorykit.instruments.fretboard import cells, fret_distance, scale_cells
from theorykit.theory.pitch import Note
from theorykit.theory.scale import Scale, find_scale


# Equal temperament geometry as luthiers' handbooks print it (from memory).
@pytest.mark.parametrize(
    ("fret", "share"),
    [(1, 0.056126), (5, 0.250846), (7, 0.332580), (12, 0.5), (24, 0.75)],
)
def test_fret_distance(fret: int, share: float) -> None:
    assert fret_distance(fret) == pytest.approx(share, abs=5e-7)


def test_the_rule_of_the_first_fret() -> None:
    # Luthiers' handbooks: each fret lies a 17.817154th of what remains further on (from memory).
    assert 1 / fret_distance(1) == pytest.approx(17.817154, abs=5e-7)


def by_place(name: str, **options: int) -> dict[tuple[int, int], int]:
    found = cells(find_instrument(name), **options)
    return {(cell.string, cell.fret): cell.midi for cell in found}


def test_the_short_string_of_a_banjo_counts_from_the_nut() -> None:
    midis = by_place("banjo")
    on_fifth = sorted(fret for string, fret in midis if string == 5)
    assert on_fifth == [0, *range(6, 16)]
    assert midis[5, 6] == midis[5, 0] + 1


@pytest.mark.parametrize("name", INSTRUMENTS)
def test_each_fret_is_a_half_step(name: str) -> None:
    midis = by_place(name)
    for (string, fret), midi in midis.items():
        if (string, fret + 1) in midis and fret:
            assert midis[string, fret + 1] == midi + 1


def test_a_capo_raises_all_strings_alike() -> None:
    plain, raised = by_place("banjo", frets=15), by_place("banjo", frets=17, capo=2)
    assert raised == {place: midi + 2 for place, midi in plain.items()}


# G minor pentatonic on a mandolin, first five frets; found on paper from the tuning.
def test_scale_cells_by_hand() -> None:
    scale = Scale(Note.parse("G"), find_scale("minor pentatonic"))
    found = scale_cells(find_instrument("mandolin"), scale, frets=5)
    assert [(cell.cell.string, cell.cell.fret, str(cell.note)) for cell in found] == [
        (1, 1, "F"),
        (1, 3, "G"),
        (2, 1, "Bb"),
        (2, 3, "C"),
        (2, 5, "D"),
        (3, 0, "D"),
        (3, 3, "F"),
        (3, 5, "G"),
        (4, 0, "G"),
        (4, 3, "Bb"),
        (4, 5, "C"),
    ]


@pytest.mark.parametrize("options", [{"frets": 0}, {"frets": 21}, {"capo": 12}, {"capo": -1}])
def test_impossible_necks_are_refused(options: dict[str, int]) -> None:
    with pytest.raises(BadInput, match="accepted"):
        cells(find_instrument("mandolin"), **options)
