"""What nobody vouches for is read or refused: no other exception, no crash, no pickle loaded."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest
from hostile import MOST_MEGABYTES, MOST_SECONDS


def outcome(first: int, count: int, *words: str) -> dict[str, float]:
    """What a child process, held to a memory limit, made of some cases."""
    child = subprocess.run(
        [
            sys.executable,
            str(Path(__file__).with_name("hostile.py")),
            str(first),
            str(count),
            *words,
        ],
        capture_output=True,
        text=True,
        check=False,
    )
    assert child.returncode == 0, child.stdout + child.stderr
    assert "WRONG" not in child.stdout, child.stdout
    last = child.stdout.splitlines()[-1]
    return {name: float(value) for name, value in re.findall(r"([a-z]+) ([0-9.]+)", last)}


def test_mutated_files() -> None:
    found = outcome(0, 260)
    assert found["done"] == 260
    assert found["read"] > 20
    assert found["refused"] > 20
    assert found["peak"] <= MOST_MEGABYTES
    assert found["slowest"] <= MOST_SECONDS


def test_bombs_addresses_and_planted_pickles() -> None:
    found = outcome(0, 0, "big")
    assert found["done"] > 80
    assert found["peak"] <= MOST_MEGABYTES
    assert found["slowest"] <= MOST_SECONDS


@pytest.mark.long
@pytest.mark.parametrize("first", range(0, 6000, 1500))
def test_thousands_of_mutated_files(first: int) -> None:
    found = outcome(first, 1500)
    assert found["done"] == 1500
    assert found["peak"] <= MOST_MEGABYTES
    assert found["slowest"] <= MOST_SECONDS
