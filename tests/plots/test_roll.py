"""The piano roll holds the scene of the take that it was made from."""

from __future__ import annotations

import warnings
from typing import Any

import pytest
from bokeh.core.validation import check_integrity
from bokeh.models import ColumnDataSource
from planted import planted

from theorykit.instruments.catalogue import find_instrument
from theorykit.plots.roll import roll_figure
from theorykit.review.solo import check_solo
from theorykit.scene.codes import CODES
from theorykit.scene.solo_scene import solo_scene


@pytest.fixture(scope="module")
def scene() -> dict[str, Any]:
    take = planted(9)
    review = check_solo(take.score, take.form, take.key)
    return solo_scene(review, find_instrument("mandolin"))


def columns(figure: Any, name: str) -> dict[str, list[Any]]:
    (source,) = figure.select({"type": ColumnDataSource, "name": name})
    return dict(source.data)


@pytest.mark.parametrize("labels", ["name", "degree"])
def test_every_note_has_the_shape_of_its_role_and_its_label(
    scene: dict[str, Any], labels: str
) -> None:
    marks = columns(roll_figure(scene, labels=labels), "roll-marks")
    assert marks["label"] == [note[labels] for note in scene["notes"]]
    assert marks["marker"] == [CODES[note["role"]].marker for note in scene["notes"]]
    assert {"hex", "square", "inverted_triangle"} <= set(marks["marker"])


def test_bokeh_finds_nothing_wrong(scene: dict[str, Any]) -> None:
    for shown in (scene, None):
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            issues = check_integrity(roll_figure(shown).references())
        assert (issues.error, issues.warning) == ([], [])
