"""One thing made for one student: what a process, or a machine of a cluster, is asked to do."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from theorykit.errors import TheoryKitError
from theorykit.export.class_file import ClassList, Student
from theorykit.score.score import Score

#: What a lesson may read: tunes, saved styles, tables, recordings.
_BESIDE = (
    *(".abc", ".mid", ".midi", ".musicxml", ".xml", ".mxl", ".json", ".csv", ".txt"),
    *(".wav", ".flac", ".mp3"),
)
#: So many bytes are taken along.
_MOST_BESIDE = 20_000_000

#: Goes into what a product is known by, so that a release that makes another is noticed.
EDITION = 1


@dataclass(frozen=True, slots=True)
class Task:
    """A file to be made.

    Parameters
    ----------
    path : str
        Where it goes, from the folder of the class.
    kind : str
        One of ``class_file.PRODUCTS``.
    student : Student
    title : str
        Of the class.
    lesson : str
        The notebook's name, for a page.
    digest : str
        Of all that it is made from: the same digest, the same file.
    """

    path: str
    kind: str
    student: Student
    title: str
    lesson: str
    digest: str


def tasks_of(group: ClassList, shelf: Mapping[str, Mapping[str, bytes]]) -> list[Task]:
    """Everything that a class gets, student by student.

    Parameters
    ----------
    group : ClassList
    shelf : dict
        By each lesson's path, the files of its folder; see `lesson_files`.
    """
    found = []
    for student in group.students:
        for kind in group.products:
            for path, lesson in _places(group, student, kind):
                parts = [EDITION, group.title, kind, asdict(student)]
                digest = hashlib.sha256(json.dumps(parts, sort_keys=True).encode())
                for name, data in sorted(shelf.get(lesson, {}).items()):
                    digest.update(f"{name} {len(data)} ".encode() + data)
                task = Task(path, kind, student, group.title, lesson, digest.hexdigest())
                found.append(task)
    return found


def _places(group: ClassList, student: Student, kind: str) -> list[tuple[str, str]]:
    folder = student.folder
    if kind == "page":
        return [(f"{folder}/{lesson.stem}.html", str(lesson)) for lesson in group.lessons]
    name = {"handout": "handout.pdf", "midi": "line.mid", "audio": "line.mp3"}[kind]
    return [(f"{folder}/{name}", "")]


def lesson_files(lesson: Path) -> dict[str, bytes]:
    """A notebook and the files of its folder that its cells name, by their names.

    Raises
    ------
    TheoryKitError
        If there is too much of them to hand to a worker.
    """
    source = lesson.read_bytes()
    words = source.decode("utf-8", "replace")
    found = {lesson.name: source}
    for path in sorted(lesson.parent.rglob("*")):
        if path.suffix.casefold() in _BESIDE and path.name in words and path.is_file():
            found[path.relative_to(lesson.parent).as_posix()] = path.read_bytes()
        if sum(map(len, found.values())) > _MOST_BESIDE:
            size = _MOST_BESIDE // 1_000_000
            raise TheoryKitError(f"'{lesson}' reads more than {size} MB of files")
    return found


def made(
    batch: Sequence[Task], shelf: Mapping[str, Mapping[str, bytes]], _tries: int = 0
) -> list[tuple[bytes, str]]:
    """Each task's file, or nothing and why not.

    It needs no file of the machine that asks, so that it can run on another one.
    """
    found = []
    for task in batch:
        try:
            found.append((_MAKERS[task.kind](task, shelf.get(task.lesson, {})), ""))
        except (TheoryKitError, OSError) as error:
            found.append((b"", str(error)))
    return found


def _page(task: Task, files: Mapping[str, bytes]) -> bytes:
    import nbformat

    from theorykit.export.lesson import export_notebook
    from theorykit.export.parameters import parameters_of

    with TemporaryDirectory() as folder:
        for name, data in files.items():
            path = Path(folder, name)
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        notebook = Path(folder, Path(task.lesson).name)
        # A lesson takes those of a student's choices that it has a variable for.
        known = parameters_of(nbformat.read(notebook, as_version=4))
        own = {name: value for name, value in asdict(task.student).items() if name in known}
        own.pop("name", None)
        return export_notebook(notebook, Path(folder, "page.html"), parameters=own).read_bytes()


def _handout(task: Task, _files: Mapping[str, bytes]) -> bytes:
    from theorykit.handouts.handout import handout

    student = task.student
    sheets = handout(
        student.selection,
        title=": ".join(filter(None, (task.title, student.name))),
        paper=student.paper,
        large_print=student.large_print,
    )
    return sheets.pdf()


def _midi(task: Task, _files: Mapping[str, bytes]) -> bytes:
    from theorykit.score.midi import write_midi

    with TemporaryDirectory() as folder:
        path = Path(folder, "line.mid")
        write_midi(_played(task.student), path)
        return path.read_bytes()


def _audio(task: Task, _files: Mapping[str, bytes]) -> bytes:
    from theorykit.audio.mix import render

    with TemporaryDirectory() as folder:
        path = Path(folder, "line.mp3")
        render(_played(task.student)).write(path)
        return path.read_bytes()


def _played(student: Student) -> Score:
    """An example line over the student's chart, with the band behind it and a bar counted in."""
    from theorykit.practice.line import line_over
    from theorykit.score.arrange import arrange
    from theorykit.theory.key import Key

    chosen = student.selection
    chart = chosen.chart
    home = Key(chosen.tonic, chart.mode)
    line = line_over(
        chart,
        home,
        level=student.level,
        style=chosen.taste,
        instrument=chosen.neck,
        tempo=student.tempo,
    )
    return arrange(
        chart,
        home,
        feel=student.feel,
        tempo=student.tempo,
        count_in=1,
        line=line.notes,
        line_voice=chosen.neck.voice,
    )


_MAKERS = {"page": _page, "handout": _handout, "midi": _midi, "audio": _audio}
