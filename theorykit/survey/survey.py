"""A survey of a folder of tunes: scales, ranges, instruments and progressions, tune by tune."""

from __future__ import annotations

import csv
import hashlib
import io
from collections import Counter
from collections.abc import Callable, Generator, Mapping, Sequence
from concurrent.futures import Executor
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from theorykit.errors import BadInput, TuneError
from theorykit.files import whole_file
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.instrument import Instrument
from theorykit.survey.compass import first_position
from theorykit.survey.dispatch import Dispatch, usual_jobs
from theorykit.survey.journal import Journal
from theorykit.survey.row import EDITION, failed, surveyed
from theorykit.survey.source import Source, sources
from theorykit.survey.summary import summary_tables
from theorykit.survey.table import COLUMNS, table_row

#: A batch ends at so many tunes or bytes (stipulated: a few tenths of a second of work, against
#: which handing it over is nothing).
BATCH_TUNES, BATCH_BYTES = 40, 400_000

#: Each worker gets this many batches or more, so that all end at about the same time, unless
#: there are too few tunes for it.
BATCHES_A_WORKER, FEWEST_TUNES = 8, 4

#: Fewer tunes than this are done before other processes are up.
FEWEST_FOR_PROCESSES = 80

#: How many workers an executor is taken to have that does not say (stipulated).
CLUSTER_JOBS = 32

_Task = tuple[str, Source]


@dataclass(frozen=True, slots=True)
class Survey:
    """What a survey found.

    Parameters
    ----------
    rows : tuple of dict
        One for each tune, in the order of files; that of a tune which can't be read has ``error``.
    instruments : tuple of str
        For which it looked.
    """

    rows: tuple[dict[str, Any], ...] = field(repr=False)
    instruments: tuple[str, ...]

    def write_csv(self, path: str | Path) -> Path:
        """Write the rows as a table that spreadsheets read; the file's path.

        Raises
        ------
        BadInput
            If it can't be written.
        """
        rows = [table_row(row, self.instruments) for row in self.rows]
        columns = list(COLUMNS)
        for name in self.instruments:
            columns += [f"{name}, first position", f"{name}, share"]
        text = io.StringIO()
        table = csv.DictWriter(text, columns, lineterminator="\r\n")
        table.writeheader()
        table.writerows(rows)
        target = Path(path)
        with whole_file(target) as file:
            # The mark at the start tells spreadsheets that the letters are UTF-8.
            file.write(text.getvalue().encode("utf-8-sig"))
        return target

    def summary(self) -> dict[str, list[dict[str, Any]]]:
        """Tables over all tunes, by name, the commonest entry of each first.

        ``tunes`` has what was read, ``keys``, ``meters`` and ``scales`` what they are in,
        ``instruments`` what fits, ``outside`` the degrees beyond the scale, ``progressions`` the
        runs of chords, ``errors`` why tunes were not read.
        """
        return summary_tables(self.rows, self.instruments)

    def fitting(self, instrument: str) -> list[dict[str, Any]]:
        """The rows of the tunes that lie in an instrument's first position as written.

        Raises
        ------
        BadInput
            If the survey did not look for it.
        """
        if instrument not in self.instruments:
            accepted = ", ".join(self.instruments)
            raise BadInput("instrument", instrument, "not in this survey", accepted=accepted)
        return [row for row in self.rows if "fits" in row and row["fits"][instrument]["first"]]


def survey_folder(
    folder: str | Path,
    *,
    executor: Executor | None = None,
    jobs: int | None = None,
    journal: str | Path | None = None,
    report: Callable[[int, int], None] | None = None,
    instruments: Sequence[str | Instrument] = ("mandolin",),
) -> Survey:
    r"""Survey every tune of a folder: ABC, MusicXML and MIDI files, and books of tunes in ABC.

    A tune that can't be read gets a row that says why, and stops no other.

    Parameters
    ----------
    folder : str or Path
        Or a single file.
    executor : concurrent.futures.Executor, optional
        Who does the work: processes of this machine if not given, or a cluster, such as
        ``Client(address).get_executor()`` of the package ``distributed``.
    jobs : int, optional
        How many processes, or how many workers the executor has; as many as the machine has
        cores if not given. 1 is no process but this one.
    journal : str or Path, optional
        A file where finished rows are kept: with it, the next survey does only what is new.
    report : callable, optional
        Is told how many tunes are done, and of how many.
    instruments : sequence of (str or Instrument)

    Raises
    ------
    BadInput
        If there is no such folder or instrument, or the journal can't be used.
    TheoryKitError
        If no process can be started, or the executor breaks down.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     file = Path(folder, "steps.abc")
    ...     size = file.write_text("X:1\nT:Steps\nM:4/4\nL:1/4\nK:G\nG A B d|e d B A|G4|]")
    ...     found = survey_folder(folder)
    >>> found.rows[0]["title"], found.rows[0]["scale"], len(found.fitting("mandolin"))
    ('Steps', 'G major pentatonic', 1)
    """
    necks = _necks(instruments)
    workers = _workers(executor, jobs)
    found = sources(folder)
    settings = hashlib.sha256(repr((EDITION, necks)).encode()).hexdigest()[:16]
    keys = [f"{settings}:{source.digest}" for source in found]
    kept = Journal(journal) if journal is not None else None
    rows: dict[str, dict[str, Any]] = dict(kept.rows) if kept is not None else {}
    new = {
        key: source
        for key, source in zip(keys, found, strict=True)
        if not source.error and key not in rows
    }
    # The same tune may stand in several books; it is done once.
    copies = Counter(keys)
    done = len(found) - sum(copies[key] for key in new)
    if report is not None:
        report(done, len(found))
    with closing(_done(new, necks, executor, workers)) as batches:
        for finished in batches:
            rows |= finished
            if kept is not None:
                kept.add((key, row) for key, row in finished.items() if not row.get("again"))
            done += sum(copies[key] for key in finished)
            if report is not None:
                report(done, len(found))
    return Survey(
        tuple(_placed(source, rows.get(key)) for key, source in zip(keys, found, strict=True)),
        tuple(neck.name for neck in necks),
    )


def _necks(instruments: Sequence[str | Instrument]) -> tuple[Instrument, ...]:
    given = [instruments] if isinstance(instruments, str | Instrument) else instruments
    necks = [find_instrument(each) if isinstance(each, str) else each for each in given]
    for neck in necks:
        first_position(neck)
    return tuple({neck.name: neck for neck in necks}.values())


def _workers(executor: Executor | None, jobs: int | None) -> int:
    if jobs is None:
        return usual_jobs() if executor is None else CLUSTER_JOBS
    if isinstance(jobs, bool) or not isinstance(jobs, int) or jobs < 1:
        raise BadInput("jobs", jobs, "not a number of workers", accepted="1 or more")
    return jobs


def _done(
    new: Mapping[str, Source],
    necks: tuple[Instrument, ...],
    executor: Executor | None,
    jobs: int,
) -> Generator[dict[str, dict[str, Any]], None, None]:
    """The rows of what is new, by their keys, batch by batch."""
    batches = _batches(list(new.items()), jobs)
    if executor is None and (jobs == 1 or len(new) < FEWEST_FOR_PROCESSES):
        for batch in batches:
            yield _keyed(batch, surveyed(*_packed(batch, necks)))
        return
    dispatch: Dispatch[_Task, dict[str, Any]] = Dispatch(
        surveyed,
        lambda batch: _packed(batch, necks),
        lambda reason: failed(f"stopped the process that read it ({reason})", again=True),
        executor=executor,
        jobs=jobs,
    )
    with closing(dispatch.results(batches)) as results:
        for finished, rows in results:
            yield _keyed(finished, rows)


def _batches(new: Sequence[_Task], jobs: int) -> list[list[_Task]]:
    most = min(BATCH_TUNES, max(len(new) // (BATCHES_A_WORKER * jobs), FEWEST_TUNES))
    found: list[list[_Task]] = []
    size = 0
    for task in new:
        if not found or len(found[-1]) == most or size + task[1].size > BATCH_BYTES:
            found.append([])
            size = 0
        found[-1].append(task)
        size += task[1].size
    return found


def _packed(
    batch: Sequence[_Task], necks: tuple[Instrument, ...]
) -> tuple[list[tuple[str, bytes | None]], tuple[Instrument, ...]]:
    """What is handed over: contents, for a worker on another machine has not got the files."""
    return [(source.kind, source.content()) for _, source in batch], necks


def _keyed(batch: Sequence[_Task], rows: Sequence[dict[str, Any]]) -> dict[str, dict[str, Any]]:
    return {key: row for (key, _), row in zip(batch, rows, strict=True)}


def _placed(source: Source, row: dict[str, Any] | None) -> dict[str, Any]:
    """A row with where its tune stands, and lines counted from there."""
    told = failed(source.error) if source.error or row is None else row
    if "error" in told:
        line = told["error_line"]
        whole = line if line is None else line + source.first_line - 1
        error = TuneError(told["error"], line=whole, bar=told["error_bar"])
        told = {"title": source.title, "error": str(error)}
    return {"file": source.file, "number": source.number, **told}
