"""A checked take and the progress of a log in an exported page: no kernel, no network, by keyboard."""

from __future__ import annotations

from pathlib import Path

import pytest
from notebook_files import export_page, write_notebook
from planted import planted
from playwright.sync_api import Page, expect

from theorykit.instruments.catalogue import find_instrument
from theorykit.review.solo import check_solo
from theorykit.scene.solo_scene import solo_scene
from theorykit.score.midi import write_midi
from theorykit.tune.reading import read_tune

pytestmark = pytest.mark.browser

#: A 12-bar blues with a note that rubs, late notes and a missed change.
PLANTED = planted(9)

#: What has too little room, and can't be scrolled.
CUT_OFF = """() => [...document.querySelectorAll(".tk-explorer, .tk-solo *")]
  .filter((one) => one instanceof HTMLElement && one.clientWidth > 0 && !one.closest(".tk-picture"))
  .filter((one) => one.scrollWidth > one.clientWidth + 1)
  .filter((one) => !["auto", "hidden"].includes(getComputedStyle(one).overflowX))
  .map((one) => one.className)"""


@pytest.fixture(scope="module")
def trial(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("solo")
    write_midi(PLANTED.score, folder / "take.mid")
    cells = (
        "# A solo",
        "import theorykit as tk",
        f'tk.SoloExplorer("{folder}/take.mid", "{PLANTED.form}", key="{PLANTED.key}")',
        f'log = tk.PracticeLog("{folder}/log.sqlite3")',
        'added = log.add_take({"score": 71}, title="blues"), log.tick("thirds", seconds=600)',
        "tk.progress_plot(log)",
    )
    return export_page(write_notebook(folder / "solo.ipynb", *cells), folder)


def test_a_page_with_a_take_is_small(trial: Path) -> None:
    # 1.27 MB of it are BokehJS.
    assert trial.stat().st_size <= 1_650_000


def test_a_take_is_read_stepped_through_and_played(page: Page, trial: Path) -> None:
    requests: list[str] = []
    page.on("request", lambda request: requests.append(request.url))
    page.goto(trial.as_uri())
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    score = read_tune(trial.parent / "take.mid")
    review = check_solo(score, PLANTED.form, PLANTED.key)
    scene = solo_scene(review, find_instrument("mandolin"))
    solo = page.locator("[data-kind=solo]")

    expect(solo.get_by_role("heading")).to_contain_text(f"{review.score} of 100")
    praise, tasks = solo.locator(".tk-report section").all()
    expect(praise.locator("li")).to_have_text(scene["report"]["praise"])
    expect(tasks.locator("li")).to_have_text(scene["report"]["tasks"])
    assert solo.locator(".tk-music svg g.note").count() >= len(review.notes)

    # By key through the roll: each note is said, and rung in staff and roll.
    roll, sentence = solo.locator(".tk-roll-frame"), solo.locator(".tk-note-sentence")
    expect(sentence).to_have_attribute("aria-live", "polite")
    expect(solo.locator(".tk-roll .tk-picture")).to_have_attribute(
        "aria-label", scene["pages"][0]["alt"]
    )
    roll.focus()
    for number in range(3):
        page.keyboard.press("ArrowRight")
        expect(sentence).to_have_text(scene["notes"][number]["sentence"])
    page.keyboard.press("ArrowLeft")
    expect(sentence).to_have_text(scene["notes"][1]["sentence"])
    page.keyboard.press("End")
    expect(sentence).to_have_text(scene["notes"][-1]["sentence"])

    # A finding leads to its bar and its note.
    rubs = next(finding for finding in scene["findings"] if finding["kind"] == "avoid")
    go = solo.locator(".tk-visit", has_text=rubs["place"]).first
    go.focus()
    page.keyboard.press("Enter")
    expect(sentence).to_have_text(scene["notes"][rubs["note"]]["sentence"])
    expect(solo.locator(".tk-this-bar")).to_have_text(f"▶ bar {rubs['bar']}")
    expect(solo.locator(f"#{scene['sheet']['ids'][rubs['note']][0]}")).to_have_class("note tk-now")
    expect(solo.locator(".tk-music")).to_be_focused()

    # Its bar is looped with the band behind it, and followed on the roll.
    solo.locator(".tk-play-bar").nth(scene["findings"].index(rubs)).click()
    expect(solo.locator(".tk-changes")).to_have_text("Pause")
    expect(solo.locator(".tk-status")).to_have_text(f"Loop: bar {rubs['bar']}.")
    expect(solo.locator(".tk-roll-head")).to_be_visible()
    page.keyboard.press("Escape")
    expect(solo.locator(".tk-changes")).to_have_text("Play")
    expect(solo.locator(".tk-roll-head")).to_be_hidden()

    # A tap on the roll asks about the note under it.
    picture = solo.locator(".tk-roll .tk-picture")
    box = picture.bounding_box()
    assert box is not None
    left, right, bottom, top = scene["pages"][0]["window"]
    mark = scene["pages"][0]["marks"][4]
    x, y = (mark["x"] - left) / (right - left), (top - mark["y"]) / (top - bottom)
    picture.click(position={"x": x * box["width"], "y": y * box["height"]})
    expect(sentence).to_have_text(scene["notes"][4]["sentence"])

    # All notes stand in a table that is folded away.
    expect(solo.locator(".tk-scrolled")).to_be_hidden()
    solo.locator("summary", has_text="as a table").click()
    expect(solo.locator(".tk-scrolled tbody tr")).to_have_count(len(review.notes))

    progress = page.locator("[data-view=figure] [role=img]")
    expect(progress).to_have_attribute(
        "aria-label",
        "Progress: blues: one take, 71 of 100; practised 10 minutes on 1 day.",
    )
    for width in (1280, 800):
        page.set_viewport_size({"width": width, "height": 1000})
        expect(solo).to_be_visible()
        assert page.evaluate(CUT_OFF) == []
    assert [url for url in requests if not url.startswith(("file:", "data:", "blob:"))] == []
