"""A survey of printed collections by one process, by two, and by a cluster; asserts nothing.

Run it from the project's folder when the machine has nothing else to do:
``python tests/benchmarks/survey.py [folder] [--cluster]``.
"""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import music21
from distributed import Client, LocalCluster

from theorykit.survey.survey import Survey, survey_folder

CORPUS = Path(music21.__file__).parent / "corpus"
COLLECTIONS = ("ryansMammoth", "oneills1850", "airdsAirs")

RUNS = 3


def timed(work: Callable[[], Survey]) -> tuple[float, Survey]:
    began = time.perf_counter()
    found = work()
    return time.perf_counter() - began, found


def main() -> None:
    given = [each for each in sys.argv[1:] if not each.startswith("-")]
    with tempfile.TemporaryDirectory() as made:
        folder = Path(given[0]) if given else Path(made)
        for name in () if given else COLLECTIONS:
            shutil.copytree(CORPUS / name, folder / name)
        print(f"load before it began: {os.getloadavg()[0]:.1f} of {os.cpu_count()} cores")
        best: dict[int, float] = {}
        tables = {}
        # In turns, so that a machine that slows down slows down both.
        for _ in range(RUNS):
            for jobs in (1, 2):
                seconds, tables[jobs] = timed(lambda j=jobs: survey_folder(folder, jobs=j))
                best[jobs] = min(best.get(jobs, seconds), seconds)
                print(f"{jobs} at work: {seconds:6.1f} s, {len(tables[jobs].rows)} tunes")
        print(f"best of {RUNS}: {best[1]:.1f} s and {best[2]:.1f} s, {best[1] / best[2]:.2f} times")
        print(f"same table: {tables[1] == tables[2]}")
        if "--cluster" in sys.argv:
            with (
                LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as local,
                Client(local) as client,
            ):
                seconds, found = timed(
                    lambda: survey_folder(folder, executor=client.get_executor())
                )
            print(f"cluster of 2: {seconds:6.1f} s, same table: {found == tables[1]}")


if __name__ == "__main__":
    main()
