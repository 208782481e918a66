"""How large each page is and how soon it is ready; prints, asserts nothing.

Run it from the project's folder on pages that were exported before:
``python tests/benchmarks/opening.py notebooks/*.html``. Beside the time on the clock stands that of the
page's own thread, which a busy machine does not lengthen as much.
"""

from __future__ import annotations

import statistics
import sys
from pathlib import Path

from playwright.sync_api import Browser

sys.path.insert(0, str(Path(__file__).parent.parent))

from hosts import running_chromium

TIMES = 3


def opening(browser: Browser, path: Path) -> tuple[float, float, float]:
    """Seconds until what is on the screen stands, until all does, and how many of them were work."""
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    session = page.context.new_cdp_session(page)
    session.send("Performance.enable", {"timeDomain": "threadTicks"})
    page.goto(path.resolve().as_uri())
    page.wait_for_selector("html[data-theorykit=complete]", state="attached", timeout=120_000)
    clock = page.evaluate("performance.now()") / 1000
    ready = page.evaluate("performance.getEntriesByName('theorykit-ready')[0].startTime") / 1000
    metrics = session.send("Performance.getMetrics")["metrics"]
    work = next(each["value"] for each in metrics if each["name"] == "TaskDuration")
    page.close()
    return ready, clock, work


def main() -> None:
    """Print a line for each page named."""
    with running_chromium() as browser:
        for path in map(Path, sys.argv[1:]):
            ready, clock, work = zip(*(opening(browser, path) for _ in range(TIMES)), strict=True)
            print(
                f"{path.name}: {path.stat().st_size / 1e6:.2f} MB, ready after "
                f"{statistics.median(ready):.2f} s, all drawn after {statistics.median(clock):.2f} s, "
                f"{statistics.median(work):.2f} s of it work"
            )


if __name__ == "__main__":
    main()
