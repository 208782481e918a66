"""How long from a changed selector to the repaint of the figures; prints, asserts nothing.

Once for an explorer with three figures, and once for three necks and a keyboard under one study; or,
of pages that were exported before, with all the explorers that a lesson has.

Run it from the project's folder: ``python tests/benchmarks/repaint.py [PAGE ...]``. Each figure's own
paint is timed where it ends, so a frame's wait for the screen is counted as a student would feel it:
once for the figures on the screen, and once for those above and below it too.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Browser, Page

sys.path.insert(0, str(Path(__file__).parent.parent))

from hosts import running_chromium, running_lab
from notebook_files import export_page, write_notebook

CELLS = {
    "one neck": 'import theorykit as tk\ntk.ProgressionExplorer(key="A", step=8)',
    "three necks": 'import theorykit as tk\ntk.EnsembleExplorer(key="A", step=8)',
}

#: Between two changes, as between two of a person's: the kernel has then answered the one before.
PAUSE_MILLISECONDS = 100

#: Dispatches the change and waits until the figures have painted and two quiet frames have passed.
MEASURE = """
async ([selector, count, pause]) => {
  const select = document.querySelector(selector);
  window.lastPaint = 0;
  window.lastSeen = 0;
  const roots = window.Bokeh.documents
    .flatMap((one) => [...one.views_manager.roots])
    .filter((view) => view._actual_paint);
  for (const view of roots) {
    const { top, bottom } = view.el.getBoundingClientRect();
    view.seen = bottom > 0 && top < window.innerHeight;
    if (view.timed) continue;
    view.timed = true;
    const paint = view._actual_paint.bind(view);
    view._actual_paint = (...args) => {
      const due = view._invalidate_all || view._invalidated_painters.size > 0;
      paint(...args);
      if (due) window.lastPaint = performance.now();
      if (due && view.seen) window.lastSeen = window.lastPaint;
    };
  }
  const frame = () => new Promise((resolve) => requestAnimationFrame(resolve));
  const times = [];
  for (let i = 0; i < count; i++) {
    await new Promise((resolve) => setTimeout(resolve, pause));
    await frame();
    await frame();
    select.selectedIndex = (select.selectedIndex + 5) % 12;
    window.lastPaint = window.lastSeen = 0;
    const start = performance.now();
    select.dispatchEvent(new Event("change", { bubbles: true }));
    while (window.lastSeen === 0) await frame();
    let seen;
    do { seen = window.lastPaint; await frame(); await frame(); } while (seen !== window.lastPaint);
    times.push([window.lastSeen - start, seen - start]);
  }
  return times;
}
"""


#: When the page itself says that what is on the screen works.
READY = "performance.getEntriesByName('theorykit-ready')[0].startTime"


def report(name: str, times: list[float]) -> None:
    """Print the median and the spread."""
    ordered = sorted(times)
    print(
        f"{name}: median {statistics.median(ordered):.1f} ms, "
        f"fastest {ordered[0]:.1f}, slowest {ordered[-1]:.1f} of {len(ordered)}"
    )


def measure(page: Page, selector: str, count: int = 20) -> tuple[list[float], list[float]]:
    """Times in ms until what is on the screen is painted, and until all is.

    The first changes let the browser compile the code and are not counted.
    """
    page.evaluate(MEASURE, [selector, 30, 0])
    times = page.evaluate(MEASURE, [selector, count, PAUSE_MILLISECONDS])
    return [seen for seen, _ in times], [every for _, every in times]


def main() -> None:
    """Measure pages, or else one explorer in an exported page and in JupyterLab."""
    if len(sys.argv) > 1:
        with running_chromium() as chromium:
            for path in map(Path, sys.argv[1:]):
                measure_lesson(chromium, path.resolve())
        return
    for what, cell in CELLS.items():
        print(what)
        measure_both(cell)


def measure_lesson(chromium: Browser, path: Path) -> None:
    """Measure each key menu of a page."""
    page = chromium.new_page(viewport={"width": 1280, "height": 900})
    page.goto(path.as_uri())
    page.wait_for_selector("html[data-theorykit=complete]", state="attached")
    for number, place in enumerate(page.locator("figure.theorykit").all()):
        place.evaluate("(place, id) => (place.id = id)", f"measured-{number}")
        kind = place.locator(".tk-explorer").get_attribute("data-kind")
        place.locator(".tk-picture").first.evaluate("it => it.scrollIntoView({ block: 'center' })")
        name = "root" if kind == "shapes" else "key"
        seen, every = measure(page, f"#measured-{number} select[name={name}]")
        report(f"{path.name}, {kind}, on the screen", seen)
        report(f"{path.name}, {kind}, all of the page", every)
    page.close()


def measure_both(cell: str) -> None:
    """Measure one explorer in both hosts."""
    with tempfile.TemporaryDirectory() as name, running_chromium() as chromium:
        folder = Path(name)
        path = export_page(write_notebook(folder / "page.ipynb", cell), folder)
        loads = []
        for _ in range(5):
            page = chromium.new_page(viewport={"width": 1280, "height": 900})
            page.goto(path.as_uri())
            page.wait_for_selector("html[data-theorykit=complete]", state="attached")
            loads.append(page.evaluate(READY))
            times, _ = measure(page, "select[name=key]")
            page.close()
        print(f"page: {path.stat().st_size / 1e6:.2f} MB")
        report("page ready", loads)
        report("page, key -> repaint", times)
        with running_lab(folder) as lab:
            page = chromium.new_page(viewport={"width": 1280, "height": 1300})
            lab.open(page, lab.add("live.ipynb", cell))
            lab.run_all(page)
            page.wait_for_selector("[data-ready=true]", timeout=60_000)
            report("JupyterLab, key -> repaint", measure(page, ".tk-menu-key select")[0])
            page.close()


if __name__ == "__main__":
    main()
