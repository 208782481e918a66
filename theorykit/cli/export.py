"""The command that makes the page to take home."""

from __future__ import annotations

import ast
from pathlib import Path

import click

from theorykit.cli.output import json_option, print_json
from theorykit.errors import BadInput


@click.command()
@click.argument("notebook", type=click.Path(path_type=Path))
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    help="The page; beside the notebook if not given.",
)
@click.option("--key", help="For a lesson whose cell of parameters has it.")
@click.option("--instrument", help="The same.")
@click.option("--level", type=int, help="The same.")
@click.option("--left-handed", is_flag=True, help="The same.")
@click.option(
    "--set",
    "others",
    multiple=True,
    metavar="NAME=VALUE",
    help="Another of its parameters; may be given more than once.",
)
@json_option
def export(
    notebook: Path,
    output: Path | None,
    key: str | None,
    instrument: str | None,
    level: int | None,
    left_handed: bool,
    others: tuple[str, ...],
    as_json: bool,
) -> None:
    """Execute NOTEBOOK and write it as one page that works with no kernel and no network."""
    given = {"key": key, "instrument": instrument, "level": level}
    parameters: dict[str, object] = {n: value for n, value in given.items() if value is not None}
    if left_handed:
        parameters["left_handed"] = True
    parameters |= dict(map(_assigned, others))
    _export(notebook, output, parameters, as_json=as_json)


def _assigned(text: str) -> tuple[str, object]:
    """Read ``name=value``; what is no plain value in Python's spelling is a text."""
    name, sign, value = text.partition("=")
    if not sign or not name.strip().isidentifier():
        raise BadInput("parameter", text, "sets nothing", accepted="name=value")
    try:
        return name.strip(), ast.literal_eval(value.strip())
    except (ValueError, SyntaxError):
        return name.strip(), value.strip()


def _export(
    notebook: Path, output: Path | None, parameters: dict[str, object], *, as_json: bool
) -> None:
    from rich.console import Console
    from rich.progress import BarColumn, Progress, SpinnerColumn, TextColumn

    from theorykit.export.lesson import export_notebook

    console = Console(stderr=True)
    if not console.is_terminal:
        # Where nobody watches, a bar would only leave an empty line behind.
        page = export_notebook(notebook, output, parameters=parameters)
    else:
        columns = (SpinnerColumn(), TextColumn("{task.description}"), BarColumn())
        with Progress(*columns, console=console, transient=True) as progress:
            task = progress.add_task(f"Starting {notebook.name}", total=None)

            def told(what: str, done: int, of: int) -> None:
                progress.update(task, description=what, completed=done, total=of)

            page = export_notebook(notebook, output, told, parameters=parameters)
    if as_json:
        print_json({"page": str(page), "bytes": page.stat().st_size})
    else:
        click.echo(f"{page}  ({page.stat().st_size / 1e6:.2f} MB)")
