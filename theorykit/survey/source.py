"""The tunes of a folder: its files, and the tunes in each book of them."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from theorykit.errors import BadInput, TheoryKitError
from theorykit.notation.abc_book import abc_tunes
from theorykit.notation.tune import MOST_BYTES
from theorykit.tune.reading import SUFFIXES


@dataclass(frozen=True, slots=True)
class Source:
    """A tune that is there to be read, or a file that is not.

    Parameters
    ----------
    file : str
        Below the folder, with slashes.
    kind : str
        One of the values of `SUFFIXES`.
    number : int or None
        Its ``X:`` in a book of tunes.
    first_line : int
        Where it begins in a book.
    digest : str
        Of what it holds, so that it is known again under another name.
    size : int
    text : str or None
        A tune of a book; what other files hold is read when its turn comes.
    title : str
        As a book's list of tunes has it.
    path : str
    error : str
        Why the file can't be read.
    """

    file: str
    kind: str
    digest: str = ""
    size: int = 0
    number: int | None = None
    first_line: int = 1
    text: str | None = None
    title: str = ""
    path: str = ""
    error: str = ""

    def content(self) -> bytes | None:
        """What there is to read; None if the file has changed since it was found."""
        if self.text is not None:
            return self.text.encode()
        try:
            data = Path(self.path).read_bytes()
        except OSError:
            return None
        return data if _digest(self.kind, data) == self.digest else None


def sources(folder: str | Path) -> list[Source]:
    """Every tune of a folder and of the folders in it, in the order of their names.

    Parameters
    ----------
    folder : str or Path
        Or a single file.

    Raises
    ------
    BadInput
        If there is no such folder.
    """
    root = Path(folder)
    if root.is_file():
        if root.suffix.lower() not in SUFFIXES:
            raise BadInput("tunes", folder, "not a file of tunes", accepted=", ".join(SUFFIXES))
        return list(_in_file(root, root.name))
    if not root.is_dir():
        raise BadInput("tunes", folder, "no such folder", accepted="a folder of tune files")
    found: list[Source] = []
    for path in _files(root):
        found += _in_file(path, path.relative_to(root).as_posix())
    return found


def _files(root: Path) -> Iterator[Path]:
    for folder, inner, names in os.walk(root):
        inner[:] = sorted(name for name in inner if not name.startswith("."))
        for name in sorted(names):
            path = Path(folder, name)
            # Names with a dot in front are what systems leave beside files.
            if path.suffix.lower() in SUFFIXES and not name.startswith("."):
                yield path


def _in_file(path: Path, name: str) -> Iterator[Source]:
    kind = SUFFIXES[path.suffix.lower()]
    try:
        size = path.stat().st_size
        if size > MOST_BYTES:
            yield Source(name, kind, error=f"more than {MOST_BYTES // 1_000_000} MB")
            return
        if not path.is_file():
            yield Source(name, kind, error="not a file")
            return
        data = path.read_bytes()
        if kind != "abc":
            yield Source(name, kind, _digest(kind, data), size, path=str(path))
            return
        tunes = abc_tunes(data)
    except OSError as error:
        yield Source(name, kind, error=(error.strerror or "can't be read").lower())
        return
    except TheoryKitError as error:
        yield Source(name, kind, error=str(error))
        return
    if not tunes:
        yield Source(name, kind, error="has no tune: a tune begins with a line X:")
    for tune in tunes:
        # Half a letter, which a broken file may have, has no bytes.
        text = "\n".join(tune.lines).encode("utf-8", "replace").decode()
        yield Source(
            name,
            kind,
            _digest(kind, text.encode()),
            len(text),
            tune.number,
            tune.first_line,
            text,
            tune.title,
        )


def _digest(kind: str, data: bytes) -> str:
    return hashlib.sha256(kind.encode() + b"\0" + data).hexdigest()
