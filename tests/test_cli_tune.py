"""The commands that read tunes and takes, each run as a process of its own."""

from __future__ import annotations

import csv
from pathlib import Path

import mido
import pytest
import soundfile
from commands import answer, run

from theorykit.audio.mix import render
from theorykit.notation.midi_reader import read_midi

# Made up for this test. Bars 1 to 4 spell out I, IV, V and I of D in their first and third beats.
TUNE = """X:1
T:The Paper Gate
M:4/4
L:1/4
K:D
|:D F A F|G B d B|A c e c|d A F D:|
"""

# The same as a lead sheet has it.
CHORDED = (
    TUNE.replace("|:D F", '|:"D"D F')
    .replace("|G B", '|"G"G B')
    .replace("|A c", '|"A7"A c')
    .replace("|d A", '|"D"d A')
)


@pytest.fixture
def tune(tmp_path: Path) -> Path:
    path = tmp_path / "gate.abc"
    path.write_text(TUNE, encoding="utf-8")
    return path


def test_a_tune_as_json(tune: Path) -> None:
    before = tune.read_bytes()
    found = answer("tune", str(tune))
    # The file says K:D and it ends there; four bars twice.
    assert (found["title"], found["key"], found["meter"]) == ("The Paper Gate", "D major", "4/4")
    assert found["bars"] == 8
    names = [note["name"] for note in found["notes"]]
    assert names[:8] == ["D4", "F#4", "A4", "F#4", "G4", "B4", "D5", "B4"]
    assert len(names) == 32
    assert found["chords_are_proposed"] is True
    numerals = [chord["numeral"] for chord in found["chords"] if chord["beat"] % 4 == 0]
    # Each bar is one triad; the third, A C# E, may also be proposed with its seventh.
    assert [name.rstrip("7") for name in numerals] == ["I", "IV", "V", "I"] * 2
    assert all(
        {"numeral", "extra"} == other.keys() for chord in found["chords"] for other in chord["or"]
    )
    assert answer("tune", str(tune), "--as-written")["bars"] == 4
    assert tune.read_bytes() == before


def test_a_tune_with_chords_keeps_them(tmp_path: Path) -> None:
    path = tmp_path / "sheet.abc"
    path.write_text(CHORDED, encoding="utf-8")
    found = answer("tune", str(path), "--as-written")
    assert (found["chart"], found["chords_are_proposed"]) == (
        "key: D major | I | IV | V7 | I |",
        False,
    )
    assert answer("tune", str(path), "--chords")["chords_are_proposed"] is True
    told = run("tune", str(path)).stdout
    assert "The chords are the tune's own." in told
    assert "it ends on D" in told


def test_a_tune_becomes_tablature_and_a_line(tune: Path, tmp_path: Path) -> None:
    sheet = tmp_path / "gate.txt"
    done = run("tune", str(tune), "--instrument", "mandolin", "-o", str(sheet))
    assert done.returncode == 0, done.stderr
    assert "E|" in sheet.read_text(encoding="utf-8")
    same = answer("line", "--tune", str(tune), "--vary", "0")
    assert [note["midi"] for note in same["notes"]] == [
        note["midi"] for note in answer("tune", str(tune))["notes"]
    ]
    varied = answer("line", "--tune", str(tune), "--vary", "1", "--seed", "2")
    assert varied["notes"] != same["notes"]
    assert len(varied["reasons"]) == len(varied["notes"])


def take(path: Path, midis: list[int], *, late_at: int | None = None) -> Path:
    """Quarters at 120 beats a minute, 480 ticks each; one of them 40 ms late."""
    track = mido.MidiTrack([mido.MetaMessage("set_tempo", tempo=500_000)])
    at = 0
    for index, midi in enumerate(midis):
        # 40 ms are 38.4 ticks; a tick on or off everywhere else, as hands play.
        shift = 38 if index == late_at else index % 2
        start = index * 480 + shift
        track.append(mido.Message("note_on", note=midi, velocity=80, time=start - at))
        track.append(mido.Message("note_off", note=midi, velocity=0, time=400))
        at = start + 400
    file = mido.MidiFile(ticks_per_beat=480)
    file.tracks.append(track)
    file.save(path)
    return path


CHART = ["--key", "D", "--progression", "| I | IV | V7 | I |"]
# D F# A F#, G B D B, A C# E C#, D A F# D.
CLEAN = [62, 66, 69, 66, 67, 71, 74, 71, 69, 73, 76, 73, 74, 69, 66, 62]


def test_a_clean_take(tmp_path: Path) -> None:
    path = take(tmp_path / "clean.mid", CLEAN)
    before = path.read_bytes()
    found = answer("check", str(path), *CHART)
    assert (found["score"], found["findings"]) == (100, [])
    assert [note["name"] for note in found["notes"][:4]] == ["D", "F#", "A", "F#"]
    assert [(note["bar"], note["beat"]) for note in found["notes"][3:6]] == [(1, 4), (2, 1), (2, 2)]
    assert {note["role"] for note in found["notes"]} <= {"root", "chord", "chord tone"}
    assert all(note["severity"] == 0 for note in found["notes"])
    assert path.read_bytes() == before


def test_faults_are_found_and_compared(tmp_path: Path) -> None:
    clean = take(tmp_path / "clean.mid", CLEAN)
    # A flat held on the first beat of IV, a half step above its root and foreign to the key; and a
    # note of the third bar 40 ms late.
    wrong = [*CLEAN]
    wrong[4] = 68
    path = take(tmp_path / "late.mid", wrong, late_at=10)
    found = answer("check", str(path), *CHART, "--earlier", str(clean))
    told = {(finding["kind"], finding["bar"]) for finding in found["findings"]}
    assert ("late", 3) in told
    assert any(bar == 2 for _, bar in told)
    assert found["score"] < 100
    bad = found["notes"][4]
    assert (bad["bar"], bad["beat"], bad["name"]) == (2, 1, "Ab")
    assert bad["severity"] >= 0.7
    assert any(row["change"] == "worse" for row in found["compared"])
    words = run("check", str(path), *CHART).stdout
    assert words.index("What went well") < words.index("What to work on")


def test_a_survey(tune: Path, tmp_path: Path) -> None:
    folder = tmp_path / "shelf"
    folder.mkdir()
    (folder / "one.abc").write_text(TUNE, encoding="utf-8")
    (folder / "two.abc").write_text(CHORDED, encoding="utf-8")
    (folder / "bad.abc").write_text("no tune", encoding="utf-8")
    table = tmp_path / "out.csv"
    done = run("survey", str(folder), "-o", str(table), "--jobs", "2")
    assert done.returncode == 0, done.stderr
    with table.open(encoding="utf-8-sig", newline="") as file:
        rows = {row["file"]: row for row in csv.DictReader(file)}
    assert sorted(rows) == ["bad.abc", "one.abc", "two.abc"]
    assert rows["bad.abc"]["error"]
    assert (rows["one.abc"]["key"], rows["one.abc"]["mode"]) == ("D", "major")
    assert (rows["one.abc"]["lowest"], rows["one.abc"]["highest"]) == ("D4", "E5")
    # Progressions are counted by their triads.
    assert rows["two.abc"]["chords"] == "I IV V"
    assert done.stdout.count("out.csv") == 1


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("tune", "none.abc"), "there is no file none.abc"),
        (("tune", "https://somewhere.invalid/a.abc"), "no file"),
        (("check", "none.mid", *CHART), "there is no file none.mid"),
        (("check", "none.mid", "--key", "H", "--progression", "waltz"), "key 'H'"),
        (("survey", "nowhere"), "nowhere"),
        (("survey", ".", "-o", "a.xlsx"), "no table has that ending"),
        (("line", "--key", "A"), "--progression"),
        (("line", "--tune", "none.abc", "--tempo", "90"), "go without --tune"),
    ],
)
def test_one_clear_line_for_bad_input(arguments: tuple[str, ...], message: str) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    assert message in done.stderr
    assert done.stderr.count("\n") == 1
    assert done.stdout == ""


def test_a_recording_is_checked(tmp_path: Path) -> None:
    """The same line, in notes and in sound: the same notes, and what was heard is told."""
    chart = ["--key", "A", "--progression", "I-IV-V vamp"]
    midi, sound = tmp_path / "line.mid", tmp_path / "line.wav"
    line = ["line", *chart, "--instrument", "mandolin", "--level", "1", "--tempo", "100"]
    assert run(*line, "-o", str(midi)).returncode == 0
    score = read_midi(midi.read_bytes())
    render(score).write(sound)
    before = sound.read_bytes()
    written = answer("check", str(midi), *chart)
    heard = answer("check", str(sound), *chart, "--tempo", "100", "--instrument", "mandolin")
    names = [(note["bar"], note["name"]) for note in written["notes"]]
    assert [(note["bar"], note["name"]) for note in heard["notes"]] == names
    assert f"{len(names)} notes were heard" in heard["heard"]
    assert written["heard"] == ""
    assert sound.read_bytes() == before
    silent = tmp_path / "silent.wav"
    soundfile.write(silent, [0.0] * 44100, 44100)
    refused = run("check", str(silent), *chart)
    assert refused.returncode == 2
    assert "No notes were heard" in refused.stderr
