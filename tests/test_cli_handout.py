"""The commands that make sheets of paper."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from notebook_files import write_notebook
from printed import texts

from theorykit.cli import main
from theorykit.errors import TheoryKitError
from theorykit.export.lesson import ExportError, lesson_selection
from theorykit.scene.selection import Selection
from theorykit.scene.selection_file import save_selection


def run(monkeypatch: pytest.MonkeyPatch, *arguments: str) -> int:
    """The command's exit code."""
    monkeypatch.setattr("sys.argv", ["theorykit", *arguments])
    try:
        main()
    except SystemExit as stopped:
        return int(stopped.code or 0)
    return 0


def test_a_progression(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "a.pdf"
    options = ["--key", "D", "--scale", "blues", "--instrument", "banjo", "--part", "chart"]
    code = run(
        monkeypatch, "handout", "| I | IV | V | I |", *options, "--title", "#x $y$", "-o", str(out)
    )
    assert code == 0
    (page,) = texts(out.read_bytes())
    assert page.startswith("#x $y$")
    assert "banjo" in page
    assert "switch to A blues" in page.replace("\r\n", " ")
    assert capsys.readouterr().out.startswith(str(out))


def test_a_saved_study(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    study = save_selection(Selection.of(key="Bb", instrument="ukulele"), tmp_path / "study.json")
    out = tmp_path / "a.html"
    options = ["--paper", "letter", "--large", "--left-handed", "--part", "reference"]
    assert run(monkeypatch, "handout", str(study), *options, "-o", str(out), "--json") == 0
    told = json.loads(capsys.readouterr().out)
    assert told == {
        "file": str(out),
        "title": "B♭ minor pentatonic over the 12-bar blues",
        "bytes": out.stat().st_size,
    }
    page = out.read_text(encoding="utf-8")
    assert "size:612pt 792pt" in page
    assert "left-handed" in page


def test_a_lesson(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    cells = (
        "# A night at the *hall*",
        "import theorykit as tk\nstudy = tk.Study(key='E', instrument='guitar')",
        "tk.ScaleExplorer(key='C')",
        "tk.ProgressionExplorer(study)",
        "study.key = 'F'\ntk.PositionExplorer(study)",
    )
    notebook = write_notebook(tmp_path / "lesson.ipynb", *cells)
    before = notebook.read_bytes()
    title, selection = lesson_selection(notebook)
    assert (title, selection.key, selection.instrument) == ("A night at the hall", "F", "guitar")
    assert notebook.read_bytes() == before
    with pytest.raises(ExportError, match="no explorer"):
        lesson_selection(write_notebook(tmp_path / "words.ipynb", "Words"))


def test_a_scale_reference(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    out = tmp_path / "a.pdf"
    assert run(monkeypatch, "reference", "major", "--instrument", "fiddle", "-o", str(out)) == 0
    assert "E♭: E♭ F G A♭ B♭ C D" in " ".join(texts(out.read_bytes())[0].split())


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (["handout", "| I | H |", "-o", "a.pdf"], "bar 2: numeral 'H'"),
        (["handout", "I IV", "--key", "H", "-o", "a.pdf"], "key"),
        (["handout", "I IV", "--paper", "a5", "-o", "a.pdf"], "accepted: a4, letter"),
        (["handout", "I IV", "--title", "", "-o", "a.pdf"], "title"),
        (["handout", "I IV", "--part", "chrt", "-o", "a.pdf"], "did you mean 'chart'"),
        (["handout", "I IV", "-o", "a.doc"], "accepted: .pdf, .html"),
        (["handout", "none.ipynb", "-o", "a.pdf"], "no such file"),
        (["handout", "none.json", "-o", "a.pdf"], "no such file"),
        (["reference", "blus", "-o", "a.pdf"], "did you mean 'blues'"),
        (["reference", "chord tones", "-o", "a.pdf"], "those of a chord"),
    ],
)
def test_bad_input_is_one_line(
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    arguments: list[str],
    message: str,
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(monkeypatch, *arguments) == 2
    (line,) = capsys.readouterr().err.splitlines()
    assert line.startswith("theorykit: ")
    assert message in line
    assert list(tmp_path.iterdir()) == []


def test_fonts_that_are_missing_are_told(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    from theorykit.handouts import typeset
    from theorykit.handouts.handout import handout

    typeset.fonts.cache_clear()
    monkeypatch.setattr(typeset, "find_spec", lambda _name: None)
    with pytest.raises(TheoryKitError, match="pip install matplotlib"):
        handout(Selection.of(), parts=("chart",)).save(tmp_path / "a.pdf")
    assert list(tmp_path.iterdir()) == []
