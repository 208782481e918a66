"""The command line: every answer as a table to read, or as JSON with ``--json``."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import click

from theorykit.analysis import wording
from theorykit.analysis.advice import Advice, advise_progression
from theorykit.analysis.fit import NoteFit
from theorykit.analysis.style import find_style
from theorykit.errors import TheoryKitError
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.fretboard import SHOWN_FRETS, ScaleCell, scale_cells
from theorykit.theory.form import find_progression
from theorykit.theory.key import Key
from theorykit.theory.pitch import Note
from theorykit.theory.scale import Scale, find_scale

#: What a shell is told when the input can't be used.
BAD_INPUT_EXIT = 2

_json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON.")
_key_option = click.option("--key", required=True, help="A tonic, e.g. A, Bb, F#m.")


def main() -> None:
    """Run the command line; bad input ends it with code 2 and one line on standard error."""
    try:
        cli.main(standalone_mode=False)
    except click.ClickException as error:
        _fail(error.format_message(), BAD_INPUT_EXIT)
    except click.Abort:
        _fail("stopped", 130)
    except TheoryKitError as error:
        _fail(str(error), BAD_INPUT_EXIT)
    except BrokenPipeError:
        # Whoever read the output has had enough.
        sys.stderr.close()


def _fail(message: str, code: int) -> None:
    click.echo(f"theorykit: {' '.join(message.split())}", err=True)
    sys.exit(code)


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="theorykit")
def cli() -> None:
    """Scales over chords for improvisers: what fits, where it lies, and the lesson to take home."""


@cli.command()
@click.argument("name")
@_key_option
@_json_option
def scale(name: str, key: str, as_json: bool) -> None:
    """Spell a scale: NAME is a name such as "blues", or a formula such as "1 b3 4 5 b7"."""
    found = Scale(Key.parse(key).tonic, find_scale(name))
    if found.formula.follows_chord:
        raise click.UsageError(
            f"scale '{name}': its notes are those of a chord; accepted: any other scale, "
            "or 'theorykit advise'"
        )
    if as_json:
        _print_json(
            {
                "scale": str(found),
                "notes": [str(note) for note in found.notes],
                "degrees": [str(degree) for degree in found.degrees],
            }
        )
        return
    _print_table(
        found.pretty,
        ("note", "degree"),
        (
            (note.pretty, degree.pretty)
            for note, degree in zip(found.notes, found.degrees, strict=True)
        ),
    )


@cli.command()
@_key_option
@click.option("--scale", "scale_name", required=True, help="The scale that is held.")
@click.option("--progression", required=True, help="A form's name or a chart: '| I | IV | V |'.")
@click.option("--style", default="bluegrass", show_default=True, help="Whose taste decides.")
@click.option("--no-thirds", is_flag=True, help="The chords are played without their thirds.")
@_json_option
def advise(
    key: str, scale_name: str, progression: str, style: str, no_thirds: bool, as_json: bool
) -> None:
    """Say which scale goes over each chord of a progression, and which notes to watch."""
    parsed = Key.parse(key)
    chart = find_progression(progression, key=parsed)
    mode = "minor" if parsed.mode == "minor" else chart.mode
    bars = advise_progression(
        chart, find_scale(scale_name), find_style(style), mode=mode, thirds=not no_thirds
    )
    rows = [
        _advice_record(number, advice, parsed.tonic)
        for number, bar in enumerate(bars, start=1)
        for advice in bar
    ]
    if as_json:
        _print_json({"key": str(parsed), "style": find_style(style).name, "bars": rows})
        return
    _print_table(
        f"{parsed.tonic.pretty} {find_scale(scale_name).name} over {chart.name}, {style}",
        ("bar", "numeral", "chord", "verdict", "play", "watch"),
        (
            (
                str(row["bar"]),
                row["numeral"],
                row["chord"],
                row["verdict"],
                row["scale"],
                " ".join(row["watch"]),
            )
            for row in rows
        ),
    )
    for reason in dict.fromkeys(row["reason"] for row in rows):
        click.echo(reason)


@cli.command()
@click.option("--instrument", required=True, help="mandolin, guitar or banjo.")
@_key_option
@click.option("--scale", "scale_name", required=True, help="A name or a formula.")
@click.option("--capo", default=0, show_default=True, help="The fret that the capo closes.")
@click.option("--frets", default=SHOWN_FRETS, show_default=True, help="The highest fret.")
@_json_option
def neck(instrument: str, key: str, scale_name: str, capo: int, frets: int, as_json: bool) -> None:
    """Find a scale on a neck: every string and fret that holds a note of it."""
    chosen = find_instrument(instrument)
    found = Scale(Key.parse(key).tonic, find_scale(scale_name))
    cells = scale_cells(chosen, found, frets=frets, capo=capo)
    if as_json:
        _print_json(
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
    _print_table(
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


@cli.command()
@click.argument("notebook", type=click.Path(path_type=Path))
@click.option(
    "-o",
    "--output",
    type=click.Path(path_type=Path),
    help="The page; beside the notebook if not given.",
)
@_json_option
def export(notebook: Path, output: Path | None, as_json: bool) -> None:
    """Execute NOTEBOOK and write it as one page that works with no kernel and no network."""
    from rich.console import Console

    from theorykit.export.lesson import export_notebook

    # The slow part is the notebook's own cells, whose length nobody knows: a spinner, not a bar.
    with Console(stderr=True).status(f"Executing {notebook.name}"):
        page = export_notebook(notebook, output)
    if as_json:
        _print_json({"page": str(page), "bytes": page.stat().st_size})
    else:
        click.echo(f"{page}  ({page.stat().st_size / 1e6:.2f} MB)")


def _advice_record(bar: int, advice: Advice, tonic: Note) -> dict[str, Any]:
    def words(template: str) -> str:
        return wording.fill(template, tonic)

    beats = float(advice.beats)
    return {
        "bar": bar,
        "chord": words(wording.chord_words(advice.numeral)),
        "numeral": str(advice.numeral),
        "beats": int(beats) if beats.is_integer() else beats,
        "verdict": advice.verdict,
        "scale": words(wording.scale_words(advice.scale, advice.scale_tonic, advice.numeral)),
        "watch": [_note_name(note, tonic) for note in advice.watch],
        "notes": [_note_record(note, tonic) for note in advice.fit.notes],
        "reason": words(advice.reason),
    }


def _note_record(note: NoteFit, tonic: Note) -> dict[str, Any]:
    degree = wording.token_degree(wording.token(note.degree, note.alternate), tonic)
    return {
        "name": str(degree.at(tonic)),
        "degree": str(degree),
        "role": note.role,
        "class": note.kind.name,
        "severity": note.severity,
    }


def _note_name(note: NoteFit, tonic: Note) -> str:
    name: str = _note_record(note, tonic)["name"]
    return name


def _cell_record(cell: ScaleCell) -> dict[str, Any]:
    return {
        "string": cell.cell.string,
        "fret": cell.cell.fret,
        "note": str(cell.note),
        "degree": str(cell.degree),
        "midi": cell.cell.midi,
    }


def _print_json(data: Any) -> None:
    click.echo(json.dumps(data, indent=2, ensure_ascii=False))


def _print_table(title: str, heads: Iterable[str], rows: Iterable[Iterable[str]]) -> None:
    from rich.console import Console
    from rich.table import Table

    table = Table(title=title, title_justify="left", title_style="bold")
    for head in heads:
        table.add_column(head)
    for row in rows:
        table.add_row(*row)
    Console().print(table)
