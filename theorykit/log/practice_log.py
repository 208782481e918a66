"""The practice log: takes, quiz answers and what of a routine was done, kept on this machine.

Nothing here opens a connection or knows who plays: a row has the time and what was practised.
"""

from __future__ import annotations

import csv
import io
import json
import sqlite3
from collections.abc import Iterable, Mapping, Sequence
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import platformdirs

from theorykit.errors import BadInput, nearest
from theorykit.files import whole_file
from theorykit.log.boxes import Card, cards, due_cards
from theorykit.log.entry import kept_amount, kept_json, kept_line, kept_time, loaded
from theorykit.log.log_file import prepare, reading, writing

#: The kinds of records, each with its columns after ``id`` and ``at``.
KINDS: dict[str, tuple[str, ...]] = {
    "takes": ("title", "review", "score"),
    "answers": ("question", "given", "right", "expected", "level"),
    "ticks": ("item", "tempo", "seconds"),
}

# What holds plain data as JSON, and what stays out of a table for a spreadsheet.
_JSON = ("review", "score")
_NOT_IN_TABLE = ("score",)


class PracticeLog:
    """A log of practice in a file; several notebooks may have it open at once.

    Parameters
    ----------
    path : str or Path, optional
        The file; if not given, the one in the user's own data folder.

    Raises
    ------
    BadInput
        If the file is anything else, or from a newer release.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     log = PracticeLog(f"{folder}/mine.sqlite3")
    ...     number = log.tick("G major in threes, position 1", tempo=80, seconds=120)
    ...     number = log.add_answer("the third of A", "C#", True)
    ...     log.records("ticks")[0]["item"], log.due()
    ('G major in threes, position 1', [])
    """

    def __init__(self, path: str | Path | None = None) -> None:
        self.path = usual_path() if path is None else Path(path)
        prepare(self.path)

    def __repr__(self) -> str:
        return f"PracticeLog({str(self.path)!r})"

    def add_take(
        self,
        review: Mapping[str, Any],
        *,
        score: Mapping[str, Any] | Sequence[Mapping[str, Any]] | str | None = None,
        title: str = "",
        at: datetime | None = None,
    ) -> int:
        """Keep what was said of a take, and what was to be played; the record's number.

        Parameters
        ----------
        review : dict
            Plain data.
        score : dict, list or str, optional
            Plain data too, or their JSON text: rows of `notation.records`, for instance.
        title : str
        at : datetime, optional
            Now, if not given; a time without a zone is local.

        Raises
        ------
        BadInput
            If something is not plain data, or too long.
        """
        if not isinstance(review, Mapping):
            raise BadInput("review", review, "not a table of names and values", accepted="a dict")
        kept = None if score is None else kept_json("score", loaded(score))
        row = (kept_line("title", title, empty=True), kept_json("review", review), kept)
        return self._add("takes", row, at)

    def add_answer(
        self,
        question: str,
        given: str,
        right: bool,
        level: int = 1,
        *,
        expected: str = "",
        at: datetime | None = None,
    ) -> int:
        """Keep an answer to a quiz question; the record's number.

        Parameters
        ----------
        question : str
            The same text is the same question, in whatever quiz it comes.
        given : str
        right : bool
        level : int
        expected : str
            The right answer, where it is worth keeping.
        at : datetime, optional

        Raises
        ------
        BadInput
            If something can't be kept.
        """
        if not isinstance(right, bool):
            raise BadInput("right", right, "not a verdict", accepted="True or False")
        if isinstance(level, bool) or not isinstance(level, int) or not 0 <= level <= 100:
            raise BadInput("level", level, "out of range", accepted="a whole number, 0 to 100")
        row = (
            kept_line("question", question),
            kept_line("answer", given, empty=True),
            right,
            kept_line("right answer", expected, empty=True),
            level,
        )
        return self._add("answers", row, at)

    def tick(
        self,
        item: str,
        *,
        tempo: float | None = None,
        seconds: float | None = None,
        at: datetime | None = None,
    ) -> int:
        """Keep that something was practised; the record's number.

        Parameters
        ----------
        item : str
            What: the title of a routine's block.
        tempo : float, optional
            The tempo that was reached.
        seconds : float, optional
            How long.
        at : datetime, optional

        Raises
        ------
        BadInput
            If something can't be kept.
        """
        row = (
            kept_line("item", item),
            kept_amount("tempo", tempo),
            kept_amount("seconds", seconds),
        )
        return self._add("ticks", row, at)

    def records(
        self,
        kind: str,
        *,
        since: date | datetime | None = None,
        until: date | datetime | None = None,
    ) -> list[dict[str, Any]]:
        """The records of a kind, the oldest first, as plain rows with a local time.

        Parameters
        ----------
        kind : {"takes", "answers", "ticks"}
        since, until : date or datetime, optional
            From when on, and up to before when; a day begins at midnight here.

        Raises
        ------
        BadInput
            If there is no such kind.
        """
        columns = ("id", "at", *_columns(kind))
        since_text, until_text = (
            ("" if since is None else kept_time(since)),
            kept_time(until, last=True),
        )
        with reading(self.path) as connection:
            rows = connection.execute(
                f'SELECT "{_joined(columns)}" FROM {kind} WHERE at >= ? AND at < ? ORDER BY at, id',
                (since_text, until_text),
            ).fetchall()
        return [_record(dict(zip(columns, row, strict=True))) for row in rows]

    def cards(self) -> dict[str, Card]:
        """Where every question stands that was ever asked, by its text."""
        return cards(
            (row["question"], row["right"], row["level"], row["at"].date())
            for row in self.records("answers")
        )

    def due(
        self,
        questions: Iterable[str] | None = None,
        *,
        today: date | None = None,
        most: int | None = None,
    ) -> list[Card]:
        """The questions to ask today: those least known first, then new ones.

        Parameters
        ----------
        questions : iterable of str, optional
            What may be asked; everything that was asked before if not given.
        today : date, optional
        most : int, optional
            No more than so many.
        """
        day = today if today is not None else datetime.now(UTC).astimezone().date()
        return due_cards(self.cards(), day, questions=questions)[:most]

    def export_csv(self, path: str | Path, kind: str | None = None) -> Path:
        """Write the records as a table that spreadsheets read; the file's path.

        Scores are left out of it; a review is JSON in one cell.

        Parameters
        ----------
        path : str or Path
        kind : str, optional
            One kind with its own columns; if not given, all of them by time, with ``kind`` as the
            first column.

        Raises
        ------
        BadInput
            If there is no such kind, or the file can't be written.
        """
        kinds = list(KINDS) if kind is None else [kind]
        names = [name for each in kinds for name in _columns(each) if name not in _NOT_IN_TABLE]
        rows = [{"kind": each, **row} for each in kinds for row in self.records(each)]
        rows.sort(key=lambda row: row["at"])
        text = io.StringIO()
        table = csv.DictWriter(
            text, ["kind", "id", "at", *names], extrasaction="ignore", lineterminator="\r\n"
        )
        table.writeheader()
        for row in rows:
            row["at"] = row["at"].isoformat(timespec="seconds")
            if "review" in row:
                row["review"] = json.dumps(row["review"], ensure_ascii=False)
            table.writerow(row)
        target = Path(path)
        with whole_file(target) as file:
            # The mark at the start tells spreadsheets that the letters are UTF-8.
            file.write(text.getvalue().encode("utf-8-sig"))
        return target

    def _add(self, kind: str, values: tuple[object, ...], at: datetime | None) -> int:
        names = ("at", *KINDS[kind])
        row = (kept_time(datetime.now(UTC) if at is None else at), *values)
        marks = ", ".join("?" * len(row))
        with writing(self.path) as connection:
            done: sqlite3.Cursor = connection.execute(
                f'INSERT INTO {kind} ("{_joined(names)}") VALUES ({marks})', row
            )
            return int(done.lastrowid or 0)


def usual_path() -> Path:
    """Where the log is if nobody says otherwise: in the user's data folder."""
    return platformdirs.user_data_path("theorykit", appauthor=False) / "practice.sqlite3"


def _columns(kind: str) -> tuple[str, ...]:
    if kind not in KINDS:
        close = nearest(kind, KINDS) if isinstance(kind, str) else None
        raise BadInput("kind", kind, "unknown", accepted=", ".join(KINDS), nearest=close)
    return KINDS[kind]


def _joined(names: Iterable[str]) -> str:
    return '", "'.join(names)


def _record(row: dict[str, Any]) -> dict[str, Any]:
    row["at"] = datetime.fromisoformat(row["at"]).astimezone()
    if "right" in row:
        row["right"] = bool(row["right"])
    for name in _JSON:
        if row.get(name) is not None:
            row[name] = json.loads(row[name])
    return row
