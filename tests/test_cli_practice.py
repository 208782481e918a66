"""The commands that make material to practise, each run as a process of its own."""

from __future__ import annotations

import csv
from pathlib import Path

import mido
import pytest
from commands import answer, run
from written import by_music21, schema_errors


def test_a_sequence_as_json() -> None:
    # Thirds of G major from a mandolin's lowest string (common practice).
    found = answer("sequence", "--key", "G", "--figure", "thirds", "--instrument", "mandolin")
    assert [note["name"] for note in found["notes"][:6]] == ["G3", "B3", "A3", "C4", "B3", "D4"]
    first = found["notes"][0]
    assert (first["midi"], first["beat"], first["beats"]) == (55, 0, 0.5)
    assert (first["degree"], first["string"], first["fret"]) == ("1", 4, 0)
    assert {"name", "midi", "beat", "beats", "degree", "role", "string", "fret"} <= first.keys()


def test_a_sequence_over_a_chart_with_neighbours() -> None:
    chart = ["--key", "A", "--progression", "| I | IV | V | I |", "--figure", "threes"]
    plain = answer("sequence", *chart)["notes"]
    busy = answer("sequence", *chart, "--rhythm", "quarters", "--neighbours", "1")["notes"]
    assert all(note["role"] for note in plain)
    assert len(busy) > len(answer("sequence", *chart, "--rhythm", "quarters")["notes"])


def test_a_line_says_why() -> None:
    blues = ["--key", "A", "--progression", "12-bar blues", "--instrument", "guitar"]
    found = answer("line", *blues, "--level", "3", "--seed", "4")
    assert found == answer("line", *blues, "--level", "3", "--seed", "4")
    assert len(found["reasons"]) == len(found["notes"]) > 20
    told = run("line", *blues, "--level", "3", "--seed", "4", "--why").stdout
    assert all(reason in told for reason in found["reasons"])


def test_written_music_by_suffix(tmp_path: Path) -> None:
    names = ("a.svg", "a.musicxml", "a.mxl", "a.abc", "a.mid", "a.txt")
    outputs = [argument for name in names for argument in ("-o", str(tmp_path / name))]
    done = run("line", "--key", "D", "--progression", "waltz", "--instrument", "mandolin", *outputs)
    assert done.returncode == 0, done.stderr
    notes = answer("line", "--key", "D", "--progression", "waltz", "--instrument", "mandolin")
    midis = [note["midi"] for note in notes["notes"]]
    text = (tmp_path / "a.musicxml").read_text(encoding="utf-8")
    assert schema_errors(text) == []
    assert [midi for _, _, midi in by_music21(text, "musicxml")] == midis
    abc = (tmp_path / "a.abc").read_text(encoding="utf-8")
    assert [midi for _, _, midi in by_music21(abc, "abc")] == midis
    played = [
        message.note
        for message in mido.MidiFile(tmp_path / "a.mid")
        if message.type == "note_on" and message.velocity
    ]
    assert played == midis
    assert (tmp_path / "a.mxl").read_bytes().startswith(b"PK")
    assert (tmp_path / "a.svg").read_text(encoding="utf-8").count('class="note"') >= len(midis)
    assert "E|" in (tmp_path / "a.txt").read_text(encoding="utf-8")


@pytest.mark.browser
def test_a_picture_in_points(tmp_path: Path) -> None:
    path = tmp_path / "a.png"
    done = run("sequence", "--key", "G", "--instrument", "ukulele", "-o", str(path))
    assert done.returncode == 0, done.stderr
    data = path.read_bytes()
    # The signature and the header chunk of PNG (ISO/IEC 15948): width and height follow.
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    width, height = (int.from_bytes(data[at : at + 4], "big") for at in (16, 20))
    assert width > 1000
    assert height > 200


def test_a_routine(tmp_path: Path) -> None:
    asked = ["routine", "--item", "scale: major", "--item", "sequence: major, threes"]
    found = answer(*asked, "--minutes", "20")
    assert found["minutes"] == 20
    assert any(block["kind"] == "rest" for block in found["blocks"])
    assert any("clinician" in caution for caution in found["cautions"])
    table, checklist = tmp_path / "plan.csv", tmp_path / "plan.txt"
    assert run(*asked, "-o", str(table)).returncode == 0
    with table.open(encoding="utf-8", newline="") as file:
        assert len(list(csv.DictReader(file))) > 3
    assert run(*asked, "-o", str(checklist)).returncode == 0
    assert checklist.read_text(encoding="utf-8").count("[ ]") > 3


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("sequence", "--key", "G", "--figure", "thrds"), "did you mean 'thirds'?"),
        (("sequence", "--key", "H"), "key 'H'"),
        (("line", "--key", "G", "--progression", "waltz", "--level", "7"), "level '7'"),
        (("line", "--key", "G", "--progression", "waltz", "-o", "x.sgv"), "did you mean '.svg'?"),
        (("line", "--key", "G", "--progression", "waltz", "-o", "no/x.svg"), "output 'no/x.svg'"),
        (("routine", "--item", "major"), "item 'major': has no kind"),
        (("routine", "--item", "scale: major", "--tempo", "fast"), "tempo 'fast'"),
        (("routine", "--item", "scale: major", "-o", "x.doc"), "output 'x.doc'"),
    ],
)
def test_wrong_input_is_one_line(arguments: tuple[str, ...], message: str) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.count("\n") == 1
    assert message in done.stderr
