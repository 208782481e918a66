"""How long from a changed selector to the repaint of all figures; prints, asserts nothing.

Once for an explorer with three figures, and once for three necks and a keyboard under one study.

Run it from the project's folder: ``python tests/benchmarks/repaint.py``. Each figure's own paint is
timed where it ends, so a frame's wait for the screen is counted as a student would feel it.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Page

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
  const roots = window.Bokeh.documents
    .flatMap((one) => [...one.views_manager.roots])
    .filter((view) => view._actual_paint);
  for (const view of roots) {
    if (view.timed) continue;
    view.timed = true;
    const paint = view._actual_paint.bind(view);
    view._actual_paint = (...args) => {
      const due = view._invalidate_all || view._invalidated_painters.size > 0;
      paint(...args);
      if (due) window.lastPaint = performance.now();
    };
  }
  const frame = () => new Promise((resolve) => requestAnimationFrame(resolve));
  const times = [];
  for (let i = 0; i < count; i++) {
    await new Promise((resolve) => setTimeout(resolve, pause));
    await frame();
    await frame();
    select.selectedIndex = (select.selectedIndex + 5) % 12;
    window.lastPaint = 0;
    const start = performance.now();
    select.dispatchEvent(new Event("change", { bubbles: true }));
    while (window.lastPaint === 0) await frame();
    let seen;
    do { seen = window.lastPaint; await frame(); await frame(); } while (seen !== window.lastPaint);
    times.push(seen - start);
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


def measure(page: Page, selector: str, count: int = 20) -> list[float]:
    """Times in ms; the first changes let the browser compile the code and are not counted."""
    page.evaluate(MEASURE, [selector, 30, 0])
    times: list[float] = page.evaluate(MEASURE, [selector, count, PAUSE_MILLISECONDS])
    return times


def main() -> None:
    """Measure the exported page and JupyterLab."""
    for what, cell in CELLS.items():
        print(what)
        measure_both(cell)


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
            times = measure(page, "select[name=key]")
            page.close()
        print(f"page: {path.stat().st_size / 1e6:.2f} MB")
        report("page ready", loads)
        report("page, key -> repaint", times)
        with running_lab(folder) as lab:
            page = chromium.new_page(viewport={"width": 1280, "height": 1300})
            lab.open(page, lab.add("live.ipynb", cell))
            lab.run_all(page)
            page.wait_for_selector("[data-ready=true]", timeout=60_000)
            report("JupyterLab, key -> repaint", measure(page, ".tk-menu-key select"))
            page.close()


if __name__ == "__main__":
    main()
