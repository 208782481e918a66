"""What nobody vouches for is read or refused: no other exception, no crash, no pickle loaded."""

from __future__ import annotations

import json
import subprocess
import sys
import zlib
from pathlib import Path
from typing import Any

import pytest
from hostile import ABC, LARGE, MOST_MEGABYTES, MOST_SECONDS, pickled

from theorykit.tune.reading import read_tune

SCRIPT = Path(__file__).parents[1] / "hostile.py"


def outcome(*stretches: range) -> dict[str, Any]:
    """What a child process made of some cases."""
    child = subprocess.run(
        [sys.executable, str(SCRIPT), *(f"{at.start}:{at.stop}:{at.step}" for at in stretches)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert child.returncode == 0, child.stderr[-800:]
    found: dict[str, Any] = json.loads(child.stdout)
    assert found["failed"] == []
    assert found["read"] + found["refused"] == found["cases"]
    assert found["cases"] == sum(map(len, stretches))
    assert found["megabytes"] <= MOST_MEGABYTES, found["largest"]
    assert found["seconds"] <= MOST_SECONDS, found["slowest"]
    return found


def test_some_hundred_files() -> None:
    found = outcome(range(len(LARGE), len(LARGE) + 1200, 3))
    assert found["read"] > 20
    assert found["refused"] > 20


def test_some_bombs() -> None:
    # Entities, archives that unpack to much, and a spread of the others.
    found = outcome(range(4), range(30, 35), range(4, len(LARGE), 11))
    assert found["refused"] > 15


@pytest.mark.long
def test_every_bomb() -> None:
    # Each few in a process of their own, so that the memory is theirs.
    for first in range(0, len(LARGE), 12):
        outcome(range(first, min(first + 12, len(LARGE))))


@pytest.mark.long
@pytest.mark.parametrize("first", range(len(LARGE), len(LARGE) + 5600, 1400))
def test_thousands_of_files(first: int) -> None:
    found = outcome(range(first, first + 1400))
    assert found["read"] > 100
    assert found["refused"] > 100


_MUSIC21 = """
import sys
from music21 import converter
print(converter.PickleFilter(sys.argv[1]).getPickleFp(zipType="gz"))
if sys.argv[2:]:
    try:
        converter.parse(sys.argv[1])
    except Exception:
        pass
"""


def test_a_pickle_planted_where_music21_keeps_its_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file, trace = tmp_path / "tune.abc", tmp_path / "trace"
    file.write_bytes(ABC)
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    monkeypatch.setenv("HOME", str(tmp_path))

    def music21(*words: str) -> str:
        done = subprocess.run(
            [sys.executable, "-c", _MUSIC21, str(file), *words],
            capture_output=True,
            text=True,
            check=True,
        )
        return done.stdout.strip()

    place = Path(music21())
    place.parent.mkdir(exist_ok=True)
    place.write_bytes(zlib.compress(pickled(trace)))
    reading = "import sys; from theorykit import read_tune; read_tune(sys.argv[1])"
    subprocess.run([sys.executable, "-c", reading, str(file)], check=True)
    assert read_tune(file).title == "The Gate"
    assert not trace.exists()
    # The plant is a real one: that package itself would have run it.
    music21("parse")
    assert trace.exists()
