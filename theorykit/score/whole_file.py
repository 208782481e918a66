"""Files that are written whole or not at all."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from theorykit.errors import BadInput


@contextmanager
def whole_file(path: Path) -> Iterator[BinaryIO]:
    """A binary file to write, which takes the place of ``path`` when all has gone well.

    Raises
    ------
    BadInput
        If the folder is missing or the file can't be written.
    """
    unfinished = path.with_name(f".{path.name}.part")
    try:
        with unfinished.open("wb+") as file:
            yield file
        unfinished.replace(path)
    except OSError as error:
        reason = (error.strerror or "can't be written").lower()
        raise BadInput("output", path, reason, accepted="a file in a folder that exists") from error
    finally:
        unfinished.unlink(missing_ok=True)
