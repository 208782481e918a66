"""Tablature as text, against lines typed by hand and read back as a player reads it."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

import pytest
from notation.sheets import blues, chromatic, everything, jig, line, waltz

from theorykit.errors import BadInput
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.instrument import Instrument
from theorykit.notation.tablature import string_names, tablature_text
from theorykit.score.arrange import arrange
from theorykit.score.score import Part, Score
from theorykit.theory.meter import find_meter

# Typed by hand before any run; the layout is common practice of tablature in letters.
JIG = """\
Jig

E|----|-------------------|-------------------|-------------------|
A|----|-5--2-----2--------|----0--2--3--0-----|-------2--0-----3--|
D|-0--|-------5-----5--0--|-5--------------4--|-5-----------------|
G|----|-------------------|-------------------|-------------------|
   6    1  2  3  4  5  6    1  2  3  4  5  6    1  2  3  4  5  6
"""

WALTZ = """\
   C                   Am7
A|-------------------|-------------------|
E|-------------------|-0-----------3-----|
C|-0-----------------|-------------------|
G|-------------------|-------------------|
   1     2     3       1     2     3
"""


def test_a_jig_as_players_write_it() -> None:
    assert tablature_text(jig(), "mandolin").startswith(JIG)


def test_a_waltz_with_its_chords() -> None:
    score = waltz()
    text = tablature_text(Score(score.parts, score.chords, meter="3/4", key=score.key), "ukulele")
    first = text.partition("\n\n")[0].splitlines()
    wanted = WALTZ.splitlines()
    assert [row[: len(whole)].rstrip() for row, whole in zip(first, wanted, strict=True)] == wanted


def test_slurs_bends_slides_and_ghosts() -> None:
    text = tablature_text(everything(), "guitar")
    strings = "\n".join(row for row in text.splitlines() if re.match("[eBGDAE] ?[|]", row))
    assert re.search(r"[0-9]b-", strings)
    assert re.search(r"[0-9]p[0-9]", strings)
    assert re.search(r"[0-9]-?/[0-9]", strings)
    assert re.search(r"\([0-9]+\)", strings)


#: Meter; lengths in quarters; what is counted (common practice of method books).
COUNTED = (
    ("4/4", "1 1 1 1", "1 2 3 4"),
    ("4/4", "1/2 " * 8, "1 & 2 & 3 & 4 &"),
    ("4/4", "4", "1 2 3 4"),
    ("4/4", "1/4 1/4 1/4 1/4 1 1 1", "1 e & a 2 3 4"),
    ("4/4", "3/4 1/4 1/2 1/2 2", "1 e & a 2 & 3 4"),
    ("4/4", "1/3 1/3 1/3 1 2", "1 & a 2 3 4"),
    ("3/4", "3/2 1/2 1", "1 2 & 3"),
    ("6/8", "3/2 3/2", "1 2 3 4 5 6"),
    ("12/8", "3 3", "1 2 3 4 5 6 7 8 9 10 11 12"),
    ("6/8", "1/4 1/4 1/2 1/2 3/2", "1 & 2 3 4 5 6"),
    ("2/2", "1 1 2", "1 & 2"),
)


@pytest.mark.parametrize(("meter", "lengths", "expected"), COUNTED)
def test_counting(meter: str, lengths: str, expected: str) -> None:
    quarters = find_meter(meter).beat_quarters
    rows = [("A4", Fraction(word) / quarters) for word in lengths.split()]
    text = tablature_text(line(rows, meter=meter), "mandolin")
    assert " ".join(text.splitlines()[-1].split()) == expected


def systems(text: str, strings: int) -> list[list[str]]:
    """Blocks of string lines."""
    rows = [row for row in text.splitlines() if re.match(r"\S+ *\|.*\|$", row)]
    return [rows[at : at + strings] for at in range(0, len(rows), strings)]


def read_back(text: str, neck: Instrument) -> list[int]:
    """The notes from left to right, as a player reads them: open string and fret."""
    found: list[int] = []
    for system in systems(text, len(neck.strings)):
        seen: list[tuple[int, int]] = []
        for number, row in enumerate(system, start=1):
            body = row[row.index("|") :]
            for match in re.finditer(r"[0-9]+", body):
                seen.append((match.start(), neck.string(number).open.midi + int(match[0])))
        found += [midi for _, midi in sorted(seen)]
    return found


NECKS = ("guitar", "mandolin", "fiddle", "banjo", "ukulele", "bass", "guitar, DADGAD", "viola")


@pytest.mark.parametrize("name", NECKS)
def test_the_frets_are_the_tune(name: str) -> None:
    neck = find_instrument(name)
    lowest = min(string.open.midi for string in neck.strings)
    score = blues("E", "E blues", lowest, lowest + 24)
    assert read_back(tablature_text(score, neck), neck) == [
        note.midi for note in score.part("line").notes
    ]


@pytest.mark.parametrize(
    "score", [jig(), waltz(), chromatic(Fraction(1, 4), 4)], ids=lambda score: score.title
)
@pytest.mark.parametrize("width", [40, 78, 120])
def test_lines_keep_to_the_width(score: Score, width: int) -> None:
    text = tablature_text(score, "mandolin", width=width, degrees=True)
    for system in systems(text, 4):
        assert len({len(row) for row in system}) == 1
        bars = system[0].strip("|").count("|")
        # One bar alone may be wider: it is not broken.
        assert len(system[0]) <= width + 1 or bars <= 1


def test_what_stands_below_stands_under_its_note() -> None:
    text = tablature_text(blues("A", "A blues", 45, 70), "guitar", degrees=True)
    rows = text.splitlines()
    start = next(at for at, row in enumerate(rows) if row.startswith("e|"))
    strings, degrees, count = rows[start : start + 6], rows[start + 6], rows[start + 7]
    places = sorted(match.start() for row in strings for match in re.finditer("[0-9]+", row))
    assert places == [match.start() for match in re.finditer(r"\S+", degrees)]
    assert places == [match.start() for match in re.finditer(r"\S", count)]


def test_chord_symbols_stand_over_their_beats_and_never_touch() -> None:
    chart = "| Imaj7 vi7 | ii7 V7 | iii7 biii° | iim7b5 V7 |"
    score = arrange(chart, "Db", feel="straight", ending=False)
    text = tablature_text(score, "bass", part="bass")
    above = [row for row in text.splitlines() if row.startswith(" ") and "m7" in row]
    assert " ".join(" ".join(above).split()) == "Dbmaj7 Bbm7 Ebm7 Ab7 Fm7 Fbdim Ebm7b5 Ab7"


def test_repeats_and_endings() -> None:
    score = arrange("12-bar blues", "E", feel="shuffle", choruses=2, ending=False)
    once = tablature_text(score, "bass", part="bass")
    twice = tablature_text(score, "bass", part="bass", repeats=False)
    assert "||o" in once
    assert "o||" in once
    assert "|||" not in once
    assert len(read_back(twice, find_instrument("bass"))) == 2 * len(
        read_back(once, find_instrument("bass"))
    )


def test_string_names() -> None:
    # Common practice: the higher of two strings of one name has the small letter.
    expected = {
        "guitar": "e B G D A E",
        "mandolin": "E A D G",
        "banjo": "d B G D g",
        "bass": "G D A E",
        "ukulele": "A E C G",
        # Three strings are D and two are A: the highest of each is marked.
        "guitar, DADGAD": "d a G D A D",
    }
    for name, names in expected.items():
        assert string_names(find_instrument(name)) == names.split(), name


def test_it_is_plain_letters() -> None:
    text = tablature_text(everything(), "banjo", degrees=True)
    assert text.isascii()
    assert text.endswith("\n")
    assert all(row == row.rstrip() for row in text.splitlines())


@pytest.mark.parametrize(
    ("options", "message"),
    [({"width": 10}, "40 to 400"), ({"part": "bas"}, "not in this score")],
)
def test_bad_options(options: dict[str, Any], message: str) -> None:
    with pytest.raises(BadInput, match=message):
        tablature_text(jig(), "mandolin", **options)


def test_an_empty_part_is_bars_of_rest() -> None:
    text = tablature_text(Score((Part("line", (), "guitar"),)), "mandolin")
    assert text.splitlines()[0].startswith("E|--")
