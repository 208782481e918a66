"""The command that says which scale goes over which chord, and why."""

from __future__ import annotations

from typing import Any

import click

from theorykit.analysis import wording
from theorykit.analysis.advice import Advice, advise_progression
from theorykit.analysis.explain import explain
from theorykit.analysis.fit import NoteFit
from theorykit.analysis.guide_tones import guide_tone_line
from theorykit.analysis.omission import compare_without
from theorykit.analysis.plan import Plan, plan_progression
from theorykit.analysis.ranking import rank_scales
from theorykit.analysis.resolution import resolve_watched
from theorykit.analysis.saved_style import read_style
from theorykit.analysis.style import Style
from theorykit.analysis.tonality import TuneMode, has_minor_third, tune_mode
from theorykit.cli.output import (
    beats_number,
    json_option,
    key_option,
    print_json,
    print_table,
)
from theorykit.theory.degree import Degree
from theorykit.theory.form import find_progression
from theorykit.theory.key import Key
from theorykit.theory.pitch import Note
from theorykit.theory.progression import Progression
from theorykit.theory.scale import ScaleFormula, find_scale

#: How many scales the ranking of a chord names.
RANKED = 5


@click.command()
@key_option
@click.option("--scale", "scale_name", required=True, help="The scale that is held.")
@click.option("--progression", required=True, help="A form's name or a chart: '| I | IV | V |'.")
@click.option("--style", default="bluegrass", show_default=True, help="A style, or a style file.")
@click.option("--no-thirds", is_flag=True, help="The chords are played without their thirds.")
@click.option("--plan", "as_plan", is_flag=True, help="Plan the whole form: no pointless switch.")
@click.option("--why", is_flag=True, help="Say of each note which rule it falls under.")
@click.option("--rank", is_flag=True, help="Rank the scales that serve over each chord.")
@click.option("--without", is_flag=True, help="Say what leaving out a chord member changes.")
@click.option("--guide", is_flag=True, help="Give the line of guide tones through the form.")
@json_option
def advise(
    key: str,
    scale_name: str,
    progression: str,
    style: str,
    no_thirds: bool,
    as_plan: bool,
    why: bool,
    rank: bool,
    without: bool,
    guide: bool,
    as_json: bool,
) -> None:
    """Say which scale goes over each chord of a progression, and which notes to watch."""
    parsed, scale, taste = Key.parse(key), find_scale(scale_name), read_style(style)
    chart = find_progression(progression, key=parsed).unfolded()
    mode = _mode(parsed, chart)
    if as_plan:
        _print_plan(
            plan_progression(chart, scale, taste, mode, thirds=not no_thirds), parsed, as_json
        )
        return
    bars = advise_progression(chart, scale, taste, mode=mode, thirds=not no_thirds)
    advices = [
        (number, placed, advice)
        for number, (written, bar) in enumerate(zip(chart.bars, bars, strict=True))
        for placed, advice in zip(written, bar, strict=True)
    ]
    rows = []
    for number, placed, advice in advices:
        tonic = bars.tonic_of(number, parsed.tonic)
        if placed.silent:
            rows.append(_silence_record(number + 1, advice, tonic))
            continue
        row = _advice_record(number + 1, advice, tonic)
        if why:
            row["why"] = _lines(explain(advice).text, tonic)
        if rank:
            row["ranking"] = _ranking(advice, taste, mode, tonic)
        if without:
            row["without"] = _without(advice, taste, mode, tonic)
        rows.append(row)
    data: dict[str, Any] = {"key": str(parsed), "mode": mode, "style": taste.name, "bars": rows}
    if guide:
        data["guide"] = _guide(chart, parsed.tonic)
    if as_json:
        print_json(data)
        return
    _print_advice(data, parsed.tonic, scale, chart)


def _mode(key: Key, chart: Progression) -> TuneMode:
    """The tune's mode; a key that is said to be minor makes it minor, whatever its chords."""
    mode = tune_mode(chart)
    return "minor" if key.mode == "minor" and not has_minor_third(mode) else mode


def _lines(template: str, tonic: Note) -> list[str]:
    return wording.fill(template, tonic).splitlines()


def _ranking(advice: Advice, style: Style, mode: TuneMode, tonic: Note) -> list[dict[str, Any]]:
    return [
        {
            "rank": place.rank,
            "scale": wording.fill(place.name, tonic),
            "score": round(place.fit.score, 3),
            "reason": wording.fill(place.reason, tonic),
        }
        for place in rank_scales(advice.numeral, style, mode)[:RANKED]
    ]


def _without(advice: Advice, style: Style, mode: TuneMode, tonic: Note) -> list[str]:
    compared = compare_without(advice.chosen, advice.numeral, style, mode, advice.beats)
    return [wording.fill(omission.words, tonic) for omission in compared]


def _guide(chart: Progression, tonic: Note) -> list[dict[str, Any]]:
    return [
        {
            "chord": wording.fill(wording.chord_words(tone.numeral), tonic),
            "note": str(tone.degree.at(tonic)),
            "member": tone.member.ordinal,
            "half_steps": tone.half_steps,
        }
        for tone in guide_tone_line(chart)
    ]


def _advice_record(bar: int, advice: Advice, tonic: Note) -> dict[str, Any]:
    def words(template: str) -> str:
        return wording.fill(template, tonic)

    return {
        "bar": bar,
        "chord": words(wording.chord_words(advice.numeral)),
        "numeral": str(advice.numeral),
        "beats": beats_number(advice.beats),
        "verdict": advice.verdict,
        "scale": words(wording.scale_words(advice.scale, advice.scale_tonic, advice.numeral)),
        "watch": [_note_record(note, tonic)["name"] for note in advice.watch],
        "resolve": [words(found.words) for found in resolve_watched(advice)],
        "notes": [_note_record(note, tonic) for note in advice.fit.notes],
        "reason": words(advice.reason),
    }


def _silence_record(bar: int, advice: Advice, tonic: Note) -> dict[str, Any]:
    """What is said where no chord sounds."""
    record = _advice_record(bar, advice, tonic)
    held = wording.fill(wording.scale_words(advice.chosen, Degree(1), advice.numeral), tonic)
    nothing: dict[str, Any] = {"chord": "N.C.", "numeral": "N.C.", "verdict": "stay"}
    nothing |= {"scale": held, "watch": [], "resolve": [], "notes": []}
    return record | nothing | {"reason": "No chord sounds here: nothing rubs."}


def _note_record(note: NoteFit, tonic: Note) -> dict[str, Any]:
    degree = wording.token_degree(wording.token(note.degree, note.alternate), tonic)
    return {
        "name": str(degree.at(tonic)),
        "degree": str(degree),
        "role": note.role,
        "class": note.kind.name,
        "severity": note.severity,
    }


def _print_advice(
    data: dict[str, Any], tonic: Note, scale: ScaleFormula, chart: Progression
) -> None:
    print_table(
        f"{tonic.pretty} {scale.name} over {chart.name}, {data['style']}",
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
            for row in data["bars"]
        ),
    )
    told: dict[str, None] = {}
    for row in data["bars"]:
        lines = [*(row.get("why") or [row["reason"]]), *row.get("without", [])]
        lines += [f"{place['scale']}: {place['reason']}" for place in row.get("ranking", [])]
        told |= dict.fromkeys(lines)
    for line in told:
        click.echo(line)
    if "guide" in data:
        line = "  ".join(f"{tone['chord']}: {tone['note']}" for tone in data["guide"])
        click.echo(f"guide tones: {line}")


def _print_plan(plan: Plan, key: Key, as_json: bool) -> None:
    rows: list[dict[str, Any]] = [
        {
            name: wording.fill(value, key.tonic) if isinstance(value, str) else value
            for name, value in record.items()
        }
        for record in plan.records()
    ]
    if as_json:
        print_json(
            {
                "key": str(key),
                "style": plan.style.name,
                "changes": plan.changes,
                "cost": round(plan.cost, 4),
                "bars": rows,
            }
        )
        return
    print_table(
        f"{key.tonic.pretty} {plan.held.name}: a plan with {plan.changes} changes",
        ("bar", "chord", "play", "why"),
        ((str(row["bar"]), row["chord"], row["scale"], row["reason"]) for row in rows),
    )
