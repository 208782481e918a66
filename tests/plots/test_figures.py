"""The figures hold the scene that they were made from."""

from __future__ import annotations

import warnings

import pytest
from bokeh.core.validation import check_integrity
from bokeh.models import ColumnDataSource

from theorykit.plots.keyboard import keyboard_figure
from theorykit.plots.neck import neck_figure
from theorykit.plots.ruler import ruler_figure
from theorykit.scene.codes import CODES
from theorykit.scene.scene import scene
from theorykit.scene.selection import Selection

SELECTIONS = [
    Selection.of(key="A", step=8),
    Selection.of(key="Bb", scale="blues", instrument="banjo", labels="degrees"),
    Selection.of(key="E", compare="blues", instrument="guitar", capo=2),
]


def columns(figure: object, name: str) -> dict[str, list[object]]:
    (source,) = figure.select({"type": ColumnDataSource, "name": name})  # type: ignore[attr-defined]
    return dict(source.data)


@pytest.mark.parametrize("selection", SELECTIONS)
@pytest.mark.parametrize("kind", ["progression", "scale"])
def test_marks_are_those_of_the_scene(selection: Selection, kind: str) -> None:
    picture = scene(selection, kind)  # type: ignore[arg-type]
    for make, name in ((neck_figure, "neck"), (keyboard_figure, "keyboard")):
        found = columns(make(selection, kind), f"{name}-marks")  # type: ignore[arg-type]
        assert found["label"] == [mark["label"] for mark in picture[name]]
        assert found["x"] == [mark["x"] for mark in picture[name]]
        assert found["marker"] == [CODES[mark["role"]].marker for mark in picture[name]]


@pytest.mark.parametrize("make", [neck_figure, keyboard_figure, ruler_figure])
def test_bokeh_finds_nothing_wrong(make: object) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        issues = check_integrity(make(SELECTIONS[0]).references())  # type: ignore[operator]
    assert (issues.error, issues.warning) == ([], [])


def fret_lines(selection: Selection) -> list[float]:
    """Where the upright lines of a neck are, from the first fret on; the nut and a capo come last."""
    found = columns(neck_figure(selection), "neck-lines")
    return [x0 for x0, x1 in zip(found["x0"], found["x1"], strict=True) if x0 == x1]  # type: ignore[misc]


def test_frets_are_spaced_as_on_a_real_neck() -> None:
    # L(1 - 2^(-n/12)): the twelfth fret is at half the scale length (luthiers' handbooks).
    assert fret_lines(SELECTIONS[0])[11] == 352 / 2


def test_the_lowest_string_is_at_the_bottom() -> None:
    found = columns(neck_figure(SELECTIONS[2]), "neck-words")
    pairs = sorted(zip(found["y"], found["text"], strict=True))
    assert [text for _, text in pairs if text.isalpha()] == ["E", "A", "D", "G", "B", "E"]  # type: ignore[attr-defined]


def test_a_capo_is_drawn_before_its_fret() -> None:
    plain, raised = fret_lines(Selection.of(instrument="guitar")), fret_lines(SELECTIONS[2])
    assert raised[:-1] == plain
    assert plain[0] < raised[-1] < plain[1]


def test_links_of_the_ruler() -> None:
    # Over E7: G lies below the third (dotted), C above the fifth (solid).
    links = columns(ruler_figure(SELECTIONS[0]), "ruler-links")
    assert links["dash"] == ["dotted", "solid"]
    assert [(xs[0], xs[-1]) for xs in links["xs"]] == [(3.0, 4.0), (8.0, 7.0)]  # type: ignore[index]
