"""Every kind of view in a page under axe-core's rules; those of lessons: `test_page.py`."""

from __future__ import annotations

from pathlib import Path

import pytest
from accessibility import TAGS, violations
from axe_playwright_python.sync_playwright import Axe
from notebook_files import export_page, write_notebook
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser

#: One of each kind of view that no lesson needs to have.
CELLS = (
    "# Everything at once",
    """import theorykit as tk
study = tk.Study(key="A", scales=["blues", "major"], progressions=["12-bar blues"],
    styles=["blues"], instruments=["mandolin"], qualities=["7"])""",
    'tk.EnsembleExplorer(study, instruments=("mandolin", "guitar"))',
    "tk.ScaleExplorer(study)",
    "tk.PositionExplorer(study)",
    "tk.ShapeExplorer(study)",
    r"""tk.TuneExplorer(b"X:1\nT:Steps\nM:4/4\nL:1/4\nK:D\nD F A F|G B d B|A c e c|d A F D|]",
    instruments=["mandolin"], styles=["blues"])""",
    "tk.QuizExplorer(study)",
    'tk.BlankNeck(instrument="guitar")',
    'take = tk.line_over("12-bar blues", "A", level=3, instrument="mandolin").score',
    'tk.SoloExplorer(take, progression="12-bar blues", key="A", instrument="mandolin")',
)


def opened(page: Page, path: Path) -> Page:
    page.goto(path.as_uri())
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    return page


def test_no_kind_of_view_has_one(page: Page, tmp_path: Path) -> None:
    everything = export_page(write_notebook(tmp_path / "all.ipynb", *CELLS), tmp_path)
    opened(page, everything)
    assert violations(page) == []
    # What opens on demand: presenting, covered labels, a question answered, more of the player.
    first = page.locator("figure.theorykit").first
    # A quiz's one dark button is not that of every view beside it.
    white = "rgb(255, 255, 255)"
    expect(first.locator("button.tk-next")).to_have_css("background-color", white)
    first.get_by_role("button", name="More").click()
    assert violations(page) == []
    page.locator(".tk-quiz .tk-option, .tk-quiz-neck").first.press("Enter")
    assert violations(page) == []
    first.get_by_role("button", name="Present", exact=True).click()
    assert violations(page) == []


def test_axe_sees_a_fault(page: Page) -> None:
    page.set_content("<html lang='en'><title>t</title><main><h1>x</h1><img src='data:,'></main>")
    found = Axe().run(page, options={"runOnly": {"type": "tag", "values": TAGS}}).response
    assert "image-alt" in {each["id"] for each in found["violations"]}
