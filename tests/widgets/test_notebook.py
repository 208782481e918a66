"""An explorer in Notebook 7, in a real Chromium: the same server as JupyterLab's has it."""

from __future__ import annotations

import pytest
from hosts import Lab
from playwright.sync_api import Browser, expect

pytestmark = pytest.mark.browser


def test_an_explorer_works_in_notebook_7(browser: Browser, lab: Lab) -> None:
    cells = (
        "import theorykit as tk",
        'study = tk.Study(key="A", scale="minor pentatonic")\ntk.ProgressionExplorer(study)',
        "print('now', study.key)",
    )
    name = lab.add("seven.ipynb", *cells)
    context = browser.new_context(viewport={"width": 1280, "height": 1000})
    page = context.new_page()
    lab.open_in_notebook(page, name)
    expect(page.locator(".jp-Notebook .jp-Cell")).to_have_count(len(cells))
    lab.run_all(page)
    expect(page.locator("[data-ready=true]")).to_have_count(1, timeout=60_000)
    neck = page.locator(".tk-neck .tk-picture")
    page.locator(".tk-menu-key select").select_option(label="D")
    expect(neck).to_have_attribute(
        "aria-label",
        "Mandolin neck, D minor pentatonic over D7: "
        "D (1) root of the chord, F (♭3) blue note, G (4) passing, "
        "A (5) chord tone, C (♭7) chord tone",
    )
    page.locator(".tk-changes").click()
    expect(page.locator(".tk-changes")).to_have_attribute("aria-label", "Pause")
    page.keyboard.press("Escape")
    page.locator(".jp-Cell").last.click()
    page.keyboard.press("Control+Enter")
    expect(page.get_by_text("now D")).to_be_visible()
    context.close()
