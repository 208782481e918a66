"""How the notebooks are kept: the same parts in the same order, short cells, nothing saved."""

from __future__ import annotations

import ast
import re
from typing import Any

import nbformat
import pytest
from lessons import FOLDER, LESSONS, TUNES, Lesson, read_lesson, run_cells

from theorykit.export.parameters import parameters_of
from theorykit.export.starter import SECTIONS

EXPLORERS = re.compile(r"tk\.\w+Explorer\(")
NOTEBOOKS = sorted(FOLDER.glob("*.ipynb"))

#: What a cell may consist of: no branch, no loop, no function.
PLAIN = (
    *(ast.Module, ast.Import, ast.alias, ast.Expr, ast.Assign, ast.Call, ast.keyword, ast.List),
    *(ast.Name, ast.Attribute, ast.Constant, ast.Load, ast.Store, ast.UnaryOp, ast.USub),
    *(ast.Tuple,),
)


@pytest.fixture(params=NOTEBOOKS, ids=lambda path: path.stem)
def notebook(request: pytest.FixtureRequest) -> Lesson:
    return read_lesson(request.param)


@pytest.fixture(params=LESSONS, ids=lambda path: path.stem)
def lesson(request: pytest.FixtureRequest) -> Lesson:
    return read_lesson(request.param)


def test_there_are_eight() -> None:
    assert [path.name[:2] for path in LESSONS] == [f"{number:02d}" for number in range(1, 9)]


class TestEveryNotebook:
    def test_format(self, notebook: Lesson) -> None:
        content = notebook.content
        assert (content["nbformat"], content["nbformat_minor"]) == (4, 5)
        assert content["metadata"]["kernelspec"]["name"] == "python3"
        assert "widgets" not in content["metadata"]

    def test_nothing_is_saved_in_it(self, notebook: Lesson) -> None:
        assert all(cell["outputs"] == [] for cell in notebook.code)
        assert all(cell["execution_count"] is None for cell in notebook.code)

    def test_cells_have_ids_of_their_own(self, notebook: Lesson) -> None:
        ids = [cell["id"] for cell in notebook.content["cells"]]
        assert len(set(ids)) == len(ids)

    def test_no_logic(self, notebook: Lesson) -> None:
        for cell in notebook.code:
            tree = ast.parse("".join(cell["source"]))
            assert len(tree.body) <= 7, cell["id"]
            for node in ast.walk(tree):
                assert isinstance(node, PLAIN), ast.dump(node)

    def test_its_links_lead_somewhere(self, notebook: Lesson) -> None:
        for target in re.findall(r"\]\(([^)]+)\)", notebook.words):
            assert (FOLDER / target).is_file(), target


def run_and_count(notebook: Lesson, capsys: pytest.CaptureFixture[str]) -> None:
    """Run a notebook and find its pictures and its plan in what it shows."""
    shown = run_cells(notebook.path)
    code = "\n".join("".join(cell["source"]) for cell in notebook.code)
    pictures = [each for each in shown if hasattr(each, "study")]
    assert len(pictures) == len(EXPLORERS.findall(code))
    assert ("[ ] 0:00" in capsys.readouterr().out) == ("tk.routine(" in code)


def test_the_cells_of_the_last_lesson_run(capsys: pytest.CaptureFixture[str]) -> None:
    run_and_count(read_lesson(LESSONS[-1]), capsys)


@pytest.mark.long
def test_the_cells_of_every_notebook_run(
    notebook: Lesson, capsys: pytest.CaptureFixture[str]
) -> None:
    run_and_count(notebook, capsys)


class TestEveryLesson:
    def test_parts_in_their_order(self, lesson: Lesson) -> None:
        text = "\n".join(
            "".join(cell["source"])
            for cell in lesson.content["cells"]
            if cell["cell_type"] == "markdown"
        )
        assert tuple(re.findall(r"^## (.+)$", text, re.MULTILINE)) == SECTIONS
        assert len(re.findall(r"^# ", text, re.MULTILINE)) == 1

    def test_it_begins_with_what_can_be_set(self, lesson: Lesson) -> None:
        first = lesson.content["cells"][0]
        assert first["metadata"]["tags"] == ["parameters"]
        found: dict[str, Any] = {}
        exec("".join(first["source"]), {}, found)
        assert list(found) == ["key", "instrument", "level", "left_handed"]
        assert found["level"] in {1, 2, 3, 4}

    def test_the_export_finds_what_can_be_set(self, lesson: Lesson) -> None:
        found = parameters_of(nbformat.read(lesson.path, as_version=4))
        assert list(found) == ["key", "instrument", "level", "left_handed"]

    def test_every_study_takes_them(self, lesson: Lesson) -> None:
        code = "\n".join("".join(cell["source"]) for cell in lesson.code)
        made = re.findall(r"tk\.Study\(([^)]*)\)", code)
        assert made
        for arguments in made:
            assert "instrument=instrument" in arguments
            assert "left_handed=left_handed" in arguments
        assert "level=level" in made[0]
        assert "study.key = key" in code

    def test_pictures_are_few(self, lesson: Lesson) -> None:
        found = EXPLORERS.findall("\n".join("".join(cell["source"]) for cell in lesson.code))
        assert 1 <= len(found) <= 5

    def test_cautions_and_doubt(self, lesson: Lesson) -> None:
        words = lesson.words
        assert "**Take care.**" in words
        assert "tingling" in words
        assert re.search(r"convention|not a law|iron rule", words)

    def test_answers_are_hidden(self, lesson: Lesson) -> None:
        opened = lesson.words.count("<details> <summary>")
        assert opened == lesson.words.count("</details>")
        assert opened >= 5

    def test_the_index_and_the_next_lesson_are_linked(self, lesson: Lesson) -> None:
        place = LESSONS.index(lesson.path)
        assert "(index.ipynb)" in lesson.words
        if place + 1 < len(LESSONS):
            assert f"({LESSONS[place + 1].name})" in lesson.words


def test_the_index_has_every_lesson_and_the_tunes_are_all_used() -> None:
    index = read_lesson(FOLDER / "index.ipynb").words
    for path in (*LESSONS, FOLDER / "cheat_sheet.ipynb"):
        assert f"({path.name})" in index
    code = " ".join("".join(cell["source"]) for path in LESSONS for cell in read_lesson(path).code)
    for path in TUNES:
        assert f"tunes/{path.name}" in code
