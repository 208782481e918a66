"""A class as a file says it: who plays what, in which key, and what everybody gets."""

from __future__ import annotations

import re
import tomllib
import unicodedata
from dataclasses import dataclass, field, fields, replace
from pathlib import Path
from typing import Any

from theorykit.errors import BadInput, nearest
from theorykit.practice.line_level import LEVELS
from theorykit.scene.selection import Selection
from theorykit.score.score import check_tempo

#: What is made for each student, with the endings of the files.
PRODUCTS = ("page", "handout", "midi", "audio")
PAPERS = ("a4", "letter")

#: As many as one teacher's week has.
MOST_STUDENTS = 500
_MOST_BYTES = 1_000_000


@dataclass(frozen=True, slots=True)
class Student:
    """One who gets material.

    Parameters
    ----------
    name : str
    instrument, key : str
    level : int
        Of the example line, 1 to 4; lessons that have a level take it too.
    left_handed : bool
    scale, progression, style, feel : str
    tempo : int
        Beats a minute.
    paper : {"a4", "letter"}
    large_print : bool
    """

    name: str
    instrument: str = "mandolin"
    key: str = "A"
    level: int = 1
    left_handed: bool = False
    scale: str = "minor pentatonic"
    progression: str = "12-bar blues"
    style: str = "bluegrass"
    feel: str = "bluegrass"
    tempo: int = 90
    paper: str = "a4"
    large_print: bool = False

    @property
    def folder(self) -> str:
        """What the student's folder is called: letters and digits of the name, and no others."""
        plain = unicodedata.normalize("NFKD", self.name).encode("ascii", "ignore").decode()
        words = re.findall(r"[a-z0-9]+", plain.casefold())
        # A name in letters that have no plain form still gets a folder, always the same.
        return "-".join(words) or "student-" + self.name.encode().hex()[:12]

    @property
    def selection(self) -> Selection:
        """What the student plays, as explorers have it."""
        return Selection.of(
            key=self.key,
            scale=self.scale,
            progression=self.progression,
            style=self.style,
            feel=self.feel,
            instrument=self.instrument,
            left_handed=self.left_handed,
            tempo=self.tempo,
            level=self.level,
        )


@dataclass(frozen=True, slots=True)
class ClassList:
    """A class.

    Parameters
    ----------
    title : str
    lessons : tuple of Path
        Notebooks, each made a page for every student.
    students : tuple of Student
    products : tuple of str
        Of ``PRODUCTS``, what is made.
    """

    title: str
    lessons: tuple[Path, ...]
    students: tuple[Student, ...]
    products: tuple[str, ...] = field(default=PRODUCTS)


def read_class(path: Path) -> ClassList:
    """A class from a TOML file; nothing is made yet, but everything in it is checked.

    Its entries: ``title``; ``lessons``, notebooks by their paths from the file; ``products``, if
    not all; any entry of `Student` as the whole class has it; and a ``[[students]]`` table each,
    with a ``name`` and what is other for this one.

    Raises
    ------
    BadInput
        With the first thing in it that can't be used, and whose it is.
    """
    data = _loaded(path)
    shared = {name: data[name] for name in _STUDENT_ENTRIES if name in data and name != "name"}
    _check_names(data, ("title", "lessons", "products", "students", *_STUDENT_ENTRIES[1:]), "entry")
    products = _listed(data, "products", PRODUCTS)
    for product in products:
        if product not in PRODUCTS:
            close = nearest(product, PRODUCTS)
            accepted = ", ".join(PRODUCTS)
            raise BadInput("product", product, "unknown", accepted=accepted, nearest=close)
    lessons = tuple(path.parent / name for name in _listed(data, "lessons", ()))
    for lesson in lessons:
        if lesson.suffix != ".ipynb" or not lesson.is_file():
            raise BadInput("lesson", lesson, "no such notebook", accepted="the path of an .ipynb")
    if "page" in products and not lessons:
        raise BadInput("lessons", "", "there are none", accepted='lessons = ["lesson.ipynb"]')
    rows = data.get("students", [])
    if not isinstance(rows, list) or not rows or not all(isinstance(row, dict) for row in rows):
        raise BadInput("students", rows, "there are none", accepted="[[students]] tables")
    if len(rows) > MOST_STUDENTS:
        raise BadInput("students", len(rows), "too many", accepted=f"up to {MOST_STUDENTS}")
    students = tuple(_student(shared | row, row) for row in rows)
    folders: dict[str, str] = {}
    for student in students:
        other = folders.setdefault(student.folder, student.name)
        if other is not student.name:
            reason = f"would share a folder with {other!r}"
            raise BadInput("student", student.name, reason, accepted="names that differ")
    title = data.get("title", "")
    if not isinstance(title, str):
        raise BadInput("title", title, "is no text")
    return ClassList(title, lessons, students, tuple(products))


_STUDENT_ENTRIES = tuple(each.name for each in fields(Student))
_KINDS: dict[str, type] = {
    "level": int,
    "tempo": int,
    "left_handed": bool,
    "large_print": bool,
}


def _loaded(path: Path) -> dict[str, Any]:
    try:
        data = path.read_bytes()
    except OSError as error:
        reason = (error.strerror or "can't be read").lower()
        raise BadInput("class", path, reason, accepted="a TOML file") from None
    if len(data) > _MOST_BYTES:
        raise BadInput("class", path, "too large", accepted=f"up to {_MOST_BYTES} bytes")
    try:
        return tomllib.loads(data.decode("utf-8-sig"))
    except (ValueError, RecursionError) as error:
        raise BadInput("class", path, f"no TOML: {error}", accepted="a TOML file") from None


def _student(entries: dict[str, Any], own: dict[str, Any]) -> Student:
    name = own.get("name")
    if not isinstance(name, str) or not name.strip():
        raise BadInput("student", name, "has no name", accepted='name = "…"')
    try:
        _check_names(own, _STUDENT_ENTRIES, "entry")
        for entry, value in entries.items():
            kind = _KINDS.get(entry, str)
            if type(value) is not kind:
                raise BadInput(entry, value, "of the wrong kind", accepted=kind.__name__)
        student = Student(**entries)
        check_tempo(student.tempo)
        if student.level not in LEVELS:
            raise BadInput("level", student.level, "none", accepted=f"1 to {max(LEVELS)}")
        if student.paper not in PAPERS:
            raise BadInput("paper", student.paper, "unknown", accepted=", ".join(PAPERS))
        chosen = student.selection
    except BadInput as error:
        # Which of two dozen it is must be told as well.
        raise BadInput(
            f"{name}: {error.kind}",
            error.value,
            error.reason,
            accepted=error.accepted,
            nearest=error.nearest,
        ) from None
    return replace(
        student,
        instrument=chosen.instrument,
        key=chosen.key,
        scale=chosen.scale,
        progression=chosen.progression,
        feel=chosen.feel,
    )


def _check_names(data: dict[str, Any], known: tuple[str, ...], kind: str) -> None:
    for name in data:
        if name not in known:
            close = nearest(name, known)
            raise BadInput(kind, name, "unknown", accepted=", ".join(known), nearest=close)


def _listed(data: dict[str, Any], name: str, usual: tuple[str, ...]) -> list[str]:
    values = data.get(name, list(usual))
    if not isinstance(values, list) or not all(isinstance(value, str) for value in values):
        raise BadInput(name, values, "is no list of texts", accepted=f'{name} = ["…", "…"]')
    return values
