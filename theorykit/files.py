"""Files that are written whole or not at all, and small ones that are read strictly."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, BinaryIO, NoReturn

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


def small_text(kind: str, path: str | Path, most_bytes: int) -> str:
    """The text of a file that can't be long.

    Raises
    ------
    BadInput
        If it can't be read, is longer, or is no text in UTF-8.
    """
    try:
        with Path(path).open("rb") as file:
            raw = file.read(most_bytes + 1)
    except OSError as error:
        reason = (error.strerror or "can't be read").lower()
        raise BadInput(f"{kind} file", path, reason) from None
    if len(raw) > most_bytes:
        raise BadInput(f"{kind} file", path, f"too long for a {kind}")
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError:
        raise BadInput(f"{kind} file", path, "not a text in UTF-8") from None


def strict_json(kind: str, text: str) -> Any:
    """What a JSON text holds, each name once and every number a number.

    Raises
    ------
    BadInput
        If it is anything else.

    Examples
    --------
    >>> strict_json("style", '{"name": "mine"}')
    {'name': 'mine'}
    """

    def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for key, value in pairs:
            if key in found:
                raise BadInput(kind, key, "stands there twice")
            found[key] = value
        return found

    def constant(name: str) -> NoReturn:
        raise BadInput(kind, name, "not a number")

    try:
        return json.loads(text, object_pairs_hook=once, parse_constant=constant)
    except BadInput:
        raise
    except (ValueError, RecursionError) as error:
        raise BadInput(kind, text, f"not JSON ({error})", accepted=f"a saved {kind}") from None
