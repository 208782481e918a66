"""The command line as a shell sees it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from commands import answer, run


def test_scale() -> None:
    # Common practice: G blues.
    found = answer("scale", "blues", "--key", "G")
    assert found["notes"] == ["G", "Bb", "C", "Db", "D", "F"]
    assert found["degrees"] == ["1", "b3", "4", "b5", "5", "b7"]


def test_advise() -> None:
    found = answer(
        "advise", "--key", "A", "--scale", "minor pentatonic", "--progression", "| I | IV V7 |"
    )
    assert [bar["bar"] for bar in found["bars"]] == [1, 2, 2]
    assert [bar["chord"] for bar in found["bars"]] == ["A", "D", "E7"]
    assert [bar["numeral"] for bar in found["bars"]] == ["I", "IV", "V7"]
    assert [bar["beats"] for bar in found["bars"]] == [4, 2, 2]
    # Common practice: stay on I and IV; over V the key's flat third is unwanted.
    assert [bar["verdict"] for bar in found["bars"]] == ["stay", "stay", "switch"]
    last = found["bars"][-1]
    assert last["scale"] == "E minor pentatonic"
    assert last["watch"] == ["C"]
    assert {"name": "C", "degree": "b3", "role": "avoid", "severity": 0.9}.items() <= next(
        note for note in last["notes"] if note["name"] == "C"
    ).items()
    assert "C lies a half step above B, the fifth" in last["reason"]


def test_advise_without_thirds_and_in_another_style() -> None:
    found = answer(
        *("advise", "--key", "G", "--scale", "minor pentatonic", "--progression", "I IV V"),
        *("--style", "blues", "--no-thirds"),
    )
    assert [bar["chord"] for bar in found["bars"]] == ["G5", "C5", "D5"]
    assert found["bars"][2]["verdict"] == "pass"


def test_advise_tells_why_ranks_leaves_out_and_guides() -> None:
    found = answer(
        *("advise", "--key", "G", "--scale", "minor pentatonic", "--progression", "| I | V |"),
        *("--why", "--rank", "--without", "--guide"),
    )
    over_five = found["bars"][1]
    assert any("Bb weighs 0.9" in line for line in over_five["why"])
    assert [place["rank"] for place in over_five["ranking"]] == [1, 2, 3, 4, 5]
    # Common practice: dropping V's fifth rescues the flat third, dropping its third does not.
    by_member = {line.split()[2]: line for line in over_five["without"]}
    assert "Bb no longer rubs" in by_member["fifth"]
    assert "the advice is the same" in by_member["third"]
    assert over_five["resolve"] == ["Bb goes down a half step to A, the fifth"]
    assert [tone["chord"] for tone in found["guide"]] == ["G", "D"]


def test_a_plan_for_a_form() -> None:
    found = answer(
        *("advise", "--key", "G", "--scale", "blues", "--progression", "12-bar blues", "--plan")
    )
    assert [bar["bar"] for bar in found["bars"] if bar["scale"] == "D blues"] == [9, 12]
    assert found["changes"] == 4


def test_minor_keys_and_modal_tunes_are_heard() -> None:
    common = ("advise", "--scale", "minor pentatonic", "--progression")
    assert answer(*common, "| i | iv |", "--key", "A")["mode"] == "minor"
    assert answer(*common, "| I | IV |", "--key", "Am")["mode"] == "minor"
    assert answer(*common, "| I | bVII | IV | I |", "--key", "D")["mode"] == "Mixolydian"


def test_chord() -> None:
    # Any theory handbook: the half-diminished seventh.
    found = answer("chord", "F#m7b5")
    assert found["notes"] == ["F#", "A", "C", "E"]
    assert found["degrees"] == ["1", "b3", "b5", "b7"]
    slash = answer("chord", "C/D")
    assert slash["notes"] == ["D", "C", "E", "G"]
    assert slash["degrees"] == ["2", "1", "3", "5"]


def test_progression() -> None:
    found = answer("progression", "| I | ii7 V7 | N.C. |", "--key", "Bb")
    assert [len(bar["chords"]) for bar in found["bars"]] == [1, 2, 1]
    assert found["bars"][1]["chords"][0] == {
        "symbol": "Cm7",
        "numeral": "ii7",
        "notes": ["C", "Eb", "G", "Bb"],
        "beats": 2,
    }
    assert found["bars"][2]["chords"][0]["symbol"] == "N.C."
    unfolded = answer("progression", "|: I |1. V :|2. I |", "--key", "D", "--unfold")
    assert [bar["chords"][0]["symbol"] for bar in unfolded["bars"]] == ["D", "A", "D", "D"]


def test_find() -> None:
    # Common practice: G Bb C D F is the minor pentatonic of G.
    scales = answer("find", "G", "Bb", "C", "D", "F")["scales"]
    assert scales[0]["scale"] == "G minor pentatonic"
    assert scales[0]["extra"] == []
    assert [entry["rank"] for entry in scales] == list(range(1, len(scales) + 1))


def test_scale_relations_and_modes() -> None:
    found = answer("scale", "minor pentatonic", "--key", "G", "--beside", "blues")
    assert found["beside"]["added"] == ["Db"]
    dorian = answer("scale", "major", "--key", "C", "--mode", "2")
    assert (dorian["scale"], dorian["notes"][0]) == ("D Dorian", "D")
    down = answer("scale", "melodic minor", "--key", "A")["descending"]
    assert down == ["G", "F", "E", "D", "C", "B", "A"]


def test_neck() -> None:
    found = answer("neck", "--instrument", "banjo", "--key", "G", "--scale", "major")
    fifth = [cell for cell in found["cells"] if cell["string"] == 5]
    assert fifth[0] == {"string": 5, "fret": 0, "note": "G", "degree": "1", "midi": 67}
    assert fifth[1] == {"string": 5, "fret": 7, "note": "A", "degree": "2", "midi": 69}


def test_neck_of_a_tuning_of_ones_own() -> None:
    # Strings in fifths, by hand: G stands at the third and tenth fret of a string that is tuned E.
    own = ("--instrument", "G2 D3 A3 E4, 12 frets", "--key", "G", "--scale", "1 5")
    found = answer("neck", *own)
    assert found["instrument"] == "G2 D3 A3 E4, 12 frets, 648 mm"
    first = [cell["fret"] for cell in found["cells"] if cell["string"] == 1]
    assert first == [3, 10]
    assert "positions" not in found


def test_neck_positions() -> None:
    # Common practice: A minor pentatonic at the fifth fret, index finger and ring or little finger.
    box = ("neck", "--instrument", "guitar", "--key", "A", "--scale", "minor pentatonic")
    (only,) = answer(*box, "--position", "5", "--closed")["positions"]
    assert (only["position"], only["last"], only["closed"]) == (5, 8, True)
    sixth = [(cell["fret"], cell["finger"]) for cell in only["cells"] if cell["string"] == 6]
    assert sixth == [(5, 1), (8, 4)]
    every = answer(*box, "--closed")
    assert [hand["position"] for hand in every["positions"]] == [2, 5, 7, 10, 12]
    # Nothing else of the answer changes.
    plain = answer(*box)
    assert {**plain, "positions": every["positions"]} == every
    (first,) = answer(*box, "--position", "1")["positions"]
    assert not first["closed"]
    assert 0 in {cell["finger"] for cell in first["cells"]}


def test_neck_says_a_dulcimers_frets_as_players_do() -> None:
    found = answer("neck", "--instrument", "dulcimer", "--key", "D", "--scale", "Mixolydian")
    melody = [cell["fret_name"] for cell in found["cells"] if cell["string"] == 1]
    # Common practice: tuned D A D it plays the Mixolydian mode on every fret from the open string.
    assert melody == [str(number) for number in range(9)]


@pytest.mark.parametrize(
    "arguments",
    [
        ("scale", "blues", "--key", "Bb"),
        ("advise", "--key", "Bb", "--scale", "blues", "--progression", "12-bar blues"),
        ("neck", "--instrument", "guitar", "--key", "Bb", "--scale", "blues"),
        ("neck", "--instrument", "guitar", "--key", "Bb", "--scale", "blues", "--position", "6"),
    ],
)
def test_tables_to_read(arguments: tuple[str, ...]) -> None:
    done = run(*arguments)
    assert done.returncode == 0
    assert "B♭" in done.stdout


@pytest.mark.parametrize(
    ("arguments", "expected"),
    [
        (("scale", "blus", "--key", "G"), "scale 'blus': no scale of that name; accepted: "),
        (("scale", "blues", "--key", "H"), "did you mean 'B'?"),
        (("scale", "blues"), "Missing option '--key'"),
        (("scale", "chord tones", "--key", "G"), "its notes are those of a chord"),
        (
            ("advise", "--key", "G", "--scale", "blues", "--progression", "12 bar bluez"),
            "did you mean '12-bar blues'?",
        ),
        (
            ("advise", "--key", "G", "--scale", "blues", "--progression", "I", "--style", "jaz"),
            "did you mean 'jazz'?",
        ),
        (
            ("neck", "--instrument", "mandoline", "--key", "G", "--scale", "blues"),
            "did you mean 'mandolin'?",
        ),
        (
            ("neck", "--instrument", "banjo", "--key", "G", "--scale", "blues", "--frets", "40"),
            "accepted: 1 to 22",
        ),
        (
            ("neck", "--instrument", "G2 D3 H4", "--key", "G", "--scale", "blues"),
            "'H4' is not a note with an octave",
        ),
        (
            (
                *("neck", "--instrument", "guitar", "--key", "G", "--scale", "blues"),
                *("--position", "30"),
            ),
            "position '30': not on the neck; accepted: 1 to 20",
        ),
        (("chord", "Cmaj7b"), "chord 'Cmaj7b'"),
        (("progression", "| I | H |", "--key", "G"), "bar 2"),
        (("find", "G", "X"), "note 'X': not a note name"),
        (("scale", "major", "--key", "C", "--mode", "9"), "accepted: 1 to 7"),
        (
            (
                *("advise", "--key", "G", "--scale", "blues", "--progression", "I"),
                *("--style", "nothing.json"),
            ),
            "nothing.json",
        ),
        (("export", "no/such.ipynb"), "no such file"),
        (("scael", "blues"), "No such command 'scael'"),
    ],
)
def test_bad_input_gives_code_two_and_one_line(arguments: tuple[str, ...], expected: str) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    assert expected in done.stderr
    assert done.stderr.count("\n") == 1
    assert "Traceback" not in done.stderr
    assert done.stdout == ""


def test_help_names_every_command() -> None:
    done = run("--help")
    assert done.returncode == 0
    for command in ("scale", "chord", "find", "progression", "advise", "neck", "export"):
        assert command in done.stdout


def test_a_failing_notebook_leaves_no_page_behind(tmp_path: Path) -> None:
    notebook = tmp_path / "broken.ipynb"
    cell = {
        "id": "a",
        "cell_type": "code",
        "metadata": {},
        "outputs": [],
        "execution_count": None,
        "source": "1 / 0",
    }
    content = {"nbformat": 4, "nbformat_minor": 5, "metadata": {}, "cells": [cell]}
    notebook.write_text(json.dumps(content), encoding="utf-8")
    before = notebook.read_bytes()
    (tmp_path / "broken.html").write_text("the last good page", encoding="utf-8")
    done = run("export", str(notebook))
    assert done.returncode == 2
    assert "ZeroDivisionError: division by zero" in done.stderr
    assert "Traceback" not in done.stderr
    assert notebook.read_bytes() == before
    assert (tmp_path / "broken.html").read_text(encoding="utf-8") == "the last good page"
    assert sorted(path.name for path in tmp_path.iterdir()) == ["broken.html", "broken.ipynb"]
