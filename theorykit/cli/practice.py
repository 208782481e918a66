"""The commands that make material to practise: sequences, lines, routines."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from theorykit.cli.neck import INSTRUMENT_HELP
from theorykit.cli.output import json_option, key_option, print_json
from theorykit.cli.written import hand_out, output_option
from theorykit.errors import BadInput
from theorykit.files import whole_file
from theorykit.instruments.catalogue import find_instrument
from theorykit.practice.line_level import LEVELS
from theorykit.practice.rhythm import RHYTHMS
from theorykit.practice.routine_item import KINDS, RoutineItem
from theorykit.practice.sequence import DIRECTIONS
from theorykit.practice.sequence_pattern import SEQUENCES
from theorykit.theory.form import find_progression
from theorykit.theory.key import Key
from theorykit.theory.scale import Scale, find_scale

if TYPE_CHECKING:
    from theorykit.practice.line_model import Line

_instrument_option = click.option(
    "--instrument", help=f"Who plays it: string, fret and finger for each note. {INSTRUMENT_HELP}"
)
_closed_option = click.option("--closed", is_flag=True, help="Use no open string.")


@click.command()
@key_option
@click.option("--scale", "scale_name", help="A name or a formula; the chart's own if not given.")
@click.option("--figure", default="threes", show_default=True, help=", ".join(SEQUENCES) + ".")
@click.option("--way", default=DIRECTIONS[0], show_default=True, help=", ".join(DIRECTIONS) + ".")
@click.option("--rhythm", default="eighths", show_default=True, help=", ".join(RHYTHMS) + ".")
@click.option("--start", default="1", show_default=True, help="The degree that it starts on.")
@click.option("--progression", help="Run over this chart, in the scale that each chord wants.")
@click.option("--choruses", default=1, show_default=True, help="How often the chart is played.")
@_instrument_option
@click.option("--position", type=int, help="Stay under a hand at this fret.")
@_closed_option
@click.option("--neighbours", type=float, help="Add neighbour notes: 0 is none, 1 is many.")
@click.option("--meter", default="4/4", show_default=True)
@click.option("--tempo", default=80.0, show_default=True, help="Beats a minute.")
@click.option("--seed", default=0, show_default=True, help="For the neighbour notes.")
@output_option
@json_option
def sequence(
    key: str,
    scale_name: str | None,
    figure: str,
    way: str,
    rhythm: str,
    start: str,
    progression: str | None,
    choruses: int,
    instrument: str | None,
    position: int | None,
    closed: bool,
    neighbours: float | None,
    meter: str,
    tempo: float,
    seed: int,
    outputs: tuple[Path, ...],
    as_json: bool,
) -> None:
    """Play a scale in a figure, threes or thirds or broken chords, on a neck or over a chart."""
    from theorykit.practice.neighbour import add_neighbours
    from theorykit.practice.sequence import sequence as plain_sequence
    from theorykit.practice.sequence_over import sequence_over

    home = Key.parse(key)
    neck = find_instrument(instrument) if instrument else None
    if progression is not None:
        score = sequence_over(
            find_progression(progression, key=home),
            home,
            figure,
            scale=scale_name,
            rhythm=rhythm,
            start="down" if way.startswith("down") else "up",
            instrument=neck,
            position=position,
            closed=closed,
            choruses=choruses,
            tempo=tempo,
        )
    else:
        name = scale_name or ("major" if home.mode == "major" else "natural minor")
        score = plain_sequence(
            Scale(home.tonic, find_scale(name)),
            figure,
            direction=way,
            rhythm=rhythm,
            start=start,
            instrument=neck,
            position=position,
            closed=closed,
            meter=meter,
            tempo=tempo,
        )
    if neighbours is not None:
        score = add_neighbours(score, amount=neighbours, seed=seed, instrument=neck).score
    hand_out(score, neck, outputs, as_json=as_json)


@click.command()
@click.option("--key", help="A tonic, e.g. A, Bb, F#m; a tune's own if not given.")
@click.option("--progression", help="A form's name or a chart: '| I | IV | V |'.")
@click.option(
    "--tune",
    "tune_file",
    type=click.Path(path_type=Path),
    help="Vary this tune (MusicXML, ABC or MIDI) over its own chords, or proposed ones.",
)
@click.option(
    "--vary", type=float, help="How much of the tune changes: 0 nothing, 1 all but its skeleton."
)
@click.option(
    "--level",
    default=2,
    show_default=True,
    help=", ".join(f"{level.number} {level.name}" for level in LEVELS.values()) + ".",
)
@click.option("--grit", default=0.3, show_default=True, help="Level 4: 0 is plain, 1 all blues.")
@click.option("--style", help="Whose taste decides what rubs.")
@_instrument_option
@_closed_option
@click.option("--choruses", type=int, help="How often the chart is played; once if not given.")
@click.option("--tempo", type=float, help="Beats a minute; 100, or the tune's own.")
@click.option("--seed", default=0, show_default=True, help="Another number, another line.")
@click.option("--why", is_flag=True, help="Say of each note why it is there.")
@output_option
@json_option
def line(
    key: str | None,
    progression: str | None,
    tune_file: Path | None,
    vary: float | None,
    level: int,
    grit: float,
    style: str | None,
    instrument: str | None,
    closed: bool,
    choruses: int | None,
    tempo: float | None,
    seed: int,
    why: bool,
    outputs: tuple[Path, ...],
    as_json: bool,
) -> None:
    """Make an example solo over a chart, in which each note can be asked why it is there."""
    from theorykit.analysis.saved_style import read_style
    from theorykit.practice.line import line_over

    neck = find_instrument(instrument) if instrument else None
    taste = read_style(style) if style else None
    if tune_file is not None:
        if choruses is not None or tempo is not None:
            raise click.UsageError("--choruses and --tempo go without --tune")
        found = _varied(
            tune_file,
            key,
            progression,
            vary=0.5 if vary is None else vary,
            level=level,
            grit=grit,
            style=taste,
            instrument=neck,
            seed=seed,
            closed=closed,
        )
    elif key is None or progression is None:
        raise click.UsageError("a line needs --key and --progression, or --tune")
    elif vary is not None:
        raise click.UsageError("--vary goes with --tune")
    else:
        home = Key.parse(key)
        found = line_over(
            find_progression(progression, key=home),
            home,
            level=level,
            grit=grit,
            style=taste,
            instrument=neck,
            seed=seed,
            tempo=100.0 if tempo is None else tempo,
            choruses=1 if choruses is None else choruses,
            closed=closed,
        )
    hand_out(
        found.score,
        neck,
        outputs,
        as_json=as_json,
        more={"level": level, "seed": seed, "reasons": list(found.reasons)},
    )
    if why and not as_json:
        for number, (note, reason) in enumerate(zip(found.notes, found.reasons, strict=True), 1):
            click.echo(f"{number:>3}  {note.pitch!s:<4} {reason}")


@click.command()
@click.option(
    "--item",
    "items",
    multiple=True,
    required=True,
    help="What: 'scale: major', 'sequence: major, threes', 'progression: 12-bar blues', "
    "'shapes: G7', 'line: level 2'; may be given more than once.",
)
@click.option("--minutes", default=30.0, show_default=True, help="In all, rests included.")
@click.option("--keys", default="fourths", show_default=True, help="The round of the keys.")
@click.option("--start", default="C", show_default=True, help="The first key.")
@click.option("--count", default=3, show_default=True, help="How many keys.")
@click.option("--tempo", default="60-100 by 10", show_default=True, help="From, to, and by.")
@click.option("--seed", default=0, show_default=True, help="For keys at random.")
@click.option(
    "-o", "--output", type=click.Path(path_type=Path), help="A .txt checklist or a .csv table."
)
@json_option
def routine(
    items: tuple[str, ...],
    minutes: float,
    keys: str,
    start: str,
    count: int,
    tempo: str,
    seed: int,
    output: Path | None,
    as_json: bool,
) -> None:
    """Plan a practice: what, in which keys, how fast, how long, with rests."""
    from theorykit.practice.routine import routine as plan_routine

    plan = plan_routine(
        [_item(text) for text in items],
        minutes=minutes,
        keys=keys,
        start=start,
        count=count,
        tempo=_ladder(tempo),
        seed=seed,
    )
    if output is not None:
        with whole_file(output) as file:
            file.write(_routine_file(output, plan.checklist(), plan.records()).encode())
    if as_json:
        print_json(
            {"minutes": plan.minutes, "blocks": plan.records(), "cautions": list(plan.cautions)}
        )
    elif output is not None:
        click.echo(f"{output}  ({plan.minutes:g} minutes)")
    else:
        click.echo(plan.checklist())


def _varied(
    file: Path, key: str | None, progression: str | None, *, vary: float, **choices: Any
) -> Line:
    """A tune varied over its own chords, over proposed ones, or over those of a chart."""
    from theorykit.practice.line_skeleton import line_from_tune
    from theorykit.tune.reading import read_tune
    from theorykit.tune.study import tune_study

    study = tune_study(read_tune(file), key)
    click.echo(study.remark, err=True)
    if progression is None:
        return line_from_tune(study.score, study.progression, study.key, vary=vary, **choices)
    return line_from_tune(
        study.score,
        find_progression(progression, key=study.key),
        study.key,
        vary=vary,
        **choices,
    )


def _item(text: str) -> RoutineItem:
    kind, colon, name = text.partition(":")
    if not colon:
        accepted = f"a kind ({', '.join(KINDS)}), a colon and what it is"
        raise BadInput("item", text, "has no kind", accepted=accepted)
    pattern = ""
    if kind.strip() == "sequence":
        name, _, pattern = name.partition(",")
    return RoutineItem(kind.strip(), name.strip(), pattern=pattern.strip())


def _ladder(text: str) -> tuple[float, float, float]:
    """Read ``60-100 by 10``."""
    span, _, step = text.partition("by")
    slowest, _, fastest = span.partition("-")
    try:
        return float(slowest), float(fastest or slowest), float(step or 10)
    except ValueError:
        raise BadInput(
            "tempo", text, "no way from one to another", accepted="60-100 by 10"
        ) from None


def _routine_file(path: Path, checklist: str, rows: list[dict[str, object]]) -> str:
    if path.suffix.casefold() == ".txt":
        return checklist + "\n"
    if path.suffix.casefold() == ".csv":
        text = io.StringIO()
        writer = csv.DictWriter(text, list(rows[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)
        return text.getvalue()
    raise BadInput("output", path.name, "no format of routines", accepted=".txt, .csv")
