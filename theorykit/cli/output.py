"""How answers are printed, and the options that commands share."""

from __future__ import annotations

import json
from collections.abc import Iterable
from fractions import Fraction
from typing import Any

import click

json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON.")
key_option = click.option("--key", required=True, help="A tonic, e.g. A, Bb, F#m.")


def print_json(data: Any) -> None:
    """Print data as JSON, one line a value."""
    click.echo(json.dumps(data, indent=2, ensure_ascii=False))


def print_table(title: str, heads: Iterable[str], rows: Iterable[Iterable[str]]) -> None:
    """Print a table that fits the terminal."""
    from rich.console import Console
    from rich.table import Table

    table = Table(title=title, title_justify="left", title_style="bold")
    for head in heads:
        table.add_column(head)
    for row in rows:
        table.add_row(*row)
    Console().print(table)


def beats_number(beats: Fraction) -> int | float:
    """Beats as JSON has them: whole where they are whole."""
    return int(beats) if beats.denominator == 1 else float(beats)
