"""Every printed tune that music21 carries is read, or refused with a reason; pitches as abc2midi's."""

from __future__ import annotations

import io
import os
from pathlib import Path

import pytest
from proposal_measures import CORPUS, DANCES, LEAD_SHEETS

from theorykit.errors import TuneError
from theorykit.notation.abc_book import AbcTune, abc_tunes
from theorykit.notation.musicxml import musicxml_text
from theorykit.tune.reading import read_tune

ABC = b"X:1\nT:Gate\nM:4/4\nL:1/4\nK:D\nD F A d|d4|]"


def every(files: list[Path]) -> list[tuple[str, AbcTune]]:
    return [(f"{path.stem}-{tune.number}", tune) for path in files
            for tune in abc_tunes(path.read_bytes())]  # fmt: skip


def read_or_refused(found: list[tuple[str, AbcTune]]) -> tuple[int, list[str]]:
    read, refused = 0, []
    for name, tune in found:
        try:
            read += bool(read_tune("\n".join(tune.lines).encode()).part("line").notes)
        except TuneError as error:
            refused.append(f"{name}: {error}")
    return read, refused


def test_a_share_of_the_dance_tunes() -> None:
    books = every(DANCES["O'Neill"])
    read, refused = read_or_refused(every(DANCES["Ryan"][::11]) + books[:: len(books) // 55][:55])
    assert read >= 150
    assert len(refused) <= 3, refused


def test_lead_sheets() -> None:
    for path in LEAD_SHEETS:
        score = read_tune(path)
        assert score.chords
        assert score.part("line").notes


@pytest.mark.long
def test_all_dance_tunes() -> None:
    books = every(DANCES["O'Neill"])
    read, refused = read_or_refused(every(DANCES["Ryan"]) + books[:: len(books) // 320][:320])
    assert read >= 1370
    assert len(refused) <= 14, refused


@pytest.mark.long
def test_all_musicxml_of_the_corpus() -> None:
    suffixes = {".mxl", ".xml", ".musicxml"}
    files = sorted(path for path in CORPUS.rglob("*") if path.suffix in suffixes)
    read, refused = 0, []
    for path in files:
        try:
            read += bool(read_tune(path).part("line").notes)
        except TuneError as error:
            refused.append(f"{path.name}: {error}")
    assert read >= 0.9 * len(files), refused


def test_content_before_suffix(tmp_path: Path) -> None:
    xml = musicxml_text(read_tune(ABC)).encode()
    for data, name in ((ABC, "tune.xml"), (xml, "tune.mid"), (xml, "tune.abc"), (ABC, "tune")):
        path = tmp_path / name
        path.write_bytes(data)
        before = path.stat()
        assert [note.midi for note in read_tune(path).part("line").notes] == [62, 66, 69, 74, 74]
        assert read_tune(str(path)) == read_tune(data, name=name)
        assert path.read_bytes() == data
        assert path.stat().st_mtime_ns == before.st_mtime_ns


def test_wide_text() -> None:
    assert read_tune(ABC.decode().encode("utf-16")).title == "Gate"


@pytest.mark.parametrize(
    ("source", "reason"),
    [
        ("http://127.0.0.1/a.abc", "is an address"),
        ("FILE:///etc/hostname", "is an address"),
        ("X:1\nK:C\nC|", "is text, not a path"),
        ("/nowhere/a.abc", "there is no file"),
        ("/dev/zero", "is not a plain file"),
        ("/etc", "is not a plain file"),
        (b"/etc/hostname", "no file of a kind"),
        (b"", "is empty"),
        (b"%" * 8_000_001, "more than 8 MB"),
        (b"X:1\nQ:1/4=20\nL:1/1\nM:4/4\nK:C\n" + b"C|" * 1000, "more than 60 minutes"),
        (b"X:1\nK:C\n" + b"C" * 30_001, "more than 30000 notes"),
    ],
)
def test_what_is_refused(source: str | bytes, reason: str) -> None:
    with pytest.raises(TuneError, match=reason):
        read_tune(source)


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "a.abc")
    with pytest.raises(TuneError, match="plain file"):
        read_tune(tmp_path / "a.abc")


def test_the_line_of_a_fault_is_told() -> None:
    with pytest.raises(TuneError) as caught:
        read_tune(b"X:1\nT:Gate\nM:what\nK:C\nC|")
    assert caught.value.line == 3


@pytest.mark.parametrize(
    ("name", "title"),
    [("By the Gate.abc", "By the Gate"), (r"C:\tunes\Gate.v2.abc", "Gate.v2"), (".abc", ""), ("Gate", "Gate"),
     ("../../Gate\0.mid", "Gate"), (None, "")],
)  # fmt: skip
def test_a_name_where_there_is_no_title(name: str | None, title: str) -> None:
    untitled = ABC.replace(b"T:Gate\n", b"")
    assert read_tune(untitled, name=name).title == title
    assert read_tune(ABC, name=name).title == "Gate"


def test_nothing_that_the_system_holds_back_is_waited_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Silent(io.BytesIO):
        def read(self, _size: int | None = -1, /) -> bytes:
            return None  # type: ignore[return-value]

    path = tmp_path / "a.abc"
    path.write_bytes(ABC)
    monkeypatch.setattr(os, "fdopen", lambda handle, _mode: (os.close(handle), Silent())[1])
    with pytest.raises(TuneError, match="is empty"):
        read_tune(path)


@pytest.mark.parametrize(
    ("data", "line", "bar"),
    [
        (b"<score-partwise>\n<part>\n</score-partwise>", 3, None),
        (b"<score-partwise>\n" + b"<a>\n" * 200, 101, None),
        (b"X:1\nK:C\nC D|\nE F9999|", 4, 2),
        (b"X:1\nK:C\nC" + b"," * 8 + b"|", 3, 1),
        (
            musicxml_text(read_tune(ABC)).replace("<duration>1<", "<duration>x<", 1).encode(),
            None,
            1,
        ),
    ],
)
def test_where_a_fault_is(data: bytes, line: int | None, bar: int | None) -> None:
    with pytest.raises(TuneError) as caught:
        read_tune(data)
    assert (caught.value.line, caught.value.bar) == (line, bar)
