"""The command that makes a whole class's material."""

from __future__ import annotations

from concurrent.futures import Executor
from contextlib import ExitStack
from pathlib import Path

import click

from theorykit.cli.output import json_option, print_json

#: What a shell is told when some files could not be made.
_SOME_FAILED = 1


@click.command("class")
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "-o",
    "--output",
    required=True,
    type=click.Path(path_type=Path),
    help="The folder that gets a folder for each student.",
)
@click.option("--jobs", type=int, help="How many processes; one for each core if not given.")
@click.option("--dask", help="The address of a Dask scheduler that has the work done.")
@json_option
def class_(file: Path, output: Path, jobs: int | None, dask: str | None, as_json: bool) -> None:
    """Make lesson pages, hand-outs, MIDI and sound for every student that FILE (TOML) lists.

    Run again, it makes only what is missing or has changed.
    """
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn

    from theorykit.export.class_run import make_class

    columns = (TextColumn("{task.description}"), BarColumn(), MofNCompleteColumn())
    with ExitStack() as stack:
        executor: Executor | None = None
        if dask is not None:
            from theorykit.cli.cluster import cluster

            executor = stack.enter_context(cluster(dask))
        progress = Progress(*columns, console=Console(stderr=True), transient=True)
        bar = progress.add_task("Files", total=None)

        def told(done: int, of: int) -> None:
            # Begun here, an error before the first file is the only line that is printed.
            if progress.console.is_terminal and not progress.live.is_started:
                stack.enter_context(progress)
            progress.update(bar, completed=done, total=of)

        found = make_class(file, output, executor=executor, jobs=jobs, report=told)
    if as_json:
        failed = [{"file": path, "why": why} for path, why in found.failed]
        print_json({"made": list(found.made), "kept": list(found.kept), "failed": failed})
    else:
        for path in found.made:
            click.echo(output / path)
        click.echo(f"{len(found.made)} made, {len(found.kept)} as they were")
    for path, why in found.failed:
        click.echo(f"theorykit: {path}: {why}", err=True)
    if found.failed:
        raise click.exceptions.Exit(_SOME_FAILED)
