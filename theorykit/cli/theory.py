"""Commands that spell: scales, chords, progressions, and which scales hold given notes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import click

from theorykit.cli.output import (
    beats_number,
    json_option,
    key_option,
    print_json,
    print_table,
)
from theorykit.theory.chord import Chord
from theorykit.theory.degree import Degree
from theorykit.theory.form import find_progression
from theorykit.theory.key import Key
from theorykit.theory.pitch import Note
from theorykit.theory.relation import common_keys, find_scales, parents, relation
from theorykit.theory.scale import Scale, find_scale

#: How many scales a search names unless it is asked for more.
FOUND_SCALES = 12


@click.command()
@click.argument("name")
@key_option
@click.option("--mode", "mode_number", type=int, help="The mode on this degree of the scale.")
@click.option("--beside", help="Another scale: what it adds, drops and shares, on the same tonic.")
@json_option
def scale(name: str, key: str, mode_number: int | None, beside: str | None, as_json: bool) -> None:
    """Spell a scale: NAME is a name such as "blues", or a formula such as "1 b3 4 5 b7"."""
    tonic, formula = Key.parse(key).tonic, find_scale(name)
    if formula.follows_chord:
        raise click.UsageError(
            f"scale '{name}': its notes are those of a chord; accepted: any other scale, "
            "or 'theorykit chord'"
        )
    if mode_number is not None:
        start = formula.mode(mode_number)
        tonic, formula = formula.degrees_on(tonic)[mode_number - 1].at(tonic), start
    found = Scale(tonic, formula)
    data: dict[str, Any] = {
        "scale": str(found),
        "notes": [str(note) for note in found.notes],
        "degrees": [str(degree) for degree in found.degrees],
        "descending": [str(note) for note in reversed(found.notes_descending)],
        "parents": [f"mode {number} of {parent.name}" for parent, number in parents(formula)],
    }
    if beside is not None:
        data["beside"] = _beside(found, Scale(tonic, find_scale(beside)))
    if as_json:
        print_json(data)
        return
    print_table(
        found.pretty,
        ("note", "degree"),
        (
            (note.pretty, degree.pretty)
            for note, degree in zip(found.notes, found.degrees, strict=True)
        ),
    )
    if formula.descending:
        click.echo(f"down: {' '.join(data['descending'])}")
    for parent in data["parents"]:
        click.echo(parent)
    if beside is not None:
        click.echo(data["beside"]["sentence"])


def _beside(first: Scale, second: Scale) -> dict[str, Any]:
    between = relation(first.formula, second.formula)
    return {
        "scale": str(second),
        "shared": [str(degree.at(first.tonic)) for degree in between.shared],
        "added": [str(degree.at(first.tonic)) for degree in between.added],
        "dropped": [str(degree.at(first.tonic)) for degree in between.dropped],
        "keys": [str(key) for key in common_keys(first, second)],
        "sentence": between.sentence(str(first), str(second)),
    }


@click.command()
@click.argument("symbol")
@json_option
def chord(symbol: str, as_json: bool) -> None:
    """Spell a chord: SYMBOL is a chord symbol such as Bbmaj7, F#m7b5, D7sus4, C/G."""
    found = Chord.parse(symbol)
    degrees = [Degree.between(found.root, note) for note in found.notes]
    # A foreign bass note has no place in the chord's own list of members.
    members = found.type.degrees
    if len(members) < len(degrees):
        members = (degrees[0], *members)
    data = {
        "chord": str(found),
        "notes": [str(note) for note in found.notes],
        "degrees": [str(degree) for degree in members],
        "bass": str(found.bass or found.root),
    }
    if as_json:
        print_json(data)
        return
    rows = (
        (note.pretty, degree.pretty, degree.ordinal)
        for note, degree in zip(found.notes, members, strict=True)
    )
    print_table(found.pretty, ("note", "degree", "member"), rows)


@click.command()
@click.argument("text")
@key_option
@click.option("--unfold", is_flag=True, help="Play out repeats, endings and jumps.")
@json_option
def progression(text: str, key: str, unfold: bool, as_json: bool) -> None:
    """Write a progression in a key: TEXT is a form's name or a chart such as "| I | IV V | I |"."""
    parsed = Key.parse(key)
    chart = find_progression(text, key=parsed)
    if unfold:
        chart = chart.unfolded()
    bars: list[dict[str, Any]] = [
        {
            "bar": number,
            "chords": [_chart_record(placed, parsed.tonic) for placed in bar],
        }
        for number, bar in enumerate(chart.bars, start=1)
    ]
    if as_json:
        print_json(
            {
                "key": str(parsed),
                "meter": chart.meter,
                "text": str(chart),
                "pickup": [_chart_record(placed, parsed.tonic) for placed in chart.pickup],
                "bars": bars,
            }
        )
        return
    print_table(
        f"{chart.name} in {parsed.tonic.pretty}, {chart.meter}",
        ("bar", "chords", "numerals"),
        (
            (
                str(bar["bar"]),
                "  ".join(entry["symbol"] for entry in bar["chords"]),
                "  ".join(entry["numeral"] for entry in bar["chords"]),
            )
            for bar in bars
        ),
    )


def _chart_record(placed: Any, tonic: Note) -> dict[str, Any]:
    beats = beats_number(placed.beats)
    if placed.silent:
        return {"symbol": "N.C.", "numeral": "N.C.", "notes": [], "beats": beats}
    found = placed.numeral.chord(tonic)
    return {
        "symbol": str(found),
        "numeral": str(placed.numeral),
        "notes": [str(note) for note in found.notes],
        "beats": beats,
    }


@click.command()
@click.argument("notes", nargs=-1, required=True)
@click.option("--tonic", help="The tonic that is meant; scales on others follow.")
@click.option("--most", default=FOUND_SCALES, show_default=True, help="How many to name.")
@json_option
def find(notes: Sequence[str], tonic: str | None, most: int, as_json: bool) -> None:
    """Find the scales that hold NOTES, fewest further notes first."""
    given = [Note.parse(name) for text in notes for name in text.replace(",", " ").split()]
    if most < 1:
        raise click.UsageError(f"--most '{most}': not a number of scales; accepted: 1 or more")
    held = find_scales(given, tonic=Note.parse(tonic) if tonic else None, most=most)
    if as_json:
        print_json(
            {
                "scales": [
                    {
                        "rank": rank,
                        "name": str(holder.scale),
                        "scale": str(holder.scale),
                        "notes": [str(note) for note in holder.scale.notes],
                        "extra": [str(note) for note in holder.extra],
                    }
                    for rank, holder in enumerate(held, start=1)
                ]
            }
        )
        return
    print_table(
        f"Scales with {' '.join(note.pretty for note in given)}",
        ("scale", "notes", "further notes"),
        (
            (
                holder.scale.pretty,
                " ".join(note.pretty for note in holder.scale.notes),
                " ".join(note.pretty for note in holder.extra),
            )
            for holder in held
        ),
    )
