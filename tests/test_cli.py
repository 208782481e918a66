"""The command line as a shell sees it."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "theorykit", *arguments]
    return subprocess.run(command, capture_output=True, text=True, check=False, timeout=120)


def run_json(*arguments: str) -> Any:
    done = run(*arguments, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_scale() -> None:
    # Common practice: G blues.
    found = run_json("scale", "blues", "--key", "G")
    assert found["notes"] == ["G", "Bb", "C", "Db", "D", "F"]
    assert found["degrees"] == ["1", "b3", "4", "b5", "5", "b7"]


def test_advise() -> None:
    found = run_json(
        "advise", "--key", "A", "--scale", "minor pentatonic", "--progression", "| I | IV V7 |"
    )
    assert [bar["bar"] for bar in found["bars"]] == [1, 2, 2]
    assert [bar["chord"] for bar in found["bars"]] == ["A", "D", "E7"]
    assert [bar["numeral"] for bar in found["bars"]] == ["I", "IV", "V7"]
    assert [bar["beats"] for bar in found["bars"]] == [4, 2, 2]
    # Common practice: stay on I and IV; over V the key's flat third is unwanted.
    assert [bar["verdict"] for bar in found["bars"]] == ["stay", "stay", "switch"]
    last = found["bars"][-1]
    assert last["scale"] == "E minor pentatonic"
    assert last["watch"] == ["C"]
    assert {"name": "C", "degree": "b3", "role": "avoid", "severity": 0.9}.items() <= next(
        note for note in last["notes"] if note["name"] == "C"
    ).items()
    assert "C lies a half step above B, the fifth" in last["reason"]


def test_advise_without_thirds_and_in_another_style() -> None:
    found = run_json(
        *("advise", "--key", "G", "--scale", "minor pentatonic", "--progression", "I IV V"),
        *("--style", "blues", "--no-thirds"),
    )
    assert [bar["chord"] for bar in found["bars"]] == ["G5", "C5", "D5"]
    assert found["bars"][2]["verdict"] == "pass"


def test_neck() -> None:
    found = run_json("neck", "--instrument", "banjo", "--key", "G", "--scale", "major")
    fifth = [cell for cell in found["cells"] if cell["string"] == 5]
    assert fifth[0] == {"string": 5, "fret": 0, "note": "G", "degree": "1", "midi": 67}
    assert fifth[1] == {"string": 5, "fret": 7, "note": "A", "degree": "2", "midi": 69}


@pytest.mark.parametrize(
    "arguments",
    [
        ("scale", "blues", "--key", "Bb"),
        ("advise", "--key", "Bb", "--scale", "blues", "--progression", "12-bar blues"),
        ("neck", "--instrument", "guitar", "--key", "Bb", "--scale", "blues"),
    ],
)
def test_tables_to_read(arguments: tuple[str, ...]) -> None:
    done = run(*arguments)
    assert done.returncode == 0
    assert "B♭" in done.stdout


@pytest.mark.parametrize(
    ("arguments", "expected"),
    [
        (("scale", "blus", "--key", "G"), "scale 'blus': no scale of that name; accepted: "),
        (("scale", "blues", "--key", "H"), "did you mean 'B'?"),
        (("scale", "blues"), "Missing option '--key'"),
        (("scale", "chord tones", "--key", "G"), "its notes are those of a chord"),
        (
            ("advise", "--key", "G", "--scale", "blues", "--progression", "12 bar bluez"),
            "did you mean '12-bar blues'?",
        ),
        (
            ("advise", "--key", "G", "--scale", "blues", "--progression", "I", "--style", "jaz"),
            "did you mean 'jazz'?",
        ),
        (
            ("neck", "--instrument", "mandoline", "--key", "G", "--scale", "blues"),
            "did you mean 'mandolin'?",
        ),
        (
            ("neck", "--instrument", "banjo", "--key", "G", "--scale", "blues", "--frets", "40"),
            "accepted: 1 to 22",
        ),
        (("export", "no/such.ipynb"), "no such file"),
        (("scael", "blues"), "No such command 'scael'"),
    ],
)
def test_bad_input_gives_code_two_and_one_line(arguments: tuple[str, ...], expected: str) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    assert expected in done.stderr
    assert done.stderr.count("\n") == 1
    assert "Traceback" not in done.stderr
    assert done.stdout == ""


def test_help_names_every_command() -> None:
    done = run("--help")
    assert done.returncode == 0
    for command in ("scale", "advise", "neck", "export"):
        assert command in done.stdout


def test_a_failing_notebook_leaves_no_page_behind(tmp_path: Path) -> None:
    notebook = tmp_path / "broken.ipynb"
    cell = {
        "id": "a",
        "cell_type": "code",
        "metadata": {},
        "outputs": [],
        "execution_count": None,
        "source": "1 / 0",
    }
    content = {"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": [cell]}
    notebook.write_text(json.dumps(content), encoding="utf-8")
    before = notebook.read_bytes()
    (tmp_path / "broken.html").write_text("the last good page", encoding="utf-8")
    done = run("export", str(notebook))
    assert done.returncode == 2
    assert "ZeroDivisionError: division by zero" in done.stderr
    assert "Traceback" not in done.stderr
    assert notebook.read_bytes() == before
    assert (tmp_path / "broken.html").read_text(encoding="utf-8") == "the last good page"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["broken.html", "broken.ipynb"]
