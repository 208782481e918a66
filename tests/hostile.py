"""Files that nobody should open unawares, made by number, and a child process that opens them.

``python tests/hostile.py FIRST:BEYOND:STEP ...`` reads the cases in turn, makes a study of each
that is a tune, and prints a line of JSON: how many were read and refused, what failed, the slowest,
and the most memory that the process ever held. The large ones come first, those of chance last.
"""

from __future__ import annotations

import io
import json
import pickle
import random
import resource
import struct
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

from theorykit.errors import BadInput, TuneError
from theorykit.notation.musicxml import musicxml_text
from theorykit.score.midi import midi_file
from theorykit.tune.reading import read_tune
from theorykit.tune.study import tune_study

#: What a reader may take.
MOST_MEGABYTES, MOST_SECONDS = 500, 10.0

# What the operating system stops, so that a fault does not take the machine down. It is far above
# what a reader may take: a limit near it would turn too much memory into a plain refusal.
_LAST_RESORT = 3_000_000_000

ABC = b"""X:1
T:The Gate
M:6/8
L:1/8
Q:3/8=110
K:Dmix
|:"D"DFA d2e|"C"=c2A G2E|"D"{e}DFA (3def d|1 "C"E2D D3:|2 "C"E2D "D"D2z||
P:B
[K:Am] "Am"A2c e2a|[1 "E7"^g2b e3:|[2 ~A3 [A,EAc]3|] w: a b c
V:2
z6|A,6-|A,6|
"""

_ENCODINGS = (
    "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32", "utf-32-be", "utf-7", "latin-1", "cp1252",
    "cp037", "cp437", "shift_jis", "gb18030", "koi8-r", "punycode", "idna", "unicode_escape",
)  # fmt: skip

NAMES = (
    None, "a.abc", "a.ABC", "a.xml", "a.mxl", "a.mid", "a.txt", "a", "", ".", "..", "\0", "a\0.abc",
    "../../etc/passwd", "/etc/passwd", "http://127.0.0.1/a.abc", "x" * 5000 + ".mid", "\ud800.abc", "\n.abc",
)  # fmt: skip

PATHS = (
    "/etc", "/dev/zero", "/dev/stdin", "/nowhere/a.abc", "", " ", ".", "..", "~", "~root/a.abc", "a\0.abc",
    "a" * 9000, "a/" * 4000 + "a.abc", "http://127.0.0.1/a.abc", "https://127.0.0.1/a.mxl",
    "file:///etc/passwd", "ftp://x/a.mid", "data:text/plain,X:1", "\\\\host\\share\\a.abc", "\\\\?\\C:\\a.abc",
    "../" * 2000 + "etc/passwd", "X:1\nK:C\nC|", "X:1\rK:C\rC|", "<score-partwise/>", "MThd", "CON",
    "/proc/self/mem", "/proc/kmsg", "/dev/random", "/dev/tty", "smb://h/a", "HTTP://127.0.0.1", "\ud800.abc",
    "javascript:0", "mailto:a", "s3://b/k", "git+ssh://h/a", " http://127.0.0.1/a", "\ufeffhttp://127.0.0.1/",
    "//127.0.0.1/a.abc", "corpus:bach", "tinyNotation: 4/4 c4", "bach/bwv66.6", "%2e%2e/a", "|ls", "$(ls)", "*",
)  # fmt: skip

_HEAD = b'<?xml version="1.0"?>'
_OPEN = b"<score-partwise><part-list/><part id='P'><measure>"
_CLOSE = b"</measure></part></score-partwise>"
_NOTE = b"<note><pitch><step>C</step><octave>4</octave></pitch><duration>1</duration></note>"


@cache
def good() -> tuple[bytes, ...]:
    """A good file of each kind, made by our own writers."""
    score = read_tune(ABC)
    midi = io.BytesIO()
    midi_file(score).save(file=midi)
    xml = musicxml_text(score).encode()
    return ABC, xml, midi.getvalue(), zipped({"a.musicxml": xml})


def zipped(members: dict[str, bytes]) -> bytes:
    """A compressed archive."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in members.items():
            archive.writestr(name, data)
    return file.getvalue()


def zipped_stream(first: bytes, again: bytes, times: int) -> bytes:
    """An archive whose one member is never whole in memory here."""
    file = io.BytesIO()
    with (
        zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive,
        archive.open("a.musicxml", "w") as member,
    ):
        member.write(first)
        for _ in range(times):
            member.write(again)
    return file.getvalue()


def _overlapping(count: int) -> bytes:
    """An archive whose members are all the same bytes: its list is many times as long as it is."""
    data = bytearray(zipped_stream(b"<a>", b" " * 1_000_000, 50))
    end = data.rindex(b"PK\x05\x06")
    start = struct.unpack_from("<I", data, end + 16)[0]
    entry = bytes(data[start:end])
    tail = data[end:]
    struct.pack_into("<HHI", tail, 8, count, count, len(entry) * count)
    return bytes(data[:start]) + entry * count + bytes(tail)


def _lying_size() -> bytes:
    """An archive that says its member is small."""
    data = bytearray(zipped_stream(b"<a>", b" " * 1_000_000, 100))
    start = data.rindex(b"PK\x01\x02")
    struct.pack_into("<I", data, start + 24, 10)
    struct.pack_into("<I", data, 22, 10)
    return bytes(data)


def _laughs(count: int, times: int) -> bytes:
    return "".join(
        f'<!ENTITY l{at} "{f"&l{at - 1};" * times if at else "ha"}">' for at in range(count)
    ).encode()


def _midi(events: bytes, *, division: int = 96, size: int | None = None) -> bytes:
    """A file of one track; ``size`` is what it says of its length where that is not so."""
    told = len(events) if size is None else size
    return (
        b"MThd"
        + struct.pack(">IHHH", 6, 1, 1, division)
        + b"MTrk"
        + struct.pack(">I", told)
        + events
    )


#: What a mean person would write, and what does not come about by chance. Each is made when its turn
#: comes, so that there is never more than one.
LARGE: tuple[Callable[[], bytes], ...] = (
    lambda: _HEAD + b"<!DOCTYPE s [" + _laughs(12, 10) + b"]><score-partwise>&l11;</score-partwise>",
    lambda: _HEAD + b"<!DOCTYPE s [<!ENTITY a '" + b"a" * 100_000 + b"'>]><s>" + b"&a;" * 100_000 + b"</s>",
    lambda: _HEAD + b'<!DOCTYPE s [<!ENTITY x SYSTEM "file:///etc/passwd">]><s>&x;</s>',
    lambda: _HEAD + b'<!DOCTYPE s [<!ENTITY % x SYSTEM "http://127.0.0.1:9/"> %x;]><score-partwise/>',
    lambda: _HEAD + b'<!DOCTYPE s SYSTEM "http://127.0.0.1:9/s.dtd"><score-partwise/>',
    lambda: _HEAD + b"<!DOCTYPE s [" + b"<!ELEMENT a (b)>" * 400_000 + b"]><score-partwise/>",
    lambda: _HEAD + b"<!DOCTYPE s [<!ATTLIST a " + b"b CDATA 'c' " * 500_000 + b">]><a/>",
    lambda: b'<?xml version="1.0" encoding="no-such-code"?><score-partwise/>',
    lambda: b"<score-partwise>" * 200_000,
    lambda: b"<a>" * 2_600_000,
    lambda: b"<a>" * 1_100_000 + b"</a>" * 1_100_000,
    lambda: b"<a>" + b"<b/>" * 1_900_000,
    lambda: b"<a>" + b"&#65;" * 1_500_000 + b"</a>",
    lambda: b"<a><![CDATA[" + b"a" * 7_900_000 + b"]]></a>",
    lambda: b"<!--" + b"-> " * 2_600_000 + b"--><a/>",
    lambda: b"<a " + b" ".join(b'x%d="1"' % at for at in range(400_000)) + b"/>",
    lambda: b"<a " + b" ".join(b'x%d=">"' % at for at in range(400_000)) + b"/>",
    lambda: b"<a>" + b"".join(b'<b a="%d>" c="" d=""/>' % at for at in range(330_000)) + b"</a>",
    lambda: b"<" + b"a" * 7_900_000,
    lambda: b"<a>" + b"".join(b"<x%d/>" % at for at in range(390_000)) + b"</a>",
    lambda: _OPEN + _NOTE * 90_000 + _CLOSE,
    lambda: _OPEN + (_NOTE * 3).join([b"</measure><measure>"] * 8000) + _CLOSE,
    lambda: _OPEN + _NOTE.replace(b"note", b"n:note").replace(b"<n:", b"<n:", 1) * 1000 + _CLOSE,
    lambda: _OPEN + b"</measure><measure>" * 300_000 + _CLOSE,
    lambda: _OPEN + b"<direction><sound dalsegno='yes' segno='a' coda='b' tocoda='c' dacapo='yes'/></direction>"
    * 30_000 + _NOTE + _CLOSE,
    lambda: _OPEN + (_NOTE + b"<backup><duration>1</duration></backup>") * 30_000 + _CLOSE,
    lambda: _OPEN + _NOTE.replace(b">1<", b">99999999<") * 5000 + _CLOSE,
    lambda: _OPEN + _NOTE.replace(b">1<", b">0.0000001<") * 5000 + _CLOSE,
    lambda: _OPEN + b"<attributes><divisions>1</divisions></attributes>" * 100_000 + _NOTE + _CLOSE,
    lambda: _OPEN + b"<harmony><root><root-step>C</root-step></root><kind>major</kind>"
    + b"<degree><degree-value>9</degree-value><degree-alter>1</degree-alter><degree-type>add</degree-type></degree>"
    * 40_000 + b"</harmony>" + _NOTE + _CLOSE,
    lambda: zipped_stream(b"<a>", b" " * 1_000_000, 1000),
    lambda: zipped_stream(b"", b"<a>" * 10_000, 60),
    lambda: zipped_stream(b"<a>", b"<a/>" * 10_000, 45),
    lambda: zipped_stream(b"<score-partwise>", b"<part id='P'><measure/></part>" * 1000, 250),
    lambda: zipped_stream(b"<a>", b"<b c='>' d='' e=''/>" * 10_000, 39),
    lambda: zipped({f"{at}.xml": b"<a/>" for at in range(3000)}),
    lambda: zipped({"../../a.xml": _OPEN, "/etc/x.xml": _OPEN}),
    lambda: zipped({"META-INF/container.xml": b'<c><rootfile full-path="/etc/passwd"/></c>'}),
    lambda: zipped({"META-INF/container.xml": b"<c>" * 20_000}),
    lambda: zipped({"META-INF/container.xml": b"<c>" + b" " * 50_000_000}),
    lambda: zipped({"META-INF/container.xml": b"<!DOCTYPE s [" + _laughs(9, 9) + b"]><s>&l8;</s>"}),
    lambda: zipped({"a.xml": zipped({"a.xml": zipped({"a.xml": b"0" * 1_000_000})})}),
    lambda: zipped({"a.xml": good()[3]}),
    lambda: zipped({"n" * 60_000 + ".xml": b"<a/>"}),
    lambda: _overlapping(90),
    lambda: _overlapping(60_000),
    _lying_size,
    lambda: b"PK\x03\x04" * 1_900_000,
    lambda: b"PK\x03\x04" + b"PK\x05\x06" * 1_900_000,
    lambda: b"X:1\nK:C\n" + b"C" * 7_900_000,
    lambda: b"X:1\nK:C\n" + b"C4|" * 2_600_000,
    lambda: b"X:1\nK:C\n" + b"|:" * 3_000_000,
    lambda: b"X:1\nK:C\n" + b"|:" * 3_000_000 + b"C|",
    lambda: b"X:1\nK:C\n" + b"[" * 7_000_000,
    lambda: b"X:1\nK:C\n" + b"[K:" * 2_500_000,
    lambda: b"X:1\nK:C\n" + b"[K:C]" * 1_500_000,
    lambda: b"X:1\nK:C\n" + b"[CEG" * 1_900_000,
    lambda: b"X:1\nK:C\n[" + b"C" * 7_900_000 + b"]",
    lambda: b"X:1\nK:C\n" + b"(3" * 3_000_000,
    lambda: b"X:1\nK:C\n" + b"(9:9:99" * 1_000_000 + b"C",
    lambda: b"X:1\nK:C\n" + b"C" + b"9" * 5_000_000,
    lambda: b"X:1\nK:C\nC" + b"/" * 5_000_000,
    lambda: b"X:1\nK:C\n" + b'"' + b"A" * 5_000_000,
    lambda: b"X:1\nK:C\n" + b'"' * 7_000_001,
    lambda: b"X:1\nK:C\n" + b'"Am7/G"' * 1_100_000 + b"C|",
    lambda: b"X:1\nK:C\n" + b'"^x"' * 1_900_000 + b"C|",
    lambda: b"X:1\nK:C\n" + b'"A' + b"#9" * 190 + b'"C|',
    lambda: b"X:1\nK:C\n" + b"!trill!" * 1_100_000 + b"C|",
    lambda: b"X:1\nK:C\n" + b"{" * 7_900_000,
    lambda: b"X:1\nK:C\n" + b"C>" * 3_900_000,
    lambda: b"X:1\nK:C\n" + b"C-" * 3_900_000,
    lambda: b"X:1\nK:C\n" + b"C&" * 3_900_000,
    lambda: b"X:1\nK:C\n" + b"|:C" * 2000 + b":|" * 2000,
    lambda: b"X:1\nK:C\n" + b"|:C8:::::::::|" * 900,
    lambda: b"X:1\nL:1/4\nK:C\n" + b"|:C4|1C4:|2C4:|3C4:|4C4:|5C4:|6C4:|7C4:|8C4:|9C4:|" * 800,
    lambda: b"X:1\nK:C\n" + b"!D.S.!!segno!!coda!!D.C.!C8|" * 8000,
    lambda: b"X:1\nK:C\n" + b"Z8000|" * 100 + b"C|",
    lambda: b"X:1\nM:99/32\nK:C\n" + b"C64|" * 9000,
    lambda: b"X:1\nT:" + b"t" * 7_900_000 + b"\nK:C\nC|",
    lambda: b"X:1\n" + b"T:t\n" * 1_900_000 + b"K:C\nC|",
    lambda: b"X:1\nK:C\n" + b"K:C\n" * 1_900_000 + b"C|",
    lambda: b"X:1\nK:" + b"^c" * 3_900_000 + b"\nC|",
    lambda: b"X:1\nK:C " + b"_e " * 2_600_000 + b"\nC|",
    lambda: b"X:1\nM:" + b"1+" * 3_900_000 + b"1/4\nK:C\nC|",
    lambda: b"X:1\nQ:" + b"1/4 " * 1_900_000 + b"=120\nK:C\nC|",
    lambda: b'X:1\nQ:"' * 1_000_000 + b"\nK:C\nC|",
    lambda: b"X:1\nK:C\n" + b"V:1\nC|\n" * 1_100_000,
    lambda: b"X:1\nK:C\n" + b"CDEF|" * 5 + b"\nw:" + b"1 " * 3_900_000,
    lambda: b"X:1\n" * 1_900_000,
    lambda: b"X:1\nK:C\nC|\n\n" * 650_000,
    lambda: b"X:" + b"9" * 7_900_000 + b"\nK:C\nC|",
    lambda: b"X:1\n" + b"ab\n" * 2_600_000,
    lambda: b"ab\r" * 2_600_000,
    lambda: b"X:1\nK:C\nC|\n\nX:2\nK:C\n" + (b'"Am7/G"' * 9 + b"C|") * 7900,
    lambda: b"X:1\nK:C\n" + b"[K:C]" * 99_000 + b"C|",
    lambda: b"X:1\nK:C\n" + b'"' * 499_000 + b"C|",
    lambda: b"X:1\nK:C\n" + b"(3" * 249_000 + b"C|",
    lambda: b"X:1\nK:C\n" + b"K:C\n" * 120_000 + b"C|",
    lambda: b"X:1\nK:C\n" + b"CDEFGAB" * 4200,
    lambda: b"X:1\nK:C\n" + b"[CDEFGAB]" * 4200,
    lambda: b"X:1\nL:1/64\nK:C\n" + b"CDEF|" * 7000,
    lambda: b"X:1\nL:1/99999999999999\nK:C\nC",
    lambda: b"X:1\nM:9999999999/0\nQ:0=0\nK:H##\nC",
    lambda: b"X:1\nQ:1/4=1\nK:C\n" + b"C256|" * 8000,
    lambda: b"X:1\nL:1/64\nK:C\n" + b"CDEFGABc|" * 8000,
    lambda: b"X:1\nL:1/8\nM:2/4\nK:C\n" + b"^CDE=F|" * 8000,
    lambda: b"X:1\nK:C\n" + b"(5:7CDEFG(7:11CDEFGAB(9:13CDEFGABcd|" * 3000,
    lambda: b"MThd\x00\x00\x00\x06\x00\x01\xff\xff\x00\x00",
    lambda: b"MThd\x00\x00\x00\x06\x00\x01\xff\xff\x01\xe0" + b"MTrk\x00\x00\x00\x00" * 70_000,
    lambda: b"MThd" + struct.pack(">IHHH", 6, 1, 65535, 0) + b"MTrk\x00\x00\x00\x00" * 65535,
    lambda: _midi(b"\x00" * 590_000, size=0xFFFFFFFF),
    lambda: _midi(b"\xff\xff\xff\x7f\x90\x40\x40\x00" * 74_000, division=1),
    lambda: _midi(b"\x00\xff\x51\x03\x00\x00\x00" * 84_000),
    lambda: _midi(b"\x00\x90\x40\x40" * 148_000),
    lambda: _midi(b"\x00\x90\x40\x40" + b"\x00\x40\x00\x00\x40\x40" * 99_000),
    lambda: _midi(b"\x00\x90\x40\x40" + b"\x01\x40\x00\x01\x40\x40" * 29_000, division=1),
    lambda: _midi(b"\x00\x90\x40\x40" + b"\x00\x40\x40" * 170_000 + b"\x00\x40\x00" * 20_000),
    lambda: _midi(b"\x01\xff\x58\x04\x03\x02\x18\x08" * 74_000 + b"\x00\x90\x40\x40\x60\x40\x00"),
    lambda: _midi(b"\x60\xff\x58\x04\x01\x05\x18\x08" * 74_000 + b"\x00\x90\x40\x40\x60\x40\x00", division=1),
    lambda: _midi(b"\x40\xff\x58\x04\x03\x02\x18\x08" * 74_000 + b"\x00\x90\x40\x40\x60\x40\x00", division=960),
    lambda: _midi(b"\x01\xff\x01\x02Am" * 99_000 + b"\x00\x90\x40\x40\x60\x40\x00"),
    lambda: _midi(b"\x01\xff\x06\x02Am" * 99_000 + b"\x00\x90\x40\x40\x60\x40\x00"),
    lambda: _midi(b"\x01\xff\x59\x02\x00\x00" * 99_000 + b"\x00\x90\x40\x40\x60\x40\x00"),
    lambda: _midi(b"\x00\xf0" + b"\x7f" * 590_000),
    lambda: _midi(b"\x00\xf0" + b"\xff" * 590_000),
    lambda: _midi(b"\xff" * 590_000),
    lambda: _midi((b"\xff" * 4000 + b"\x00") * 148),
    lambda: _midi((b"\x00\xff" + b"\xff" * 4000 + b"\x00") * 148),
    lambda: _midi(b"\x00\xff\x58\x04\x01\x05\x18\x08" + b"\x00\x90\x40\x40\xff\xff\x7f\x40\x00"),
    lambda: ABC.replace(b"Gate", b"\xe9\xff\x00\x80"),
    lambda: b"",
    lambda: b"\x00" * 1_000_000,
    lambda: b"\xff\xfe",
    lambda: b"\xff\xfe" + b"\x00\xd8" * 3_900_000,
    lambda: b"\xff",
    lambda: b"\xef\xbb\xbf",
    lambda: b"/etc/passwd",
    lambda: b"http://127.0.0.1/a.abc",
    lambda: b"\n" * 7_900_000,
    lambda: b" " * 7_900_000,
    lambda: b"%" * 9_000_000,
    lambda: b"<" * 7_900_000,
    lambda: b"X:1\nK:C\n" + bytes(range(256)) * 30_000,
)  # fmt: skip


class _Planted:
    """A pickle that leaves a trace if anybody loads it."""

    def __init__(self, trace: Path) -> None:
        self.trace = trace

    def __reduce__(self) -> tuple[object, ...]:
        return Path.touch, (self.trace,)


def pickled(trace: Path) -> bytes:
    """What makes a file of that name when it is loaded."""
    return pickle.dumps(_Planted(trace))


def dressed(data: bytes) -> list[bytes]:
    """Bytes got up as a file of each kind."""
    return [data, b"X:1\nK:C\n" + data, b"MThd" + data, b"PK\x03\x04" + data, b"<score>" + data,
            zipped({"score.xml": data, "data.pkl": data}), zipped({"a.pkl": data}),
            good()[1].replace(b"major", data.hex().encode())]  # fmt: skip


def _encoded() -> Iterator[bytes]:
    for text in (ABC.decode(), good()[1].decode(), "X:1\nT:\u266d\u00e9\u4e2d\U0001d11e\nK:C\nC|"):
        for name in _ENCODINGS:
            yield (
                text.encode(name, "ignore")
                if name != "idna"
                else text[:60].encode("ascii", "ignore")
            )


@cache
def _written() -> tuple[object, ...]:
    """The cases between the large ones and those of chance."""
    paths = [
        *PATHS,
        *(Path(text) for text in PATHS),
        None,
        7,
        1.5,
        [],
        {},
        bytearray(ABC),
        memoryview(ABC),
    ]
    return (*paths, *_encoded(), *(good()[at][:end] for at in range(4) for end in range(0, 330, 3)))


def mutated(data: bytes, chance: random.Random) -> bytes:
    """A file with a few bytes cut, turned, doubled, put in, or with a piece of another file."""
    raw = bytearray(data)
    for _ in range(chance.choice((1, 1, 2, 4, 16))):
        if not raw:
            break
        at = chance.randrange(len(raw))
        upto = min(len(raw), at + chance.choice((1, 1, 4, 40)))
        way = chance.randrange(9)
        if way == 0:
            del raw[at:]
        elif way == 1:
            del raw[at:upto]
        elif way == 2:
            raw[at] = chance.randrange(256)
        elif way == 3:
            raw[at:at] = raw[at:upto] * chance.choice((1, 3, 50))
        elif way == 4:
            raw[at] ^= 1 << chance.randrange(8)
        elif way == 5:
            raw[at:at] = chance.choice(
                (b"-1", b"0", b"99999999", b"\x00", b"\xff\xff", b"<", b"|:", b"1/0", b"nan", b"]")
            )
        elif way == 6:
            other = chance.choice(good())
            start = chance.randrange(len(other))
            raw[at:upto] = other[start : start + chance.choice((4, 40, 400))]
        elif way == 7:
            # A number of the file's becomes another: lengths, octaves, meters, times of repeats.
            digits = [place for place, byte in enumerate(raw) if 48 <= byte <= 57]
            if digits:
                raw[chance.choice(digits)] = chance.choice(b"0123456789")
        else:
            other_place = chance.randrange(len(raw))
            raw[at], raw[other_place] = raw[other_place], raw[at]
    return bytes(raw)


def case(number: int) -> tuple[object, str | None]:
    """A source and its name, always the same for a number."""
    if number < len(LARGE):
        return LARGE[number](), None
    written = _written()
    chance = random.Random(number)
    name = chance.choice(NAMES)
    if number < len(LARGE) + len(written):
        return written[number - len(LARGE)], name
    if chance.random() < 0.05:
        return chance.randbytes(chance.randrange(3000)), name
    data = good()[number % 4]
    if number % 8 == 3:
        # What is wrong inside an archive that is whole.
        return zipped({"a.musicxml": mutated(good()[1], chance)}), name
    return mutated(data, chance), name


def outcome(source: object, name: str | None) -> str:
    """Whether it was read or refused; anything else is told."""
    try:
        score = read_tune(source, name=name)  # type: ignore[arg-type]
        tune_study(score)
    except (TuneError, BadInput) as error:
        said = str(error)
        return "refused" if "\n" not in said and 0 < len(said) < 400 else f"says {said[:300]!r}"
    except Exception as error:
        return f"{type(error).__name__}: {str(error)[:200]}"
    return "read"


def _most_held() -> int:
    """The most memory that this process has held, MB.

    Linux counts into ``ru_maxrss`` what the process held that started this one.
    """
    status = Path("/proc/self/status").read_text(encoding="ascii")
    kilobytes = next(line.split()[1] for line in status.splitlines() if line.startswith("VmHWM:"))
    return int(kilobytes) // 1000


def main(stretches: list[str]) -> None:
    resource.setrlimit(resource.RLIMIT_AS, (_LAST_RESORT, _LAST_RESORT))
    trace = Path(tempfile.mkdtemp()) / "trace"
    counts = {"read": 0, "refused": 0}
    failed: list[str] = []
    slowest, peak = (0.0, 0), (0, 0)
    numbers = [at for text in stretches for at in range(*map(int, text.split(":")))]
    for number in numbers:
        source, name = case(number)
        began = time.process_time()
        said = outcome(source, name)
        slowest = max(slowest, (time.process_time() - began, number))
        held = _most_held()
        peak = max(peak, (held, -number))
        if said in counts:
            counts[said] += 1
        else:
            failed.append(f"{number}: {said}")
    for data in dressed(pickled(trace)):
        outcome(data, "a.p")
    if trace.exists():
        failed.append("a planted pickle ran")
    found = {"cases": len(numbers), **counts, "failed": failed, "seconds": round(slowest[0], 2)}
    found |= {"slowest": slowest[1], "megabytes": peak[0], "largest": -peak[1]}
    print(json.dumps(found))


if __name__ == "__main__":
    main(sys.argv[1:])
