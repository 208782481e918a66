"""The notebook that a lesson begins with."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest
from lessons import run_cells

from theorykit.errors import BadInput
from theorykit.export.parameters import parameters_of
from theorykit.export.starter import SECTIONS, starter_notebook, write_starter


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "theorykit", "new", *arguments]
    return subprocess.run(command, capture_output=True, text=True, check=False, timeout=120)


def test_it_is_a_lesson_and_its_cells_run(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "lesson.ipynb"
    made = starter_notebook(
        'The "third"',
        key="Eb",
        instrument="fiddle",
        scale="1 2 b3 5",
        progression="| i | iv V7 | i | i |",
    )
    write_starter(path, made)
    notebook = nbformat.read(path, as_version=4)
    nbformat.validate(notebook)
    words = "\n".join(cell.source for cell in notebook.cells if cell.cell_type == "markdown")
    assert re.findall(r"^# (.+)$", words, re.MULTILINE) == ['The "third"']
    assert tuple(re.findall(r"^## (.+)$", words, re.MULTILINE)) == SECTIONS
    assert parameters_of(notebook) == {
        "key": "Eb",
        "instrument": "fiddle",
        "level": 1,
        "left_handed": False,
    }
    scale, positions, chart = run_cells(path)[:3]
    assert {view.study.key for view in (scale, positions, chart)} == {"Eb"}
    assert chart.study.progression == "| i | iv V7 | i | i |"
    assert chart.study.scale == "1 2 b3 5"
    assert "[ ] 0:00" in capsys.readouterr().out


def test_nothing_is_written_over_unless_that_is_asked_for(tmp_path: Path) -> None:
    path = tmp_path / "lesson.ipynb"
    options = ("--key", "D", "--instrument", "fiddle", "--progression", "| I | IV | V | I |")
    done = run("Thirds in D", *options, "-o", str(path))
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip() == str(path)
    path.write_text("mine", encoding="utf-8")
    done = run("Thirds in D", *options, "-o", str(path))
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert "--force" in done.stderr
    assert path.read_text(encoding="utf-8") == "mine"
    done = run("Thirds in D", *options, "-o", str(path), "--force", "--json")
    assert json.loads(done.stdout)["notebook"] == str(path)
    assert nbformat.read(path, as_version=4).cells[1].source.startswith("# Thirds in D\n")
    assert [each.name for each in tmp_path.iterdir()] == ["lesson.ipynb"]


@pytest.mark.parametrize(
    ("choices", "kind"),
    [
        ({"title": "  "}, "title"),
        ({"title": "One", "key": "H"}, "key"),
        ({"title": "One", "instrument": "hurdy"}, "instrument"),
        ({"title": "One", "progression": "| I | what |"}, "progression"),
    ],
)
def test_what_cannot_be_used(choices: dict[str, str], kind: str) -> None:
    with pytest.raises(BadInput) as refused:
        starter_notebook(**choices)
    assert refused.value.kind == kind


def test_only_a_notebook_is_written(tmp_path: Path) -> None:
    with pytest.raises(BadInput):
        write_starter(tmp_path / "lesson.txt", starter_notebook("One"))
    with pytest.raises(BadInput):
        write_starter(tmp_path / "missing" / "lesson.ipynb", starter_notebook("One"))
    assert list(tmp_path.iterdir()) == []
