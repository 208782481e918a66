"""A take is dropped into a notebook, in a running JupyterLab and a real Chromium."""

from __future__ import annotations

from pathlib import Path

import pytest
from hosts import Lab
from playwright.sync_api import Browser, Page, expect

from theorykit.practice.line import line_over
from theorykit.review.solo import check_solo
from theorykit.score.midi import write_midi
from theorykit.tune.reading import read_tune

pytestmark = pytest.mark.browser

FORM = "I-IV-V vamp"
CELLS = (
    "import theorykit as tk",
    f'solo = tk.SoloExplorer(progression="{FORM}", key="G", instrument="mandolin")\nsolo',
    "print('now', solo.review.score, solo.study.key)",
)


def drop(page: Page, path: Path) -> None:
    with page.expect_file_chooser() as chosen:
        page.locator("button", has_text="Choose a take").click()
    chosen.value.set_files(path)


def test_a_file_is_dropped_and_a_bad_one_leaves_the_last_good_view(
    browser: Browser, lab: Lab, tmp_path: Path
) -> None:
    good, other = (
        line_over(FORM, "G", level=level, instrument="mandolin", seed=3).score for level in (1, 2)
    )
    write_midi(good, tmp_path / "good.mid")
    write_midi(other, tmp_path / "other.mid")
    (tmp_path / "bad.mid").write_bytes(b"MThd no music in here")
    reviews = {
        name: check_solo(read_tune(tmp_path / f"{name}.mid"), FORM, "G")
        for name in ("good", "other")
    }
    context = browser.new_context(viewport={"width": 1280, "height": 1600})
    page = context.new_page()
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    lab.open(page, lab.add("solo.ipynb", *CELLS))
    lab.run_all(page)
    solo = page.locator("[data-kind=solo]")
    expect(solo.get_by_text("No take yet")).to_be_visible(timeout=60_000)
    alert, heading = page.get_by_role("alert"), solo.get_by_role("heading")

    drop(page, tmp_path / "bad.mid")
    expect(alert).to_contain_text("bad.mid")
    expect(heading).to_be_hidden()

    drop(page, tmp_path / "good.mid")
    expect(heading).to_have_text(f"good.mid – {reviews['good'].report.splitlines()[0]}")
    expect(page.locator("p[role=alert]")).to_have_count(0)
    expect(solo.locator(".tk-music > svg")).to_be_visible()
    expect(solo.locator(".tk-roll canvas").first).to_be_visible()

    drop(page, tmp_path / "bad.mid")
    expect(alert).to_have_count(1)
    expect(heading).to_contain_text("good.mid")

    # Another take of the same solo stands beside the one before.
    drop(page, tmp_path / "other.mid")
    expect(heading).to_have_text(f"other.mid – {reviews['other'].report.splitlines()[0]}")
    expect(solo.get_by_text("Beside earlier takes")).to_be_visible()

    # Over other chords it is judged anew, and there is nothing to compare it with.
    page.locator(".tk-menu-key select").select_option(label="C")
    expect(heading).to_contain_text("in C major")
    expect(solo.get_by_text("Beside earlier takes")).to_be_hidden()
    page.evaluate(
        """() => {
          window.jupyterapp.shell.currentWidget.content.activeCellIndex = 2;
          window.jupyterapp.commands.execute("notebook:run-cell");
        }"""
    )
    in_c = check_solo(read_tune(tmp_path / "other.mid"), FORM, "C")
    expect(page.get_by_text(f"now {in_c.score} C")).to_be_visible()

    solo.locator(".tk-roll-frame").focus()
    page.keyboard.press("ArrowRight")
    expect(solo.locator(".tk-note-sentence")).to_contain_text(f"Note 1 of {len(in_c.notes)}")
    page.evaluate("() => window.jupyterapp.shell.currentWidget.sessionContext.shutdown()")
    context.close()
    assert errors == []
