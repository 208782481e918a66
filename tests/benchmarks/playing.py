"""How soon a press on Play is heard, and how smoothly the highlights move; prints, asserts nothing.

Run it from the project's folder: ``python tests/benchmarks/playing.py``.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Browser, Page

sys.path.insert(0, str(Path(__file__).parent.parent))

from hosts import running_chromium
from notebook_files import export_page, write_notebook

CELL = 'import theorykit as tk\ntk.ProgressionExplorer(key="A", instrument="guitar")'
RUNS = 10
SECONDS = 12

#: The audio clock at the press, and at the first note after it.
LISTEN = """
() => {
  window.clock = () => window.context?.currentTime ?? 0;
  window.AudioContext = class extends AudioContext {
    constructor(...options) {
      super(...options);
      window.context = this;
    }
  };
  window.AudioBufferSourceNode = class extends AudioBufferSourceNode {
    start(when) {
      if (window.first === null) window.first = when - window.pressed;
      super.start(when);
    }
  };
  document.addEventListener("click", () => {
    window.pressed = window.clock();
    window.first = null;
  }, true);
}
"""

#: The time between frames, for some seconds.
FRAMES = """
(seconds) => new Promise((resolve) => {
  const times = [];
  let last = performance.now();
  const end = last + seconds * 1000;
  const frame = (now) => {
    times.push(now - last);
    last = now;
    if (now < end) requestAnimationFrame(frame);
    else resolve(times.slice(1));
  };
  requestAnimationFrame(frame);
})
"""


def open_page(chromium: Browser, path: Path) -> Page:
    """The page, listened to."""
    page = chromium.new_page(viewport={"width": 1280, "height": 900})
    page.goto(path.as_uri())
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    page.evaluate(LISTEN)
    return page


def first_sound(page: Page, *, count_in: str) -> float:
    """Milliseconds of the audio clock from the press to the first note."""
    more = page.locator("button.tk-more")
    if more.get_attribute("aria-expanded") == "false":
        more.click()
    page.get_by_label("Count-in").select_option(count_in)
    page.locator("button.tk-changes").click()
    page.wait_for_function("window.first !== null")
    found: float = page.evaluate("window.first")
    page.locator("button.tk-stop").click()
    return found * 1000


def report(name: str, times: list[float]) -> None:
    """Print median, 95th percentile and the worst."""
    p95 = statistics.quantiles(times, n=20, method="inclusive")[-1]
    print(
        f"{name}: median {statistics.median(times):.1f} ms, p95 {p95:.1f}, "
        f"worst {max(times):.1f} of {len(times)}"
    )


def main() -> None:
    """Measure the exported page."""
    with tempfile.TemporaryDirectory() as name, running_chromium() as chromium:
        folder = Path(name)
        path = export_page(write_notebook(folder / "page.ipynb", CELL), folder)
        for words, count_in in (("count-in", "1"), ("no count-in", "0")):
            cold = []
            for _ in range(RUNS):
                page = open_page(chromium, path)
                cold.append(first_sound(page, count_in=count_in))
                page.close()
            report(f"first sound of a page, {words}", cold)
        page = open_page(chromium, path)
        report("first sound again", [first_sound(page, count_in="0") for _ in range(RUNS)])
        report("frames, nothing played", page.evaluate(FRAMES, SECONDS))
        page.locator("input[name=tempo]").fill("160")
        page.locator("button.tk-changes").click()
        report("frames, changes at 160", page.evaluate(FRAMES, SECONDS))
        page.locator("button.tk-stop").click()
        page.locator("button.tk-scale").click()
        report("frames, scale at 160", page.evaluate(FRAMES, 4))
        page.close()


if __name__ == "__main__":
    main()
