"""Fret geometry and cells."""

from __future__ import annotations

import pytest

from theorykit.errors import BadInput
from theorykit.instruments.catalogue import INSTRUMENTS, find_instrument
from theorykit.instruments.fretboard import (
    MOST_CAPO,
    cells,
    fret_distance,
    scale_cells,
    stop_distance,
)
from theorykit.scene.geometry import FRET, GUIDE, neck_cells, neck_geometry
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
    assert {string for string, _ in midis} == set(range(1, len(find_instrument(name).strings) + 1))


# Fret places of a 648 mm (25.51 inch) guitar and of a 352 mm mandolin as fret calculators print
# them: 648 - 648 / 2^(n/12), worked out by hand to a hundredth.
@pytest.mark.parametrize(
    ("name", "fret", "millimetres"),
    [
        ("guitar", 1, 36.37),
        ("guitar", 5, 162.55),
        ("guitar", 7, 215.51),
        ("guitar", 12, 324.0),
        ("mandolin", 5, 88.30),
        ("mandolin", 7, 117.07),
        ("mandolin", 12, 176.0),
    ],
)
def test_fret_places(name: str, fret: int, millimetres: float) -> None:
    neck = find_instrument(name)
    assert neck.scale_length_mm * fret_distance(fret) == pytest.approx(millimetres, abs=0.006)
    assert neck_geometry(neck)["fret_x"][fret] == pytest.approx(millimetres, abs=0.006)


def test_where_the_finger_lies() -> None:
    # Common practice: between the frets on a fretted neck; on the very place on a fretless one,
    # and a bar too lies over the fret.
    guitar, fiddle = find_instrument("guitar"), find_instrument("fiddle")
    assert stop_distance(guitar, 1) == pytest.approx(648 * 0.056126 / 2, abs=1e-3)
    assert stop_distance(fiddle, 7) == pytest.approx(328 * 0.332580, abs=1e-3)
    bar = find_instrument("resonator guitar")
    assert stop_distance(bar, 12) == pytest.approx(635 / 2)


# A dulcimer's frets spell the major scale from the third one, at the fourth (common practice):
# half steps from the nut, and the numbers that players give them.
def test_a_dulcimer_has_only_its_own_frets() -> None:
    dulcimer = find_instrument("dulcimer")
    on_bass = [cell.fret for cell in cells(dulcimer, frets=24) if cell.string == 3]
    assert on_bass == [0, 2, 4, 5, 7, 9, 10, 12, 14, 16, 17, 19, 21, 22, 24]
    assert [dulcimer.fret_name(fret) for fret in on_bass[1:]] == [str(n) for n in range(1, 15)]
    from_third = [(fret - 5) % 12 for fret in on_bass]
    assert set(from_third) == {0, 2, 4, 5, 7, 9, 11}
    geometry = neck_geometry(dulcimer)
    assert [x is None for x in geometry["stop_x"][:6]] == [False, True, False, True, False, False]
    assert geometry["board"]["words"]["text"][:8] == ["1", "2", "3", "4", "5", "6", "7", "8"]
    drawn = {(cell["string"], cell["fret"]): cell["midi"] for cell in neck_cells(geometry, 0)}
    assert drawn == by_place("dulcimer")
    # A stop lies between the frets that there are: the first is the whole step.
    assert geometry["stop_x"][2] == pytest.approx(geometry["fret_x"][2] / 2, abs=0.02)
    with pytest.raises(BadInput, match="no fret is there; accepted: 0, 2, 4, 5, 7, 9, 10"):
        cells(dulcimer, capo=3)


def test_a_fretless_neck_has_guides_and_stops_on_the_place() -> None:
    geometry = neck_geometry(find_instrument("fiddle"))
    assert geometry["stop_x"] == geometry["fret_x"]
    assert geometry["inlays"] == []
    colours = set(geometry["board"]["lines"]["color"])
    assert GUIDE in colours
    assert FRET not in colours
    assert geometry["board"]["words"]["text"][:15] == [str(fret) for fret in range(1, 16)]


@pytest.mark.parametrize("capo", range(MOST_CAPO + 1))
@pytest.mark.parametrize("name", [name for name in INSTRUMENTS if name != "dulcimer"])
def test_what_is_drawn_is_what_sounds(name: str, capo: int) -> None:
    drawn = neck_cells(neck_geometry(find_instrument(name)), capo)
    places = {(cell["string"], cell["fret"]): cell["midi"] for cell in drawn}
    assert places == by_place(name, capo=capo)


def test_a_short_neck_shows_all_it_has() -> None:
    assert max(cell.fret for cell in cells(find_instrument("D3 G3, 12 frets"))) == 12


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
