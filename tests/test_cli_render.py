"""The command that plays a chart into a file."""

from __future__ import annotations

import json
from pathlib import Path

import mido
import pytest
import soundfile

from theorykit.cli import main

BLUES = ["--key", "A", "--progression", "12-bar blues"]


def run(monkeypatch: pytest.MonkeyPatch, *arguments: str) -> int:
    """The command's exit code."""
    monkeypatch.setattr("sys.argv", ["theorykit", "render", *arguments])
    try:
        main()
    except SystemExit as stopped:
        return int(stopped.code or 0)
    return 0


@pytest.mark.parametrize("suffix", ["wav", "flac", "mp3", "opus", "ogg"])
def test_every_format_plays_as_long_as_it_should(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, suffix: str
) -> None:
    path = tmp_path / f"blues.{suffix}"
    options = ("--feel", "shuffle", "--tempo", "180", "--count-in", "1", "-o", str(path))
    assert run(monkeypatch, *BLUES, *options) == 0
    # A bar of count-in, twelve bars and the ending: 14 bars of four beats at 180.
    assert soundfile.info(path).duration == pytest.approx(14 * 4 / 3, abs=0.2)


def test_midi_and_json(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "blues.mid"
    arguments = ("--scale", "minor pentatonic", "--instrument", "mandolin", "--without-thirds")
    code = run(monkeypatch, *BLUES, *arguments, "--seed", "3", "--json", "-o", str(path))
    assert code == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["files"] == [str(path)]
    assert answer["feel"] == "boom-chuck"
    tracks = {track.name: track for track in mido.MidiFile(str(path)).tracks}
    line = {m.note % 12 for m in tracks["line"] if m.type == "note_on"}
    # A minor pentatonic: A C D E G.
    assert line == {9, 0, 2, 4, 7}
    comp = {m.note % 12 for m in tracks["comp"] if m.type == "note_on"}
    # A7, D7 and E7 without C#, F# and G#.
    assert comp == {9, 4, 7, 2, 0, 11}


def test_stems_are_files_of_their_own(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    path = tmp_path / "blues.wav"
    assert run(monkeypatch, *BLUES, "--drone", "--stems", "-o", str(path)) == 0
    assert sorted(entry.name for entry in tmp_path.iterdir()) == [
        "blues-bass.wav",
        "blues-comp.wav",
        "blues-drone.wav",
    ]


def test_a_feel_that_stands_in_is_named(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    arguments = ("--key", "D", "--progression", "3/4 | I | V |", "--feel", "bluegrass")
    assert run(monkeypatch, *arguments, "-o", str(tmp_path / "a.mid")) == 0
    assert (
        capsys.readouterr().err == "bluegrass is not played in 3/4; waltz is played in its place\n"
    )


def test_a_long_rendering_shows_how_far_it_is_and_leaves_no_trace_on_the_output(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "long.flac"
    assert run(monkeypatch, *BLUES, "--choruses", "6", "-o", str(path)) == 0
    assert capsys.readouterr().out.startswith(str(path))
    assert soundfile.info(path).duration > 170


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--key", "H", "--progression", "I", "-o", "a.wav"], "key 'H': not a key"),
        ([*BLUES, "--feel", "blugrass", "-o", "a.wav"], "did you mean 'bluegrass'?"),
        ([*BLUES, "-o", "a.xyz"], "accepted: .wav, .flac, .mp3, .opus, .ogg, .mid, .midi"),
        ([*BLUES, "-o", "nowhere/a.wav"], "no such file or directory"),
        ([*BLUES, "--tempo", "0", "-o", "a.wav"], "20 to 400 beats a minute"),
        ([*BLUES, "--mute", "drums", "-o", "a.wav"], "part 'drums': not in this score"),
        ([*BLUES, "--instrument", "kazoo", "-o", "a.wav"], "instrument 'kazoo'"),
        ([*BLUES, "--scale", "majr", "-o", "a.wav"], "did you mean"),
        ([*BLUES, "--soundfont", "none.sf2", "-o", "a.wav"], "soundfont 'none.sf2': no such file"),
        ([*BLUES, "--stems", "-o", "a.mid"], "go with sound files"),
        (BLUES, "Missing option"),
    ],
)
def test_bad_input_is_one_line_and_leaves_no_file(
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    arguments: list[str],
    words: str,
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(monkeypatch, *arguments) == 2
    told = capsys.readouterr()
    assert words in told.err
    assert told.err.count("\n") == 1
    assert told.out == ""
    assert list(tmp_path.iterdir()) == []
