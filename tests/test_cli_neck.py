"""The command ``shapes``."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from commands import answer, run


def test_shapes() -> None:
    found = answer("shapes", "--instrument", "guitar", "--chord", "G")["shapes"]
    # The open G chord of any guitar handbook; its thirds are common practice.
    assert found[0]["frets"] == "320003"
    assert found[0]["fingers"] == [2, 1, 0, 0, 0, 3]
    assert found[0]["notes"] == ["G", "B", "D", "G", "B", "G"]
    assert found[0]["thirds"] == [{"string": 5, "fret": 2}, {"string": 2, "fret": 0}]
    assert [each["rank"] for each in found] == list(range(1, len(found) + 1))
    assert all(0 <= each["span_mm"] <= 110 for each in found)


def test_shapes_without_a_member_and_without_open_strings() -> None:
    bare = answer("shapes", "--instrument", "guitar", "--chord", "G", "--omit", "3")["shapes"]
    assert "3x0033" in [each["frets"] for each in bare]
    assert not any("B" in each["notes"] for each in bare)
    closed = answer("shapes", "--instrument", "mandolin", "--chord", "G", "--closed")["shapes"]
    assert "7523" in [each["frets"] for each in closed]
    assert not any("0" in each["frets"].replace("10", "") for each in closed)


def test_a_way_through_a_progression() -> None:
    found = answer(
        *("shapes", "--instrument", "mandolin", "--progression", "| I | IV | V |", "--key", "G")
    )["shapes"]
    assert [each["chord"] for each in found] == ["G", "C", "D"]


def test_shapes_are_saved_as_diagrams(tmp_path: Path) -> None:
    target = tmp_path / "g.svg"
    done = run(
        "shapes", "--instrument", "ukulele", "--chord", "G7", "--limit", "3", "-o", str(target)
    )
    assert done.returncode == 0, done.stderr
    assert "0212" in done.stdout
    root = ET.fromstring(target.read_text(encoding="utf-8"))
    title = root.find("{http://www.w3.org/2000/svg}title")
    assert title is not None
    assert (title.text or "").count("G7: ") == 3


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (
            ("shapes", "--instrument", "guitar", "--chord", "H"),
            "theorykit: chord 'H': ",
        ),
        (
            ("shapes", "--instrument", "guitar", "--chord", "G", "--omit", "7"),
            "theorykit: left-out member '7': not in G; accepted: 1, 3, 5",
        ),
        (("shapes", "--instrument", "guitar"), "theorykit: give either --chord or --progression"),
        (
            ("shapes", "--instrument", "guitar", "--chord", "G", "-o", "g.png"),
            "theorykit: output 'g.png': diagrams are written as SVG; accepted: NAME.svg",
        ),
    ],
)
def test_wrong_input_ends_with_one_line(arguments: tuple[str, ...], message: str) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.startswith(message)
    assert done.stderr.count("\n") == 1
