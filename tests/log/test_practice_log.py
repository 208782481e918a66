"""The log keeps what it is given, in one file for several notebooks, and lets nothing out."""

from __future__ import annotations

import ast
import csv
import io
import os
import sqlite3
import stat
import subprocess
import sys
from datetime import UTC, date, datetime, timedelta, timezone
from pathlib import Path

import pytest

import theorykit
from theorykit.errors import BadInput
from theorykit.log import practice_log
from theorykit.log.log_file import APPLICATION_ID, VERSION
from theorykit.log.practice_log import KINDS, PracticeLog

NOON = datetime(2024, 5, 1, 12, tzinfo=UTC)


@pytest.fixture
def log(tmp_path: Path) -> PracticeLog:
    return PracticeLog(tmp_path / "log.sqlite3")


def test_takes_come_back_as_they_were(log: PracticeLog) -> None:
    review = {"late_ms": [3.5, -2.0], "words": "Ruhig, ♭7", "hit": True, "missed": None}
    score = [{"name": "A4", "beat": 0.0, "beats": 1.5}]
    number = log.add_take(review, score=score, title="Lantern Reel", at=NOON)
    again = log.add_take({}, score='{"tempo": 90}', at=NOON + timedelta(hours=1))
    first, second = log.records("takes")
    assert first == {
        "id": number,
        "at": NOON,
        "title": "Lantern Reel",
        "review": review,
        "score": score,
    }
    assert second["id"] == again
    assert (second["score"], second["title"]) == ({"tempo": 90}, "")


def test_answers_and_ticks_come_back_as_they_were(log: PracticeLog) -> None:
    log.add_answer("the third of A♭", "B", False, 3, expected="C", at=NOON)
    log.tick("G major in threes", tempo=92, seconds=61.5, at=NOON)
    log.tick("warm-up", at=NOON)
    (answer,) = log.records("answers")
    assert answer == {
        "id": 1,
        "at": NOON,
        "question": "the third of A♭",
        "given": "B",
        "right": False,
        "expected": "C",
        "level": 3,
    }
    ticks = log.records("ticks")
    assert [(row["item"], row["tempo"], row["seconds"]) for row in ticks] == [
        ("G major in threes", 92.0, 61.5),
        ("warm-up", None, None),
    ]


def test_since_and_until_are_moments_whatever_the_zone(log: PracticeLog) -> None:
    for hours in range(6):
        log.tick(str(hours), at=NOON + timedelta(hours=hours))
    east = timezone(timedelta(hours=9))
    since = (NOON + timedelta(hours=2)).astimezone(east)
    until = NOON + timedelta(hours=4)
    rows = log.records("ticks", since=since, until=until)
    assert [row["item"] for row in rows] == ["2", "3"]


def test_a_day_begins_at_midnight_here(log: PracticeLog) -> None:
    midnight = datetime(2024, 5, 2).astimezone()
    log.tick("evening", at=midnight - timedelta(seconds=1))
    log.tick("night", at=midnight)
    assert [row["item"] for row in log.records("ticks", since=date(2024, 5, 2))] == ["night"]
    assert [row["item"] for row in log.records("ticks", until=date(2024, 5, 2))] == ["evening"]


def test_records_are_in_the_order_of_their_times(log: PracticeLog) -> None:
    log.tick("later", at=NOON + timedelta(microseconds=1))
    log.tick("earlier", at=NOON)
    assert [row["item"] for row in log.records("ticks")] == ["earlier", "later"]


def test_what_is_due(log: PracticeLog) -> None:
    log.add_answer("easy", "yes", True, at=NOON)
    log.add_answer("hard", "no", False, at=NOON)
    day = NOON.astimezone().date()
    assert log.due(today=day) == []
    assert [card.question for card in log.due(today=day + timedelta(1))] == ["hard"]
    assert [card.question for card in log.due(today=day + timedelta(2))] == ["hard", "easy"]
    assert [card.question for card in log.due(["new", "easy"], today=day, most=1)] == ["new"]
    assert log.cards()["easy"].box == 2


def test_the_table_is_read_by_another_program(log: PracticeLog, tmp_path: Path) -> None:
    log.add_answer('says "C, or D"', "line\nbreak", True, at=NOON + timedelta(hours=1))
    log.tick("=threes", tempo=80, at=NOON)
    log.add_take({"late_ms": 3}, score=[1], at=NOON + timedelta(hours=2))
    text = log.export_csv(tmp_path / "all.csv").read_bytes().decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    assert [row["kind"] for row in rows] == ["ticks", "answers", "takes"]
    assert rows[1]["question"] == 'says "C, or D"'
    assert rows[1]["given"] == "line\nbreak"
    assert datetime.fromisoformat(rows[0]["at"]) == NOON
    assert rows[2]["review"] == '{"late_ms": 3}'
    assert "score" not in rows[2]
    only = log.export_csv(tmp_path / "ticks.csv", "ticks").read_text("utf-8-sig")
    assert only.splitlines()[0] == "kind,id,at,item,tempo,seconds"


def test_a_table_that_cannot_be_written_is_one_message(log: PracticeLog, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="no such file"):
        log.export_csv(tmp_path / "nowhere" / "all.csv")


#: A file as version 1 made it, typed by hand from its tables.
FIRST_VERSION = f"""
CREATE TABLE takes (id INTEGER PRIMARY KEY, at TEXT NOT NULL, title TEXT NOT NULL,
    review TEXT NOT NULL, score TEXT);
CREATE TABLE answers (id INTEGER PRIMARY KEY, at TEXT NOT NULL, question TEXT NOT NULL,
    given TEXT NOT NULL, "right" INTEGER NOT NULL);
CREATE TABLE ticks (id INTEGER PRIMARY KEY, at TEXT NOT NULL, item TEXT NOT NULL);
INSERT INTO takes VALUES (7, '2023-02-03T18:30:00.000000+00:00', 'Lantern Reel', '{{"a": 1}}', NULL);
INSERT INTO answers VALUES (1, '2023-02-03T18:31:00.000000+00:00', 'q', 'x', 0);
INSERT INTO answers VALUES (2, '2023-02-04T18:31:00.000000+00:00', 'q', 'y', 1);
INSERT INTO ticks VALUES (4, '2023-02-03T18:32:00.000000+00:00', 'warm-up');
PRAGMA application_id = {0x746B706C};
PRAGMA user_version = 1;
"""


def first_version(path: Path) -> None:
    connection = sqlite3.connect(path)
    connection.executescript(FIRST_VERSION)
    connection.close()


def test_a_file_of_version_1_goes_on(tmp_path: Path) -> None:
    path = tmp_path / "old.sqlite3"
    first_version(path)
    log = PracticeLog(path)
    (take,), answers, (tick,) = (log.records(kind) for kind in KINDS)
    assert (take["id"], take["title"], take["review"]) == (7, "Lantern Reel", {"a": 1})
    assert [(row["given"], row["right"], row["level"], row["expected"]) for row in answers] == [
        ("x", False, 1, ""),
        ("y", True, 1, ""),
    ]
    assert (tick["item"], tick["tempo"], tick["seconds"]) == ("warm-up", None, None)
    assert log.tick("new", seconds=5) == 5
    assert log.cards()["q"].box == 2
    assert shape(path) == shape(PracticeLog(tmp_path / "new.sqlite3").path)


def test_a_move_to_version_2_that_fails_changes_nothing(tmp_path: Path) -> None:
    path = tmp_path / "old.sqlite3"
    first_version(path)
    connection = sqlite3.connect(path)
    connection.execute("CREATE INDEX ticks_at ON ticks (at)")  # the last step finds it in its way
    connection.close()
    before = shape(path)
    with pytest.raises(BadInput, match="already exists"):
        PracticeLog(path)
    assert shape(path) == before


def shape(path: Path) -> tuple[object, ...]:
    """Version, tables and columns of a file, and what stands in it."""
    connection = sqlite3.connect(path)
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    columns = [
        (name, [row[1:4] for row in connection.execute(f"PRAGMA table_info({name})")])
        for name in KINDS
    ]
    indexes = connection.execute("SELECT name FROM sqlite_master WHERE type = 'index' ORDER BY 1")
    found = (version, columns, indexes.fetchall())
    connection.close()
    return found


def newer(path: Path) -> None:
    PracticeLog(path)
    connection = sqlite3.connect(path)
    connection.execute(f"PRAGMA user_version = {VERSION + 1}")
    connection.close()


def other_database(path: Path) -> None:
    connection = sqlite3.connect(path)
    connection.execute("CREATE TABLE stamps (country TEXT)")
    connection.close()


def text_file(path: Path) -> None:
    path.write_text("Dear diary, today I played for an hour. " * 100)


@pytest.mark.parametrize(
    ("make", "reason"),
    [
        (newer, "from a newer release"),
        (other_database, "not a practice log"),
        (text_file, "not a practice log"),
        (Path.mkdir, "unable to open"),
    ],
    ids=["newer", "another database", "text", "folder"],
)
def test_what_is_no_log_of_ours_is_refused_and_left_alone(
    tmp_path: Path, make: object, reason: str
) -> None:
    path = tmp_path / "given"
    make(path)  # type: ignore[operator]
    before = path.read_bytes() if path.is_file() else None
    with pytest.raises(BadInput, match=reason) as refused:
        PracticeLog(path)
    assert "\n" not in str(refused.value)
    assert before is None or path.read_bytes() == before


def test_an_empty_file_becomes_a_log(tmp_path: Path) -> None:
    path = tmp_path / "empty"
    path.touch()
    PracticeLog(path).tick("warm-up")
    assert path.read_bytes()[68:72] == APPLICATION_ID.to_bytes(4)  # SQLite's file format, 1.3


@pytest.mark.parametrize(
    ("kind", "call"),
    [
        ("kind", lambda log: log.records("take")),
        ("kind", lambda log: log.export_csv("never.csv", "tick")),
        ("review", lambda log: log.add_take("well played")),
        ("review", lambda log: log.add_take({"late_ms": float("nan")})),
        ("review", lambda log: log.add_take({"at": NOON})),
        ("score", lambda log: log.add_take({}, score="not JSON")),
        ("question", lambda log: log.add_answer(" ", "x", True)),
        ("question", lambda log: log.add_answer("x" * 1001, "x", True)),
        ("answer", lambda log: log.add_answer("q", "\ud83c", True)),
        ("right", lambda log: log.add_answer("q", "x", "yes")),
        ("level", lambda log: log.add_answer("q", "x", True, -1)),
        ("tempo", lambda log: log.tick("x", tempo=float("inf"))),
        ("seconds", lambda log: log.tick("x", seconds=-1)),
        ("time", lambda log: log.tick("x", at="today")),
        ("time", lambda log: log.records("ticks", since="today")),
    ],
)
def test_what_cannot_be_kept_is_one_message(log: PracticeLog, kind: str, call: object) -> None:
    with pytest.raises(BadInput) as refused:
        call(log)  # type: ignore[operator]
    assert refused.value.kind == kind
    assert "\n" not in str(refused.value)
    assert all(log.records(each) == [] for each in KINDS)


ROWS = 200

WRITER = f"""
import sys
from theorykit.log.practice_log import PracticeLog
log = PracticeLog(sys.argv[1])
for number in range({ROWS}):
    log.tick(f"{{sys.argv[2]}} {{number}}")
"""


def test_two_notebooks_at_once_lose_nothing(tmp_path: Path) -> None:
    path = tmp_path / "shared.sqlite3"  # neither finds it: they make it at the same time
    both = [
        subprocess.Popen([sys.executable, "-c", WRITER, str(path), name]) for name in ("a", "b")
    ]
    assert [each.wait(120) for each in both] == [0, 0]
    rows = PracticeLog(path).records("ticks")
    assert sorted(row["item"] for row in rows) == sorted(
        f"{name} {number}" for name in ("a", "b") for number in range(ROWS)
    )
    assert len({row["id"] for row in rows}) == 2 * ROWS


def test_reading_goes_on_while_another_notebook_writes(log: PracticeLog) -> None:
    log.tick("before")
    other = sqlite3.connect(log.path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    other.execute("INSERT INTO ticks (at, item) VALUES ('2024', 'not yet')")
    assert [row["item"] for row in log.records("ticks")] == ["before"]
    other.execute("ROLLBACK")
    other.close()


def test_a_notebook_that_never_ends_its_writing_is_one_message(
    log: PracticeLog, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("theorykit.log.log_file.BUSY_SECONDS", 0.05)
    other = sqlite3.connect(log.path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(BadInput, match="locked"):
        log.tick("waits")
    other.close()


def test_the_usual_file_is_the_users_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(
        practice_log.platformdirs, "user_data_path", lambda *_, **__: tmp_path / "d"
    )
    log = PracticeLog()
    assert log.path == tmp_path / "d" / "practice.sqlite3"
    if os.name == "posix":
        assert stat.S_IMODE(log.path.stat().st_mode) == 0o600
        assert stat.S_IMODE(log.path.parent.stat().st_mode) == 0o700


def test_nothing_in_the_log_can_reach_the_network() -> None:
    allowed = {
        "__future__", "collections", "contextlib", "csv", "dataclasses", "datetime", "io", "json",
        "math", "pathlib", "platformdirs", "sqlite3", "theorykit", "typing",
    }  # fmt: skip
    files = list((Path(theorykit.__file__).parent / "log").glob("*.py"))
    assert len(files) >= 4
    for file in files:
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            if isinstance(node, ast.ImportFrom):
                names = [node.module or ""]
            assert {name.partition(".")[0] for name in names} <= allowed
