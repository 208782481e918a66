"""Necks for print: true frets, nothing over the edge, the left hand mirrored."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from theorykit.handouts.mark_picture import mark_svg
from theorykit.handouts.neck_picture import neck_svg
from theorykit.instruments.catalogue import INSTRUMENTS, find_instrument
from theorykit.scene.codes import CODES
from theorykit.scene.geometry import neck_cells, neck_geometry

NUMBER = re.compile(r"(-?[\d.]+)")


def every_mark(name: str, role: str, capo: int = 0) -> list[dict]:
    geometry = neck_geometry(find_instrument(name))
    return [{**cell, "role": role, "label": "B♭"} for cell in neck_cells(geometry, capo)]


def drawn(name: str, role: str = "blue", **more: object) -> str:
    return neck_svg(
        find_instrument(name),
        every_mark(name, role),
        alt="x",
        width=500.0,
        string_gap=19.0,
        **more,  # type: ignore[arg-type]
    )


def corners(svg: str) -> list[tuple[float, float]]:
    found = []
    for points in re.findall(r'points="([^"]*)"', svg):
        found += [tuple(map(float, each.split(","))) for each in points.split()]
    for x, y, r in re.findall(r'<circle cx="([^"]*)" cy="([^"]*)" r="([^"]*)"', svg):
        found += [
            (float(x) - float(r), float(y) - float(r)),
            (float(x) + float(r), float(y) + float(r)),
        ]
    return found


@pytest.mark.parametrize("left_handed", [False, True])
@pytest.mark.parametrize("name", INSTRUMENTS)
def test_every_mark_is_inside(name: str, left_handed: bool) -> None:
    for role in ("blue", "avoid", "root", "colour"):
        svg = drawn(name, role, left_handed=left_handed)
        box = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg)
        assert box is not None
        wide, high = float(box[1]), float(box[2])
        assert all(0 <= x <= wide and 0 <= y <= high for x, y in corners(svg)), role


@pytest.mark.parametrize("name", ["mandolin", "guitar", "banjo", "bass"])
def test_neighbours_keep_apart(name: str) -> None:
    svg = drawn(name, "root")
    places = re.findall(r'<text x="([\d.]+)" y="([\d.]+)"[^>]*>B♭<', svg)
    boxes = sorted((float(y), float(x)) for x, y in places)
    gaps = [b[1] - a[1] for a, b in pairwise(boxes) if a[0] == b[0]]
    size = float(re.findall(r'font-size="([\d.]+)"[^>]*>B♭<', svg)[0]) / 0.52
    assert min(gaps) >= size * 0.99


def fret_lines(svg: str) -> list[float]:
    """Where the frets lie, the nut first: lines straight up and down."""
    found = re.findall(r'<line x1="([\d.]+)" y1="[\d.]+" x2="\1" y2="[\d.]+"', svg)
    return sorted(map(float, found))


def test_frets_lie_where_a_luthier_puts_them() -> None:
    """Each fret takes 1/17.817 of what is left of the string (any luthier's handbook)."""
    nut, *frets = fret_lines(drawn("guitar", "root"))
    left = 1.0
    shares = []
    for _ in frets:
        left -= left / 17.817154
        shares.append(1 - left)
    length = (frets[-1] - nut) / shares[-1]
    for fret, share in zip(frets, shares, strict=True):
        assert fret == pytest.approx(nut + length * share, abs=0.02)


def test_the_left_hand_is_the_mirror() -> None:
    right, left = drawn("mandolin", "root"), drawn("mandolin", "root", left_handed=True)
    mirrored = sorted(round(500.0 - x, 2) for x in fret_lines(right))
    assert mirrored == pytest.approx(fret_lines(left), abs=0.011)


def test_a_stretch_holds_its_frets_only() -> None:
    svg = drawn("guitar", "root", first=4, last=8)
    numbers = re.findall(r'font-weight="normal"[^>]*>(\d+)<', svg)
    assert numbers == ["5", "6", "7", "8"]
    assert len(re.findall("B♭", svg)) == 6 * 4


def test_a_capo_is_the_new_nut() -> None:
    """With a capo at 2 the third fret of the neck is the first (common practice)."""
    guitar = find_instrument("guitar")
    marks = every_mark("guitar", "root", 2)
    svg = neck_svg(guitar, marks, alt="x", width=500.0, string_gap=19.0, first=2, last=6, capo=2)
    assert re.findall(r'font-weight="normal"[^>]*>(\d+)<', svg) == ["1", "2", "3", "4"]
    # An open string and four frets for each.
    assert len(re.findall("B♭", svg)) == 6 * 5


def test_a_label_is_text_and_never_markup() -> None:
    assert "<b>" not in mark_svg("root", 0, 0, 10, "<b>")
    assert "&lt;b&gt;" in mark_svg("root", 0, 0, 10, "<b>")


@pytest.mark.parametrize("role", CODES)
def test_every_role_can_be_drawn(role: str) -> None:
    svg = mark_svg(role, 10, 10, 10, "A")
    assert CODES[role].fill in svg
    assert "NaN" not in svg
    assert NUMBER.search(svg)
