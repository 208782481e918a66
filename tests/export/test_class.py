"""A class's material: what the file may say, what is made, and what is made again."""

from __future__ import annotations

import json
import subprocess
import sys
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

import mido
import pytest

from theorykit.errors import BadInput
from theorykit.export.class_file import MOST_STUDENTS, Student, read_class
from theorykit.export.class_run import make_class

CLASS = """
title = "Tuesday evenings"
products = ["midi"]
feel = "shuffle"
progression = "I-IV-V vamp"
tempo = 80

[[students]]
name = "Ada Öx"
key = "D"
instrument = "fiddle"

[[students]]
name = "Ben"
level = 3
left_handed = true
instrument = "guitar"
tempo = 100
"""

LESSON = {
    "nbformat": 4,
    "nbformat_minor": 5,
    "metadata": {"kernelspec": {"name": "python3", "display_name": "Python 3"}},
    "cells": [
        {
            "id": "a",
            "cell_type": "code",
            "metadata": {"tags": ["parameters"]},
            "source": 'key = "A"\ninstrument = "mandolin"',
            "outputs": [],
            "execution_count": None,
        },
        {
            "id": "b",
            "cell_type": "code",
            "metadata": {},
            "source": 'print(f"{instrument} in {key}", open("words.txt").read())',
            "outputs": [],
            "execution_count": None,
        },
    ],
}


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "class.toml"
    path.write_text(CLASS, encoding="utf-8")
    return path


def lesson(folder: Path) -> Path:
    path = folder / "lesson.ipynb"
    path.write_text(json.dumps(LESSON), encoding="utf-8")
    (folder / "words.txt").write_text("from beside it", encoding="utf-8")
    return path


def test_a_class_is_read(file: Path) -> None:
    group = read_class(file)
    assert (group.title, group.products, group.lessons) == ("Tuesday evenings", ("midi",), ())
    ada, ben = group.students
    assert (ada.name, ada.key, ada.instrument, ada.feel, ada.tempo) == (
        "Ada Öx",
        "D",
        "fiddle",
        "shuffle",
        80,
    )
    assert (ben.level, ben.left_handed, ben.key, ben.tempo) == (3, True, "A", 100)
    assert (ada.folder, ben.folder) == ("ada-ox", "ben")


@pytest.mark.parametrize(
    ("name", "folder"),
    [
        ("../../etc/passwd", "etc-passwd"),
        ("Ben/..", "ben"),
        ("CON.", "con"),
        ("Ægir 2", "gir-2"),
        ("李", "student-e69d8e"),
    ],
)
def test_a_folder_has_a_plain_name(name: str, folder: str) -> None:
    assert Student(name).folder == folder


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ('key = "D"', 'key = "H"', "Ada Öx: key 'H'"),
        ('instrument = "fiddle"', 'instrument = "fidle"', "did you mean 'fiddle'?"),
        ("level = 3", "level = 9", "Ben: level '9': none; accepted: 1 to 4"),
        ("level = 3", 'level = "3"', "Ben: level '3': of the wrong kind; accepted: int"),
        ("tempo = 100", "tempo = 4000", "Ben: tempo '4000'"),
        ("left_handed", "lefthanded", "did you mean 'left_handed'?"),
        ('title = "', 'titel = "', "did you mean 'title'?"),
        ('["midi"]', '["midi", "vinyl"]', "product 'vinyl': unknown"),
        ('["midi"]', '["page"]', "lessons '': there are none"),
        ('["midi"]', '["midi"]\nlessons = ["no.ipynb"]', "no such notebook"),
        ('name = "Ben"', 'name = "Ada  Öx"', "would share a folder with 'Ada Öx'"),
        ('name = "Ben"', 'name = ""', "has no name"),
        ("[[students]]", "[[pupils]]", "pupils"),
        ("tempo = 80", "tempo = ", "no TOML"),
    ],
)
def test_a_wrong_file_is_told_and_nothing_is_made(
    file: Path, old: str, new: str, message: str
) -> None:
    file.write_text(CLASS.replace(old, new), encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        make_class(file, file.parent / "out")
    assert message in str(caught.value)
    assert not (file.parent / "out").exists()


def test_too_many_students(file: Path) -> None:
    rows = "".join(f'[[students]]\nname = "s{n}"\n' for n in range(MOST_STUDENTS + 1))
    file.write_text(f'products = ["midi"]\n{rows}', encoding="utf-8")
    with pytest.raises(BadInput, match="too many"):
        read_class(file)


def test_everybody_gets_what_they_play(file: Path) -> None:
    out = file.parent / "out"
    told: list[tuple[int, int]] = []
    run = make_class(file, out, jobs=1, report=lambda *news: told.append(news))
    assert run.made == ("ada-ox/line.mid", "ben/line.mid")
    assert (run.kept, run.failed) == ((), ())
    assert told == [(0, 2), (1, 2), (2, 2)]
    played = mido.MidiFile(out / "ben" / "line.mid")
    tempos = [
        mido.tempo2bpm(message.tempo)
        for track in played.tracks
        for message in track
        if message.type == "set_tempo"
    ]
    assert tempos == [100]
    assert sorted(path.name for path in out.iterdir()) == ["ada-ox", "ben", "made.json"]


def test_only_what_changed_is_made_again(file: Path) -> None:
    out = file.parent / "out"
    make_class(file, out, jobs=1)
    before = {path: path.stat().st_mtime_ns for path in out.rglob("*.mid")}
    again = make_class(file, out, jobs=1)
    assert (again.made, again.kept) == ((), ("ada-ox/line.mid", "ben/line.mid"))
    file.write_text(CLASS.replace("level = 3", "level = 2"), encoding="utf-8")
    assert make_class(file, out, jobs=1).made == ("ben/line.mid",)
    (out / "ada-ox" / "line.mid").unlink()
    assert make_class(file, out, jobs=1).made == ("ada-ox/line.mid",)
    after = {path: path.stat().st_mtime_ns for path in out.rglob("*.mid")}
    assert after.keys() == before.keys()


def test_a_lesson_is_made_with_what_a_student_plays(file: Path) -> None:
    lesson(file.parent)
    file.write_text(
        CLASS.replace('["midi"]', '["page"]\nlessons = ["lesson.ipynb"]'), encoding="utf-8"
    )
    out = file.parent / "out"
    # Any executor will do; a worker has a folder of its own.
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as processes:
        run = make_class(file, out, executor=processes, jobs=2)
    assert (run.made, run.failed) == (("ada-ox/lesson.html", "ben/lesson.html"), ())
    for name, words in (("ada-ox", "fiddle in D"), ("ben", "guitar in A")):
        page = (out / name / "lesson.html").read_text(encoding="utf-8")
        assert f"{words} from beside it" in page
    # What a lesson reads is part of it; what else lies there is not.
    (file.parent / "other.txt").write_text("nobody reads this", encoding="utf-8")
    assert make_class(file, out, jobs=1).made == ()
    (file.parent / "words.txt").write_text("anew", encoding="utf-8")
    assert make_class(file, out, jobs=2).made == run.made


def test_what_fails_stops_no_other(file: Path) -> None:
    path = lesson(file.parent)
    broken = json.loads(json.dumps(LESSON))
    broken["cells"][1]["source"] = "1 / (instrument != 'fiddle')"
    path.write_text(json.dumps(broken), encoding="utf-8")
    file.write_text(
        CLASS.replace('["midi"]', '["page", "midi"]\nlessons = ["lesson.ipynb"]'),
        encoding="utf-8",
    )
    out = file.parent / "out"
    done = subprocess.run(
        [sys.executable, "-m", "theorykit", "class", str(file), "-o", str(out)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 1
    assert "ada-ox/lesson.html: notebook" in done.stderr
    assert "ZeroDivisionError" in done.stderr
    assert (out / "ben" / "lesson.html").exists()
    assert (out / "ada-ox" / "line.mid").exists()
    assert not (out / "ada-ox" / "lesson.html").exists()
    assert "3 made, 0 as they were" in done.stdout


def test_another_folder_is_left_alone(file: Path) -> None:
    out = file.parent / "out"
    out.mkdir()
    (out / "made.json").write_text("mine", encoding="utf-8")
    with pytest.raises(BadInput, match="not a record of a class"):
        make_class(file, out)
    assert (out / "made.json").read_text(encoding="utf-8") == "mine"
