"""The course's notebooks as tests read them, and what several of their tests ask."""

from __future__ import annotations

import ast
import contextlib
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from theorykit.analysis.advice import Advice, advise
from theorykit.analysis.style import find_style
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.fretboard import cells
from theorykit.score.score import Score
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.scale import Scale, find_scale
from theorykit.tune.reading import read_tune

FOLDER = Path(__file__).parent.parent / "notebooks"
LESSONS = sorted(FOLDER.glob("[0-9][0-9]_*.ipynb"))
TUNES = sorted((FOLDER / "tunes").glob("*.abc"))


@dataclass(frozen=True)
class Lesson:
    """A notebook, its cells by kind, and all its words on one line."""

    path: Path
    content: dict[str, Any]

    @property
    def code(self) -> list[dict[str, Any]]:
        return [cell for cell in self.content["cells"] if cell["cell_type"] == "code"]

    @property
    def words(self) -> str:
        return " ".join(
            " ".join("".join(cell["source"]).split())
            for cell in self.content["cells"]
            if cell["cell_type"] == "markdown"
        )

    def source(self, cell_id: str) -> str:
        (cell,) = [cell for cell in self.content["cells"] if cell["id"] == cell_id]
        return "".join(cell["source"])


def lesson(number: int) -> Lesson:
    (path,) = [each for each in LESSONS if each.name.startswith(f"{number:02d}_")]
    return read_lesson(path)


def read_lesson(path: Path) -> Lesson:
    return Lesson(path, json.loads(path.read_text(encoding="utf-8")))


def tune(name: str) -> Score:
    return read_tune(FOLDER / "tunes" / f"{name}.abc")


def notes(name: str, tonic: str) -> str:
    """A scale spelled, as the lessons print it."""
    return " ".join(note.pretty for note in Scale(Note.parse(tonic), find_scale(name)).notes)


def in_key(scale: str, chord: str, tonic: Note, *, style: str = "bluegrass") -> Advice:
    """The advice over a chord of a key, the chord taken by its symbol in that key."""
    numeral = Numeral.from_chord(Numeral.parse(chord).chord(tonic), tonic)
    return advise(find_scale(scale), numeral, find_style(style))


def classes(scale: str, chord: str, tonic: Note) -> dict[str, str]:
    """What each note of a scale is over a chord."""
    return {str(note.degree): note.kind.name for note in in_key(scale, chord, tonic).fit.notes}


def at(instrument: str, string: int, fret: int) -> int:
    """The pitch class at a place; string 1 is the one nearest the player's feet."""
    (cell,) = [
        cell
        for cell in cells(find_instrument(instrument))
        if (cell.string, cell.fret) == (string, fret)
    ]
    return cell.midi % 12


def pitch_classes(spelled: str) -> list[int]:
    return [Note.parse(name).pitch_class for name in spelled.split()]


def run_cells(path: Path) -> list[object]:
    """Run a notebook's cells in this process, where its folder is; what each of them shows."""
    shown: list[object] = []
    names: dict[str, Any] = {}
    with contextlib.chdir(path.parent):
        for cell in read_lesson(path).code:
            tree = ast.parse("".join(cell["source"]))
            last = tree.body[-1]
            if isinstance(last, ast.Expr):
                exec(compile(ast.Module(tree.body[:-1], []), cell["id"], "exec"), names)
                shown.append(eval(compile(ast.Expression(last.value), cell["id"], "eval"), names))
            else:
                exec(compile(tree, cell["id"], "exec"), names)
    return shown
