"""A whole class's material made in one go, by several processes or a cluster."""

from __future__ import annotations

import json
from collections.abc import Callable
from concurrent.futures import Executor
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import Any

from theorykit.errors import BadInput
from theorykit.export.class_file import ClassList, read_class
from theorykit.export.class_work import Task, lesson_files, made, tasks_of
from theorykit.files import whole_file
from theorykit.survey.dispatch import Dispatch, usual_jobs

#: What was made stands there, so that only what changed is made again.
RECORD = "made.json"
_HEADER = "material of a class"


@dataclass(frozen=True, slots=True)
class ClassRun:
    """What a run did.

    Parameters
    ----------
    made, kept : tuple of str
        Files that were made, and that were there already, by their paths in the folder.
    failed : tuple of (str, str)
        Files that could not be made, and why.
    """

    made: tuple[str, ...]
    kept: tuple[str, ...]
    failed: tuple[tuple[str, str], ...]


def make_class(
    source: str | Path | ClassList,
    folder: str | Path,
    *,
    executor: Executor | None = None,
    jobs: int | None = None,
    report: Callable[[int, int], None] | None = None,
) -> ClassRun:
    """Make everything that each student of a class gets.

    A file is written whole or not at all. Run again, also after it was stopped, only what is
    missing or has changed is made; one that can't be made stops no other.

    Parameters
    ----------
    source : str, Path or ClassList
        A TOML file; see `read_class`.
    folder : str or Path
        Made if it is not there. Each student has a folder in it.
    executor : concurrent.futures.Executor, optional
        Who does the work; processes of this machine if not given.
    jobs : int, optional
        How many processes, or workers of the executor; as many as there are cores if not given.
        1 is no process but this one.
    report : callable, optional
        Is told how many files are done, and of how many.

    Raises
    ------
    BadInput
        If the file can't be used, or the folder is no folder of a class.
    TheoryKitError
        If no process can be started, or the executor breaks down.
    """
    group = source if isinstance(source, ClassList) else read_class(Path(source))
    if jobs is not None and (isinstance(jobs, bool) or not isinstance(jobs, int) or jobs < 1):
        raise BadInput("jobs", jobs, "not a number of workers", accepted="1 or more")
    target = Path(folder)
    record = _Record(target)
    shelf = {str(lesson): lesson_files(lesson) for lesson in group.lessons}
    tasks = tasks_of(group, shelf)
    todo = [task for task in tasks if not record.has(task)]
    kept = tuple(task.path for task in tasks if record.has(task))
    done = len(kept)
    failed: list[tuple[str, str]] = []
    finished: list[str] = []

    def take(task: Task, data: bytes, problem: str) -> None:
        nonlocal done
        done += 1
        if problem:
            failed.append((task.path, problem))
        else:
            record.add(task, data)
            finished.append(task.path)
        if report is not None:
            report(done, len(tasks))

    if report is not None:
        report(done, len(tasks))
    workers = usual_jobs() if jobs is None else jobs
    if executor is None and (workers == 1 or len(todo) < 2):
        for task in todo:
            ((data, problem),) = made([task], shelf)
            take(task, data, problem)
    else:
        dispatch: Dispatch[Task, tuple[bytes, str]] = Dispatch(
            made,
            lambda batch: (
                list(batch),
                {task.lesson: shelf.get(task.lesson, {}) for task in batch},
            ),
            lambda reason: (b"", f"stopped the process that made it ({reason})"),
            executor=executor,
            jobs=workers,
        )
        # Pages take longest: begun first, they leave no worker alone with one at the end.
        batches = [[task] for task in sorted(todo, key=lambda task: task.kind != "page")]
        with closing(dispatch.results(batches)) as results:
            for batch, outcomes in results:
                for task, (data, problem) in zip(batch, outcomes, strict=True):
                    take(task, data, problem)
    order = {task.path: place for place, task in enumerate(tasks)}
    return ClassRun(tuple(sorted(finished, key=order.__getitem__)), kept, tuple(sorted(failed)))


class _Record:
    """What lies in the folder of a class, by the digest of what it was made from."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            reason = (error.strerror or "can't be made").lower()
            raise BadInput("output", folder, reason, accepted="a folder") from None
        self._path = folder / RECORD
        self._digests = self._read()

    def has(self, task: Task) -> bool:
        """Whether the file is there, made from the same."""
        same = self._digests.get(task.path) == task.digest
        return same and (self.folder / PurePosixPath(task.path)).is_file()

    def add(self, task: Task, data: bytes) -> None:
        """Write a file, and then down that it is there."""
        path = self.folder / PurePosixPath(task.path)
        path.parent.mkdir(exist_ok=True)
        with whole_file(path) as file:
            file.write(data)
        self._digests[task.path] = task.digest
        text = json.dumps({"holds": _HEADER, "files": self._digests}, indent=1, sort_keys=True)
        with whole_file(self._path) as file:
            file.write(text.encode())

    def _read(self) -> dict[str, str]:
        if not self._path.exists():
            return {}
        try:
            data: Any = json.loads(self._path.read_text(encoding="utf-8"))
            if data["holds"] == _HEADER:
                return {str(path): str(digest) for path, digest in data["files"].items()}
        except (OSError, ValueError, TypeError, KeyError, AttributeError):
            pass
        raise BadInput("output", self._path, "not a record of a class", accepted="another folder")
