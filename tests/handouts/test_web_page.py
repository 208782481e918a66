"""The handout in a browser: it asks for nothing, and prints on the paper that was asked for."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from playwright.sync_api import Page
from printed import letters, overlapping
from pypdf import PdfReader

from theorykit.handouts.handout import handout
from theorykit.scene.selection import Selection

pytestmark = pytest.mark.browser


def test_it_reads_and_prints(page: Page, tmp_path: Path) -> None:
    sheets = handout(
        Selection.of(key="Eb", instrument="guitar", scale="blues"),
        title="<b>Bold</b> & $x$",
        paper="letter",
    )
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    address = sheets.save(tmp_path / "a.html").as_uri()
    page.goto(address)
    assert asked == [address]
    assert page.locator("h1").inner_text() == "<b>Bold</b> & $x$"
    assert page.locator("section").count() == 6
    # Two positions stand side by side, and nothing reaches over the page.
    first, second = (page.locator(".side figure").nth(place).bounding_box() for place in (0, 1))
    assert first is not None
    assert second is not None
    assert first["y"] == second["y"]
    for width in (1280, 400):
        page.set_viewport_size({"width": width, "height": 900})
        wide = page.evaluate("document.documentElement.scrollWidth")
        assert wide <= width
    printed = page.pdf(prefer_css_page_size=True)
    # Letter: 8.5 x 11 inches (ANSI/ASME Y14.1).
    for sheet in PdfReader(io.BytesIO(printed)).pages:
        assert float(sheet.mediabox.width) == pytest.approx(612, abs=1)
        assert float(sheet.mediabox.height) == pytest.approx(792, abs=1)
    found = letters(printed)
    assert len(found) > 1000
    assert overlapping(found) == []
