"""The file of a practice log: its tables, older files brought up to date, shared by notebooks."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import NoReturn

from theorykit.errors import BadInput

#: Marks the file as a practice log among all SQLite files ("tkpl" as a number; stipulated).
APPLICATION_ID = int.from_bytes(b"tkpl")

#: The version of the tables that this module writes.
VERSION = 2

#: How long one notebook waits for another that is writing (stipulated: far past any write).
BUSY_SECONDS = 30.0

# Version 1 had no time spent, no level and no right answer. Every version is reached from the one
# before it, a new file included, so that there is but one way to a table.
_STEPS: tuple[tuple[str, ...], ...] = (
    (
        """CREATE TABLE takes (id INTEGER PRIMARY KEY, at TEXT NOT NULL,
            title TEXT NOT NULL, review TEXT NOT NULL, score TEXT)""",
        """CREATE TABLE answers (id INTEGER PRIMARY KEY, at TEXT NOT NULL,
            question TEXT NOT NULL, given TEXT NOT NULL, "right" INTEGER NOT NULL)""",
        """CREATE TABLE ticks (id INTEGER PRIMARY KEY, at TEXT NOT NULL,
            item TEXT NOT NULL)""",
    ),
    (
        "ALTER TABLE answers ADD COLUMN level INTEGER NOT NULL DEFAULT 1",
        "ALTER TABLE answers ADD COLUMN expected TEXT NOT NULL DEFAULT ''",
        "ALTER TABLE ticks ADD COLUMN seconds REAL",
        "ALTER TABLE ticks ADD COLUMN tempo REAL",
        "CREATE INDEX takes_at ON takes (at)",
        "CREATE INDEX answers_at ON answers (at)",
        "CREATE INDEX ticks_at ON ticks (at)",
    ),
)


def prepare(path: Path) -> None:
    """Make the file, or bring an older one up to date.

    Raises
    ------
    BadInput
        If it holds anything else, is from a newer version, or can't be written.
    """
    try:
        # What the player did is nobody else's to read.
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        if not path.exists():
            path.touch(mode=0o600)
    except OSError as error:
        _refuse(path, (error.strerror or "can't be written").lower())
    with _opened(path) as connection:
        connection.execute("BEGIN")
        version = _checked_version(connection, path)
        connection.execute("COMMIT")
        if version < VERSION:
            _bring_up(connection, path)
        # Readers and a writer do not wait for each other; where the file system or another
        # notebook that is just starting does not allow it, they do, and nothing else changes.
        with suppress(sqlite3.OperationalError):
            connection.execute("PRAGMA journal_mode = WAL")


@contextmanager
def reading(path: Path) -> Iterator[sqlite3.Connection]:
    """A connection to read one state of the file from.

    Raises
    ------
    BadInput
        If it can't be read.
    """
    with _opened(path) as connection:
        connection.execute("BEGIN")
        yield connection


@contextmanager
def writing(path: Path) -> Iterator[sqlite3.Connection]:
    """A connection that is alone in writing; all that is done with it is kept, or none of it.

    Raises
    ------
    BadInput
        If the file can't be written.
    """
    with _opened(path) as connection:
        connection.execute("BEGIN IMMEDIATE")
        try:
            yield connection
        except BaseException:
            connection.execute("ROLLBACK")
            raise
        connection.execute("COMMIT")


@contextmanager
def _opened(path: Path) -> Iterator[sqlite3.Connection]:
    try:
        # A connection for each deed: none is shared by threads or carried into a fork.
        connection = sqlite3.connect(path, timeout=BUSY_SECONDS, isolation_level=None)
        try:
            yield connection
        finally:
            connection.close()
    except sqlite3.Error as error:
        reason = "not a practice log" if "not a database" in str(error) else str(error)
        _refuse(path, reason)


def _checked_version(connection: sqlite3.Connection, path: Path) -> int:
    """The version of the tables; 0 for a file that is new."""
    mark = _number(connection, "PRAGMA application_id")
    version = _number(connection, "PRAGMA user_version")
    if mark != APPLICATION_ID:
        if mark or version or _number(connection, "SELECT count(*) FROM sqlite_master"):
            _refuse(path, "not a practice log")
        return 0
    if version > VERSION:
        _refuse(path, f"from a newer release (version {version})")
    return version


def _bring_up(connection: sqlite3.Connection, path: Path) -> None:
    connection.execute("BEGIN IMMEDIATE")
    # Another notebook may have done it while this one waited for its turn.
    for version in range(_checked_version(connection, path), VERSION):
        for statement in _STEPS[version]:
            connection.execute(statement)
    connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    connection.execute(f"PRAGMA user_version = {VERSION}")
    connection.execute("COMMIT")


def _number(connection: sqlite3.Connection, query: str) -> int:
    return int(connection.execute(query).fetchone()[0])


def _refuse(path: Path, reason: str) -> NoReturn:
    accepted = f"a practice log up to version {VERSION}, or a new file's name"
    raise BadInput("practice log", path, reason, accepted=accepted) from None
