"""The exported page in a real Chromium: works from a file, asks the network for nothing."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import pytest
from accessibility import violations
from keyboard_walk import walk
from notebook_files import export_page, write_notebook
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

pytestmark = pytest.mark.browser

#: Bytes of a page that goes well into an attachment (stipulated).
LARGEST_PAGE = 2.5e6

CELLS = (
    "# A page to try",
    'import theorykit as tk\nstudy = tk.Study(key="A", scale="minor pentatonic", step=8)',
    "tk.ProgressionExplorer(study)",
    'tk.ScaleExplorer(key="D", scale="minor pentatonic", compare="blues", instrument="banjo")',
    "tk.ScaleExplorer(study)",
)


@pytest.fixture(scope="module")
def trial(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("trial")
    return export_page(write_notebook(folder / "trial.ipynb", *CELLS), folder)


@pytest.fixture
def offline(browser: Browser) -> Iterator[tuple[BrowserContext, list[str], list[str]]]:
    """A context that notes every request and every error; the page's own policy is switched off,

    so that a request is seen and not just forbidden.
    """
    context = browser.new_context(bypass_csp=True, viewport={"width": 1280, "height": 900})
    requests: list[str] = []
    errors: list[str] = []
    context.on("request", lambda request: requests.append(request.url))
    context.on("weberror", lambda error: errors.append(str(error.error)))
    context.on(
        "console",
        lambda message: errors.append(message.text) if message.type == "error" else None,
    )
    yield context, requests, errors
    context.close()


def open_page(context: BrowserContext, path: Path, *, lively: bool = True) -> Page:
    page = context.new_page()
    page.goto(path.as_uri())
    if lively:
        page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    return page


def explorer(page: Page, number: int) -> Locator:
    return page.locator("figure.theorykit").nth(number)


def neck_text(place: Locator) -> str:
    return place.locator(".tk-neck .tk-picture").get_attribute("aria-label") or ""


def expect_neck(place: Locator, words: str) -> None:
    """Wait until the text alternative of the neck has these words."""
    expect(place.locator(".tk-neck .tk-picture")).to_have_attribute(
        "aria-label", re.compile(re.escape(words))
    )


def expect_marks(page: Page, place: Locator, labels: set[str]) -> None:
    """Wait until the neck's Bokeh source itself has these labels and no others."""
    page.wait_for_function(
        """([picture, labels]) => {
          const owner = Bokeh.documents.find((one) =>
            [...(one.views_manager?.roots ?? [])].some((view) => picture.contains(view.el)));
          const { x, label } = owner.get_model_by_name("neck-marks").data;
          const found = new Set(label.filter((_, i) => Number.isFinite(x[i])));
          return found.size === labels.length && labels.every((one) => found.has(one));
        }""",
        arg=[place.locator(".tk-neck .tk-picture").element_handle(), sorted(labels)],
    )


def test_nothing_is_fetched_and_nothing_goes_wrong(
    offline: tuple[BrowserContext, list[str], list[str]], trial: Path
) -> None:
    context, requests, errors = offline
    page = open_page(context, trial)
    for select in page.locator(".tk-menus select").all():
        select.select_option(index=1)
    page.locator("button.tk-scale").first.click()
    page.wait_for_selector("button.tk-scale[aria-pressed=true]")
    outside = [url for url in requests if not url.startswith(("file:", "data:", "blob:"))]
    assert outside == []
    assert [url for url in requests if url.startswith("file:")] == [trial.as_uri()]
    assert errors == []


def test_the_policy_forbids_every_fetch(browser: Browser, trial: Path) -> None:
    page = browser.new_page()
    page.goto(trial.as_uri())
    refused = page.evaluate(
        """() => new Promise((resolve) => {
          document.addEventListener("securitypolicyviolation", (e) => resolve(e.violatedDirective));
          fetch("http://127.0.0.1:9/").catch(() => {});
        })"""
    )
    assert refused == "connect-src"
    page.close()


def test_size(trial: Path) -> None:
    assert trial.stat().st_size <= 1.8e6


def test_menus_repaint_everything(page: Page, trial: Path) -> None:
    page.goto(trial.as_uri())
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    place = explorer(page, 0)
    expect_neck(place, "A minor pentatonic over E7")
    place.locator("select[name=key]").select_option(label="B♭")
    expect_neck(place, "B♭ minor pentatonic over F7")
    expect_marks(page, place, {"B♭", "D♭", "E♭", "F", "A♭"})
    place.locator("select[name=scale]").select_option(label="major pentatonic")
    expect_neck(place, "B♭ major pentatonic over F7")
    expect_marks(page, place, {"B♭", "C", "D", "F", "G"})
    place.locator("select[name=labels]").select_option(label="degrees")
    expect_marks(page, place, {"1", "2", "3", "5", "6"})
    place.locator("select[name=labels]").select_option(label="hidden")
    expect_marks(page, place, {""})
    place.locator("select[name=instrument]").select_option(label="guitar")
    expect_neck(place, "Guitar neck")
    place.locator("select[name=progression]").select_option(label="I-IV-V vamp")
    expect(place.locator(".tk-chord")).to_have_count(4)
    place.locator("select[name=style]").select_option(label="classical")
    place.locator("select[name=compare]").select_option(label="blues")
    expect_neck(place, "beside B♭ blues")


def test_views_of_one_study_stay_in_step_and_others_do_not_move(page: Page, trial: Path) -> None:
    page.goto(trial.as_uri())
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    explorer(page, 2).locator("select[name=key]").select_option(label="C")
    expect(explorer(page, 0).locator("select[name=key] option:checked")).to_have_text("C")
    expect_neck(explorer(page, 0), "C minor pentatonic over G7")
    expect_neck(explorer(page, 1), "D minor pentatonic, beside D blues")


def test_the_chart_is_stepped_by_arrow_keys_and_clicks(page: Page, trial: Path) -> None:
    page.goto(trial.as_uri())
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    place = explorer(page, 0)
    chart = place.locator(".tk-chart")

    def expect_step(step: int) -> None:
        chosen = place.locator("[aria-selected=true]")
        expect(chosen).to_have_attribute("data-step", str(step))

    chart.focus()
    expect_step(8)
    for key, step in (
        ("ArrowRight", 9),
        ("ArrowLeft", 8),
        ("ArrowUp", 4),
        ("ArrowDown", 8),
        ("Home", 0),
        ("ArrowLeft", 0),
        ("End", 11),
        ("ArrowRight", 11),
    ):
        page.keyboard.press(key)
        expect_step(step)
    place.locator("[data-step='4']").click()
    expect_step(4)
    expect_neck(place, "over D7")
    expect(place.locator(".tk-sentence")).to_contain_text("Over D7")


def test_switches_leave_the_thirds_out_and_show_what_to_play(page: Page, trial: Path) -> None:
    page.goto(trial.as_uri())
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    place = explorer(page, 0)
    place.get_by_label("show what to play").check()
    expect_neck(place, "E minor pentatonic (advised) over E7")
    place.get_by_label("show what to play").uncheck()
    place.locator("[data-step='0']").click()
    expect_neck(place, "C (♭3) blue note")
    place.get_by_label("thirds in the chords").uncheck()
    expect_neck(place, "C (♭3) colour tone")
    expect(place.locator("[data-step='0']")).to_contain_text("A7no3")


def test_a_tap_on_the_neck_or_a_key_sounds_and_names_it(page: Page, trial: Path) -> None:
    page.goto(trial.as_uri())
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    place = explorer(page, 0)
    picture = place.locator(".tk-neck .tk-picture")
    picture.scroll_into_view_if_needed()
    box = picture.bounding_box()
    assert box
    # The open first string of a mandolin, left of the nut; E is the root of E7.
    page.mouse.click(box["x"] + 0.07 * box["width"], box["y"] + 0.14 * box["height"])
    status = place.locator(".tk-status")
    expect(status).to_have_text("E · open string 1 · 5, root of the chord")
    keys = place.locator(".tk-keyboard .tk-picture")
    keys.scroll_into_view_if_needed()
    box = keys.bounding_box()
    assert box
    # The lowest key, C.
    page.mouse.click(box["x"] + 0.03 * box["width"], box["y"] + 0.85 * box["height"])
    expect(status).to_have_text("C · ♭3, avoid")
    # The lowest black key, which is not in the scale.
    page.mouse.click(box["x"] + 0.066 * box["width"], box["y"] + 0.3 * box["height"])
    expect(status).to_have_text("C♯ · not in the scale")


def test_the_neck_is_played_by_keyboard(page: Page, trial: Path) -> None:
    page.goto(trial.as_uri())
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    place = explorer(page, 0)
    place.locator(".tk-neck").focus()
    for key in ("ArrowDown", "ArrowRight", "ArrowRight", "ArrowRight", "Enter"):
        page.keyboard.press(key)
    expect(place.locator(".tk-status")).to_have_text("C · string 2, fret 3 · ♭3, avoid")


def test_playing_moves_the_chart_and_stops(page: Page, trial: Path) -> None:
    page.goto(trial.as_uri())
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    place = explorer(page, 0)
    place.locator("input[name=tempo]").fill("300")
    place.locator("[data-step='5']").click()
    button = place.locator("button.tk-changes")
    button.click()
    expect(button).to_have_text("Pause")
    # The chart follows the sound from its first bar on.
    page.wait_for_selector("[data-step='0'][aria-selected=true]")
    place.locator("input[name=tempo]").fill("299")
    page.wait_for_selector("[data-step='2'][aria-selected=true]")
    expect_neck(place, "over A7")
    place.locator("button.tk-stop").click()
    expect(button).to_have_text("Play")
    expect(button).to_be_focused()


def test_the_scale_lights_up_on_neck_and_keyboard(page: Page, trial: Path) -> None:
    page.goto(trial.as_uri())
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    place = explorer(page, 0)
    page.evaluate(
        """() => {
          window.lit = { neck: new Set(), keyboard: new Set() };
          const look = () => {
            for (const one of Bokeh.documents) {
              for (const [name, seen] of Object.entries(lit)) {
                const x = one.get_model_by_name(`${name}-rings`)?.data.x ?? [];
                if (x.length) seen.add(String(x));
              }
            }
            requestAnimationFrame(look);
          };
          look();
        }"""
    )
    place.locator("button.tk-scale").click()
    # Up from A and back are six different notes: A C D E G and the octave.
    page.wait_for_function("() => lit.neck.size >= 6 && lit.keyboard.size >= 6", timeout=30_000)
    page.wait_for_selector("figure.theorykit button.tk-scale[aria-pressed=false]")


def test_code_is_hidden_until_it_is_asked_for(page: Page, trial: Path) -> None:
    page.goto(trial.as_uri())
    assert page.locator(".code:visible").count() == 0
    page.get_by_role("button", name="Show the code").click()
    assert page.locator(".code:visible").count() == 4
    page.get_by_role("button", name="Hide the code").click()
    assert page.locator(".code:visible").count() == 0


@pytest.mark.parametrize("width", [1280, 800, 420])
def test_nothing_is_cut_off_or_overlaps(browser: Browser, trial: Path, width: int) -> None:
    page = browser.new_page(viewport={"width": width, "height": 900})
    page.goto(trial.as_uri())
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    boxes = page.evaluate(
        """() => [...document.querySelectorAll(".tk-explorer")].map((one) =>
          [...one.children].map((child) => child.getBoundingClientRect()).filter((b) => b.height)
            .map(({ top, bottom, left, right }) => ({ top, bottom, left, right })))"""
    )
    assert len(boxes) == 3
    for children in boxes:
        for upper, lower in pairwise(children):
            assert upper["bottom"] <= lower["top"] + 0.5
        assert all(box["left"] >= 0 and box["right"] <= width for box in children)
    cut = page.evaluate(
        """() => [...document.querySelectorAll(".tk-chord, .tk-button, .tk-menu select")]
          .filter((one) => one.scrollWidth > one.clientWidth + 1).map((one) => one.textContent)"""
    )
    assert cut == []
    page.close()


def test_a_hostile_title_prints_literally(page: Page, tmp_path: Path) -> None:
    title = "</title><script>window.hurt = 1</script> & more"
    notebook = write_notebook(tmp_path / "hostile.ipynb", "Words", title=title)
    page.goto(export_page(notebook, tmp_path).as_uri())
    assert page.title() == title
    assert page.evaluate("window.hurt") is None


def move_every_menu(page: Page) -> int:
    """Choose another key in every explorer of a page; how many there are."""
    places = page.locator("figure.theorykit")
    for place in places.all():
        before = neck_text(place)
        menu = place.locator("select[name=key], select[name=root]").first
        now = menu.evaluate("(select) => select.selectedIndex")
        menu.select_option(index=(now + 5) % 18)
        expect(place.locator(".tk-neck .tk-picture")).not_to_have_attribute("aria-label", before)
    return places.count()


def test_every_lesson_opens_moves_and_keeps_nobody_out(
    offline: tuple[BrowserContext, list[str], list[str]], lesson_pages: dict[str, Path]
) -> None:
    context, requests, errors = offline
    assert lesson_pages
    for name, path in lesson_pages.items():
        assert path.stat().st_size <= LARGEST_PAGE, name
        lesson = name[0].isdigit()
        # Pages of words alone have nothing that comes to life.
        page = open_page(context, path, lively=lesson)
        assert (move_every_menu(page) > 0) == lesson
        if lesson:
            assert page.locator('a[href="index.html"]').count() == 1, name
        for link in page.locator("a[href$='.html']").all():
            assert (link.get_attribute("href") or "").removesuffix(".html") in lesson_pages
        assert violations(page) == [], name
        page.close()
    assert [url for url in requests if not url.startswith(("file:", "data:", "blob:"))] == []
    assert errors == []


def test_a_lesson_is_gone_through_by_keyboard_alone(
    page: Page, lesson_pages: dict[str, Path]
) -> None:
    page.goto(lesson_pages["01_chord_tones"].as_uri())
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    explorers = page.locator("figure.theorykit").count()
    used = walk(page)
    # Every menu, every answer to unfold, and each explorer's neck and player; and the quiz.
    assert used["menu"] == page.locator("select:visible").count()
    assert used["answer"] == page.locator("details").count() == 5
    assert used["neck"] == explorers
    assert used["player"] >= explorers
    assert (used["quiz"], used["note"]) == (1, 2)


def test_nbconvert_has_the_exporter(tmp_path: Path) -> None:
    notebook = write_notebook(tmp_path / "short.ipynb", "# Short", "print('six' + 'teen')")
    command = [sys.executable, "-m", "jupyter", "nbconvert", "--to", "theorykit-lesson"]
    done = subprocess.run(
        [*command, str(notebook)],
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert done.returncode == 0, done.stderr
    assert "sixteen" in (tmp_path / "short.html").read_text(encoding="utf-8")
