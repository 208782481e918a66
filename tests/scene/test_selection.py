"""Choices are read in any spelling, kept by their proper name, and refused with one clear line."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from theorykit.analysis.saved_style import save_style
from theorykit.analysis.style import AVOID_FOREIGN, find_style
from theorykit.errors import BadInput
from theorykit.scene.scene import scene
from theorykit.scene.selection import Offer, Selection
from theorykit.scene.table import scene_table


def test_names_in_any_spelling_become_proper_names() -> None:
    selection = Selection.of(
        key="B♭", scale="Minor Blues", progression="12-BAR blues", style="Jazz", instrument="Guitar"
    )
    assert (selection.key, selection.scale, selection.progression) == (
        "Bb",
        "blues",
        "12-bar blues",
    )
    assert (selection.style, selection.instrument) == ("jazz", "guitar")


def test_a_chart_in_chord_symbols_is_kept_in_numerals() -> None:
    assert Selection.of(key="D", progression="| D | G | A7 |").progression == "| I | IV | V7 |"


@pytest.mark.parametrize(
    ("choices", "expected"),
    [
        ({"key": "H"}, "did you mean 'B'?"),
        ({"key": "A minor"}, "minor comes from the progression"),
        ({"scale": "bluse"}, "did you mean 'blues'?"),
        ({"scale": "1 3 2"}, "does not rise"),
        ({"progression": "| I | XI |"}, "bar 2"),
        ({"style": "blugrass"}, "did you mean 'bluegrass'?"),
        ({"instrument": "mandoline"}, "did you mean 'mandolin'?"),
        ({"labels": "nots"}, "did you mean 'notes'?"),
        ({"tempo": 500}, "accepted: a whole number 30 to 300"),
        ({"tempo": True}, "out of range"),
        ({"capo": -1}, "accepted: a whole number 0 to 11"),
        ({"step": 99}, "not in the chart; accepted: 0 to 11"),
        ({"thirds": "no"}, "accepted: True or False"),
        ({"keys": "A"}, "did you mean 'key'?"),
    ],
)
def test_a_wrong_choice_gets_one_clear_line(choices: dict[str, Any], expected: str) -> None:
    with pytest.raises(BadInput) as caught:
        Selection.of(**choices)
    assert expected in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_shorter_form_takes_the_chart_back_to_its_start() -> None:
    late = Selection.of(step=11)
    assert late.changed(progression="I-IV-V vamp").step == 0


def test_an_offer_takes_in_what_is_chosen() -> None:
    selection = Selection.of(scale="1 2 b3 5 6", progression="1 4 5")
    offer = Offer(scales=("blues",), progressions=("12-bar blues",)).including(selection)
    assert offer.scales == ("blues", "1 2 b3 5 6")
    assert offer.progressions == ("12-bar blues", "| I | IV | V |")


def test_a_saved_style_is_chosen_by_its_file(tmp_path: Path) -> None:
    path = tmp_path / "strict.json"
    save_style(find_style("blues").edited("strict", {AVOID_FOREIGN: 1.0}), path)
    mine = Selection.of(key="G", scale="minor pentatonic", progression="I IV V", style=str(path))
    assert mine.taste.name == "strict"
    verdicts = {
        style: scene(mine.changed(style=style))["chart"][2][0]["verdict"]
        for style in ("blues", str(path))
    }
    assert verdicts == {"blues": "pass", str(path): "switch"}
    table = scene_table(Offer().including(mine))
    assert table["styles"][-1] == "strict"
