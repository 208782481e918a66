"""The command that makes the page to take home."""

from __future__ import annotations

from pathlib import Path

import click

from theorykit.cli.output import json_option, print_json


@click.command()
@click.argument("notebook", type=click.Path(path_type=Path))
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    help="The page; beside the notebook if not given.",
)
@json_option
def export(notebook: Path, output: Path | None, as_json: bool) -> None:
    """Execute NOTEBOOK and write it as one page that works with no kernel and no network."""
    from rich.console import Console
    from rich.progress import BarColumn, Progress, SpinnerColumn, TextColumn

    from theorykit.export.lesson import export_notebook

    console = Console(stderr=True)
    if not console.is_terminal:
        # Where nobody watches, a bar would only leave an empty line behind.
        page = export_notebook(notebook, output)
    else:
        columns = (SpinnerColumn(), TextColumn("{task.description}"), BarColumn())
        with Progress(*columns, console=console, transient=True) as progress:
            task = progress.add_task(f"Starting {notebook.name}", total=None)

            def told(what: str, done: int, of: int) -> None:
                progress.update(task, description=what, completed=done, total=of)

            page = export_notebook(notebook, output, told)
    if as_json:
        print_json({"page": str(page), "bytes": page.stat().st_size})
    else:
        click.echo(f"{page}  ({page.stat().st_size / 1e6:.2f} MB)")
