"""The command that plays a chart into a file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import click

from theorykit.cli.neck import INSTRUMENT_HELP
from theorykit.cli.output import json_option, key_option, print_json
from theorykit.errors import BadInput
from theorykit.instruments.catalogue import find_instrument
from theorykit.score.feel import FEELS
from theorykit.score.score import Score, ScoreNote
from theorykit.theory.form import find_progression
from theorykit.theory.key import Key
from theorykit.theory.scale import Scale, find_scale

#: A rendering at least so long shows how far it is, seconds of sound.
LONG_SECONDS = 120

MIDI_SUFFIXES = (".mid", ".midi")

# Opus has no other rate that holds all that is heard.
_OPUS_RATE, _RATE = 48000, 44100

_LINE_LOWEST, _LINE_HIGHEST = 55, 88


@click.command()
@key_option
@click.option("--progression", required=True, help="A form's name or a chart: '| I | IV | V |'.")
@click.option("--feel", default="boom-chuck", show_default=True, help=", ".join(FEELS) + ".")
@click.option("--tempo", default=100.0, show_default=True, help="Beats a minute.")
@click.option("--choruses", default=1, show_default=True, help="How often the chart is played.")
@click.option("--scale", "scale_name", help="A line that runs up and down this scale.")
@click.option("--instrument", help=f"Whose shapes the chords are, and who plays. {INSTRUMENT_HELP}")
@click.option("--without-thirds", is_flag=True, help="Leave the thirds out of the chords.")
@click.option("--count-in", default=0, show_default=True, help="Bars that are counted first.")
@click.option("--click", "clicks", is_flag=True, help="Click on every beat.")
@click.option("--drone", is_flag=True, help="Tonic and fifth throughout.")
@click.option("--swing", type=float, help="First eighth to second: 1 is even, 2 a shuffle.")
@click.option("--mute", multiple=True, help="A part to leave out: bass, comp, click, drone, line.")
@click.option("--stems", "apart", is_flag=True, help="A file for each part, in place of one.")
@click.option("--soundfont", type=click.Path(path_type=Path), help="An .sf2 file that plays it.")
@click.option("--seed", type=int, help="Play loosely; the same number plays the same.")
@click.option(
    "-o",
    "--output",
    required=True,
    type=click.Path(path_type=Path),
    help="A .wav, .flac, .mp3, .opus, .ogg or .mid file.",
)
@json_option
def render(
    key: str,
    progression: str,
    feel: str,
    tempo: float,
    choruses: int,
    scale_name: str | None,
    instrument: str | None,
    without_thirds: bool,
    count_in: int,
    clicks: bool,
    drone: bool,
    swing: float | None,
    mute: tuple[str, ...],
    apart: bool,
    soundfont: Path | None,
    seed: int | None,
    output: Path,
    as_json: bool,
) -> None:
    """Play a chart into a sound or MIDI file: bass and chords in a feel, and a scale over them."""
    from theorykit.score.arrange import arrange
    from theorykit.score.voicing import shape_voicings

    home = Key.parse(key)
    chart = find_progression(progression, key=home)
    neck = find_instrument(instrument) if instrument else None
    line: list[ScoreNote] = []
    if scale_name is not None:
        bars = choruses * len(chart.unfolded().bars)
        line = _line(Scale(home.tonic, find_scale(scale_name)), bars, chart.meter, instrument)
    score = arrange(
        chart,
        home,
        feel=feel,
        tempo=tempo,
        choruses=choruses,
        thirds=not without_thirds,
        voicings=shape_voicings(neck) if neck else None,
        comp_voice=neck.voice if neck else None,
        swing=swing,
        count_in=count_in,
        click=clicks,
        drone=drone,
        line=line,
        line_voice=neck.voice if neck else "guitar",
        seed=seed,
    )
    if mute:
        score = score.with_mix(**{name: {"muted": True} for name in mute})
    written = _write(score, output, soundfont, apart=apart)
    if score.remark:
        click.echo(score.remark, err=True)
    if as_json:
        record = {"seconds": round(score.seconds, 3), "feel": score.feel, "remark": score.remark}
        print_json({"files": [str(path) for path in written], **record})
        return
    for path in written:
        click.echo(f"{path}  ({score.seconds:.1f} s, {path.stat().st_size / 1e6:.2f} MB)")


def _line(scale: Scale, bars: int, meter: str, instrument: str | None) -> list[ScoreNote]:
    """The scale in the instrument's compass."""
    from theorykit.score.run import scale_run

    if instrument is None:
        return scale_run(scale, bars, meter=meter, lowest=_LINE_LOWEST, highest=_LINE_HIGHEST)
    neck = find_instrument(instrument)
    opens = [string.open.midi for string in neck.strings]
    highest = max(opens) + min(neck.frets, 12)
    return scale_run(scale, bars, meter=meter, lowest=min(opens), highest=highest)


def _write(score: Score, output: Path, soundfont: Path | None, *, apart: bool) -> list[Path]:
    from theorykit.audio.recording import FORMATS
    from theorykit.score.midi import write_midi

    suffix = output.suffix.casefold()
    if suffix in MIDI_SUFFIXES:
        if soundfont is not None or apart:
            raise click.UsageError("--soundfont and --stems go with sound files")
        write_midi(score, output)
        return [output]
    if suffix not in FORMATS:
        accepted = ", ".join([*FORMATS, *MIDI_SUFFIXES])
        raise BadInput("output", output.name, "no format has that ending", accepted=accepted)
    if apart and soundfont is not None:
        raise click.UsageError("--stems goes without --soundfont")
    if score.seconds < LONG_SECONDS:
        return _write_sound(score, output, soundfont, apart=apart)
    from rich.console import Console
    from rich.progress import BarColumn, Progress, SpinnerColumn, TextColumn

    columns = (SpinnerColumn(), TextColumn("{task.description}"), BarColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task("Playing", total=1.0)
        return _write_sound(
            score,
            output,
            soundfont,
            apart=apart,
            told=lambda share: progress.update(task, completed=share, description="Writing"),
        )


def _write_sound(
    score: Score,
    output: Path,
    soundfont: Path | None,
    *,
    apart: bool,
    told: Callable[[float], None] | None = None,
) -> list[Path]:
    from theorykit.audio.mix import render as render_score
    from theorykit.audio.mix import stems
    from theorykit.audio.soundfont import render_soundfont

    rate = _OPUS_RATE if output.suffix.casefold() == ".opus" else _RATE
    if apart:
        recordings = {
            output.with_stem(f"{output.stem}-{name}"): recording
            for name, recording in stems(score, sample_rate=rate).items()
        }
    elif soundfont is not None:
        recordings = {output: render_soundfont(score, soundfont, sample_rate=rate)}
    else:
        recordings = {output: render_score(score, sample_rate=rate)}
    for number, (path, recording) in enumerate(recordings.items()):

        def share(part: float, before: int = number) -> None:
            if told is not None:
                told((before + part) / len(recordings))

        recording.write(path, told=share)
    return [*recordings]
