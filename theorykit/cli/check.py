"""The command that checks a solo."""

from __future__ import annotations

from pathlib import Path

import click

from theorykit.cli.neck import INSTRUMENT_HELP
from theorykit.cli.output import beats_number, json_option, key_option, print_json, print_table
from theorykit.theory.key import Key


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@key_option
@click.option("--progression", required=True, help="A form's name or a chart: '| I | IV | V |'.")
@click.option("--style", default="bluegrass", show_default=True, help="Whose taste decides.")
@click.option("--tempo", type=float, help="What the click was set to, if the file does not say.")
@click.option("--count-in", type=int, help="Beats before bar 1; found by itself if not given.")
@click.option("--choruses", type=int, help="How often the chart goes round.")
@click.option("--instrument", help=f"Who played a recording: the range helps. {INSTRUMENT_HELP}")
@click.option(
    "--earlier",
    type=click.Path(path_type=Path),
    help="An earlier take of the same solo, to compare with.",
)
@click.option("--keep", "title", help="Keep it in the practice log, under this title.")
@json_option
def check(
    file: Path,
    key: str,
    progression: str,
    style: str,
    tempo: float | None,
    count_in: int | None,
    choruses: int | None,
    instrument: str | None,
    earlier: Path | None,
    title: str | None,
    as_json: bool,
) -> None:
    """Check a solo against its chart, note by note: what went well, and what to work on.

    The take is a file of MIDI played to the click, of MusicXML or ABC, or a recording of one
    instrument alone (.wav, .flac, .mp3, .ogg).
    """
    from theorykit.analysis.saved_style import read_style
    from theorykit.listening.take_file import read_take
    from theorykit.review.comparison import compare_reviews
    from theorykit.review.solo import check_solo
    from theorykit.theory.form import find_progression

    home = Key.parse(key)
    form = find_progression(progression, key=home)
    taste = read_style(style)
    takes = [
        read_take(path, tempo=tempo, instrument=instrument, meter=form.meter, key=home)
        for path in (file, earlier)
        if path is not None
    ]
    reviews = [
        check_solo(
            score,
            form,
            home,
            style=taste,
            count_in=count_in,
            tempo=tempo,
            choruses=choruses,
        )
        for score, _ in takes
    ]
    review = reviews[0]
    compared = compare_reviews(reviews[1], review) if earlier is not None else None
    if title is not None:
        from theorykit.log.practice_log import PracticeLog

        review.keep(PracticeLog(), title=title)
    if as_json:
        print_json(
            {
                "score": review.score,
                "offset": beats_number(review.offset),
                "notes": review.records(),
                "findings": review.finding_records(),
                "bars": review.bar_records(),
                "summary": review.summary(),
                "heard": takes[0][1],
                "compared": compared.records() if compared is not None else [],
            }
        )
        return
    if takes[0][1]:
        click.echo(f"{takes[0][1]}\n")
    click.echo(review.report)
    if compared is not None:
        click.echo(f"\nBeside the earlier take: {compared.text}")
    if review.findings:
        click.echo()
        print_table(
            "By bar",
            ("bar", "beat", "what", "instead"),
            [
                (
                    str(finding.bar or "all"),
                    f"{float(finding.beat):.3g}" if finding.beat else "",
                    finding.words,
                    finding.suggestion,
                )
                for finding in review.findings
            ],
        )
