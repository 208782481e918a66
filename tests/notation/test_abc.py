"""ABC, played by Debian's abc2midi and read by music21, besides our own reader."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from file_checks import check_abc
from written import (
    Written,
    by_abc2midi,
    on_strings,
    ours,
    played_alike,
    tune,
    written,
)

from theorykit.errors import TuneError
from theorykit.notation.abc import abc_text, write_abc
from theorykit.notation.abc_book import abc_tunes
from theorykit.notation.abc_reader import read_abc
from theorykit.score.arrange import arrange
from theorykit.score.run import scale_run
from theorykit.score.score import MODES, ScoreBar
from theorykit.theory.key import Key
from theorykit.theory.pitch import Note
from theorykit.theory.scale import Scale

WRITTEN = written()


def names(case: Written) -> str:
    return case.name


@pytest.mark.parametrize("case", WRITTEN, ids=names)
def test_written_by_hand(case: Written, tmp_path: Path) -> None:
    home = tune("")
    score = case.score if case.score.key else replace(case.score, key=home.key, keys=home.keys)
    # music21 reads no voice that is laid over another, and no key within a line.
    check_abc(score, tmp_path, by_other=case.name not in {"two voices and chords", "key changes"})


@pytest.mark.parametrize("key", ["A", "Eb", "F#", "C#"])
def test_a_run_over_a_blues(key: str, tmp_path: Path) -> None:
    run = scale_run(Scale.parse(f"{key} minor pentatonic"), 12, lowest=52, highest=80)
    check_abc(arrange("12-bar blues", key, line=run, ending=False), tmp_path)


@pytest.mark.parametrize("key", ["A", "Eb", "F#"])
def test_a_bass_line(key: str, tmp_path: Path) -> None:
    score = arrange("12-bar blues", key, feel="shuffle", ending=False)
    check_abc(score, tmp_path, part="bass")


def test_a_tune_as_a_player_would_write_it() -> None:
    # Typed by hand from the rules of the standard: C is middle C, c the octave above, the sharp of
    # the key goes unsaid, a natural is said and then the sharp again, a third of a beat is (3.
    score = tune("D4:1 G4 A4 B4 F4:1/2 F#4 G4:1 A4:1/3 B4 C5 D5:1", start=Fraction(-1),
                 pickup=Fraction(1), chords="G D7", chord_beats=3, key="G", meter="3/4")  # fmt: skip
    expected = """%abc-2.1
X:7
T:Test
M:3/4
L:1/8
Q:1/4=100
K:G
D2 | "G"G2 A2 B2 | "D7"=F^F G2 (3ABc | d2 z4 |]
"""
    assert abc_text(score, number=7) == expected


@pytest.mark.parametrize("mode", MODES)
def test_modes(mode: str, tmp_path: Path) -> None:
    # From the table of the standard, 3.1.14: the row of two sharps.
    tonics = {"ionian": "D", "dorian": "E", "phrygian": "F#", "lydian": "G",
              "mixolydian": "A", "aeolian": "B", "locrian": "C#"}  # fmt: skip
    tonic = tonics[mode]
    text = f"X:1\nT:Mode\nM:4/4\nL:1/4\nK:{tonic}{mode}\nC F B E|\n"
    score = read_abc(text)
    assert [str(note.pitch) for note in score.part("line").notes] == ["C#4", "F#4", "B4", "E4"]
    assert score.key is not None
    assert score.key.tonic == Note.parse(tonic)
    again = read_abc(abc_text(score))
    assert again == score
    assert played_alike(by_abc2midi(abc_text(score), tmp_path), ours(score))


def test_joins_and_fingers_are_read_by_others(tmp_path: Path) -> None:
    score = on_strings()
    text = abc_text(score, lyrics=True, fingering=True)
    assert played_alike(by_abc2midi(text, tmp_path), ours(score))
    again = read_abc(text)
    # An open string has no finger to be written.
    fingers = [note.finger or None for note in score.part("line").notes]
    assert [note.finger for note in again.part("line").notes] == fingers
    degrees = [note.degree for note in score.part("line").notes]
    assert [note.degree for note in again.part("line").notes] == degrees


def test_degrees_below_tied_notes_and_rests() -> None:
    case = next(each.score for each in WRITTEN if each.name == "degrees")
    assert read_abc(abc_text(case, lyrics=True)) == replace(
        case, bars=read_abc(abc_text(case)).bars
    )


def test_changes_of_meter_and_key_come_back() -> None:
    bars = (
        ScoreBar(Fraction(0), Fraction(4), section="A"),
        ScoreBar(Fraction(4), Fraction(3), section="A", meter="3/4"),
        ScoreBar(Fraction(7), Fraction(4), section="B"),
    )
    score = replace(
        tune("C4 D4 E4 F4 G4 A4 B4 C5:4"),
        bars=bars,
        keys=((Fraction(0), Key.parse("C")), (Fraction(4), Key.parse("G"))),
    )
    again = read_abc(abc_text(score))
    assert again.bars == bars
    assert again.keys == score.keys


def test_a_title_is_a_title(tmp_path: Path) -> None:
    path = tmp_path / "a.abc"
    write_abc(tune("C4:4"), path, title="50% off\nK:Bb & \\more")
    again = read_abc(path.read_bytes())
    assert again.title == "50% off K:Bb & \\more"
    assert again.key == Key.parse("C")


def keys(text: str) -> list[str]:
    return [str(note.pitch) for note in read_abc(text).part("line").notes]


HEAD = "X:1\nT:T\nM:4/4\nL:1/4\nK:C\n"

#: What the standard (ABC 2.1, 2011) says of each, worked by hand: beats of the notes.
RHYTHMS = {
    "A>B c<d": "3/2 1/2 1/2 3/2",
    "A>>B c<<<d": "7/4 1/4 1/8 15/8",
    "A/B/ A// B3/2": "1/2 1/2 1/4 3/2",
    "(3ABc (3:2:2A2B": "2/3 2/3 2/3 4/3 2/3",
    "(5A/B/c/d/e/ f": "1/5 1/5 1/5 1/5 1/5 1",
    "(2AB c": "3/2 3/2 1",
    "[CEG]2 z2": "2 2 2",
    "[C2E2G2] x2": "2 2 2",
    "A-A B z": "2 1",
    "A4-|A4": "8",
    "A2 & c2": "2 2",
}


@pytest.mark.parametrize("music", RHYTHMS)
def test_rhythms(music: str) -> None:
    notes = read_abc(f"{HEAD}{music}|\n").part("line").notes
    assert [note.beats for note in notes] == [Fraction(each) for each in RHYTHMS[music].split()]


#: The order in which strains are played, worked by hand.
REPEATS = {
    "|:C4:|D4|": "C4 C4 D4",
    "C4:|D4:|": "C4 C4 D4 D4",
    "|:C4::D4:|": "C4 C4 D4 D4",
    "|:C4|1D4:|2E4|]": "C4 D4 C4 E4",
    "|:C4|[1D4:|[2E4:|": "C4 D4 C4 E4",
    "|:C4|1D4:|2E4||F4|1G4:|2A4||": "C4 D4 C4 E4 F4 G4 F4 A4",
    "C4||D4:|": "C4 D4 D4",
    "|:C4:|:D4:|": "C4 C4 D4 D4",
    "|:C4|1,2D4:|3E4|]": "C4 D4 C4 D4 C4 E4",
    "|:C4": "C4",
    "C4!fine!|D4!D.C.alfine!|": "C4 D4 C4",
}


@pytest.mark.parametrize("music", REPEATS)
def test_repeats(music: str) -> None:
    assert keys(f"{HEAD}{music}\n") == REPEATS[music].split()


def test_a_repeat_that_cuts_a_bar_leaves_whole_bars() -> None:
    score = read_abc(f"{HEAD}|:G|cdef|gab:|\n")
    assert (score.pickup, [bar.beats for bar in score.bars]) == (1, [4, 4, 4, 3])
    once = read_abc(f"{HEAD}|:G|cdef|gab:|\n", repeats=False)
    assert [bar.beats for bar in once.bars] == [4, 3]


def test_accidentals_hold_to_the_bar_line_and_over_a_tie() -> None:
    assert keys(f"{HEAD}^FFfF|FF^F2-|FF z2|\n") == ["F#4", "F#4", "F#5", "F#4", "F4", "F4", "F#4", "F4"]  # fmt: skip
    assert keys("X:1\nL:1/4\nK:D exp _b ^f\nfbc2|\n") == ["F#5", "Bb5", "C5"]


def test_fields_among_the_notes() -> None:
    score = read_abc(f"{HEAD}C4|[M:3/4]D3|[K:G][L:1/8]F2F2F2|\n")
    assert [str(note.pitch) for note in score.part("line").notes] == [
        "C4",
        "D4",
        "F#4",
        "F#4",
        "F#4",
    ]
    assert [(bar.beats, bar.meter) for bar in score.bars] == [(4, ""), (3, "3/4"), (3, "3/4")]
    assert score.keys == ((Fraction(0), Key.parse("C")), (Fraction(7), Key.parse("G")))


def test_one_voice_of_several() -> None:
    text = "X:1\nL:1/4\nK:C\nV:1\nCDEF|\nV:2\nC,4|\nV:1\nG4|\n"
    assert keys(text) == ["C4", "D4", "E4", "F4", "G4"]
    assert [str(n.pitch) for n in read_abc(text, voice="2").part("line").notes] == ["C3"]


def test_a_book() -> None:
    book = f"A page of words.\n\n{HEAD}C4|\n\nwords: %\n\nX:5\nT:Five\nK:G\nG4|\n"
    assert [(each.number, each.title) for each in abc_tunes(book)] == [(1, "T"), (5, "Five")]
    assert read_abc(book, number=5).title == "Five"
    with pytest.raises(TuneError, match="no tune X:9"):
        read_abc(book, number=9)


def test_older_files_are_in_a_code_page() -> None:
    assert read_abc("X:1\nT:Café\nK:C\nC4|\n".encode("cp1252")).title == "Café"
    assert read_abc("\ufeffX:1\nT:Café\nK:C\nC4|\n".encode()).title == "Café"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "has no tune"),
        ("X:1\nT:a\nCDEF|", "has no key"),
        ("X:1\nK:Q\nC", "line 2: no key: K:Q"),
        ("X:1\nM:4/5\nK:C\nC", "line 2: meter '4/5'"),
        ("X:1\nM:four\nK:C\nC", "line 2: no meter"),
        ("X:1\nL:x\nK:C\nC", "line 2: no note length"),
        ("X:1\nK:C\nz4|", "has no notes"),
        ("X:1\nK:C\nCD|C9999|", "line 3, bar 2: length '9999'"),
        ("X:1\nK:C\nc''''''''|", "line 3, bar 1: note"),
    ],
)
def test_what_is_wrong_is_said(text: str, message: str) -> None:
    with pytest.raises(TuneError, match=message):
        read_abc(text)
