"""Sequences and lines in an exported page, in a real Chromium: with no kernel and no network."""

from __future__ import annotations

from pathlib import Path

import pytest
from notebook_files import export_page, write_notebook
from playwright.sync_api import Locator, Page, expect

from theorykit.practice.line import line_over
from theorykit.practice.line_level import LEVELS

pytestmark = pytest.mark.browser

CELLS = (
    "# Lines and sequences",
    "import theorykit as tk",
    """tk.LineExplorer(key="A", level="1", grit="plain", progression="I-IV-V vamp",
    progressions=("I-IV-V vamp",), styles=("bluegrass",), instruments=("mandolin", "fiddle"))""",
    """tk.SequenceExplorer(key="G", scale="major", scales=("major", "minor pentatonic"),
    instruments=("mandolin",))""",
)


@pytest.fixture(scope="module")
def trial(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("music")
    return export_page(write_notebook(folder / "music.ipynb", *CELLS), folder)


@pytest.fixture
def opened(page: Page, trial: Path) -> Page:
    requests: list[str] = []
    page.on("request", lambda request: requests.append(request.url))
    page.goto(trial.as_uri())
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    assert [url for url in requests if not url.startswith(("file:", "data:", "blob:"))] == []
    return page


def explorer(page: Page, kind: str) -> Locator:
    return page.locator("figure.theorykit", has=page.locator(f"[data-kind={kind}]"))


def test_a_page_with_music_is_small_enough(trial: Path) -> None:
    assert trial.stat().st_size <= 2_500_000


def test_a_line_is_gone_through_note_by_note(opened: Page) -> None:
    place = explorer(opened, "lines")
    sentence = place.locator(".tk-sentence")
    expect(sentence).to_have_text(LEVELS[1].promise)
    line = line_over("I-IV-V vamp", "A", level=1, grit=0.0, instrument="mandolin")
    # Each note of the staff is there, and on the tablature once more.
    assert place.locator(".tk-music svg g.note").count() >= len(line.notes)
    for number in range(3):
        place.get_by_role("button", name="note ›").click()
        expect(sentence).to_have_text(f"Note {number + 1} of {len(line.notes)}: {line.why(number)}")
        expect(place.locator(".tk-now").first).to_be_attached()
    place.locator(".tk-music").press("ArrowLeft")
    expect(sentence).to_have_text(f"Note 2 of {len(line.notes)}: {line.why(1)}")


def test_another_line_is_compared_with_the_one_that_was_kept(opened: Page) -> None:
    place = explorer(opened, "lines")
    title, hear = place.locator(".tk-sheet-row .tk-title"), place.locator(".tk-other")
    expect(title).to_have_text("Line 1, level 1 chord tones")
    expect(hear).to_be_hidden()
    place.get_by_role("button", name="Keep this line").click()
    expect(hear).to_be_visible()
    place.get_by_role("button", name="New line").click()
    expect(title).to_have_text("Line 2, level 1 chord tones; line 1 is kept")
    hear.click()
    expect(hear).to_have_attribute("aria-pressed", "true")
    opened.keyboard.press("Escape")
    expect(hear).to_have_attribute("aria-pressed", "false")
    # The page has two lines of each kind: after the last comes the first.
    place.get_by_role("button", name="New line").click()
    expect(title).to_have_text("Line 1, level 1 chord tones; line 1 is kept")


def test_every_choice_of_the_menus_has_music(opened: Page) -> None:
    """Engraved next to what was chosen, or else as text."""
    place = explorer(opened, "lines")
    for name in ("level", "key", "instrument"):
        menu = place.locator(f"select[name={name}]")
        for label in menu.locator("option").all_text_contents():
            menu.select_option(label=label)
            expect(place.locator(".tk-sentence")).not_to_contain_text("no music")
            expect(place.locator(".tk-music svg, .tk-music pre").first).to_be_visible()
        menu.select_option(index=0)


def test_a_sequence_changes_its_figure_and_plays(opened: Page) -> None:
    place = explorer(opened, "sequences")
    sentence = place.locator(".tk-sentence")
    expect(place.locator(".tk-sheet-row .tk-title")).to_have_text("Threes in eighths, up and back")
    place.locator("select[name=figure]").select_option(label="thirds")
    expect(place.locator(".tk-sheet-row .tk-title")).to_have_text("Thirds in eighths, up and back")
    place.get_by_role("button", name="note ›").click()
    # Common practice: thirds in G from the open string: G B, A C, ...
    expect(sentence).to_contain_text("G3, degree 1, string 4 open")
    place.get_by_role("button", name="note ›").click()
    expect(sentence).to_contain_text("B3, degree 3")
    place.locator(".tk-written").click()
    expect(place.locator(".tk-now").first).to_be_attached()
    opened.keyboard.press("Escape")
