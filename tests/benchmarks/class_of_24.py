"""A class of 24 on six instruments, in all keys, made by two processes; prints, asserts nothing.

Run it from the project's folder when the machine has nothing else to do:
``python tests/benchmarks/class_of_24.py [notebook] [--whole]``. One process makes a quarter of the class,
and two make that quarter too; ``--whole`` has one process make all of it. Then one student takes
another key, and the class is made again.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from pathlib import Path

from theorykit.export.class_file import read_class
from theorykit.export.class_run import ClassRun, make_class

LESSON = Path("notebooks/05_minor_pentatonic_and_blues.ipynb")
INSTRUMENTS = ("mandolin", "guitar", "banjo", "fiddle", "ukulele", "bass")
KEYS = ("C", "G", "D", "A", "E", "B", "F#", "Db", "Ab", "Eb", "Bb", "F")
QUARTER = 6


def class_text(lesson: Path, count: int, **changed: str) -> str:
    """The file of the first students; the last of them has what is ``changed``."""
    parts = [f'title = "A class of {count}"\nlessons = ["{lesson.resolve()}"]\n']
    for number in range(count):
        lines = {
            "name": f"Student {number + 1}",
            "instrument": INSTRUMENTS[number % len(INSTRUMENTS)],
            "key": KEYS[number % len(KEYS)],
            **(changed if number == count - 1 else {}),
        }
        said = "\n".join(f'{name} = "{value}"' for name, value in lines.items())
        extra = f"level = {number % 4 + 1}\nleft_handed = {str(number % 8 == 7).lower()}"
        parts.append(f"[[students]]\n{said}\n{extra}\n")
    return "\n".join(parts)


def timed(text: str, folder: Path, jobs: int) -> tuple[float, ClassRun]:
    """Seconds that a class takes, and what was made."""
    path = folder.with_suffix(".toml")
    path.write_text(text, encoding="utf-8")
    began = time.perf_counter()
    run = make_class(read_class(path), folder, jobs=jobs)
    return time.perf_counter() - began, run


def main() -> None:
    """Make the class and its quarter, and print how long each took."""
    given = [Path(each) for each in sys.argv[1:] if not each.startswith("-")]
    lesson = given[0] if given else LESSON
    print(f"load before it began: {os.getloadavg()[0]:.1f} of {os.cpu_count()} cores", flush=True)
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made)
        part = 24 if "--whole" in sys.argv else QUARTER
        seconds = {}
        for jobs in (1, 2):
            seconds[jobs], run = timed(class_text(lesson, part), folder / f"part {jobs}", jobs)
            print(
                f"{part} students, {jobs} at work: {seconds[jobs]:.1f} s, {len(run.made)} files",
                flush=True,
            )
        print(f"speed-up {seconds[1] / seconds[2]:.2f} times", flush=True)
        whole, run = timed(class_text(lesson, 24), folder / "class", 2)
        print(
            f"24 students, 2 at work: {whole:.1f} s, {len(run.made)} files, failed {run.failed}",
            flush=True,
        )
        again, run = timed(class_text(lesson, 24, key="A"), folder / "class", 2)
        print(f"one took another key: {again:.1f} s, made {run.made}, kept {len(run.kept)}")


if __name__ == "__main__":
    main()
