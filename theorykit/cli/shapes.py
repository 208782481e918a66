"""The command that finds chord shapes."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from theorykit.cli.neck import INSTRUMENT_HELP
from theorykit.cli.output import json_option, print_json, print_table
from theorykit.errors import BadInput
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.instrument import Instrument
from theorykit.instruments.shape import Shape
from theorykit.instruments.shape_change import members_at, places_of, shape_sequence
from theorykit.instruments.shape_search import find_shapes
from theorykit.theory.chord import Chord
from theorykit.theory.form import find_progression
from theorykit.theory.key import Key

#: How many shapes are printed unless the user says otherwise.
SHOWN = 12


@click.command()
@click.option("--instrument", required=True, help=INSTRUMENT_HELP)
@click.option("--chord", "chord_name", help="A symbol, e.g. G, C7, F#m7b5.")
@click.option("--omit", multiple=True, help="A member to leave out, by number: 3, 5 or 1.")
@click.option("--closed", is_flag=True, help="Shapes with no open string.")
@click.option("--bass", help="The lowest note: a note, 'root' or 'any'.")
@click.option("--capo", default=0, show_default=True, help="The fret that the capo closes.")
@click.option("--limit", type=click.IntRange(1), help=f"How many; all as JSON, else {SHOWN}.")
@click.option("--progression", help="A form or a chart: one shape a chord, with little to move.")
@click.option("--key", help="The key of the progression.")
@click.option("-o", "--output", type=click.Path(path_type=Path), help="Diagrams as an .svg file.")
@json_option
def shapes(
    instrument: str,
    chord_name: str | None,
    omit: tuple[str, ...],
    closed: bool,
    bass: str | None,
    capo: int,
    limit: int | None,
    progression: str | None,
    key: str | None,
    output: Path | None,
    as_json: bool,
) -> None:
    """Find the shapes of a chord, the easiest first, or a smooth way through a progression.

    Frets are written from the lowest string, x for a muted one: 3x0033.
    """
    neck = find_instrument(instrument)
    if (chord_name is None) == (progression is None):
        raise click.UsageError("give either --chord or --progression with --key")
    if progression is not None:
        if key is None:
            raise click.UsageError("--progression needs --key")
        if bass is not None:
            raise click.UsageError("--bass goes with --chord")
        chords = _played(progression, key)
        found = shape_sequence(neck, chords, omit=omit, closed=closed, capo=capo)
    else:
        chord = Chord.parse(chord_name or "")
        found = find_shapes(
            neck, chord, omit=omit, closed=closed, bass=bass, capo=capo, limit=limit
        )
        if not found:
            raise BadInput("chord", str(chord), f"no such shape on a {neck.name}")
        chords = [chord] * len(found)
    if output is not None:
        _save(output, neck, chords, found[: limit or SHOWN if progression is None else None])
    if as_json:
        records = [
            _record(shape, each, rank)
            for rank, (shape, each) in enumerate(zip(found, chords, strict=True), start=1)
        ]
        print_json({"instrument": neck.name, "capo": capo, "shapes": records})
    else:
        _print(neck, chords, found if progression else found[: limit or SHOWN], capo)


def _played(progression: str, key: str) -> list[Chord]:
    """The chords of a progression in a key, those that last taken once."""
    home = Key.parse(key)
    chart = find_progression(progression, key=home).unfolded()
    chords: list[Chord] = []
    for number, bar in enumerate(chart.bars):
        for placed in bar:
            local = chart.local_numeral(number, placed)
            chord = local.chord(chart.tonics[number].at(home.tonic))
            if not placed.silent and (not chords or chords[-1] != chord):
                chords.append(chord)
    return chords


def _record(shape: Shape, chord: Chord, rank: int) -> dict[str, Any]:
    members = members_at(shape, chord)
    names = {note.pitch_class: str(note) for note in reversed(chord.notes)}
    if chord.bass is not None:
        names.setdefault(chord.bass.pitch_class, str(chord.bass))
    return {
        "chord": str(chord),
        "frets": shape.text,
        "fingers": list(reversed(shape.fingers)),
        "notes": [names[midi % 12] for midi in reversed(shape.midis) if midi is not None],
        "degrees": [None if degree is None else str(degree) for degree in reversed(members)],
        "span_mm": shape.span_mm,
        "rank": rank,
        "thirds": [
            {"string": string, "fret": fret} for string, fret in places_of(shape, chord, "3")
        ],
    }


def _print(neck: Instrument, chords: Sequence[Chord], found: Sequence[Shape], capo: int) -> None:
    title = f"{'Shapes' if len(set(chords)) > 1 else chords[0].pretty} on {neck.name}"
    rows = []
    for shape, chord in zip(found, chords, strict=False):
        record = _record(shape, chord, 0)
        thirds = ", ".join(
            f"string {each['string']} {'open' if not each['fret'] else 'fret ' + str(each['fret'])}"
            for each in record["thirds"]
        )
        fingers = "".join(str(finger or ".") for finger in record["fingers"])
        span = f"{shape.span_mm:.0f} mm"
        rows.append((chord.pretty, shape.text, fingers, " ".join(record["notes"]), span, thirds))
    heads = ("chord", "frets", "fingers", "notes", "span", "third")
    print_table(title + (f", capo {capo}" if capo else ""), heads, rows)


def _save(output: Path, neck: Instrument, chords: list[Chord], found: list[Shape]) -> None:
    from theorykit.scene.diagram import Diagram, DiagramRow

    if output.suffix.lower() != ".svg":
        raise BadInput("output", str(output), "diagrams are written as SVG", accepted="NAME.svg")
    if not output.parent.is_dir():
        raise BadInput("output", str(output), "its folder does not exist")
    pairs = zip(found, chords, strict=False)
    DiagramRow(tuple(Diagram(shape, neck, chord) for shape, chord in pairs)).save(output)
