"""The command that begins a lesson."""

from __future__ import annotations

from pathlib import Path

import click

from theorykit.cli.neck import INSTRUMENT_HELP
from theorykit.cli.output import json_option, print_json


@click.command()
@click.argument("title")
@click.option("--key", default="A", show_default=True, help="A tonic, e.g. A, Bb.")
@click.option("--scale", default="major pentatonic", show_default=True, help="A name or a formula.")
@click.option(
    "--progression",
    default="| I | IV | V | I |",
    show_default=True,
    help="A form's name or a chart.",
)
@click.option("--instrument", default="mandolin", show_default=True, help=INSTRUMENT_HELP)
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    required=True,
    help="The notebook, a name that ends in .ipynb.",
)
@click.option("--force", is_flag=True, help="Write over a notebook that is there.")
@json_option
def new(
    title: str,
    key: str,
    scale: str,
    progression: str,
    instrument: str,
    output: Path,
    force: bool,
    as_json: bool,
) -> None:
    """Begin a lesson called TITLE: a notebook with the parts of one, and pictures that work."""
    from theorykit.export.starter import starter_notebook, write_starter

    notebook = starter_notebook(
        title, key=key, scale=scale, progression=progression, instrument=instrument
    )
    write_starter(output, notebook, force=force)
    if as_json:
        print_json({"notebook": str(output), "cells": len(notebook["cells"])})
    else:
        click.echo(output)
