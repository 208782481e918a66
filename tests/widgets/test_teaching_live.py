"""Teaching from a running JupyterLab, in a real Chromium."""

from __future__ import annotations

import pytest
from hosts import Lab
from playwright.sync_api import Browser, Page, expect

pytestmark = pytest.mark.browser

CELLS = (
    "import theorykit as tk",
    'tk.ProgressionExplorer(key="A", step=8)',
    'tk.EnsembleExplorer(key="D", instruments=("mandolin", "guitar"))',
    'neck = tk.BlankNeck("mandolin", key="G"); neck',
    "print(neck)",
)


def run(page: Page, lab: Lab) -> None:
    lab.run_all(page)
    expect(page.locator("[data-ready=true]")).to_have_count(3, timeout=60_000)


def test_a_lesson_is_presented_undone_and_goes_on_another_day(browser: Browser, lab: Lab) -> None:
    context = browser.new_context(viewport={"width": 1280, "height": 1400})
    page = context.new_page()
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    lab.open(page, lab.add("a-lesson.ipynb", *CELLS))
    run(page, lab)
    key = page.locator(".tk-menu-key select").first
    title = page.locator("[data-kind=progression] .tk-neck .tk-title")

    # Large over all of JupyterLab, with the notebook's own menus; it must not see the keys.
    page.locator(".tk-chart").first.focus()
    page.keyboard.press("p")
    box = page.locator(".tk-presenting").bounding_box()
    assert box == {"x": 0, "y": 0, "width": 1280, "height": 1400}
    expect(page.locator(".tk-presenting .tk-menu-key select")).to_be_visible()
    key.select_option(label="C")
    expect(title).to_have_text("C minor pentatonic over G7")
    key.focus()
    page.keyboard.press("Escape")
    expect(page.locator(".tk-presenting")).to_have_count(0)
    expect(key).to_be_focused()

    # JupyterLab has these keys too, for cells.
    page.locator(".tk-chart").first.focus()
    page.keyboard.press("Control+z")
    expect(title).to_have_text("A minor pentatonic over E7")
    expect(page.locator("[data-kind=progression] .tk-status")).to_have_text("Undone: Key.")
    page.keyboard.press("Control+y")
    expect(title).to_have_text("C minor pentatonic over G7")
    expect(page.locator(".tk-chart").first).to_be_focused()

    marks = page.locator(".tk-blank .tk-mark")
    page.locator(".tk-blank-neck").focus()
    for name in ("ArrowDown", "Enter", "ArrowRight", "Enter", "Control+z", "2"):
        page.keyboard.press(name)
    expect(marks).to_have_text(["A", "2"])

    # Python has the marks, and the notebook's file has all of it, with no kernel to ask.
    page.wait_for_function(
        """() => {
          const kept = window.jupyterapp.shell.currentWidget.context.model.getMetadata("theorykit");
          const states = Object.values(kept ?? {});
          return states.some(({ key, step }) => key === "C" && step === 8)
            && states.some(({ marks }) => marks?.length === 2);
        }"""
    )
    page.evaluate(
        """async () => {
          const { context, sessionContext } = window.jupyterapp.shell.currentWidget;
          await context.save();
          await sessionContext.shutdown();
        }"""
    )
    page.close()
    page = context.new_page()
    page.on("pageerror", lambda error: errors.append(str(error)))
    lab.open(page, "a-lesson.ipynb")
    run(page, lab)
    marks = page.locator(".tk-blank .tk-mark")
    expect(marks).to_have_text(["A", "2"])
    title = page.locator("[data-kind=progression] .tk-neck .tk-title")
    expect(title).to_have_text("C minor pentatonic over G7")
    # What was not touched is as its cell has it.
    other = page.locator("[data-kind=ensemble] .tk-neck .tk-title").first
    expect(other).to_contain_text("Mandolin: D minor pentatonic")
    # And one step back leads to what the cell asks for.
    page.locator(".tk-chart").first.focus()
    page.keyboard.press("Control+z")
    expect(title).to_have_text("A minor pentatonic over E7")
    page.evaluate("() => window.jupyterapp.shell.currentWidget.sessionContext.shutdown()")
    context.close()
    assert errors == []
