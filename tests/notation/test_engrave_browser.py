"""Nothing collides: boxes of all texts and signs, as a real Chromium draws them."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from notation.sheets import blues, chromatic, everything, jig, waltz
from playwright.sync_api import Page

from theorykit.notation.engrave import engrave
from theorykit.score.arrange import arrange
from theorykit.score.score import Score

pytestmark = pytest.mark.browser

EIGHTH, THIRD, SIXTEENTH = Fraction(1, 2), Fraction(1, 3), Fraction(1, 4)


def two_five(key: str) -> Score:
    """Two long chord symbols in each bar."""
    chart = "| Imaj7 vi7 | ii7 V7 | iii7 biii° | iim7b5 V7 |"
    return arrange(chart, key, feel="straight", ending=False)


CASES: dict[str, tuple[Score, dict[str, Any]]] = {
    "guitar": (blues("A", "A blues", 45, 70), {"instrument": "guitar", "strokes": "pick"}),
    "guitar, flats": (blues("Ab", "Ab blues", 44, 70), {"instrument": "guitar"}),
    "guitar, narrow": (blues("A", "A blues", 45, 70), {"instrument": "guitar", "width": 400}),
    "guitar, large": (
        blues("A", "A blues", 45, 70),
        {"instrument": "guitar", "large": True, "strokes": "pick"},
    ),
    "mandolin": (blues("G", "G major", 55, 84), {"instrument": "mandolin", "strokes": "pick"}),
    "mandolin, sixteenths": (
        chromatic(SIXTEENTH, 4),
        {"instrument": "mandolin", "strokes": "pick"},
    ),
    "mandolin, triplets": (chromatic(THIRD, 4), {"instrument": "mandolin", "strokes": "pick"}),
    "mandolin, jig": (jig(), {"instrument": "mandolin", "strokes": "pick"}),
    "fiddle, sixteenths": (chromatic(SIXTEENTH, 4), {"instrument": "fiddle", "strokes": "bow"}),
    "fiddle, jig": (jig(), {"instrument": "fiddle", "strokes": "bow", "large": True}),
    "banjo": (everything(), {"instrument": "banjo", "strokes": "pick"}),
    "banjo, large": (everything(), {"instrument": "banjo", "strokes": "pick", "large": True}),
    "ukulele, waltz": (waltz(), {"instrument": "ukulele"}),
    "ukulele, 12/8": (chromatic(THIRD, 3, meter="12/8"), {"instrument": "ukulele"}),
    "ukulele, 3/4": (chromatic(EIGHTH, 6, meter="3/4"), {"instrument": "ukulele"}),
    "bass": (two_five("Db"), {"instrument": "bass", "part": "bass"}),
    "bass, two bars": (two_five("B"), {"instrument": "bass", "part": "bass", "bars_a_line": 2}),
}

BOXES = """
() => {
  const kinds = {
    symbol: "g.harm", numeral: "g.dir.numeral", bend: "g.dir.bend", degree: "g.syl",
    finger: "g.fing", fret: "g.tabGrp g.note", stroke: "g.artic", head: "g.notehead",
    heading: "g.pgHead text", legend: "g.legend text",
  };
  const found = [];
  for (const [kind, query] of Object.entries(kinds))
    for (const item of document.querySelectorAll("svg.engraved " + query)) {
      const box = item.getBoundingClientRect();
      if (box.width) found.push([kind, item.textContent, box.left, box.top, box.right, box.bottom]);
    }
  return found;
}
"""

#: A text's box has room for letters that go up and down; figures and capitals use the middle.
LEADING = 0.18

#: Signs of one kind that are meant to touch, and pixels that no eye sees.
TOGETHER, UNSEEN = {("head", "head")}, 1.6


Box = tuple[str, str, float, float, float, float]


def collisions(boxes: list[Box]) -> list[tuple[str, str]]:
    def inked(box: Box) -> Box:
        kind, text, left, top, right, bottom = box
        trim = 0.0 if kind in {"stroke", "head"} else (bottom - top) * LEADING
        return (kind, text, left, top + trim, right, bottom - trim)

    order = sorted((inked(box) for box in boxes), key=lambda box: box[2])
    found = []
    for place, one in enumerate(order):
        for other in order[place + 1 :]:
            if other[2] >= one[4] - UNSEEN:
                break
            overlap = min(one[5], other[5]) - max(one[3], other[3])
            if overlap > UNSEEN and (one[0], other[0]) not in TOGETHER:
                found.append((f"{one[0]} {one[1]}", f"{other[0]} {other[1]}"))
    return found


@pytest.mark.parametrize("name", CASES)
def test_nothing_collides(page: Page, name: str) -> None:
    score, options = CASES[name]
    page.set_content(f'<body style="margin:8px">{engrave(score, **options).svg}</body>')
    boxes = page.evaluate(BOXES)
    assert len(boxes) > len(score.part(options.get("part", "line")).notes)
    assert collisions([tuple(box) for box in boxes]) == []


def test_a_planted_collision_is_seen(page: Page) -> None:
    svg = engrave(waltz(), instrument="ukulele").svg
    page.set_content(f'<body style="margin:8px">{svg}</body>')
    page.evaluate(
        """() => {
          const [one, other] = document.querySelectorAll("g.syl text");
          other.setAttribute("x", one.getAttribute("x"));
        }"""
    )
    found = collisions(page.evaluate(BOXES))
    assert [(one[:6], other[:6]) for one, other in found] == [("degree", "degree")]


def test_two_on_one_page_light_up_apart(page: Page) -> None:
    one = engrave(waltz(), instrument="ukulele", prefix="one")
    other = engrave(waltz(), instrument="ukulele", prefix="other")
    page.set_content(f"<body>{one.svg}{other.svg}</body>")
    for engraving in (one, other):
        for names in engraving.note_ids:
            for name in names:
                assert page.locator(f"#{name}").count() == 1
