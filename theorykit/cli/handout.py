"""The commands that make sheets of paper: a lesson's handout, a scale in all keys."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from theorykit.cli.neck import INSTRUMENT_HELP
from theorykit.cli.output import json_option, print_json
from theorykit.scene.selection import Selection

if TYPE_CHECKING:
    from theorykit.handouts.handout import Handout

_output_option = click.option(
    "-o",
    "--output",
    required=True,
    type=click.Path(path_type=Path),
    help="A .pdf file, or an .html page to print from a browser.",
)
_paper_option = click.option("--paper", default="a4", show_default=True, help="a4 or letter.")
_large_option = click.option("--large", is_flag=True, help="Large print: text of 18 points.")
_title_option = click.option("--title", help="What stands at the top, letter by letter.")
_left_option = click.option("--left-handed", is_flag=True, help="Necks for a left-handed player.")


@click.command()
@click.argument("lesson_or_study")
@click.option("--key", help="A tonic, e.g. A or Bb.")
@click.option("--scale", help="A name or a formula.")
@click.option("--progression", help="A form's name or a chart: '| I | IV | V | I |'.")
@click.option("--instrument", help=INSTRUMENT_HELP)
@click.option("--style", help="Whose taste decides what rubs.")
@click.option("--level", help="Of the example line, 1 to 4.")
@click.option("--tempo", type=int, help="The fastest tempo of the routine, beats a minute.")
@click.option(
    "--part", "parts", multiple=True, help="Only these parts; may be given more than once."
)
@_left_option
@_paper_option
@_large_option
@_title_option
@_output_option
@json_option
def handout(
    lesson_or_study: str,
    parts: tuple[str, ...],
    left_handed: bool,
    paper: str,
    large: bool,
    title: str | None,
    output: Path,
    as_json: bool,
    **given: Any,
) -> None:
    """Make sheets for students: chart, neck, chord shapes, a line, a routine.

    LESSON_OR_STUDY is a notebook, which is executed and not changed; a study that was saved as
    .json; or a progression, by its name or as a chart. The options change what it holds.
    """
    from theorykit.handouts.handout import PARTS
    from theorykit.handouts.handout import handout as sheets_for

    name, selection = _chosen(lesson_or_study)
    choices = {choice: value for choice, value in given.items() if value is not None}
    if left_handed:
        choices["left_handed"] = True
    made = sheets_for(
        selection.changed(**choices),
        title=name if title is None else title,
        paper=paper,
        large_print=large,
        parts=parts or tuple(PARTS),
    )
    _write(made, output, as_json=as_json)


@click.command()
@click.argument("scale")
@click.option("--instrument", default="mandolin", show_default=True, help=INSTRUMENT_HELP)
@_left_option
@_paper_option
@_large_option
@_title_option
@_output_option
@json_option
def reference(
    scale: str,
    instrument: str,
    left_handed: bool,
    paper: str,
    large: bool,
    title: str | None,
    output: Path,
    as_json: bool,
) -> None:
    """Make one page with SCALE in all twelve keys: its notes, and where they lie."""
    from theorykit.handouts.reference import scale_reference

    made = scale_reference(
        scale,
        instrument=instrument,
        title=title,
        paper=paper,
        large_print=large,
        left_handed=left_handed,
    )
    _write(made, output, as_json=as_json)


def _chosen(lesson_or_study: str) -> tuple[str | None, Selection]:
    """A lesson's title, if it is one, and what is chosen."""
    suffix = Path(lesson_or_study).suffix.casefold()
    if suffix == ".ipynb":
        from theorykit.export.lesson import lesson_selection

        return lesson_selection(Path(lesson_or_study))
    if suffix == ".json":
        from theorykit.scene.selection_file import load_selection

        return None, load_selection(lesson_or_study)
    return None, Selection.of(progression=lesson_or_study)


def _write(made: Handout, output: Path, *, as_json: bool) -> None:
    written = made.save(output)
    size = written.stat().st_size
    if as_json:
        print_json({"file": str(written), "title": made.title, "bytes": size})
    else:
        click.echo(f"{written}  ({size / 1e3:.1f} kB)")
