"""The command that surveys a folder of tunes."""

from __future__ import annotations

from contextlib import ExitStack
from pathlib import Path

import click

from theorykit.cli.cluster import cluster
from theorykit.cli.output import json_option, print_json, print_table
from theorykit.errors import BadInput

#: So many rows of a summary's table are printed.
_SHOWN_ROWS = 8

#: Before the name of a collection that music21 carries.
_CORPUS = "corpus:"


@click.command()
@click.argument("folder")
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), help="A .csv file with a row for each tune."
)
@click.option(
    "--instrument",
    "instruments",
    multiple=True,
    default=("mandolin",),
    show_default=True,
    help="Whose first position is tried; may be given more than once.",
)
@click.option("--jobs", type=int, help="How many processes; one for each core if not given.")
@click.option("--dask", help="The address of a Dask scheduler that has the work done.")
@click.option(
    "--journal",
    type=click.Path(path_type=Path),
    help="Where finished rows are kept, for a run that goes on; beside the output if not given.",
)
@json_option
def survey(
    folder: str,
    output: Path | None,
    instruments: tuple[str, ...],
    jobs: int | None,
    dask: str | None,
    journal: Path | None,
    as_json: bool,
) -> None:
    """Survey the tunes of FOLDER: scales that cover them, ranges, who can play them, progressions.

    FOLDER may be corpus:NAME, a collection of those that music21 carries, such as
    corpus:ryansMammoth.

    A tune that can't be read has a row that says why. Stopped and started again with the same
    output, it does only what is left.
    """
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn

    from theorykit.survey.corpus import corpus_folder
    from theorykit.survey.survey import survey_folder

    if output is not None and output.suffix.casefold() != ".csv":
        raise BadInput("output", output.name, "no table has that ending", accepted=".csv")
    corpus, name = folder.startswith(_CORPUS), folder.removeprefix(_CORPUS)
    place = corpus_folder(name) if corpus else Path(folder)
    if journal is None and output is not None:
        journal = output.with_name(f"{output.name}.journal")
    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn())
    with ExitStack() as stack:
        executor = stack.enter_context(cluster(dask)) if dask is not None else None
        progress = Progress(*columns, console=Console(stderr=True), transient=True)
        task = progress.add_task("Tunes", total=None)

        def told(done: int, of: int) -> None:
            # Begun here, an error before the first tune is the only line that is printed.
            if not progress.live.is_started:
                stack.enter_context(progress)
            progress.update(task, completed=done, total=of)

        found = survey_folder(
            place,
            executor=executor,
            jobs=jobs,
            journal=journal,
            report=told,
            instruments=instruments,
        )
    if output is not None:
        found.write_csv(output)
    summary = found.summary()
    if as_json:
        print_json({"tunes": len(found.rows), "summary": summary})
        return
    for name, rows in summary.items():
        if rows:
            heads = list(dict.fromkeys(head for row in rows for head in row))
            cells = [[_cell(row.get(head)) for head in heads] for row in rows[:_SHOWN_ROWS]]
            print_table(name.capitalize(), heads, cells)
    if output is not None:
        click.echo(f"{output}  ({len(found.rows)} tunes)")


def _cell(value: object) -> str:
    if isinstance(value, float):
        return f"{value:.2f}"
    return "" if value is None else str(value)
