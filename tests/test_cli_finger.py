"""The command ``finger``."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "theorykit", "finger", *arguments]
    return subprocess.run(command, capture_output=True, text=True, check=False, timeout=60)


def answer(*arguments: str) -> Any:
    done = run(*arguments, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def places(*arguments: str) -> list[tuple[int, int, int]]:
    return [(n["string"], n["fret"], n["finger"]) for n in answer(*arguments)["notes"]]


#: The C scale in first position of any guitar handbook.
NOTES = "C3 D3 E3 F3 G3"
PLACES = [(5, 3, 3), (4, 0, 0), (4, 2, 2), (4, 3, 3), (3, 0, 0)]


def test_notes_one_by_one_or_together_or_in_a_file(tmp_path: Path) -> None:
    path = tmp_path / "line.txt"
    path.write_text("C3 D3\nE3 F3 G3\n", encoding="utf-8")
    for given in (NOTES.split(), [NOTES], [str(path)]):
        found = answer(*given, "--instrument", "guitar")
        assert [note["name"] for note in found["notes"]] == NOTES.split()
        assert [(n["string"], n["fret"], n["finger"]) for n in found["notes"]] == PLACES
        assert found["cost"] > 0


def test_spelling_is_kept() -> None:
    found = answer("Gb3", "F#3", "--instrument", "guitar")["notes"]
    assert [note["name"] for note in found] == ["Gb3", "F#3"]


def test_tablature() -> None:
    shown = run(NOTES, "--instrument", "guitar").stdout
    assert shown.splitlines() == [
        "   C3 D3 E3 F3 G3",
        "E |---------------|",
        "B |---------------|",
        "G |------------0--|",
        "D |---0--2--h3----|",
        "A |3--------------|",
        "E |---------------|",
        "   3  o  2  3  o",
        "",
    ]


def test_a_long_line_is_broken() -> None:
    shown = run(" ".join([NOTES] * 4), "--instrument", "guitar").stdout
    heads = [row.split() for row in shown.splitlines() if row.strip().startswith(("C3", "D3"))]
    assert [len(head) for head in heads] == [16, 4]


def test_options_reach_the_fingering() -> None:
    # The movable scale, the capo's open shapes, a roll's open strings: common practice.
    closed = places("C3 D3 E3", "--instrument", "guitar", "--closed")
    assert closed == [(5, 3, 2), (5, 5, 4), (4, 2, 1)]
    assert places("D3 E3 F#3 G3 A3", "--instrument", "guitar", "--capo", "2") == PLACES
    rolled = places("G3 B3 D4 G4", "--instrument", "banjo", "--roll")
    assert rolled == [(3, 0, 0), (2, 0, 0), (1, 0, 0), (5, 0, 0)]
    high = answer("A3 C4 D4", "--instrument", "guitar", "--position", "5")["notes"]
    assert {note["position"] for note in high if note["finger"]} == {5}


def test_a_dulcimers_frets_are_called_as_players_call_them() -> None:
    # Half steps 2, 4 and 5 have the frets 1, 2 and 3 (the diatonic neck, common practice).
    found = answer("D3 E3 F#3 G3", "--instrument", "dulcimer")["notes"]
    assert [note["fret_name"] for note in found] == ["0", "1", "2", "3"]
    assert "D |0--h1-2---h3-|" in run("D3 E3 F#3 G3", "--instrument", "dulcimer").stdout


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (
            ("C2", "--instrument", "guitar"),
            "theorykit: note 'C2 (number 1)': not on a guitar; accepted: E2 and up, to fret 20",
        ),
        (("H3", "--instrument", "guitar"), "theorykit: pitch 'H3': not a note with an octave"),
        (
            ("G3", "--instrument", "kazoo"),
            "theorykit: instrument 'kazoo': not in the catalogue",
        ),
        (
            ("G3", "--instrument", "guitar", "--position", "40"),
            "theorykit: position '40': not on the neck; accepted: 1 to 20",
        ),
        (("G3", "--instrument", "guitar", "--capo", "30"), "theorykit: capo '30': not a place"),
        (("--instrument", "guitar"), "theorykit: Missing argument 'NOTES...'"),
    ],
)
def test_wrong_input_ends_with_one_line(arguments: tuple[str, ...], message: str) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.startswith(message)
    assert done.stderr.count("\n") == 1


def test_a_file_that_is_no_text(tmp_path: Path) -> None:
    path = tmp_path / "noise.bin"
    path.write_bytes(b"\xff\xfe\x00G3")
    done = run(str(path), "--instrument", "guitar")
    assert done.returncode == 2
    assert "can't be read as text" in done.stderr
    assert done.stderr.count("\n") == 1
