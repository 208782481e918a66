"""How commands hand out written music: files by their suffix, rows, or tablature to read."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import click

from theorykit.cli.output import print_json
from theorykit.errors import BadInput, nearest
from theorykit.files import whole_file
from theorykit.instruments.instrument import Instrument
from theorykit.score.score import Score

output_option = click.option(
    "-o",
    "--output",
    "outputs",
    multiple=True,
    type=click.Path(path_type=Path),
    help="A .svg, .png, .musicxml, .mxl, .abc, .mid or .txt file; may be given more than once.",
)


def hand_out(
    score: Score,
    neck: Instrument | None,
    outputs: Sequence[Path],
    *,
    as_json: bool,
    more: dict[str, Any] | None = None,
) -> None:
    """Write a score's line into files, or else print it as JSON or tablature.

    Parameters
    ----------
    score : Score
    neck : Instrument or None
    outputs : sequence of Path
    as_json : bool
    more : dict, optional
        What JSON has beside the notes.

    Raises
    ------
    BadInput
        For a suffix that says no format, before anything is written.
    """
    from theorykit.notation.records import records

    writers = [_writer(path) for path in outputs]
    for path, write in zip(outputs, writers, strict=True):
        write(score, neck, path)
    if score.remark:
        click.echo(score.remark, err=True)
    if as_json:
        rows = [row for row in records(score) if row["part"] == "line"]
        print_json({"title": score.title, "meter": score.meter, **(more or {}), "notes": rows})
    elif outputs:
        for path in outputs:
            click.echo(f"{path}  ({path.stat().st_size / 1e3:.1f} kB)")
    else:
        click.echo(_text(score, neck))


def _text(score: Score, neck: Instrument | None) -> str:
    """Tablature, or the names of the notes where there is no neck with frets."""
    from theorykit.notation.note_names import note_names
    from theorykit.notation.tablature import tablature_text

    if neck is not None and neck.frets_a_finger and not neck.fretless:
        return tablature_text(score, neck, degrees=True)
    return f"{score.title}\n\n{note_names(score)}"


def _svg(score: Score, neck: Instrument | None, path: Path) -> None:
    from theorykit.notation.engrave import engrave

    engrave(score, instrument=neck).save(path)


def _png(score: Score, neck: Instrument | None, path: Path) -> None:
    from theorykit.export.snapshot import write_png
    from theorykit.notation.engrave import engrave

    write_png(engrave(score, instrument=neck).svg, path)


def _musicxml(score: Score, neck: Instrument | None, path: Path) -> None:
    from theorykit.notation.musicxml import write_musicxml

    tablature = neck is not None and bool(neck.frets_a_finger) and not neck.fretless
    write_musicxml(score, path, instrument=neck, tablature=tablature)


def _abc(score: Score, _neck: Instrument | None, path: Path) -> None:
    from theorykit.notation.abc import write_abc

    write_abc(score, path)


def _midi(score: Score, _neck: Instrument | None, path: Path) -> None:
    from theorykit.score.midi import write_midi

    write_midi(score, path)


def _tablature(score: Score, neck: Instrument | None, path: Path) -> None:
    with whole_file(path) as file:
        file.write((_text(score, neck) + "\n").encode())


_WRITERS: dict[str, Callable[[Score, Instrument | None, Path], None]] = {
    ".svg": _svg,
    ".png": _png,
    ".musicxml": _musicxml,
    ".mxl": _musicxml,
    ".abc": _abc,
    ".mid": _midi,
    ".txt": _tablature,
}


def _writer(path: Path) -> Callable[[Score, Instrument | None, Path], None]:
    suffix = path.suffix.casefold()
    if suffix in _WRITERS:
        return _WRITERS[suffix]
    raise BadInput(
        "output",
        path.name,
        "no format of written music has that ending",
        accepted=", ".join(_WRITERS),
        nearest=nearest(suffix, _WRITERS) if suffix else None,
    )
