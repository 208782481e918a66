"""Chord diagrams, as SVG and in Bokeh."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.shape import Shape
from theorykit.instruments.shape_search import find_shapes
from theorykit.plots.diagram import diagram_figure
from theorykit.scene.diagram import Diagram, DiagramRow
from theorykit.theory.chord import Chord

SVG = "{http://www.w3.org/2000/svg}"


def diagram(neck: str, chord: str, frets: str, **options: bool) -> Diagram:
    instrument, wanted = find_instrument(neck), Chord.parse(chord)
    shape = next(s for s in find_shapes(instrument, wanted) if s.text == frets)
    return Diagram(shape, instrument, wanted, **options)


def test_the_open_c_chord() -> None:
    # x32010 with fingers 3 2 1: strings 5, 4 and 2 are stopped, 6 is muted (any guitar handbook).
    c = diagram("guitar", "C", "x32010")
    assert c.base == 0
    assert [(dot.finger, dot.is_root) for dot in c.dots] == [(1, True), (2, False), (3, True)]
    assert [label.text for label in c.labels if label.kind == "loose"] == ["○", "○", "×"]
    # From left to right the lowest string comes first.
    assert [dot.x for dot in c.dots] == sorted((dot.x for dot in c.dots), reverse=True)
    assert [dot.y for dot in c.dots] == sorted(dot.y for dot in c.dots)


def test_a_left_handed_diagram_is_the_mirror_image() -> None:
    right, left = (
        diagram("guitar", "C", "x32010", left_handed=left_handed) for left_handed in (False, True)
    )
    middle = right.string_x(1) + right.string_x(6)
    for one, other in zip(right.dots, left.dots, strict=True):
        assert (one.x + other.x, one.y) == (pytest.approx(middle), other.y)


def test_up_the_neck_the_fret_is_named() -> None:
    high = diagram("guitar", "C", "8-10-10-9-8-8")
    assert high.base == 7
    assert [label.text for label in high.labels if label.kind == "fret"] == ["8"]
    ((start, _), (end, _)) = high.barres[0]
    assert {start, end} == {high.string_x(6), high.string_x(1)}


def test_a_short_string_starts_below() -> None:
    banjo = diagram("banjo", "C", "02012")
    drone = banjo.string_x(5)
    # It begins at fret 5, which these four frets do not reach.
    assert all(start[0] != drone or start[1] == end[1] for start, end, _ in banjo.lines)


@pytest.mark.parametrize("neck", ["guitar", "mandolin", "banjo", "ukulele", "tenor banjo"])
@pytest.mark.parametrize("chord", ["G", "F#m7", "Bb"])
def test_everything_lies_inside(neck: str, chord: str) -> None:
    instrument, wanted = find_instrument(neck), Chord.parse(chord)
    for shape in find_shapes(instrument, wanted, limit=8):
        drawn = Diagram(shape, instrument, wanted)
        for x, y in [(dot.x, dot.y) for dot in drawn.dots] + [(t.x, t.y) for t in drawn.labels]:
            assert 0 < x < drawn.width
            assert 0 < y < drawn.height


def test_the_svg_says_what_it_shows(tmp_path: Path) -> None:
    c, g = diagram("guitar", "C", "x32010"), diagram("guitar", "G", "320003")
    target = DiagramRow((c, g)).save(tmp_path / "row.svg")
    root = ET.fromstring(target.read_text(encoding="utf-8"))
    title = root.find(f"{SVG}title")
    assert title is not None
    assert title.text == f"{c.spoken}; {g.spoken}"
    texts = [text.text for text in root.iter(f"{SVG}text")]
    assert texts.count("C") == texts.count("G") == 1
    assert sorted(text for text in texts if text in {"2", "4"}) == ["2", "2"]
    # Roots are hexagons: two in each of these chords are stopped.
    assert len(list(root.iter(f"{SVG}polygon"))) == 4


def test_a_title_is_written_out_and_not_run() -> None:
    g = diagram("guitar", "G", "320003")
    hostile = Diagram(g.shape, g.instrument, g.chord, title="<script>&")
    root = ET.fromstring(DiagramRow((hostile,))._repr_svg_())
    assert "<script>&" in [text.text for text in root.iter(f"{SVG}text")]


def test_the_bokeh_figure_has_the_same_places() -> None:
    c = diagram("guitar", "C", "x32010")
    figure = diagram_figure(c)
    hexes = figure.select_one({"name": "hex"}).data_source.data
    assert sorted(hexes["x"]) == sorted(dot.x for dot in c.dots if dot.is_root)
    fingers = figure.select_one({"name": "finger"}).data_source.data["text"]
    assert sorted(fingers) == ["1", "2", "3"]


def test_a_shape_with_nothing_stopped() -> None:
    banjo, g = find_instrument("banjo"), Chord.parse("G")
    shape: Shape = find_shapes(banjo, g)[0]
    assert shape.text == "00000"
    assert Diagram(shape, banjo, g).dots == ()
    assert diagram_figure(Diagram(shape, banjo, g)) is not None
