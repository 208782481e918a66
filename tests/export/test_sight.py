"""What is on the screen is painted at once; the rest waits, and nothing stays as it was."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from notebook_files import export_page, write_notebook
from playwright.sync_api import Locator, Page, expect

pytestmark = pytest.mark.browser

CELLS = (
    """import theorykit as tk
study = tk.Study(key="A", scales=["minor pentatonic"], progressions=["12-bar blues"],
    styles=["blues"], instruments=["mandolin"])""",
    "tk.ScaleExplorer(study)",
    "tk.ProgressionExplorer(study)",
)
#: Quiet moments come when the test lets them; `asked` tells that one is waited for.
HOLD = """
  window.held = [];
  window.asked = new Promise((resolve, reject) => {
    setTimeout(reject, 10_000, new Error("nothing waits"));
    window.requestIdleCallback = (work) => { held.push(work); resolve(); };
  });
  0
"""


def told(words: str) -> re.Pattern[str]:
    """A neck's text alternative that says this."""
    return re.compile(rf"neck, {re.escape(words)}")


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("sight")
    return export_page(write_notebook(folder / "two.ipynb", *CELLS), folder)


@pytest.fixture
def necks(page: Page, path: Path) -> tuple[Locator, Locator]:
    """The first on the screen, the second below it."""
    page.set_viewport_size({"width": 1280, "height": 640})
    page.goto(path.as_uri())
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    first, second = page.locator(".tk-neck .tk-picture").all()
    expect(first).to_be_in_viewport()
    expect(page.locator(".tk-explorer").nth(1)).not_to_be_in_viewport()
    page.evaluate(HOLD)
    page.locator("select[name=key]").first.select_option(label="D")
    expect(first).to_have_attribute("aria-label", told("D minor pentatonic:"))
    page.evaluate("asked")
    expect(second).to_have_attribute("aria-label", told("A minor pentatonic over A7:"))
    return first, second


def test_the_rest_follows_in_a_quiet_moment(page: Page, necks: tuple[Locator, Locator]) -> None:
    page.evaluate("held.shift()()")
    expect(necks[1]).to_have_attribute("aria-label", told("D minor pentatonic over D7:"))


def test_what_is_scrolled_to_does_not_wait(page: Page, necks: tuple[Locator, Locator]) -> None:
    necks[1].scroll_into_view_if_needed()
    expect(necks[1]).to_have_attribute("aria-label", told("D minor pentatonic over D7:"))
    assert page.evaluate("held.length") == 1


def test_many_changes_are_painted_once(page: Page, necks: tuple[Locator, Locator]) -> None:
    page.locator("select[name=key]").first.select_option(label="E")
    expect(necks[0]).to_have_attribute("aria-label", told("E minor pentatonic:"))
    page.evaluate("held.shift()()")
    expect(necks[1]).to_have_attribute("aria-label", told("E minor pentatonic over E7:"))
    assert page.evaluate("held.length") == 0
