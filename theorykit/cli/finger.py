"""The command that fingers a line."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

import click

from theorykit.cli.neck import INSTRUMENT_HELP, fret_name
from theorykit.cli.output import json_option, print_json
from theorykit.errors import BadInput
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.fingering import FingeredNote, finger_line
from theorykit.instruments.instrument import Instrument
from theorykit.score.score import check_tempo

#: How many notes stand in a line of tablature, and how much a file may hold.
NOTES_A_LINE, MOST_CHARACTERS = 16, 200_000

#: What stands before a fret that is reached with no new stroke, as tablature has it.
JOINS = {"": "", "hammer-on": "h", "pull-off": "p", "slide": "s"}


@click.command()
@click.argument("notes", nargs=-1, required=True)
@click.option("--instrument", required=True, help=INSTRUMENT_HELP)
@click.option("--closed", is_flag=True, help="Use no open string that can be avoided.")
@click.option("--position", type=int, help="Keep the index finger at this fret.")
@click.option("--capo", default=0, show_default=True, help="The fret that the capo closes.")
@click.option("--roll", is_flag=True, help="Strike no string twice in a row.")
@click.option("--beats", default=0.5, show_default=True, help="How long each note is.")
@click.option("--tempo", default=120.0, show_default=True, help="Beats a minute.")
@json_option
def finger(
    notes: tuple[str, ...],
    instrument: str,
    closed: bool,
    position: int | None,
    capo: int,
    roll: bool,
    beats: float,
    tempo: float,
    as_json: bool,
) -> None:
    """Finger a line of notes: string, fret and finger for each.

    NOTES are pitches such as G3 A3 B3, or a text file that holds them. In the tablature h is a
    hammer-on, p a pull-off and s a slide.
    """
    neck = find_instrument(instrument)
    check_tempo(tempo)
    found = finger_line(
        neck,
        _read(notes),
        closed=closed,
        lowest_position=1 if position is None else position,
        highest_position=position,
        capo=capo,
        roll=roll,
        beats=beats,
        beats_a_second=tempo / 60,
    )
    if as_json:
        records = [_record(neck, note, capo) for note in found.notes]
        print_json({"instrument": neck.name, "capo": capo, "notes": records, "cost": found.cost})
        return
    for start in range(0, len(found.notes), NOTES_A_LINE):
        click.echo(_tablature(neck, found.notes[start : start + NOTES_A_LINE], capo))


def _record(neck: Instrument, note: FingeredNote, capo: int) -> dict[str, Any]:
    record = {
        "name": str(note.pitch),
        "string": note.string,
        "fret": note.fret,
        "finger": note.finger,
        "position": note.position,
        "joined": note.joined,
    }
    if neck.fretted:
        record["fret_name"] = fret_name(neck, note.fret, capo)
    return record


def _read(notes: tuple[str, ...]) -> list[str]:
    """The notes themselves, or those in a file."""
    if len(notes) == 1 and Path(notes[0]).is_file():
        path = Path(notes[0])
        try:
            text = path.read_text(encoding="utf-8")
        except (OSError, UnicodeDecodeError) as error:
            raise BadInput("file", notes[0], "can't be read as text") from error
        if len(text) > MOST_CHARACTERS:
            raise BadInput("file", notes[0], "too long", accepted=f"{MOST_CHARACTERS} characters")
        return text.split()
    return [word for words in notes for word in words.split()]


def _tablature(neck: Instrument, shown: Sequence[FingeredNote], capo: int) -> str:
    """A line of text tablature, string 1 on top, with the fingers under it."""
    columns = [max(len(str(note.pitch)), 2) + 1 for note in shown]
    names = [string.open.note.pretty for string in neck.strings]
    edge = max(map(len, names))

    def row(head: str, cells: Iterable[str], fill: str = " ") -> str:
        padded = (cell.ljust(width, fill) for cell, width in zip(cells, columns, strict=True))
        return head + "".join(padded).rstrip()

    margin = " " * (edge + 2)
    rows = [row(margin, (str(note.pitch) for note in shown))]
    for number, name in enumerate(names, start=1):
        cells = (
            JOINS[note.joined] + fret_name(neck, note.fret, capo) if note.string == number else ""
            for note in shown
        )
        rows.append(row(f"{name.ljust(edge)} |", cells, "-") + "|")
    rows.append(row(margin, (str(note.finger or "o") for note in shown)))
    return "\n".join(rows) + "\n"
