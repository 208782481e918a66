"""The study: names and numbers in step, bad values refused, menus that grow."""

from __future__ import annotations

import json
from typing import Any

import pytest

from theorykit.errors import BadInput
from theorykit.widgets.explorer import LineExplorer, ProgressionExplorer, ScaleExplorer, script_json
from theorykit.widgets.study import Study


def test_names_and_menu_numbers_are_in_step() -> None:
    study = Study(key="A")
    study.scale = "Minor Blues"
    assert (study.scale, study.options("scale")[study.scale_index]) == ("blues", "blues")
    study.scale_index = study.options("scale").index("Dorian")
    assert study.scale == "Dorian"
    study.compare_index = 0
    assert study.compare == ""


def test_a_level_is_also_called_by_its_number() -> None:
    study = Study(level=1)
    assert study.level == "1 chord tones"
    study.level = 3
    assert study.level == "3 neighbours and pick-ups"
    assert LineExplorer(study, level=2).study is study
    assert study.level_index == 1
    with pytest.raises(BadInput, match="level '9'"):
        study.level = 9


def test_the_menu_has_every_capo_that_a_study_takes() -> None:
    shown = [ScaleExplorer(capo=capo).study.capo for capo in (0, 8, 11)]
    assert shown == [0, 8, 11]


def test_observers_hear_names() -> None:
    study, heard = Study(key="A"), []
    study.observe(lambda change: heard.append((change["old"], change["new"])), "key")
    study.key_index = study.options("key").index("Bb")
    study.key = "B♭"
    assert heard == [("A", "Bb")]


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("key", "H"),
        ("scale", "blus"),
        ("progression", "| I | XI |"),
        ("instrument", "lute"),
        ("tempo", 5),
        ("step", 99),
        ("capo", 40),
        ("labels", "all"),
    ],
)
def test_a_bad_value_is_refused_and_nothing_is_lost(name: str, value: Any) -> None:
    study = Study(key="A", scale="blues", step=3)
    before = study.selection
    with pytest.raises(BadInput):
        setattr(study, name, value)
    assert study.selection == before


def test_an_own_scale_and_chart_join_the_menus() -> None:
    study = Study(key="A", scales=["blues"], progressions=["12-bar blues"])
    assert study.options("scale") == ("blues",)
    study.scale = "1 2 b3 5 6"
    study.progression = "1 4 5"
    assert study.options("scale") == ("blues", "1 2 b3 5 6")
    assert study.progression == "| I | IV | V |"
    table_scales = [entry["name"] for entry in study.table["scales"]]
    assert table_scales[study.scale_index] == "1 2 b3 5 6"
    assert study.table["progressions"][study.progression_index]["name"] == "| I | IV | V |"


def test_the_first_of_the_offered_is_chosen_where_nothing_else_is() -> None:
    study = Study(scales=["major blues", "blues"], instruments=["banjo"])
    assert (study.scale, study.instrument) == ("major blues", "banjo")
    with pytest.raises(BadInput, match="did you mean 'blues'"):
        Study(scales=["blus"])


def test_a_shorter_form_takes_the_step_back() -> None:
    study = Study(progression="12-bar blues", step=11)
    study.progression = "I-IV-V vamp"
    assert study.step == 0


def test_explorers_share_a_study_or_make_their_own() -> None:
    study = Study(key="A")
    shared = ScaleExplorer(study, compare="blues")
    assert shared.study is study
    assert study.compare == "blues"
    assert ProgressionExplorer(key="D").study is not study
    with pytest.raises(BadInput):
        ProgressionExplorer(key="H")


def test_a_notebook_keeps_little_of_an_explorer() -> None:
    bundle = ProgressionExplorer(key="A")._repr_mimebundle_()
    assert len(bundle["text/html"]) < 5000
    assert "application/vnd.jupyter.widget-view+json" in bundle


def test_what_a_notebook_keeps_can_not_end_its_script_early() -> None:
    text = script_json({"name": "</script><!--"})
    assert "<" not in text
    assert json.loads(text) == {"name": "</script><!--"}
