"""A tune's file uploaded in a running JupyterLab, in a real Chromium."""

from __future__ import annotations

from pathlib import Path

import pytest
from hosts import Lab
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser

# Made up for this test: a tune in D whose third bar is that of the dominant.
TUNE = "X:1\nT:The Paper Gate\nM:4/4\nL:1/4\nK:D\nD F A F|G B d B|A c e c|d A F D|]\n"


def test_a_file_is_taken_and_its_chords_are_changed(page: Page, lab: Lab, tmp_path: Path) -> None:
    file, bad = tmp_path / "gate.abc", tmp_path / "bad.mid"
    file.write_text(TUNE, encoding="utf-8")
    bad.write_bytes(b"MThd no music")
    cells = (
        "import theorykit as tk",
        'tunes = tk.TuneExplorer(instrument="mandolin")\ntunes',
        "print('now', tunes.study.key, tunes.study.progression)",
    )
    lab.open(page, lab.add("upload.ipynb", *cells))
    lab.run_all(page)
    expect(page.locator("[data-ready=true]")).to_have_count(1, timeout=60_000)
    place = page.locator("[data-kind=tunes]")
    sentence, title = place.locator(".tk-sentence"), place.locator(".tk-sheet-row .tk-title")
    expect(sentence).to_contain_text("Choose a file")
    with page.expect_file_chooser() as chooser:
        page.get_by_role("button", name="Open a tune").click()
    chooser.value.set_files(file)
    expect(title).to_have_text("The Paper Gate")
    expect(place.locator(".tk-music > svg")).to_be_visible()
    expect(page.get_by_text("it ends on D")).to_be_visible()
    # A bad file says why, and what was there stays.
    with page.expect_file_chooser() as chooser:
        page.get_by_role("button", name="Open a tune").click()
    chooser.value.set_files(bad)
    expect(page.locator("p[role=alert]")).to_be_visible()
    expect(title).to_have_text("The Paper Gate")
    page.locator(".tk-tune-chord input").fill("ii")
    page.get_by_role("button", name="Change the chord").click()
    expect(page.locator("p[role=alert]")).to_have_count(0)
    expect(place.locator(".tk-chart")).to_contain_text("ii")
    page.get_by_role("button", name="Take it back").click()
    expect(place.locator(".tk-chart")).not_to_contain_text("ii")
    page.locator(".tk-menu-key select").select_option(label="G")
    expect(place.locator(".tk-chart")).to_contain_text("C")
    expect(place.locator(".tk-music > svg")).to_be_visible()
