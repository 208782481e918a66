"""A tune in an exported page, in a real Chromium: with no kernel and no network."""

from __future__ import annotations

from pathlib import Path

import pytest
from notebook_files import export_page, write_notebook
from playwright.sync_api import Page, expect

from theorykit.notation.abc_reader import read_abc

pytestmark = pytest.mark.browser

# Made up for this test: a waltz with a pick-up, played twice.
TUNE = """X:1
T:Round the Pond
M:3/4
L:1/4
K:G
D|:"G"G2 B|"C"c2 e|"D7"d2 A|"G"B2 D:|
"""


@pytest.fixture(scope="module")
def trial(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("tune")
    (folder / "pond.abc").write_text(TUNE, encoding="utf-8")
    cells = (
        "# A tune",
        "import theorykit as tk",
        """tk.TuneExplorer("pond.abc", instrument="mandolin",
    instruments=("mandolin", "fiddle"), styles=("bluegrass",))""",
    )
    return export_page(write_notebook(folder / "tune.ipynb", *cells), folder)


def test_a_tune_is_shown_moved_varied_and_played(page: Page, trial: Path) -> None:
    requests: list[str] = []
    page.on("request", lambda request: requests.append(request.url))
    page.goto(trial.as_uri())
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    place = page.locator("figure.theorykit")
    title, sentence = place.locator(".tk-sheet-row .tk-title"), place.locator(".tk-sentence")
    expect(title).to_have_text("Round the Pond")
    count = len(read_abc(TUNE).part("line").notes)
    assert place.locator(".tk-music svg g.note").count() >= count
    # The third note, after the pick-up and G: B, the third of G.
    for _ in range(3):
        place.get_by_role("button", name="note ›").click()
    expect(sentence).to_contain_text(f"Note 3 of {count}: B is")
    expect(sentence).to_contain_text("the third of G")
    place.locator("select[name=key]").select_option(label="D")
    place.get_by_role("button", name="note ›").click()
    # The pick-up, a fourth below the tonic.
    expect(sentence).to_contain_text(f"Note 1 of {count}: A ")
    place.get_by_role("button", name="Vary it").click()
    expect(title).to_have_text("Round the Pond, variation 1")
    place.get_by_role("button", name="The tune itself").click()
    expect(title).to_have_text("Round the Pond")
    # Staff notation is packed for the key that it was made in.
    place.locator("select[name=key]").select_option(label="G")
    place.locator(".tk-written").click()
    expect(place.locator(".tk-written")).to_have_attribute("aria-pressed", "true")
    expect(place.locator(".tk-now").first).to_be_attached()
    page.keyboard.press("Escape")
    place.locator(".tk-changes").click()
    expect(place.locator(".tk-changes")).to_have_attribute("aria-label", "Pause")
    expect(place.locator(".tk-now").first).to_be_attached()
    page.keyboard.press("Escape")
    assert [url for url in requests if not url.startswith(("file:", "data:", "blob:"))] == []
