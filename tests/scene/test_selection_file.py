"""Studies kept in files: everything comes back, and nothing else is taken."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from theorykit.errors import BadInput
from theorykit.scene.selection import Selection
from theorykit.scene.selection_file import (
    MOST_BYTES,
    load_selection,
    save_selection,
    selection_from_json,
    selection_to_json,
)
from theorykit.widgets.study import Study


def test_there_and_back(tmp_path: Path) -> None:
    selection = Selection.of(
        key="Bb",
        scale="1 b3 4 5",
        progression="3/4 | I | IV V V | N.C. |",
        instrument="G2 D3 A3 E4, 20 frets, 352 mm",
        capo=3,
        left_handed=True,
        level="3",
    )
    assert load_selection(save_selection(selection, tmp_path / "a.json")) == selection
    study = Study.load(tmp_path / "a.json")
    assert study.selection == selection
    study.key = "D"
    study.save(tmp_path / "b.json")
    assert load_selection(tmp_path / "b.json") == selection.changed(key="D")


def test_what_is_left_out_has_its_default() -> None:
    text = '{"format": "theorykit study", "version": 1, "choices": {"key": "e"}}'
    with pytest.raises(BadInput, match="key"):
        selection_from_json(text)
    assert selection_from_json(text.replace('"e"', '"E"')) == Selection.of(key="E")


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"format": "other"}, "not a saved study"),
        ({"version": 2}, "study version '2'"),
        ({"version": True}, "study version"),
        ({"extra": 1}, "no such entry"),
        ({"choices": []}, "not a table"),
        ({"choices": {"kee": "A"}}, "did you mean 'key'"),
        ({"choices": {"tempo": "96"}}, "of the wrong kind"),
        ({"choices": {"tempo": True}}, "of the wrong kind"),
        ({"choices": {"capo": 1.0}}, "of the wrong kind"),
        ({"choices": {"thirds": 1}}, "of the wrong kind"),
        ({"choices": {"tempo": 5}}, "out of range"),
        ({"choices": {"scale": "blus"}}, "did you mean 'blues'"),
    ],
)
def test_anything_else_is_refused(change: dict, message: str) -> None:
    data = json.loads(selection_to_json(Selection())) | change
    with pytest.raises(BadInput, match=message):
        selection_from_json(json.dumps(data))


@pytest.mark.parametrize("text", ["", "[", "[]", "null", '{"a": 1, "a": 2}', "NaN", "[" * 100_000])
def test_what_is_no_study(text: str) -> None:
    with pytest.raises(BadInput):
        selection_from_json(text)


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="no such file"):
        load_selection(tmp_path / "none.json")
    (tmp_path / "long.json").write_bytes(b" " * (MOST_BYTES + 1))
    with pytest.raises(BadInput, match="too long"):
        load_selection(tmp_path / "long.json")
    (tmp_path / "latin.json").write_bytes(b'"\xe9"')
    with pytest.raises(BadInput, match="UTF-8"):
        load_selection(tmp_path / "latin.json")
    with pytest.raises(BadInput, match="folder"):
        save_selection(Selection(), tmp_path / "none" / "a.json")
