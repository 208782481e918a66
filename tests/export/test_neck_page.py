"""Positions and chord shapes in an exported page, in a real Chromium."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from notebook_files import export_page, write_notebook
from playwright.sync_api import Locator, Page, expect

from theorykit.instruments.shape import parse_frets

pytestmark = pytest.mark.browser

CELLS = (
    "# Positions and shapes",
    'import theorykit as tk\nnecks = ("guitar", "mandolin")',
    'tk.PositionExplorer(tk.Study(key="A", scale="minor pentatonic", instruments=necks))',
    'tk.ShapeExplorer(tk.Study(root="G", instruments=necks, qualities=("", "m", "7")))',
)


@pytest.fixture(scope="module")
def trial(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("necks")
    return export_page(write_notebook(folder / "necks.ipynb", *CELLS), folder)


@pytest.fixture
def opened(page: Page, trial: Path) -> Page:
    page.goto(trial.as_uri())
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    return page


def explorer(page: Page, kind: str) -> Locator:
    return page.locator("figure.theorykit", has=page.locator(f"[data-kind={kind}]"))


def expect_title(place: Locator, words: str) -> None:
    expect(place.locator(".tk-neck .tk-title")).to_contain_text(words)


def labels(page: Page, place: Locator) -> dict[str, int]:
    """What is written on the neck's own Bokeh source, and how often."""
    found: dict[str, int] = page.evaluate(
        """(picture) => {
          const owner = Bokeh.documents.find((one) =>
            [...(one.views_manager?.roots ?? [])].some((view) => picture.contains(view.el)));
          const { x, label } = owner.get_model_by_name("neck-marks").data;
          const count = {};
          label.forEach((one, i) => { if (Number.isFinite(x[i])) count[one] = (count[one] ?? 0) + 1; });
          return count;
        }""",
        place.locator(".tk-neck .tk-picture").element_handle(),
    )
    return found


def test_a_chord_loses_its_third_and_its_shape_changes(opened: Page) -> None:
    place = explorer(opened, "shapes")
    expect_title(place, "G: 320003 (1 of")
    expect(place.locator(".tk-sentence")).to_have_text(
        "Its third sounds on string 5 fret 2 and string 2 open."
    )
    assert labels(opened, place)["B"] == 2
    place.locator("select[name=omit]").select_option(label="third")
    # Common practice: string 5 is muted, and string 2 gets the little finger or the ring finger.
    expect_title(place, "G without its third: 3x0033")
    expect(place.locator(".tk-sentence")).to_have_text("No third sounds: neither major nor minor.")
    assert "B" not in labels(opened, place)
    place.locator("select[name=omit]").select_option(label="nothing")
    expect_title(place, "G: 320003")


def test_chord_instrument_and_place_are_chosen(opened: Page) -> None:
    place = explorer(opened, "shapes")
    place.locator("select[name=root]").select_option(label="C")
    place.locator("select[name=quality]").select_option(label="minor")
    expect_title(place, "Cm: ")
    place.locator("select[name=instrument]").select_option(label="mandolin")
    place.locator("select[name=quality]").select_option(label="major")
    expect_title(place, "C: 0230")
    place.locator("select[name=place]").select_option(label="closed")
    expect(place.locator(".tk-frets", has_text="0230")).to_have_count(0)
    texts = place.locator(".tk-frets").all_text_contents()
    assert texts
    assert not any(0 in parse_frets(text, 4) for text in texts)


def test_another_shape_is_chosen_by_click_and_by_keys(opened: Page) -> None:
    place = explorer(opened, "shapes")
    texts = place.locator(".tk-frets").all_text_contents()
    assert len(texts) == len(set(texts)) > 4
    place.locator("[data-number='2']").click()
    expect_title(place, f"G: {texts[2]} (3 of {len(texts)})")
    opened.keyboard.press("ArrowRight")
    expect_title(place, f"G: {texts[3]} (4 of {len(texts)})")
    opened.keyboard.press("Home")
    expect_title(place, f"G: {texts[0]} (1 of {len(texts)})")


def test_two_shapes_are_compared(opened: Page) -> None:
    place = explorer(opened, "shapes")
    place.locator("[data-compare='1']").click()
    second = place.locator(".tk-frets").nth(1).text_content() or ""
    expect_title(place, f"beside {second}")
    sentence = place.locator(".tk-sentence")
    expect(sentence).to_have_text(re.compile(rf"Alone, {second} is .*rough.* A B♭ above it rubs"))
    expect(place.locator(".tk-legend")).to_contain_text("only in ")
    expect(place.get_by_role("button", name="Strum the other")).to_be_visible()
    place.locator("[data-compare='1']").click()
    expect(place.get_by_role("button", name="Strum the other")).to_be_hidden()


def test_fingers_stand_on_the_marks(opened: Page) -> None:
    place = explorer(opened, "shapes")
    place.get_by_label("fingers on the marks").check()
    expect(place.get_by_label("fingers on the marks")).to_be_checked()
    found = labels(opened, place)
    # 320003: three open strings and three fingers.
    assert found["0"] == 3
    assert sum(found[finger] for finger in "1234" if finger in found) == 3


def test_a_left_handed_neck_is_mirrored(opened: Page) -> None:
    place = explorer(opened, "positions")
    picture = place.locator(".tk-neck .tk-picture").element_handle()
    ends = """(picture) => {
      const owner = Bokeh.documents.find((one) =>
        [...(one.views_manager?.roots ?? [])].some((view) => picture.contains(view.el)));
      const { x_range } = owner.get_model_by_name("neck");
      return x_range.start < x_range.end;
    }"""
    assert opened.evaluate(ends, picture)
    place.get_by_label("left-handed").check()
    opened.wait_for_function(f"(picture) => !({ends})(picture)", arg=picture)


def test_one_position_stands_out(opened: Page) -> None:
    place = explorer(opened, "positions")
    expect_title(place, "A minor pentatonic, open strings")
    place.get_by_role("button", name="Fret 5").click()
    expect_title(place, "A minor pentatonic, index finger at fret 5")
    # Common practice: the first box of A minor pentatonic on guitar, two notes a string.
    expect(place.locator(".tk-neck .tk-picture")).to_have_attribute(
        "aria-label",
        re.compile(
            "string 6 5 8; string 5 5 7; string 4 5 7; string 3 5 7; string 2 5 8; string 1 5 8"
        ),
    )
    found = labels(opened, place)
    assert found[""] > 12
    assert sum(count for label, count in found.items() if label) == 12
    place.get_by_role("button", name="All").click()
    expect_title(place, "every place of the scale")
    place.locator("select[name=pattern]").select_option(label="2 notes a string")
    expect_title(place, "2 notes a string, frets")


@pytest.mark.parametrize(
    ("kind", "button"), [("positions", "Hear the position"), ("shapes", "Strum it")]
)
def test_they_are_heard(opened: Page, kind: str, button: str) -> None:
    place = explorer(opened, kind)
    sounds = place.get_by_role("button", name=button)
    sounds.click()
    expect(place.get_by_role("button", name="Stop")).to_be_visible()
    expect(sounds).to_be_visible(timeout=20_000)


def test_nothing_is_cut_off_in_a_narrow_window(opened: Page) -> None:
    opened.set_viewport_size({"width": 800, "height": 900})
    wide = opened.evaluate("() => document.documentElement.scrollWidth")
    assert wide <= 800
