"""The command line: every answer as a table to read, or as JSON with ``--json``."""

from __future__ import annotations

import sys

import click

from theorykit.cli.advice import advise
from theorykit.cli.check import check
from theorykit.cli.class_ import class_
from theorykit.cli.export import export
from theorykit.cli.finger import finger
from theorykit.cli.handout import handout, reference
from theorykit.cli.neck import neck
from theorykit.cli.new_lesson import new
from theorykit.cli.practice import line, routine, sequence
from theorykit.cli.render import render
from theorykit.cli.shapes import shapes
from theorykit.cli.survey import survey
from theorykit.cli.theory import chord, find, progression, scale
from theorykit.cli.tune import tune
from theorykit.errors import TheoryKitError

#: What a shell is told when the input can't be used, and when the user stopped it.
BAD_INPUT_EXIT, STOPPED_EXIT = 2, 130


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="theorykit")
def cli() -> None:
    """Scales over chords for improvisers: what fits, where it lies, and the lesson to take home."""


for _command in (
    scale,
    chord,
    find,
    progression,
    advise,
    neck,
    shapes,
    finger,
    sequence,
    line,
    routine,
    render,
    tune,
    check,
    survey,
    new,
    export,
    class_,
    handout,
    reference,
):
    cli.add_command(_command)


def main() -> None:
    """Run the command line; bad input ends it with code 2 and one line on standard error."""
    try:
        code = cli.main(standalone_mode=False)
        if code:
            # What a command leaves with that has done only some of its work.
            sys.exit(code)
    except click.ClickException as error:
        _fail(error.format_message(), BAD_INPUT_EXIT)
    except click.Abort:
        _fail("stopped", STOPPED_EXIT)
    except TheoryKitError as error:
        _fail(str(error), BAD_INPUT_EXIT)
    except BrokenPipeError:
        # Whoever read the output has had enough.
        sys.stderr.close()


def _fail(message: str, code: int) -> None:
    click.echo(f"theorykit: {' '.join(message.split())}", err=True)
    sys.exit(code)
