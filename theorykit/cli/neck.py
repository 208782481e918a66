"""The command that finds a scale on a neck."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import click

from theorykit.cli.output import json_option, key_option, print_json, print_table
from theorykit.instruments.catalogue import INSTRUMENTS, find_instrument
from theorykit.instruments.fretboard import SHOWN_FRETS, ScaleCell, scale_cells, shown_frets
from theorykit.instruments.instrument import Instrument
from theorykit.instruments.positions import Position, closed_positions, position
from theorykit.theory.key import Key
from theorykit.theory.scale import Scale, find_scale

INSTRUMENT_HELP = (
    "A name: "
    + ", ".join(INSTRUMENTS)
    + "; or a tuning of your own, the last string first: 'G2 D3 A3 E4, 20 frets, 352 mm'."
)


@click.command()
@click.option("--instrument", required=True, help=INSTRUMENT_HELP)
@key_option
@click.option("--scale", "scale_name", required=True, help="A name or a formula.")
@click.option("--capo", default=0, show_default=True, help="The fret that the capo closes.")
@click.option("--frets", type=int, help=f"The highest fret; {SHOWN_FRETS} if the neck has them.")
@click.option("--position", "index", type=int, help="Only what lies under a hand at this fret.")
@click.option("--closed", is_flag=True, help="Positions with no open string.")
@json_option
def neck(
    instrument: str,
    key: str,
    scale_name: str,
    capo: int,
    frets: int | None,
    index: int | None,
    closed: bool,
    as_json: bool,
) -> None:
    """Find a scale on a neck: every string and fret that holds a note of it.

    With --position or --closed: what lies under the hand, each pitch once.
    """
    chosen = find_instrument(instrument)
    found = Scale(Key.parse(key).tonic, find_scale(scale_name))
    shown = shown_frets(chosen) if frets is None else frets
    cells = scale_cells(chosen, found, frets=shown, capo=capo)
    hands: list[Position] = []
    if index is not None:
        hands = [position(chosen, found, index, closed=closed, capo=capo)]
    elif closed:
        # A shape that runs off the shown frets is left out; it comes again an octave lower.
        hands = [
            hand
            for hand in closed_positions(chosen, found, capo=capo)
            if max(place.cell.fret for place in hand.places) + capo <= shown
        ]
    if as_json:
        data = {
            "instrument": chosen.name,
            "scale": str(found),
            "capo": capo,
            "cells": [_cell_record(chosen, cell, capo) for cell in cells],
        }
        if index is not None or closed:
            data["positions"] = [_position_record(chosen, hand, capo) for hand in hands]
        print_json(data)
        return
    title = f"{found.pretty} on {chosen.name}"
    if index is None and not closed:
        _print_neck(title, chosen, cells, capo)
    for hand in hands:
        kind = "closed" if hand.closed else "open"
        _print_neck(f"{title}, {kind} position {hand.index}", chosen, hand.places, capo)


def _print_neck(title: str, instrument: Instrument, cells: Iterable[ScaleCell], capo: int) -> None:
    by_string: dict[int, list[str]] = {}
    for cell in sorted(cells, key=lambda cell: (cell.cell.string, cell.cell.fret)):
        said = f"{_fret_name(instrument, cell, capo)}: {cell.note.pretty}"
        by_string.setdefault(cell.cell.string, []).append(said)
    print_table(
        title,
        ("string", "open", "fret: note"),
        (
            (str(number), instrument.string(number).open.pretty, "  ".join(on_string))
            for number, on_string in by_string.items()
        ),
    )


def _fret_name(instrument: Instrument, cell: ScaleCell, capo: int) -> str:
    """The fret as players say it; on a dulcimer under a capo, as it is marked on the neck."""
    if not instrument.fretted or not cell.cell.fret:
        return str(cell.cell.fret)
    return instrument.fret_name(cell.cell.fret + capo)


def _position_record(instrument: Instrument, hand: Position, capo: int) -> dict[str, Any]:
    return {
        "position": hand.index,
        "last": hand.last,
        "closed": hand.closed,
        "cells": [
            {**_cell_record(instrument, place, capo), "finger": hand.finger(place.cell.fret)}
            for place in hand.places
        ],
    }


def _cell_record(instrument: Instrument, cell: ScaleCell, capo: int) -> dict[str, Any]:
    record: dict[str, Any] = {
        "string": cell.cell.string,
        "fret": cell.cell.fret,
        "note": str(cell.note),
        "degree": str(cell.degree),
        "midi": cell.cell.midi,
    }
    if instrument.fretted:
        record["fret_name"] = _fret_name(instrument, cell, capo)
    return record
