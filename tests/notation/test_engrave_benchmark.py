"""How long twelve bars take: staff and tablature, with all that stands around them."""

from __future__ import annotations

from typing import Any

import pytest
from notation.sheets import blues

from theorykit.notation.engrave import engrave
from theorykit.notation.line import line_starts
from theorykit.notation.mei import mei
from theorykit.notation.sheet import sheet
from theorykit.notation.tablature import tablature_text
from theorykit.score.score import Part, Score


@pytest.fixture(scope="module")
def placed() -> Score:
    """Twelve bars of eighths over a blues, fingered already."""
    score = blues("A", "A blues", 45, 70)
    notes = sheet(score, instrument="guitar").notes
    return score.with_part(Part("line", notes, "guitar"))


def test_the_mei_of_twelve_bars(benchmark: Any, placed: Score) -> None:
    ready = sheet(placed, instrument="guitar")
    text = benchmark(lambda: mei(ready, "x", line_starts(ready, 840)))
    assert text.count("<measure") == 12


def test_twelve_bars_engraved(benchmark: Any, placed: Score) -> None:
    engrave(placed, instrument="guitar")
    engraving = benchmark(lambda: engrave(placed, instrument="guitar"))
    assert len(engraving.note_ids) == 96


def test_twelve_bars_fingered_and_engraved(benchmark: Any) -> None:
    score = blues("A", "A blues", 45, 70)
    engraving = benchmark(lambda: engrave(score, instrument="guitar"))
    assert len(engraving.note_ids) == 96


def test_twelve_bars_as_text(benchmark: Any, placed: Score) -> None:
    assert benchmark(lambda: tablature_text(placed, "guitar"))
