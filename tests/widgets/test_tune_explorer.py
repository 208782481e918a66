"""The explorer of a tune: what it takes, proposes and gives back, without a browser."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from ipywidgets import Button, Combobox, Dropdown, FileUpload, Widget

import theorykit as tk
from theorykit.errors import BadInput, TuneError
from theorykit.widgets.explorer import static_figure

# Made up for this test: four bars, each of one triad, the third that of the dominant.
TUNE = b"X:1\nT:The Paper Gate\nM:4/4\nL:1/4\nQ:1/4=90\nK:D\nD F A F|G B d B|A c e c|d A F D|]"
WALTZ = b"X:1\nT:Round the Pond\nM:3/4\nL:1/4\nK:G\nG B d|c e g|d f a|g3|]"


def inside(widget: Widget, kind: type[Any]) -> list[Any]:
    found = [widget] if isinstance(widget, kind) else []
    for child in getattr(widget, "children", ()):
        found += inside(child, kind)
    return found


def desk(explorer: tk.TuneExplorer) -> Widget:
    first: Widget = explorer.children[0]
    return first


def press(explorer: tk.TuneExplorer, words: str) -> None:
    (button,) = [each for each in inside(desk(explorer), Button) if each.description == words]
    button.click()


def upload(explorer: tk.TuneExplorer, name: str, content: bytes) -> None:
    """What the browser sends when somebody has chosen a file."""
    (field,) = inside(desk(explorer), FileUpload)
    field.value = (
        {
            "name": name,
            "type": "",
            "size": len(content),
            "content": memoryview(content),
            "last_modified": datetime(2026, 1, 1, tzinfo=UTC),
        },
    )


def told(explorer: tk.TuneExplorer) -> str:
    return " ".join(
        each.value
        for each in inside(desk(explorer), Widget)
        if hasattr(each, "value") and isinstance(each.value, str)
    )


@pytest.fixture
def explorer() -> tk.TuneExplorer:
    return tk.TuneExplorer(TUNE, instrument="mandolin")


def test_a_tune_sets_the_study(explorer: tk.TuneExplorer) -> None:
    study = explorer.study
    assert (study.key, study.progression, study.tempo) == ("D", "| I | IV | V | I |", 90)
    assert study.scale == "major"
    scene = study.scene("tunes")
    assert (scene["title"], scene["count"]) == ("The Paper Gate", 16)
    assert [chord["chord"] for bar in scene["chart"] for chord in bar] == ["D", "G", "A", "D"]
    assert "it ends on D" in told(explorer)
    assert "Proposed chords" in told(explorer)


def test_a_note_says_what_it_is(explorer: tk.TuneExplorer) -> None:
    explorer.study.note = 1
    # F sharp over D.
    assert "the third of D" in explorer.study.scene("tunes")["sentence"]


def test_the_tune_in_another_key_and_on_another_neck(explorer: tk.TuneExplorer) -> None:
    study = explorer.study
    study.key = "Bb"
    scene = study.scene("tunes")
    assert [chord["chord"] for bar in scene["chart"] for chord in bar] == ["B♭", "E♭", "F", "B♭"]
    code = study.atlas[scene["sheet"]]
    # B flat lies a major third below D: Bb3 D4 F4 D4.
    assert [int(note.split()[2]) for note in code[1].split(";")[:4]] == [58, 62, 65, 62]
    study.instrument = "bass"
    low = study.atlas[study.scene("tunes")["sheet"]]
    assert max(int(note.split()[2]) for note in low[1].split(";")) <= 67


def test_a_variation_keeps_the_bars(explorer: tk.TuneExplorer) -> None:
    study = explorer.study
    itself = study.atlas[study.scene("tunes")["sheet"]]
    study.number = 3
    scene = study.scene("tunes")
    assert scene["title"] == "The Paper Gate, variation 3"
    varied = study.atlas[scene["sheet"]]
    assert varied[1] != itself[1]
    assert varied[0] == itself[0]
    study.number = 0
    assert study.atlas[study.scene("tunes")["sheet"]][1] == itself[1]


def test_another_file_is_taken(explorer: tk.TuneExplorer) -> None:
    upload(explorer, "pond.abc", WALTZ)
    assert (explorer.study.key, explorer.study.scene("tunes")["title"]) == ("G", "Round the Pond")
    assert explorer.study.progression.startswith("3/4 ")
    press(explorer, "Take it back")
    assert (explorer.study.key, explorer.study.scene("tunes")["title"]) == ("D", "The Paper Gate")


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("notes.abc", b"no tune here", "X:"),
        ("empty.mid", b"", "is empty"),
        ("cut.mid", b"MThd\x00\x00", ""),
        ("photo.png", b"\x89PNG\r\n", "no file of a kind that can be read"),
    ],
)
def test_a_bad_file_is_told_and_the_view_stays(
    explorer: tk.TuneExplorer, name: str, content: bytes, words: str
) -> None:
    before = explorer.study.selection
    upload(explorer, name, content)
    assert explorer.study.selection == before
    assert 'role="alert"' in told(explorer)
    assert words in told(explorer)
    upload(explorer, "pond.abc", WALTZ)
    assert 'role="alert"' not in told(explorer)


def test_a_chord_is_changed_and_taken_back(explorer: tk.TuneExplorer) -> None:
    (chord,) = inside(desk(explorer), Combobox)
    bars = next(each for each in inside(desk(explorer), Dropdown) if 4 in each.options)
    bars.value = 3
    assert chord.value == "V"
    chord.value = "V7"
    press(explorer, "Change the chord")
    assert explorer.study.progression == "| I | IV | V7 | I |"
    assert explorer.tune is not None
    assert [str(each.chord) for each in explorer.tune.score.chords] == ["D", "G", "A7", "D"]
    chord.value = "Q"
    press(explorer, "Change the chord")
    assert explorer.study.progression == "| I | IV | V7 | I |"
    assert "not a numeral" in told(explorer)
    press(explorer, "Take it back")
    assert explorer.study.progression == "| I | IV | V | I |"


def test_another_key_is_proposed_and_chosen(explorer: tk.TuneExplorer) -> None:
    keys = next(each for each in inside(desk(explorer), Dropdown) if "D major" in each.options)
    assert keys.value == "D major"
    other = next(name for name in keys.options if not name.startswith("D "))
    keys.value = other
    assert explorer.study.key == other.split()[0]
    # The notes are where they were: only what they are called in the key has changed.
    code = explorer.study.atlas[explorer.study.scene("tunes")["sheet"]]
    assert [int(note.split()[2]) for note in code[1].split(";")[:4]] == [62, 66, 69, 66]


def test_a_chart_that_does_not_fit_is_told(explorer: tk.TuneExplorer) -> None:
    explorer.study.progression = "12-bar blues"
    scene = explorer.study.scene("tunes")
    assert scene["sentence"] == "The tune has 4 bars and the chart 12."
    assert scene["count"] == 0


def test_an_explorer_without_a_tune_asks_for_one() -> None:
    empty = tk.TuneExplorer(instrument="fiddle")
    assert empty.tune is None
    assert empty.study.scene("tunes")["sentence"].startswith("Choose a file")
    press(empty, "Take it back")
    upload(empty, "gate.abc", TUNE)
    assert empty.study.scene("tunes")["count"] == 16


def test_wrong_input_raises() -> None:
    with pytest.raises(TuneError, match="there is no file"):
        tk.TuneExplorer("nowhere.abc")
    with pytest.raises(BadInput, match="key"):
        tk.TuneExplorer(TUNE, key="H")
    with pytest.raises(TuneError):
        tk.Study(tune="no ABC at all")
    study = tk.Study(key="A")
    with pytest.raises(TuneError):
        tk.open_tune(study, b"junk", name="junk.abc")
    assert (study.key, study.tune) == ("A", "")


def test_what_a_notebook_keeps(explorer: tk.TuneExplorer, tmp_path: Path) -> None:
    text = static_figure(explorer.study, "tunes")
    assert "The Paper Gate" in text
    assert len(text) < 12_000
    path = tmp_path / "gate.abc"
    path.write_bytes(TUNE)
    assert explorer.read(path).title == "The Paper Gate"
    assert path.read_bytes() == TUNE
