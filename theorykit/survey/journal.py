"""What a survey has done, kept line by line, so that the next one goes on where it stopped."""

from __future__ import annotations

import json
import os
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from theorykit.errors import BadInput

_HEADER = '{"journal": "survey of tunes", "version": 1}'


class Journal:
    """The rows of finished tunes by their key.

    A line is a row, written at once and whole; one that was cut off is as if it had never been.

    Parameters
    ----------
    path : str or Path
        Made if it is not there.

    Raises
    ------
    BadInput
        If the file is anything else, or can't be written.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     Journal(f"{folder}/mine.journal").add([("key", {"notes": 8})])
    ...     Journal(f"{folder}/mine.journal").rows
    {'key': {'notes': 8}}
    """

    def __init__(self, path: str | Path) -> None:
        self.path = Path(path)
        #: The rows by their key.
        self.rows: dict[str, dict[str, Any]] = {}
        try:
            if self.path.exists() and self.path.stat().st_size:
                self._read()
            else:
                self.path.write_text(f"{_HEADER}\n", encoding="utf-8")
        except OSError as error:
            raise self._refused((error.strerror or "can't be read").lower()) from None

    def add(self, rows: Iterable[tuple[str, dict[str, Any]]]) -> None:
        """Keep some rows.

        Raises
        ------
        BadInput
            If the file can't be written.
        """
        lines = []
        for key, row in rows:
            self.rows[key] = row
            lines.append(json.dumps({"key": key, "row": row}) + "\n")
        try:
            with self.path.open("ab") as file:
                file.write("".join(lines).encode())
                file.flush()
                os.fsync(file.fileno())
        except OSError as error:
            raise self._refused((error.strerror or "can't be written").lower()) from None

    def _read(self) -> None:
        data = self.path.read_bytes()
        if not data.startswith(_HEADER.encode()):
            raise self._refused("not a journal of a survey")
        for line in data.splitlines()[1:]:
            try:
                entry = json.loads(line)
                self.rows[entry["key"]] = dict(entry["row"])
            except (ValueError, TypeError, KeyError):
                continue
        if not data.endswith(b"\n"):
            # What comes next must not be joined to a line that was cut off.
            with self.path.open("ab") as file:
                file.write(b"\n")

    def _refused(self, reason: str) -> BadInput:
        return BadInput("journal", self.path, reason, accepted="a new file or one of a survey")
