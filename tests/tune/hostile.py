"""Files that nobody should open unawares, made by chance from a seed, and a child that opens them.

``python hostile.py FIRST COUNT`` reads the cases in a process that may take no more than 500 MB,
and prints a line for what went wrong, the last line always the sum.
"""

from __future__ import annotations

import io
import pickle
import random
import resource
import signal
import sys
import tempfile
import time
import zipfile
from pathlib import Path

from theorykit.errors import TuneError
from theorykit.notation.musicxml import musicxml_text
from theorykit.score.midi import midi_file
from theorykit.tune.reading import read_tune

MOST_MEGABYTES = 500
MOST_SECONDS = 10

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


class _Planted:
    """A pickle that leaves a trace if anybody loads it."""

    def __init__(self, trace: str) -> None:
        self.trace = trace

    def __reduce__(self) -> tuple[object, ...]:
        return Path.touch, (Path(self.trace),)


def seeds() -> list[bytes]:
    """A good file of each kind."""
    score = read_tune(ABC)
    midi = io.BytesIO()
    midi_file(score).save(file=midi)
    xml = musicxml_text(score).encode()
    return [ABC, xml, midi.getvalue(), zipped({"a.musicxml": xml})]


def zipped(members: dict[str, bytes]) -> bytes:
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in members.items():
            archive.writestr(name, data)
    return file.getvalue()


def planted(trace: str) -> list[bytes]:
    """Planted pickles, bare and dressed as tunes."""
    data = pickle.dumps(_Planted(trace))
    return [data, b"X:1\nK:C\n" + data, b"MThd" + data, b"PK\x03\x04" + data,
            zipped({"score.xml": data, "data.pkl": data}), b"<score>" + data]  # fmt: skip


def fixed() -> list[bytes]:
    """Cases that a mean person would write by hand."""
    head = b'<?xml version="1.0"?>'
    laughs = "".join(
        f'<!ENTITY l{at} "{f"&l{at - 1};" * 10 if at else "ha"}">' for at in range(12)
    ).encode()
    score = b"<score-partwise>"
    measure = b"<score-partwise><part-list/><part id='P'><measure>"
    notes = b"<note><pitch><step>C</step><octave>4</octave></pitch><duration>1</duration></note>"
    return [
        head + b"<!DOCTYPE s [" + laughs + b"]><score-partwise>&l11;</score-partwise>",
        head + b'<!DOCTYPE s [<!ENTITY x SYSTEM "file:///etc/passwd">]><s>&x;</s>',
        head + b'<!DOCTYPE s SYSTEM "http://127.0.0.1:9/s.dtd"><score-partwise/>',
        score * 200_000,
        b"<a>" * 2_600_000,
        b"<a><b/>" + b"<b/>" * 1_900_000,
        b"<a " + b" ".join(b'x%d="1"' % at for at in range(400_000)) + b"/>",
        b"<" + b"a" * 7_900_000,
        measure + notes * 70_000 + b"</measure></part></score-partwise>",
        measure + b"</measure><measure>" * 300_000 + b"</measure></part></score-partwise>",
        zipped({"a.xml": b"<a>" + b" " * 60_000_000 + b"</a>"}),
        zipped({"a.xml": b"<a>" * 2_600_000}),
        zipped({f"{at}.xml": b"<a/>" for at in range(3000)}),
        zipped({"../../a.xml": score, "/etc/x.xml": score}),
        zipped({"META-INF/container.xml": b'<c><rootfile full-path="/etc/passwd"/></c>'}),
        zipped({"a.xml": zipped({"a.xml": zipped({"a.xml": b"0" * 1_000_000})})}),
        b"X:1\nK:C\n" + b"C" * 7_900_000,
        b"X:1\nK:C\n" + b"|:" * 3_000_000,
        b"X:1\nK:C\n" + b"[" * 7_000_000,
        b"X:1\nK:C\n" + b"(3" * 3_000_000,
        b"X:1\nK:C\n" + b"C" + b"9" * 5_000_000,
        b"X:1\nK:C\n" + b'"' + b"A" * 5_000_000,
        b"X:1\nK:C\n" + b"|:C" * 2000 + b":|" * 2000,
        b"X:1\n" * 1_900_000,
        b"X:1\nL:1/99999999999999\nK:C\nC",
        b"X:1\nM:9999999999/0\nQ:0=0\nK:H##\nC",
        b"X:1\nQ:1/4=1\nK:C\n" + b"C256|" * 8000,
        b"MThd\x00\x00\x00\x06\x00\x01\xff\xff\x00\x00",
        b"MThd\x00\x00\x00\x06\x00\x01\xff\xff\x01\xe0" + b"MTrk\x00\x00\x00\x00" * 100_000,
        b"MThd\x00\x00\x00\x06\x00\x01\x00\x01\x01\xe0MTrk\xff\xff\xff\xff" + b"\x00" * 900_000,
        b"MThd\x00\x00\x00\x06\x00\x01\x00\x01\x00\x01MTrk\x00\x0d\xbb\xa0"
        + b"\xff\xff\xff\x7f\x90\x40\x40\x00" * 112_500,
        ABC.decode().encode("utf-16"), ABC.decode().encode("utf-16-be"), b"\xff\xfe", b"\xff",
        ABC.replace(b"Gate", b"\xe9\xff\x00\x80"), b"", b"\x00" * 1_000_000, b"\xef\xbb\xbf",
        b"/etc/passwd", b"http://127.0.0.1/a.abc", b"\n" * 7_900_000, b"%" * 9_000_000,
    ]  # fmt: skip


PATHS = (
    "/etc", "/dev/zero", "/dev/stdin", "/nowhere/a.abc", "", " ", ".", "..", "~", "a\0.abc", "a" * 9000,
    "http://127.0.0.1/a.abc", "https://127.0.0.1/a.mxl", "file:///etc/passwd", "ftp://x/a.mid",
    "data:text/plain,X:1", "\\\\host\\share\\a.abc", "../" * 2000 + "etc/passwd", "X:1\nK:C\nC|",
    "/proc/self/mem", "/dev/random", "smb://h/a", "HTTP://127.0.0.1", "\ud800.abc",
)  # fmt: skip


def mutated(data: bytes, chance: random.Random) -> bytes:
    """The file with a few bytes cut, turned, doubled or put in."""
    raw = bytearray(data)
    for _ in range(chance.choice((1, 1, 2, 4, 16))):
        if not raw:
            break
        at = chance.randrange(len(raw))
        upto = min(len(raw), at + chance.choice((1, 1, 4, 40)))
        way = chance.randrange(7)
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
            odd = (
                b"-1",
                b"0",
                b"99999999",
                b"\x00",
                b"\xff\xff",
                b"<",
                b"|:",
                b"1/0",
                b"nan",
                b"]",
            )
            raw[at:at] = chance.choice(odd)
        else:
            other = chance.randrange(len(raw))
            raw[at], raw[other] = raw[other], raw[at]
    return bytes(raw)


def case(number: int, base: list[bytes]) -> tuple[bytes, str | None]:
    """A mutated file and what it is called."""
    chance = random.Random(number)
    data = mutated(base[number % len(base)], chance)
    return data, chance.choice(
        (None, "a.abc", "a.xml", "a.mxl", "a.mid", "a.txt", "http://x/a.abc")
    )


def main(first: int, count: int, *, big: bool) -> None:
    limit = MOST_MEGABYTES * 1_000_000
    made: list[tuple[object, str | None]] = []
    trace = str(Path(tempfile.mkdtemp()) / "trace")
    base = seeds()
    if big:
        made += [(data, None) for data in fixed()]
        made += [(path, None) for path in PATHS]
        made += [(data, name) for data in planted(trace) for name in ("a.mxl", "a.pkl", None)]
    done = read = refused = 0
    slowest = (0.0, 0)
    resource.setrlimit(resource.RLIMIT_AS, (limit, limit))
    for at in range(len(made) + count):
        source, name = made[at] if at < len(made) else case(first + at - len(made), base)
        began = time.process_time()
        signal.setitimer(signal.ITIMER_PROF, MOST_SECONDS)
        try:
            read_tune(source, name=name)  # type: ignore[arg-type]
            read += 1
        except TuneError:
            refused += 1
        except Exception as error:
            print("WRONG", at, type(error).__name__, error)
        signal.setitimer(signal.ITIMER_PROF, 0)
        slowest = max(slowest, (time.process_time() - began, at))
        done += 1
    if Path(trace).exists():
        print("WRONG a planted pickle ran")
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1000
    print(f"done {done} read {read} refused {refused} peak {peak} MB", end=" ")
    print(f"slowest {slowest[0]:.1f} s (case {slowest[1]})")


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]), big="big" in sys.argv[3:])
