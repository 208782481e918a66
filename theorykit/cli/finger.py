"""The command that fingers a line."""

from __future__ import annotations

from pathlib import Path

import click

from theorykit.cli.neck import INSTRUMENT_HELP
from theorykit.cli.output import json_option, print_json
from theorykit.errors import BadInput
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.fingering import Fingering, finger_line
from theorykit.instruments.instrument import Instrument

#: How many notes stand in a line of tablature, and how much a file may hold.
NOTES_A_LINE, MOST_CHARACTERS = 16, 200_000


@click.command()
@click.argument("notes", nargs=-1, required=True)
@click.option("--instrument", required=True, help=INSTRUMENT_HELP)
@click.option("--closed", is_flag=True, help="Use no open strings.")
@click.option("--position", type=int, help="Keep the index finger at this fret.")
@click.option("--capo", default=0, show_default=True, help="The fret that the capo closes.")
@click.option("--roll", is_flag=True, help="Strike no string twice in a row.")
@json_option
def finger(
    notes: tuple[str, ...],
    instrument: str,
    closed: bool,
    position: int | None,
    capo: int,
    roll: bool,
    as_json: bool,
) -> None:
    """Finger a line of notes: string, fret and finger for each.

    NOTES are pitches such as G3 A3 B3, or a text file that holds them.
    """
    neck = find_instrument(instrument)
    found = finger_line(
        neck,
        _read(notes),
        closed=closed,
        lowest_position=1 if position is None else position,
        highest_position=position,
        capo=capo,
        roll=roll,
    )
    if as_json:
        records = [
            {
                "name": str(note.pitch),
                "string": note.string,
                "fret": note.fret,
                "finger": note.finger,
                "position": note.position,
                "joined": note.joined,
            }
            for note in found.notes
        ]
        print_json({"instrument": neck.name, "notes": records, "cost": found.cost})
        return
    for start in range(0, len(found.notes), NOTES_A_LINE):
        click.echo(_tablature(neck, found, start))


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


def _tablature(neck: Instrument, found: Fingering, start: int) -> str:
    """A line of text tablature, string 1 on top, with the fingers under it."""
    shown = found.notes[start : start + NOTES_A_LINE]
    columns = [max(len(str(note.pitch)), 2) + 1 for note in shown]
    names = [string.open.note.pretty for string in neck.strings]
    edge = max(map(len, names))
    rows = [
        " " * edge
        + "  "
        + "".join(str(note.pitch).ljust(w) for note, w in zip(shown, columns, strict=True))
    ]
    for number, name in enumerate(names, start=1):
        cells = [
            (str(note.fret) if note.string == number else "").ljust(width, "-")
            for note, width in zip(shown, columns, strict=True)
        ]
        rows.append(f"{name.ljust(edge)} |{''.join(cells)}|")
    fingers = "".join(
        str(note.finger or "o").ljust(width) for note, width in zip(shown, columns, strict=True)
    )
    rows.append(" " * edge + "  " + fingers.rstrip())
    return "\n".join(row.rstrip() for row in rows) + "\n"
