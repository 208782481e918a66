"""The command that finds a scale on a neck."""

from __future__ import annotations

from typing import Any

import click

from theorykit.cli.output import json_option, key_option, print_json, print_table
from theorykit.instruments.catalogue import INSTRUMENTS, find_instrument
from theorykit.instruments.fretboard import SHOWN_FRETS, ScaleCell, scale_cells
from theorykit.theory.key import Key
from theorykit.theory.scale import Scale, find_scale


@click.command()
@click.option("--instrument", required=True, help=", ".join(INSTRUMENTS))
@key_option
@click.option("--scale", "scale_name", required=True, help="A name or a formula.")
@click.option("--capo", default=0, show_default=True, help="The fret that the capo closes.")
@click.option("--frets", default=SHOWN_FRETS, show_default=True, help="The highest fret.")
@json_option
def neck(instrument: str, key: str, scale_name: str, capo: int, frets: int, as_json: bool) -> None:
    """Find a scale on a neck: every string and fret that holds a note of it."""
    chosen = find_instrument(instrument)
    found = Scale(Key.parse(key).tonic, find_scale(scale_name))
    cells = scale_cells(chosen, found, frets=frets, capo=capo)
    if as_json:
        print_json(
            {
                "instrument": chosen.name,
                "scale": str(found),
                "capo": capo,
                "cells": [_cell_record(cell) for cell in cells],
            }
        )
        return
    by_string: dict[int, list[ScaleCell]] = {}
    for cell in cells:
        by_string.setdefault(cell.cell.string, []).append(cell)
    print_table(
        f"{found.pretty} on {chosen.name}",
        ("string", "open", "fret: note"),
        (
            (
                str(number),
                chosen.string(number).open.pretty,
                "  ".join(f"{cell.cell.fret}: {cell.note.pretty}" for cell in on_string),
            )
            for number, on_string in by_string.items()
        ),
    )


def _cell_record(cell: ScaleCell) -> dict[str, Any]:
    return {
        "string": cell.cell.string,
        "fret": cell.cell.fret,
        "note": str(cell.note),
        "degree": str(cell.degree),
        "midi": cell.cell.midi,
    }
