"""Styles kept as data and in files, and everything that is refused."""

import copy
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from theorykit.analysis.saved_style import (
    LONGEST_NAME,
    MOST_BYTES,
    load_style,
    save_style,
    style_from_dict,
    style_from_json,
    style_to_dict,
    style_to_json,
)
from theorykit.analysis.style import BLUE, CLASSES, PASSING, STYLES, Style, find_style
from theorykit.errors import BadInput

MINE = find_style("bluegrass").edited("Mine ♭", {BLUE: 0.5, PASSING: 0})


def test_the_data_by_hand():
    assert style_to_dict(find_style("bluegrass")) == {
        "name": "bluegrass",
        "severities": {
            "chord tone": 0.0,
            "passing": 0.2,
            "functional tension": 0.15,
            "avoid, in the key": 0.45,
            "avoid, foreign to the key": 0.9,
            "leading-note conflict": 0.35,
            "blue": 0.25,
            "approach": 0.25,
            "colour": 0.05,
        },
    }


@given(
    st.text(st.characters(categories=["L", "N"]), min_size=1, max_size=LONGEST_NAME).filter(
        lambda name: name.casefold() not in STYLES
    ),
    st.lists(st.floats(0, 1), min_size=len(CLASSES), max_size=len(CLASSES)),
)
def test_any_style_comes_back_as_it_was(name, severities):
    style = Style(name, tuple(severities))
    assert style_from_dict(style_to_dict(style)) == style
    assert style_from_json(style_to_json(style)) == style


@pytest.mark.parametrize("name", sorted(STYLES))
def test_a_built_in_style_comes_back_as_itself(name):
    assert style_from_json(style_to_json(STYLES[name])) is STYLES[name]


def test_a_file_there_and_back(tmp_path):
    path = tmp_path / "mine.json"
    save_style(MINE, path)
    assert load_style(path) == MINE
    assert load_style(str(path)) == MINE
    assert json.loads(path.read_text(encoding="utf-8"))["name"] == "Mine ♭"


def damaged(change):
    data = copy.deepcopy(style_to_dict(MINE))
    change(data)
    return data


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (lambda d: d.pop("name"), "style 'name': missing"),
        (lambda d: d.pop("severities"), "style 'severities': missing"),
        (lambda d: d.update(colour=1), "style 'colour': no such entry"),
        (lambda d: d.update(name=3), "style name '3': not a name"),
        (lambda d: d.update(name=""), "not a name"),
        (lambda d: d.update(name="  "), "not a name"),
        (lambda d: d.update(name=" mine"), "not a name"),
        (lambda d: d.update(name="x" * (LONGEST_NAME + 1)), "does not fit a menu"),
        (lambda d: d.update(name="a\tb"), "does not fit a menu"),
        (lambda d: d.update(name="Blues"), "is a built-in style's"),
        (lambda d: d.update(severities=[0.1] * 9), "not a table"),
        (lambda d: d["severities"].pop("blue"), "severities 'blue': missing"),
        (lambda d: d["severities"].update(blues=0.1), "did you mean 'blue'"),
        (lambda d: d["severities"].update({7: 0.1}), "severities '7': no such entry"),
        (lambda d: d["severities"].update(blue=1.1), "severity '1.1': of blue"),
        (lambda d: d["severities"].update(blue=-0.1), "accepted: 0 to 1"),
        (lambda d: d["severities"].update(blue=True), "severity 'True'"),
        (lambda d: d["severities"].update(blue="0.2"), "severity '0.2'"),
        (lambda d: d["severities"].update(blue=None), "severity 'None'"),
        (lambda d: d["severities"].update(blue=float("nan")), "severity 'nan'"),
        (lambda d: d["severities"].update(blue=float("inf")), "severity 'inf'"),
    ],
)
def test_damaged_data_are_refused(change, message):
    with pytest.raises(BadInput, match="^.*" + message):
        style_from_dict(damaged(change))


@pytest.mark.parametrize("data", [None, 3, "blues", [], [("name", "x")]])
def test_what_is_no_style_is_refused(data):
    with pytest.raises(BadInput, match="not a table of names and values"):
        style_from_dict(data)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "not JSON"),
        ("{", "not JSON"),
        ("[" * 100_000, "not JSON"),
        ("9" * 9_000, "not JSON"),
        ("[]", "not a table"),
        ('{"name": "a", "name": "b", "severities": {}}', "stands there twice"),
        (style_to_json(MINE).replace("0.5", "NaN"), "not a number"),
        (style_to_json(MINE).replace("0.5", "1e999"), "severity 'inf'"),
    ],
)
def test_damaged_text_is_refused(text, message):
    with pytest.raises(BadInput, match=message):
        style_from_json(text)


def test_files_that_are_no_style_are_refused(tmp_path):
    with pytest.raises(BadInput, match="no such file"):
        load_style(tmp_path / "none.json")
    long = tmp_path / "long.json"
    long.write_text(" " * MOST_BYTES + style_to_json(MINE), encoding="utf-8")
    with pytest.raises(BadInput, match="too long"):
        load_style(long)
    binary = tmp_path / "binary.json"
    binary.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(BadInput, match="UTF-8"):
        load_style(binary)


def test_a_style_that_could_not_be_read_back_is_not_written(tmp_path):
    path = tmp_path / "style.json"
    with pytest.raises(BadInput, match="built-in"):
        save_style(find_style("blues").edited("jazz", {}), path)
    assert not path.exists()
    with pytest.raises(BadInput, match="folder that exists"):
        save_style(MINE, tmp_path / "no" / "such" / "folder.json")
