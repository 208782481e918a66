"""Lessons exported with other values than those that stand in them."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest
from notebook_files import write_notebook

from theorykit.errors import BadInput
from theorykit.export.lesson import ExportError, export_notebook
from theorykit.export.parameters import parameters_of, set_parameters

SETTINGS = """# What you may change
key = "Ä"; level = 1
instrument = (
    "mandolin"
)  # a neck
left_handed = False
other = key + "m"
"""


def notebook(path: Path, *cells: str, tagged: int = 0) -> Path:
    write_notebook(path, *cells)
    content = json.loads(path.read_text(encoding="utf-8"))
    content["cells"][tagged]["metadata"]["tags"] = ["parameters"]
    # What begins with a # is words to `write_notebook`.
    content["cells"][tagged] |= {"cell_type": "code", "execution_count": None, "outputs": []}
    path.write_text(json.dumps(content), encoding="utf-8")
    return path


def node(path: Path) -> nbformat.NotebookNode:
    return nbformat.read(path, as_version=4)


def test_plain_variables_are_found(tmp_path: Path) -> None:
    lesson = node(notebook(tmp_path / "a.ipynb", SETTINGS))
    assert parameters_of(lesson) == {
        "key": "Ä",
        "level": 1,
        "instrument": "mandolin",
        "left_handed": False,
    }


def test_values_are_set_where_they_stand(tmp_path: Path) -> None:
    path = notebook(tmp_path / "a.ipynb", SETTINGS)
    before = path.read_bytes()
    lesson = node(path)
    set_parameters(lesson, {"instrument": 'it\'s "new"\n', "key": "B", "left_handed": True})
    variables: dict[str, object] = {}
    exec(lesson.cells[0].source, variables)  # as a kernel would
    assert variables["instrument"] == 'it\'s "new"\n'
    assert (variables["key"], variables["other"]) == ("B", "Bm")
    assert (variables["level"], variables["left_handed"]) == (1, True)
    assert "# a neck" in lesson.cells[0].source
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    ("values", "message"),
    [
        ({"keys": "A"}, "did you mean 'key'?"),
        ({"other": "Am"}, "accepted: key, level"),
        ({"level": "2"}, "of another kind"),
        ({"left_handed": 1}, "of another kind"),
    ],
)
def test_wrong_values_are_refused(tmp_path: Path, values: dict[str, object], message: str) -> None:
    lesson = node(notebook(tmp_path / "a.ipynb", SETTINGS))
    with pytest.raises(BadInput, match="accepted") as caught:
        set_parameters(lesson, values)
    assert message in str(caught.value)
    assert lesson.cells[0].source == SETTINGS


def test_a_lesson_with_no_such_cell_says_so(tmp_path: Path) -> None:
    plain = write_notebook(tmp_path / "a.ipynb", "key = 'A'")
    assert parameters_of(node(plain)) == {}
    with pytest.raises(BadInput, match="no cell tagged parameters"):
        export_notebook(plain, parameters={"key": "B"})
    assert not plain.with_suffix(".html").exists()


def test_the_command_sets_them(tmp_path: Path) -> None:
    cells = ('key = "A"\nscale = "blues"\nlevel = 2', "print('played in', key, scale, level)")
    path = notebook(tmp_path / "a.ipynb", *cells)
    page = tmp_path / "out.html"
    command = [sys.executable, "-m", "theorykit", "export", str(path), "-o", str(page)]
    more = ["--key", "Bb", "--level", "3", "--set", "scale=major blues"]
    done = subprocess.run([*command, *more], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert "played in Bb major blues 3" in page.read_text(encoding="utf-8")
    wrong = subprocess.run(
        [*command, "--instrument", "fiddle"], capture_output=True, text=True, check=False
    )
    assert wrong.returncode == 2
    assert "accepted: key, scale, level" in wrong.stderr
    assert wrong.stderr.count("\n") == 1


def test_a_broken_notebook_is_told(tmp_path: Path) -> None:
    path = tmp_path / "bad.ipynb"
    path.write_text("{", encoding="utf-8")
    with pytest.raises(ExportError, match="notebook"):
        export_notebook(path, parameters={"key": "A"})
