"""The command that reads a tune."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from theorykit.cli.neck import INSTRUMENT_HELP
from theorykit.cli.output import beats_number, json_option
from theorykit.cli.written import hand_out, output_option
from theorykit.instruments.catalogue import find_instrument

if TYPE_CHECKING:
    from theorykit.tune.chord_proposal import ProposedChord

#: So many keys are named.
_SHOWN_KEYS = 3


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--key", help="The key, if you know better than what would be proposed.")
@click.option("--number", type=int, help="Which tune of a book in ABC, by its X: number.")
@click.option("--part", default=1, show_default=True, help="Which part of a MusicXML file.")
@click.option("--as-written", is_flag=True, help="Each bar once: repeats are not played out.")
@click.option("--chords", is_flag=True, help="Propose chords even if the tune has its own.")
@click.option("--instrument", help=f"Who plays it. {INSTRUMENT_HELP}")
@output_option
@json_option
def tune(
    file: Path,
    key: str | None,
    number: int | None,
    part: int,
    as_written: bool,
    chords: bool,
    instrument: str | None,
    outputs: tuple[Path, ...],
    as_json: bool,
) -> None:
    """Read a tune (MusicXML, ABC or MIDI): its key, with the evidence, and its chart in numerals.

    A tune without chords gets a proposal of some.
    """
    from theorykit.tune.reading import read_tune
    from theorykit.tune.study import tune_study

    neck = find_instrument(instrument) if instrument else None
    score = read_tune(file, number=number, part=part, repeats=not as_written)
    study = tune_study(score, key, own_chords=not chords)
    if as_json or outputs:
        more: dict[str, Any] = {
            "key": str(study.key),
            "mode": study.mode,
            "keys": [{"key": each.name, "why": each.why} for each in study.keys[:_SHOWN_KEYS]],
            "bars": len(study.score.bars),
            "tempo": study.tempo,
            "chart": str(study.progression),
            "chords_are_proposed": study.chords is not None,
            "remark": study.remark,
        }
        if study.chords is not None:
            more["chords"] = [_record(chord) for chord in study.chords.chords]
        hand_out(study.score, neck, outputs, as_json=as_json, more=more)
        return
    click.echo(f"{study.title or file.name}: {study.meter}, {len(study.score.bars)} bars")
    click.echo("Key: " + (f"{study.key}, as you say" if key else study.keys[0].why))
    for each in study.keys[:_SHOWN_KEYS] if key else study.keys[1:_SHOWN_KEYS]:
        click.echo(f"  or {each.why}")
    click.echo(f"\n{study.progression.text}\n{study.remark}\n")
    hand_out(study.score, neck, outputs, as_json=as_json)


def _record(chord: ProposedChord) -> dict[str, object]:
    """A proposed chord as a plain row, with what could stand in its place."""
    return {
        "bar": chord.bar,
        "beat": beats_number(chord.start),
        "beats": beats_number(chord.beats),
        "numeral": str(chord.numeral),
        "sure": chord.sure,
        "or": [
            {"numeral": str(other.numeral), "extra": round(other.extra, 2)}
            for other in chord.alternatives
        ],
    }
