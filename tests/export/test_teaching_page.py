"""Teaching from an exported page, in a real Chromium: presenting, covers, questions, several necks."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from notebook_files import export_page, write_notebook
from playwright.sync_api import Locator, Page, expect

pytestmark = pytest.mark.browser

ONE_OF_EACH = """study = tk.Study(
    key="A", step=8, instruments=("mandolin",), progressions=("12-bar blues",),
    scales=("minor pentatonic",), styles=("bluegrass",),
)"""
CELLS = (
    "# In front of a class",
    f"import theorykit as tk\n{ONE_OF_EACH}",
    "tk.ProgressionExplorer(study)",
    'tk.EnsembleExplorer(study, ("mandolin", "guitar", "fiddle"), {"guitar": 2})',
    'tk.BlankNeck("mandolin", [(4, 0, "root")], key="G")',
)


@pytest.fixture(scope="module")
def trial(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("teaching")
    return export_page(write_notebook(folder / "class.ipynb", *CELLS), folder)


@pytest.fixture
def opened(page: Page, trial: Path) -> Page:
    page.goto(trial.as_uri())
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    return page


def labels(page: Page, place: Locator, number: int = 0) -> list[str]:
    """What is written on a neck's own Bokeh source, by string from the lowest, then by place."""
    found: list[str] = page.evaluate(
        """(picture) => {
          const owner = Bokeh.documents.find((one) =>
            [...(one.views_manager?.roots ?? [])].some((view) => picture.contains(view.el)));
          const { x, y, label } = owner.get_model_by_name("neck-marks").data;
          return label.map((text, i) => ({ text, x: x[i], y: y[i] })).filter((one) => Number.isFinite(one.x))
            .sort((a, b) => a.y - b.y || a.x - b.x).map((one) => one.text);
        }""",
        place.locator(".tk-neck .tk-picture").nth(number).element_handle(),
    )
    return found


def test_one_explorer_fills_the_window_and_the_keys_lead_through_the_lesson(opened: Page) -> None:
    page, keys = opened, opened.keyboard
    place = page.locator("[data-kind=progression]")
    sentence, chart = place.locator(".tk-sentence"), place.locator(".tk-chart")
    usual = place.locator(".tk-neck .tk-picture").bounding_box()
    answer = sentence.text_content() or ""
    chart.focus()
    keys.press("p")
    stage = page.locator(".tk-presenting")
    expect(stage).to_have_count(1)
    box, size = stage.bounding_box(), page.viewport_size
    assert box is not None
    assert size is not None
    assert usual is not None
    assert (box["x"], box["y"], box["width"], box["height"]) == (
        0,
        0,
        size["width"],
        size["height"],
    )
    # Its menus come along, the focus stays, and nothing behind it can be reached.
    expect(stage.locator("select[name=key]")).to_be_visible()
    expect(chart).to_be_focused()
    font = "(one) => parseFloat(getComputedStyle(one).fontSize)"
    assert sentence.evaluate(font) >= 24
    expect(place.locator(".tk-neck .tk-picture > *").first).not_to_have_css(
        "height", f"{usual['height']}px"
    )
    page.locator("[data-kind=ensemble] .tk-chart").evaluate("(one) => one.focus()")
    expect(stage.locator("select[name=key]")).to_be_focused()
    keys.press("Shift+Tab")
    expect(stage.locator(":focus")).to_have_count(1)
    chart.focus()
    # A question first: the next chord keeps its answer back, on the neck and in words.
    keys.press("q")
    expect(sentence).to_have_text(answer)
    keys.press("PageDown")
    expect(sentence).to_have_text("Bar 10: IV7, D7: what would you play?")
    assert labels(page, place) == []
    picture = place.locator(".tk-neck .tk-picture")
    expect(picture).to_have_attribute("aria-label", re.compile("the answer is not shown yet"))
    place.get_by_role("button", name="Show the answer").click()
    expect(sentence).to_contain_text("Over D7")
    expect(chart).to_be_focused()
    # The next key press goes on to the next chord, and one more shows its answer.
    keys.press("n")
    expect(sentence).to_have_text("Bar 11: I7, A7: what would you play?")
    keys.press("n")
    expect(sentence).to_contain_text("Over A7")
    keys.press("b")
    expect(sentence).to_contain_text("Over D7")
    keys.press("q")
    # Labels one by one, the lowest string first: G and A on a mandolin.
    keys.press("v")
    assert set(labels(page, place)) == {""}
    keys.press("r")
    keys.press("r")
    assert [text for text in labels(page, place) if text] == ["G", "A"]
    place.get_by_role("button", name="Show all").click()
    assert "" not in labels(page, place)
    place.get_by_role("button", name="Cover all").click()
    # A tap shows the label that it hits.
    place.locator(".tk-neck").focus()
    keys.press("Enter")
    assert [text for text in labels(page, place) if text] == ["E"]
    keys.press("v")
    keys.press("Escape")
    expect(page.locator(".tk-presenting")).to_have_count(0)
    expect(place.locator(".tk-neck")).to_be_focused()
    after = place.locator(".tk-neck .tk-picture").bounding_box()
    assert after is not None
    assert after["height"] == pytest.approx(usual["height"], abs=2)


def test_choices_are_undone_in_every_view_and_all_necks_follow(opened: Page) -> None:
    page = opened
    first, wall = page.locator("[data-kind=progression]"), page.locator("[data-kind=ensemble]")
    titles = wall.locator(".tk-neck .tk-title")
    expect(titles).to_have_text(
        [
            "Mandolin: A minor pentatonic over E7",
            "Guitar, capo 2: A minor pentatonic over E7",
            "Fiddle: A minor pentatonic over E7",
        ]
    )
    undo = first.get_by_role("button", name="Undo")
    expect(undo).to_have_attribute("aria-disabled", "true")
    page.locator("select[name=key]").first.select_option(label="C")
    wall.locator("[data-step='4']").click()
    expect(titles.last).to_have_text("Fiddle: C minor pentatonic over F7")
    # Open strings that the scale has; the guitar's two frets up (common practice).
    assert [labels(page, wall, number)[0] for number in range(3)] == ["G", "G", "G"]
    undo.click()
    expect(titles.last).to_have_text("Fiddle: A minor pentatonic over D7")
    expect(first.locator(".tk-status")).to_have_text("Undone: Key.")
    expect(undo).to_be_focused()
    wall.locator(".tk-chart").focus()
    page.keyboard.press("Control+y")
    expect(page.locator("select[name=key] option:checked").first).to_have_text("C")
    page.keyboard.press("Control+Shift+z")
    expect(wall.locator(".tk-status")).to_have_text("Nothing to redo.")


def test_a_blank_neck_is_marked_saved_and_kept(opened: Page, tmp_path: Path) -> None:
    page, keys = opened, opened.keyboard
    place = page.locator(".tk-blank")
    neck, status, marks = (
        place.locator(each) for each in (".tk-blank-neck", ".tk-status", ".tk-mark")
    )
    expect(marks).to_have_text(["G"])
    neck.focus()
    # Down to the lowest string, two frets up: an A in G, its second degree.
    for key in ("ArrowDown", "ArrowDown", "ArrowDown", "ArrowRight", "ArrowRight", "Enter"):
        keys.press(key)
    expect(marks).to_have_text(["G", "A"])
    expect(status).to_have_text("string 4 fret 2 · A, 2 · note")
    keys.press("1")
    expect(marks).to_have_text(["G", "1"])
    keys.press("Control+z")
    keys.press("s")
    expect(status).to_have_text("string 4 fret 2 · A, 2 · root")
    place.get_by_label("Labels").select_option(label="degrees")
    expect(marks).to_have_text(["1", "2"])
    # A click where a mark lies takes it away, and one beside it puts one there.
    marks.first.click()
    expect(marks).to_have_text(["2"])
    place.get_by_role("button", name="Undo").click()
    place.get_by_role("button", name="Undo").click()
    place.get_by_role("button", name="Redo").click()
    expect(marks).to_have_text(["1", "2"])
    with page.expect_download() as waited:
        place.get_by_role("button", name="Save picture").click()
    waited.value.save_as(tmp_path / "neck.svg")
    root = ET.parse(tmp_path / "neck.svg").getroot()
    bold = root.findall(".//{http://www.w3.org/2000/svg}text[@font-weight='bold']")
    assert [one.text for one in bold] == ["1", "2"]
    page.reload()
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    expect(marks).to_have_text(["1", "2"])
    place.get_by_role("button", name="Clear").click()
    expect(marks).to_have_count(0)
    expect(place.locator("svg[role=img]")).to_have_attribute(
        "aria-label", "Mandolin neck with no marks"
    )
