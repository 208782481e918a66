"""One door for files of tunes: MusicXML, ABC or MIDI, told by what is in them."""

from __future__ import annotations

import os
import re
import stat
from dataclasses import replace
from pathlib import Path

from theorykit.errors import BadInput, TuneError
from theorykit.notation.abc_reader import read_abc
from theorykit.notation.midi_reader import read_midi
from theorykit.notation.musicxml_reader import read_musicxml
from theorykit.notation.tune import MOST_BYTES, MOST_TITLE
from theorykit.score.score import Score

#: Longer than any tune that is studied.
MOST_SECONDS = 3600

#: What a file may be called, by what it holds.
SUFFIXES: dict[str, str] = {
    ".musicxml": "musicxml",
    ".xml": "musicxml",
    ".mxl": "musicxml",
    ".abc": "abc",
    ".mid": "midi",
    ".midi": "midi",
}

_ACCEPTED = "MusicXML (.musicxml, .xml, .mxl), ABC (.abc) or MIDI (.mid)"
_ADDRESS = re.compile(r"[A-Za-z][A-Za-z0-9+.-]{1,20}:/|(?:data|mailto|javascript):")
_ABC_START = re.compile(rb"(?:\A|[\r\n])X:")
_WIDE = (b"\xff\xfe", b"\xfe\xff")


def read_tune(
    source: str | Path | bytes,
    *,
    name: str | None = None,
    number: int | None = None,
    part: int = 1,
    repeats: bool = True,
) -> Score:
    r"""A tune from a file, which is never changed.

    What the file holds decides how it is read; its name only where that tells nothing.

    Parameters
    ----------
    source : str, Path or bytes
        A path, or the file's own bytes. An address on the net is refused: nothing is fetched.
    name : str, optional
        What the file is called, where ``source`` is bytes, as a form for files gives them. It is
        never opened.
    number : int, optional
        Which tune of an ABC book, by its ``X:``.
    part : int
        Which part of a MusicXML file, counted from 1.
    repeats : bool
        True to play repeats and jumps out.

    Raises
    ------
    TuneError
        If it can't be read, with the line or bar where that is known.

    Examples
    --------
    >>> score = read_tune(b"X:1\nT:Steps\nM:4/4\nL:1/4\nK:G\nG A B c|d4|]")
    >>> score.title, len(score.part("line").notes)
    ('Steps', 5)

    A tune that has no title takes the name of its file:

    >>> read_tune(b"X:1\nK:G\nG A B c|d4|]", name="By the Gate.abc").title
    'By the Gate'
    """
    if isinstance(source, (bytes, bytearray)):
        data = bytes(source)
        if name is not None and not isinstance(name, str):
            raise TuneError(f"a name is text, not {type(name).__name__}")
        called = name or ""
    else:
        path = _path(source)
        data = _bytes_of(path)
        called = path.name
    stem, suffix = _named(called)
    if len(data) > MOST_BYTES:
        raise TuneError(f"more than {MOST_BYTES // 1_000_000} MB")
    try:
        score = _read(data, suffix, number=number, part=part, repeats=repeats)
        seconds = score.seconds
    except BadInput as error:
        raise TuneError(str(error)) from None
    except (RecursionError, MemoryError, OverflowError):
        raise TuneError("is too deep or too large to be a tune") from None
    if seconds > MOST_SECONDS:
        raise TuneError(f"lasts more than {MOST_SECONDS // 60} minutes")
    return score if score.title or not stem else replace(score, title=stem)


def _read(data: bytes, suffix: str, *, number: int | None, part: int, repeats: bool) -> Score:
    kind = _kind(data) or SUFFIXES.get(suffix)
    if not data.strip():
        raise TuneError("is empty")
    if kind == "midi":
        return read_midi(data)
    if kind == "musicxml":
        return read_musicxml(data, part=part, repeats=repeats)
    if kind == "abc":
        text: str | bytes = data
        if data.startswith(_WIDE):
            text = data.decode("utf-16", "replace")
        return read_abc(text, number=number, repeats=repeats)
    raise TuneError(f"is no file of a kind that can be read: {_ACCEPTED}")


def _kind(data: bytes) -> str | None:
    """What the bytes themselves say they are."""
    if data.startswith(b"MThd"):
        return "midi"
    if data.startswith(b"PK\x03\x04"):
        return "musicxml"
    head = data[:4096]
    if head.startswith(_WIDE):
        text = head[2:].replace(b"\0", b"").lstrip()
        return "musicxml" if text.startswith(b"<") else "abc"
    if head.removeprefix(b"\xef\xbb\xbf").lstrip().startswith(b"<"):
        return "musicxml"
    bare = data.removeprefix(b"\xef\xbb\xbf")
    return "abc" if _ABC_START.search(bare) else None


def _named(name: str) -> tuple[str, str]:
    """What stands before the last dot of a file's name, fit for a title, and what behind it."""
    last = re.split(r"[/\\]", name[-MOST_TITLE:])[-1]
    stem, dot, ending = last.rpartition(".")
    title = "".join(letter for letter in (stem if dot else last) if letter.isprintable())
    return title.strip(), (dot + ending).lower() if dot else ""


def _path(source: object) -> Path:
    if isinstance(source, Path):
        return source
    if not isinstance(source, str):
        raise TuneError(f"a path or bytes are needed, not {type(source).__name__}")
    if _ADDRESS.match(source.strip()):
        raise TuneError("is an address: save the file first and give its path")
    if not source.strip():
        raise TuneError("no path is given")
    if "\n" in source or "\r" in source:
        raise TuneError("is text, not a path: give the tune itself as bytes")
    return Path(source)


def _bytes_of(path: Path) -> bytes:
    """A plain file's bytes; a device or a pipe, which may never end, is not opened to be read."""
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            raise TuneError("is not a plain file")
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
        with os.fdopen(handle, "rb") as file:
            data: bytes | None = file.read(MOST_BYTES + 1)
            # What the system keeps for itself may look plain and have nothing to say yet.
            return data or b""
    except FileNotFoundError:
        raise TuneError(f"there is no file {path}") from None
    except TuneError:
        raise
    except (OSError, ValueError):
        raise TuneError(f"the file {path} can't be opened") from None
