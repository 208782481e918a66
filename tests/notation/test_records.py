"""Tables of notes and chords, both ways."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from written import Written, on_strings, tune, written

from theorykit.errors import BadInput
from theorykit.notation.records import (
    CHORD_COLUMNS,
    NOTE_COLUMNS,
    chord_records,
    from_records,
    records,
)
from theorykit.score.score import Score

WRITTEN = written()


def names(case: Written) -> str:
    return case.name


def again(score: Score) -> Score:
    return from_records(
        records(score),
        chord_records(score),
        meter=score.meter,
        tempo=score.tempo,
        key=score.key,
        pickup=score.pickup,
        title=score.title,
    )


@pytest.mark.parametrize("case", WRITTEN, ids=names)
def test_there_and_back(case: Written) -> None:
    score = again(case.score)
    assert score.parts == case.score.parts
    assert score.chords == case.score.chords


def test_strings_frets_and_all_but_glides_come_back() -> None:
    score = on_strings()
    part = score.part("line")
    plain = replace(part, notes=tuple(replace(note, glide=None) for note in part.notes))
    assert again(score) == score.with_part(plain)


def test_columns() -> None:
    score = tune("C4 D4", chords="C")
    assert [tuple(row) for row in records(score)] == [NOTE_COLUMNS] * 2
    assert tuple(chord_records(score)[0]) == CHORD_COLUMNS


def test_what_a_table_marks_as_missing_is_missing() -> None:
    nothing = float("nan")
    row = {"name": "C4", "midi": 60.0, "beat": 0.0, "beats": 0.3333333333333333,
           "string": nothing, "fret": 3.0, "degree": nothing, "role": None}  # fmt: skip
    note = from_records([row]).part("line").notes[0]
    assert (note.string, note.fret, note.degree, note.beats) == (None, 3, None, Fraction(1, 3))


@pytest.mark.parametrize(
    ("row", "message"),
    [
        ({"beat": 0, "beats": 1}, "a note needs a name or a MIDI number"),
        ({"name": "C4", "beat": 0}, "no number of beats, in row 1"),
        ({"name": "C4", "beat": float("inf"), "beats": 1}, "no number of beats"),
        ({"name": "C4", "beat": 0, "beats": 0}, "a note needs a length"),
        ({"name": "H4", "beat": 0, "beats": 1}, "pitch 'H4'"),
        ({"name": "C4", "beat": 0, "beats": 1, "part": "tuba"}, "part 'tuba'"),
    ],
)
def test_rows_that_make_no_note(row: dict[str, object], message: str) -> None:
    with pytest.raises(BadInput, match=message):
        from_records([row])
