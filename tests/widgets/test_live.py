"""The explorers in a running JupyterLab, in a real Chromium."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from hosts import Lab
from playwright.sync_api import Browser, Page, expect

from theorykit.practice.line import line_over

pytestmark = pytest.mark.browser

CELLS = (
    'import theorykit as tk\nstudy = tk.Study(key="A", scale="minor pentatonic", step=8)',
    "tk.ProgressionExplorer(study)",
    "tk.ScaleExplorer(study)",
    "print('now', study.key, study.scale, study.step, study.thirds)",
)
RUN = "(name) => { window.jupyterapp.commands.execute(name); }"


def neck(page: Page, number: int = 0) -> str:
    place = page.locator(".tk-neck .tk-picture").nth(number)
    return place.get_attribute("aria-label") or ""


def expect_neck(page: Page, number: int, words: str) -> None:
    place = page.locator(f".tk-neck .tk-picture[aria-label*='{words}']")
    expect(page.locator(".tk-neck .tk-picture").nth(number).and_(place)).to_have_count(1)


def ready(page: Page, count: int) -> None:
    expect(page.locator("[data-ready=true]")).to_have_count(count, timeout=60_000)


@pytest.fixture
def opened(browser: Browser, lab: Lab, request: pytest.FixtureRequest) -> Iterator[Page]:
    """A notebook with two explorers over one study, all its cells run."""
    context = browser.new_context(viewport={"width": 1280, "height": 1400})
    page = context.new_page()
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    name = re.sub(r"\W+", "-", request.node.name).strip("-")
    lab.open(page, lab.add(f"{name}.ipynb", *CELLS))
    lab.run_all(page)
    ready(page, 2)
    yield page
    page.evaluate("() => window.jupyterapp.shell.currentWidget.sessionContext.shutdown()")
    context.close()
    assert errors == []


def run_cell(page: Page, number: int) -> None:
    """Run one cell again, by its number in the notebook."""
    page.evaluate(
        """(number) => {
          const { content } = window.jupyterapp.shell.currentWidget;
          content.activeCellIndex = number;
          content.deselectAll();
          window.jupyterapp.commands.execute("notebook:run-cell");
        }""",
        number,
    )


def test_menus_repaint_and_both_views_stay_in_step(opened: Page) -> None:
    assert "A minor pentatonic over E7" in neck(opened)
    opened.locator(".tk-menu-key select").first.select_option(label="C")
    expect_neck(opened, 0, "C minor pentatonic over G7")
    expect_neck(opened, 1, "C minor pentatonic:")
    opened.locator(".tk-menu-scale select").nth(1).select_option(label="blues")
    expect_neck(opened, 0, "C blues over G7")
    opened.locator(".tk-menu-capo select").first.select_option(label="2")
    expect(opened.locator(".tk-menu-capo select").nth(1)).to_have_value("2")
    expect(opened.locator(".tk-neck .tk-title").first).to_contain_text("C blues")
    expect(opened.locator(".tk-menu-scale select").first).to_have_value("blues")


def test_what_is_chosen_while_cells_still_run_lasts(page: Page, lab: Lab) -> None:
    waiting = (
        "import time\nfrom pathlib import Path\nwhile not Path('go').exists(): time.sleep(0.05)"
    )
    cells = (*CELLS[:2], f"{waiting}\ntk.ScaleExplorer(study)", CELLS[3])
    lab.open(page, lab.add("while-cells-run.ipynb", *cells))
    lab.run_all(page)
    ready(page, 1)
    page.locator(".tk-menu-key select").first.select_option(label="D")
    expect_neck(page, 0, "D minor pentatonic over A7")
    (lab.folder / "go").touch()
    ready(page, 2)
    expect_neck(page, 1, "D minor pentatonic:")
    expect_neck(page, 0, "D minor pentatonic over A7")
    run_cell(page, 3)
    expect(page.get_by_text("now D minor pentatonic 8 True")).to_be_visible()
    page.evaluate("() => window.jupyterapp.shell.currentWidget.sessionContext.shutdown()")


def test_python_is_told_and_can_set(opened: Page) -> None:
    opened.locator(".tk-menu-key select").first.select_option(label="D")
    opened.locator("[data-step='4']").click()
    opened.get_by_label("thirds in the chords").uncheck()
    run_cell(opened, 3)
    expect(opened.get_by_text("now D minor pentatonic 4 False")).to_be_visible()


def test_the_chart_is_stepped_by_arrow_keys(opened: Page) -> None:
    opened.locator(".tk-chart").focus()
    opened.keyboard.press("ArrowRight")
    expect_neck(opened, 0, "A minor pentatonic over D7")
    # The notebook itself moves its selection on arrow keys: it must not have seen them.
    assert opened.evaluate("document.activeElement.className") == "tk-chart"


def test_an_own_scale_joins_the_menus_and_a_wrong_one_is_told(opened: Page) -> None:
    field = opened.locator(".tk-own-scale input").first
    field.fill("1 2 b3 5 6")
    field.press("Enter")
    expect_neck(opened, 0, "A 1 2 b3 5 6 over E7")
    field.fill("1 3 2")
    field.press("Enter")
    expect(opened.get_by_role("alert").first).to_contain_text("does not rise within one octave")
    expect_neck(opened, 0, "A 1 2 b3 5 6 over E7")


def test_playing_follows_the_sound(opened: Page) -> None:
    button = opened.locator("button.tk-changes")
    button.click()
    expect(opened.locator("[data-step='0']")).to_have_attribute("aria-selected", "true")
    # The play head stands in the bar that sounds, once the count-in is over.
    expect(opened.locator(".tk-bar").first.locator(".tk-head")).to_have_count(1, timeout=15_000)
    expect(button).to_have_text("Pause")
    opened.locator("button.tk-stop").click()
    expect(button).to_have_text("Play")
    expect(opened.locator(".tk-head")).to_have_count(0)


def test_keys_pressed_in_an_explorer_are_not_the_notebooks(opened: Page) -> None:
    cells = "() => window.jupyterapp.shell.currentWidget.content.widgets.length"
    before = opened.evaluate(cells)
    opened.locator(".tk-chart").focus()
    # In a notebook's command mode two presses of D delete a cell, and A adds one.
    for key in ("d", "d", "a"):
        opened.keyboard.press(key)
    opened.keyboard.press("Space")
    expect(opened.locator("button.tk-changes")).to_have_text("Pause")
    opened.keyboard.press("Escape")
    expect(opened.locator("button.tk-changes")).to_have_text("Play")
    assert opened.evaluate(cells) == before
    # What the notebook does with Ctrl stays its own.
    opened.keyboard.press("Control+s")
    opened.wait_for_function("() => !window.jupyterapp.shell.currentWidget.content.model.dirty")


def test_running_a_cell_again_leaves_nothing_behind(opened: Page) -> None:
    counted = (
        "() => [window.Bokeh.documents.length, document.querySelectorAll('.tk-explorer').length]"
    )
    before = opened.evaluate(counted)
    # Three figures for each of two explorers.
    assert before == [6, 2]
    for _ in range(10):
        opened.evaluate("() => { document.querySelector('.tk-explorer').dataset.old = 'true'; }")
        run_cell(opened, 1)
        expect(opened.locator("[data-old]")).to_have_count(0)
        ready(opened, 2)
    assert opened.evaluate(counted) == before


def test_a_reload_keeps_the_state(opened: Page, lab: Lab) -> None:
    opened.locator(".tk-menu-key select").first.select_option(label="E")
    opened.locator(".tk-menu-instrument select").first.select_option(label="banjo")
    opened.locator("[data-step='4']").click()
    expect_neck(opened, 0, "Banjo neck, E minor pentatonic over A7")
    opened.evaluate("() => window.jupyterapp.commands.execute('docmanager:save')")
    opened.reload()
    ready(opened, 2)
    expect_neck(opened, 0, "Banjo neck, E minor pentatonic over A7")
    expect(opened.locator(".tk-menu-key select").first).to_have_value("E")


@pytest.mark.parametrize("width", [1280, 800])
def test_nothing_is_cut_off(opened: Page, width: int) -> None:
    opened.set_viewport_size({"width": width, "height": 1400})
    expect(opened.locator(".tk-explorer").first).to_be_visible()
    cut = opened.evaluate(
        """() => [...document.querySelectorAll(".tk-explorer, .tk-explorer > *, .tk-chord, .tk-button")]
          .filter((one) => one.scrollWidth > one.clientWidth + 1 && one.clientWidth > 0)
          .filter((one) => getComputedStyle(one).overflowX !== "auto")
          .map((one) => one.className)"""
    )
    assert cut == []
    # A neck that has too little room is scrolled: its marks and frets keep theirs.
    narrowest = opened.evaluate(
        """() => Math.min(...[...document.querySelectorAll(".tk-neck .tk-picture")]
          .map((one) => one.getBoundingClientRect().width))"""
    )
    assert narrowest >= 640


NECK_CELLS = (
    'import theorykit as tk\nstudy = tk.Study(root="G", instrument="guitar", key="A")',
    "tk.ShapeExplorer(study)",
    "tk.PositionExplorer(study)",
    "print('now', study.omit, study.shape >= 0, study.position)",
)


MUSIC_CELLS = (
    "import theorykit as tk",
    'tk.LineExplorer(key="A", progression="I-IV-V vamp", level="1", instrument="mandolin")',
    'tk.SequenceExplorer(key="G", scale="major", figure="thirds", instrument="mandolin")',
)


@pytest.fixture
def necks(browser: Browser, lab: Lab, request: pytest.FixtureRequest) -> Iterator[Page]:
    """A notebook with a shape explorer and a position explorer, all its cells run."""
    with run_notebook(browser, lab, request, NECK_CELLS) as page:
        yield page


@pytest.fixture
def music(browser: Browser, lab: Lab, request: pytest.FixtureRequest) -> Iterator[Page]:
    """A notebook with a line explorer and a sequence explorer, all its cells run."""
    with run_notebook(browser, lab, request, MUSIC_CELLS) as page:
        yield page


@contextmanager
def run_notebook(
    browser: Browser, lab: Lab, request: pytest.FixtureRequest, cells: tuple[str, ...]
) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 1280, "height": 1800})
    page = context.new_page()
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    name = re.sub(r"\W+", "-", request.node.name).strip("-")
    lab.open(page, lab.add(f"{name}.ipynb", *cells))
    lab.run_all(page)
    ready(page, 2)
    yield page
    page.evaluate("() => window.jupyterapp.shell.currentWidget.sessionContext.shutdown()")
    context.close()
    assert errors == []


def test_a_chord_is_picked_and_loses_its_third(necks: Page) -> None:
    title = necks.locator("[data-kind=shapes] .tk-neck .tk-title")
    expect(title).to_contain_text("G: 320003 (1 of")
    necks.locator(".tk-menu-omit select").select_option(label="third")
    # Common practice: string 5 is muted and string 2 stopped at fret 3.
    expect(title).to_contain_text("G without its third: 3x0033")
    necks.locator(".tk-menu-omit select").select_option(label="nothing")
    expect(title).to_contain_text("G: 320003")
    necks.locator(".tk-menu-root select").select_option(label="C")
    expect(title).to_contain_text("C: x32010")
    necks.locator(".tk-menu-instrument select").first.select_option(label="mandolin")
    expect(title).to_contain_text("C: 0230")
    run_cell(necks, 3)
    expect(necks.get_by_text("now True 0")).to_be_visible()


def test_a_position_is_chosen(necks: Page) -> None:
    title = necks.locator("[data-kind=positions] .tk-neck .tk-title")
    expect(title).to_contain_text("A minor pentatonic, open strings")
    necks.get_by_role("button", name="Fret 5").click()
    expect(title).to_contain_text("index finger at fret 5")
    necks.locator(".tk-menu-key select").select_option(label="C")
    expect(title).to_contain_text("C minor pentatonic")


def test_lines_are_written_as_they_are_asked_for(music: Page) -> None:
    """No page could hold them all: the kernel writes each, and its notes are asked about."""
    place = music.locator("[data-kind=lines]")
    title, sentence = place.locator(".tk-sheet-row .tk-title"), place.locator(".tk-sentence")
    expect(place.locator(".tk-music > svg")).to_be_visible()
    for _ in range(4):
        place.get_by_role("button", name="New line").click()
    expect(title).to_have_text("Line 5, level 1 chord tones")
    music.locator(".tk-menu-level select").select_option(label="3 neighbours and pick-ups")
    expect(title).to_have_text("Line 5, level 3 neighbours and pick-ups")
    place.get_by_role("button", name="note ›").click()
    line = line_over(
        "I-IV-V vamp", "A", level=3, grit=0.3, style="bluegrass", instrument="mandolin", seed=4
    )
    expect(sentence).to_have_text(f"Note 1 of {len(line.notes)}: {line.why(0)}")
    expect(place.locator(".tk-music > svg")).to_be_visible()


def test_a_sequence_is_written_in_another_key(music: Page) -> None:
    place = music.locator("[data-kind=sequences]")
    expect(place.locator(".tk-music > svg")).to_have_attribute("role", "img")
    music.locator(".tk-menu-key select").last.select_option(label="C")
    place.get_by_role("button", name="note ›").click()
    expect(place.locator(".tk-sentence")).to_contain_text("Note 1 of")
    expect(place.locator(".tk-sentence")).to_contain_text("C4, degree 1, string 4 fret 5")
