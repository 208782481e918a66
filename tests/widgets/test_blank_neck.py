"""The blank neck as a widget: its marks as data and as code, its picture where nothing runs."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ET
from typing import Any

import pytest
from playwright.sync_api import Page

import theorykit as tk
from theorykit.errors import BadInput
from theorykit.scene.blank import BLANK_LABELS
from theorykit.widgets.blank_neck import BlankNeck, blank_figure
from theorykit.widgets.bundle import joined_modules

MARKS = [(4, 0, "root"), (4, 2), (3, 2, "chord tone", "1"), (2, 3, "blue"), (1, 15, "avoid")]


def test_its_text_makes_it_again() -> None:
    neck = BlankNeck("octave mandolin", MARKS, key="Eb", labels="degrees", frets=17, capo=2)
    again = eval(repr(neck), {"BlankNeck": tk.BlankNeck})
    assert (again.marks, again.board, again.key) == (neck.marks, neck.board, neck.key)
    assert repr(again) == repr(neck)


def test_marks_are_set_in_any_form_and_bad_ones_change_nothing() -> None:
    neck = BlankNeck(marks=MARKS)
    neck.marks = (tk.NeckMark(1, 3), [2, 0], (3, 2, "root"))
    before = [[1, 3, "scale", ""], [2, 0, "scale", ""], [3, 2, "root", ""]]
    assert neck.marks == before
    for name, value in (("marks", [(9, 9)]), ("key", "H"), ("labels", "all")):
        with pytest.raises(BadInput):
            setattr(neck, name, value)
    assert neck.marks == before


def test_a_notebook_keeps_a_picture_and_the_marks() -> None:
    neck = BlankNeck("G2 D3 A3 E4, 20 frets, 352 mm", marks=[(4, 2, "root", '<&"')])
    text = blank_figure(neck)
    assert neck._repr_mimebundle_()[0]["text/html"] == text
    payload = re.search(r'<script type="application/json">(.*?)</script>', text)
    assert payload is not None
    assert json.loads(payload[1])["marks"] == neck.marks
    # Nothing that is written on a mark is taken for markup.
    ET.fromstring(text.replace(payload[0], ""))


#: Of a picture: each drawn thing with its numbers and its words.
DRAWN = """(svg) => [...svg.querySelectorAll("rect, circle, line, polygon, text")].map((one) => {
  const names = ["x", "y", "width", "height", "cx", "cy", "r", "x1", "y1", "x2", "y2", "points", "fill", "stroke"];
  const values = names.map((name) => one.getAttribute(name)).filter((value) => value !== null);
  return [one.tagName, ...values.join(" ").split(/[ ,]/).map((value) => Number(value) || value), one.textContent];
})"""


@pytest.mark.browser
def test_the_module_draws_what_python_draws(page: Page) -> None:
    page.add_script_tag(
        content=f"{joined_modules('blank')}\nwindow.draw = blankPicture;", type="module"
    )
    page.wait_for_function("() => window.draw")
    for instrument in ("mandolin", "banjo", "fiddle", "dulcimer"):
        for labels in BLANK_LABELS:
            left = labels == "numbers"
            marks: list[Any] = [mark for mark in MARKS if mark[0] < 4]
            neck = BlankNeck(instrument, [(3, 0), (2, 7, "colour", "T"), *marks[:1]], key="F")
            neck.labels, neck.left_handed = labels, left
            state = {name: getattr(neck, name) for name in ("marks", "key", "labels")}
            drawn, expected = page.evaluate(
                f"""([board, state, text]) => {{
                  const drawn = {DRAWN};
                  const parsed = new DOMParser().parseFromString(text, "image/svg+xml");
                  return [drawn(window.draw(board, state)), drawn(parsed.documentElement)];
                }}""",
                [neck.board, state | {"left_handed": left}, neck.svg],
            )
            assert len(expected) > 30
            assert [row[0] for row in drawn] == [row[0] for row in expected]
            for one, other in zip(drawn, expected, strict=True):
                numbers = [value for value in one if isinstance(value, (int, float))]
                wanted = [value for value in other if isinstance(value, (int, float))]
                assert numbers == pytest.approx(wanted, abs=0.11)
                assert [value for value in one if isinstance(value, str)] == [
                    value for value in other if isinstance(value, str)
                ]
