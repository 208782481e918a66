"""Opening a MusicXML file that nobody vouches for: unpacked with a cap, parsed with no entities."""

from __future__ import annotations

import io
import lzma
import re
import zipfile
import zlib
from xml.etree.ElementTree import Element, ParseError, TreeBuilder

from defusedxml.common import DefusedXmlException
from defusedxml.ElementTree import DefusedXMLParser

from theorykit.errors import TuneError
from theorykit.notation.tune import MOST_BYTES

_ZIP_START = b"PK\x03\x04"
_CONTAINER = "META-INF/container.xml"
_MOST_CONTAINER = 65_536
_MOST_MEMBERS = 100

#: More elements than the longest score has, and little enough to hold; a score nests some ten deep.
MOST_ELEMENTS, MOST_DEPTH = 400_000, 100

#: So many bytes are parsed at a time; no tag and no text of a score is as long.
_PIECE = 65_536

_UNZIP_ERRORS = (
    zipfile.BadZipFile,
    zlib.error,
    lzma.LZMAError,
    RuntimeError,  # an encrypted member; NotImplementedError for an unknown method is one too
    EOFError,
    OSError,
    KeyError,
    ValueError,
)

# Text has been decoded, so what its declaration says of an encoding no longer holds.
_DECLARATION = re.compile(r"\A\s*<\?xml[^>]*\?>")


def musicxml_tree(data: str | bytes) -> Element:
    """The root of a MusicXML document, ``.mxl`` or plain.

    Raises
    ------
    TuneError
        If it is neither, too large, or has entities.
    """
    if len(data) > MOST_BYTES:
        raise TuneError(f"more than {MOST_BYTES // 1_000_000} MB")
    if isinstance(data, bytes) and data.startswith(_ZIP_START):
        data = _unzipped(data)
    if isinstance(data, str):
        data = _DECLARATION.sub("", data).lstrip("\ufeff \t\r\n").encode("utf-8", "replace")
    return _parsed(data)


class _Builder(TreeBuilder):
    """A tree that stops growing before it fills the memory."""

    def __init__(self) -> None:
        super().__init__()
        self.count = self.depth = 0

    def start(self, tag: str, attrs: dict[str, str], /) -> Element:
        self.count += 1
        self.depth += 1
        if self.count > MOST_ELEMENTS:
            raise TuneError(f"has more than {MOST_ELEMENTS} elements")
        if self.depth > MOST_DEPTH:
            raise TuneError(f"nests elements more than {MOST_DEPTH} deep")
        return super().start(tag, attrs)

    def end(self, tag: str, /) -> Element:
        self.depth -= 1
        return super().end(tag)


def _parsed(data: bytes) -> Element:
    parser = DefusedXMLParser(
        target=_Builder(), forbid_dtd=False, forbid_entities=True, forbid_external=True
    )
    try:
        for start in range(0, len(data), _PIECE):
            piece = data[start : start + _PIECE]
            # A tag is held whole, with all its attributes, before the builder hears of it.
            if len(piece) == _PIECE and b">" not in piece:
                raise TuneError(f"has a tag or a text of more than {_PIECE // 1000} kB")
            parser.feed(piece)
        root: Element = parser.close()
    except DefusedXmlException:
        raise TuneError("declares entities, which no tune needs") from None
    except ParseError as error:
        line = error.position[0] if error.position else None
        raise TuneError("is not well-formed XML", line=line) from None
    except TuneError as error:
        raise TuneError(error.reason, line=parser.parser.CurrentLineNumber) from None
    except (ValueError, LookupError, RecursionError):
        raise TuneError("is not XML in a known encoding") from None
    return root


def _unzipped(data: bytes) -> bytes:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            if len(archive.infolist()) > _MOST_MEMBERS:
                raise TuneError("is no compressed MusicXML: too many files in it")
            names = archive.namelist()
            name = _root_file(archive) if _CONTAINER in names else None
            if name is None:
                name = next(
                    (
                        each
                        for each in names
                        if each.lower().endswith((".xml", ".musicxml"))
                        and not each.startswith("META-INF")
                    ),
                    None,
                )
            if name is None:
                raise TuneError("is no compressed MusicXML: there is no score in it")
            return _member(archive, name, MOST_BYTES)
    except _UNZIP_ERRORS as error:
        if isinstance(error, TuneError):
            raise
        raise TuneError("is no archive that can be unpacked") from None


def _root_file(archive: zipfile.ZipFile) -> str | None:
    root = _parsed(_member(archive, _CONTAINER, _MOST_CONTAINER))
    for element in root.iter():
        if element.tag.rpartition("}")[2] == "rootfile":
            return element.get("full-path")
    return None


def _member(archive: zipfile.ZipFile, name: str, most: int) -> bytes:
    with archive.open(name) as member:
        data = member.read(most + 1)
    if len(data) > most:
        raise TuneError(f"unpacks to more than {most // 1000} kB")
    return data
