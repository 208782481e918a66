"""Ten minutes of looping four bars in an exported page: drift, late notes, memory; asserts nothing.

Run it from the project's folder: ``python tests/benchmarks/looping.py [minutes]``.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import Any

import numpy as np
from playwright.sync_api import CDPSession, Page

sys.path.insert(0, str(Path(__file__).parent.parent))

from hosts import running_chromium
from notebook_files import export_page, write_notebook

CELL = 'import theorykit as tk\ntk.ProgressionExplorer(key="A", tempo=100)'

#: At this tempo a beat is a whole number of frames at 44,100 and at 48,000 a second.
TEMPO = 100

#: Until the compiled code, the rendered notes and BokehJS's caches are all there.
WARM_SECONDS = 60

#: Notes the time of each start in an array that is there from the beginning: a log must not grow.
LISTEN = """
() => {
  window.starts = new Float64Array(200000);
  window.startCount = 0;
  window.late = 0;
  window.AudioBufferSourceNode = class extends AudioBufferSourceNode {
    start(when) {
      window.rate = this.context.sampleRate;
      if (when < this.context.currentTime) window.late += 1;
      window.starts[window.startCount++] = when;
      super.start(when);
    }
  };
}
"""


def heap(session: CDPSession) -> dict[str, Any]:
    """Bytes in use after a full collection of garbage."""
    session.send("HeapProfiler.collectGarbage")
    session.send("HeapProfiler.collectGarbage")
    return dict(session.send("Runtime.getHeapUsage"))


def off_the_grid(page: Page) -> np.ndarray[Any, Any]:
    """How far each start lies from the beats and their halves and thirds, in frames."""
    rate, count = page.evaluate("[window.rate, window.startCount]")
    times = np.array(page.evaluate("[...window.starts.subarray(0, window.startCount)]"))
    frames = np.round(times[:count] * rate)
    part = 60 / TEMPO * rate / 6
    moved = (frames - frames[0]) / part
    return (moved - np.round(moved)) * part


def main(minutes: float) -> None:
    """Loop bars 5 to 8 with neck, keyboard and chart on the page."""
    with tempfile.TemporaryDirectory() as name, running_chromium() as chromium:
        folder = Path(name)
        path = export_page(write_notebook(folder / "page.ipynb", CELL), folder)
        page = chromium.new_page(viewport={"width": 1280, "height": 900})
        page.goto(path.as_uri())
        page.wait_for_selector("html[data-theorykit=complete]", state="attached")
        page.evaluate(LISTEN)
        page.locator("button.tk-more").click()
        page.locator("input[name=loop-to]").fill("8")
        page.locator("input[name=loop-from]").fill("5")
        page.locator("input[name=click-on]").check()
        session = page.context.new_cdp_session(page)
        page.locator("button.tk-changes").click()
        page.wait_for_timeout(WARM_SECONDS * 1000)
        before = heap(session)
        page.wait_for_timeout(minutes * 60_000 - WARM_SECONDS * 1000)
        after = heap(session)
        off = off_the_grid(page)
        seconds, late = page.evaluate(
            "[window.starts[window.startCount - 1] - window.starts[0], window.late]"
        )
        print(f"{len(off)} notes in {seconds:.1f} s of the audio clock, handed in late: {late}")
        print(
            f"off the beat: at most {np.max(np.abs(off)):.3f} frames; the last {off[-1]:.3f} (drift)"
        )
        for part in ("usedSize", "embedderHeapUsedSize", "backingStorageSize"):
            if part in before:
                grown = (after[part] - before[part]) / 1e6
                print(f"{part}: {before[part] / 1e6:.2f} MB, grown by {grown:+.2f} MB")
        page.close()


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 10)
