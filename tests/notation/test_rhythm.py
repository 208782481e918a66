"""Note values, worked by hand from the common practice of engraving."""

from __future__ import annotations

from fractions import Fraction

import pytest
from written import line

from theorykit.errors import BadInput
from theorykit.notation.measures import measures
from theorykit.score.score import Part, Score, ScoreNote

#: Notes with their beats; the values that write them, in quarters, ties as "~", rests as "r".
CASES = {
    ("4/4", "C4:1/2 C4:1 C4:1 C4:1 C4:1/2"): "1/2 1 1/2~ 1/2 1 1/2",
    ("4/4", "C4:1 C4:3"): "1 3",
    ("4/4", "C4:5/2 C4:3/2"): "2~ 1/2 3/2",
    ("4/4", "r:1/2 C4:7/2"): "r1/2 3/2~ 2",
    ("4/4", "C4:1/2 r:7/2"): "1/2 r1/2 r1 r2",
    ("4/4", "C4:6 C4:2"): "4~ 2 2",
    ("3/4", "C4:5/2 C4:1/2"): "2~ 1/2 1/2",
    ("3/4", "C4:3"): "3",
    ("6/8", "C4:2"): "3",
    ("6/8", "C4:2/3 C4:4/3"): "1 1/2~ 3/2",
    ("12/8", "C4:4"): "6",
    ("12/8", "C4:1/3 C4:1/3 C4:4/3 C4:2"): "1/2 1/2 1/2~ 3/2 3",
    ("9/8", "C4:3"): "3~ 3/2",
    ("5/4", "C4:5"): "4~ 1",
    ("2/2", "C4:2"): "4",
}


def told(score: Score) -> str:
    words = []
    for bar in measures(score):
        for sign in bar.voices[0]:
            rest, tie = "" if sign.notes else "r", "~" if sign.tied_to else ""
            words.append(f"{rest}{sign.quarters}{tie}")
    return " ".join(words)


@pytest.mark.parametrize("case", CASES, ids=" ".join)
def test_values(case: tuple[str, str]) -> None:
    meter, text = case
    score = Score((Part("line", line(text), "guitar"),), meter=meter)
    words = told(score).split()
    # A bar that is filled up with rests at the end says so with more of them.
    assert words[: len(CASES[case].split())] == CASES[case].split()


def test_what_is_too_short_to_be_written() -> None:
    note = ScoreNote(Fraction(0), Fraction(1, 512), 60)
    with pytest.raises(BadInput, match="too short to be written"):
        measures(Score((Part("line", (note,), "guitar"),)))


def test_too_many_voices() -> None:
    notes = tuple(ScoreNote(Fraction(at, 4), Fraction(4), 60 + at) for at in range(9))
    with pytest.raises(BadInput, match="more than 8 voices"):
        measures(Score((Part("line", notes, "guitar"),)))
