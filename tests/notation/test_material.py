"""Sequences and lines as files: what other programs read of them is what was made."""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import product
from pathlib import Path

import pytest
from file_checks import check_abc, check_midi, check_musicxml
from written import by_music21, ours

from theorykit.errors import BadInput
from theorykit.instruments.catalogue import find_instrument
from theorykit.notation.abc import abc_text
from theorykit.practice.line import line_over
from theorykit.practice.line_level import LEVELS
from theorykit.practice.sequence import sequence
from theorykit.practice.sequence_pattern import SEQUENCES
from theorykit.score.score import Score

KEYS = ("C", "G", "D", "A", "E", "B", "F#", "Db", "Ab", "Eb", "Bb", "F")
NECKS = ("mandolin", "guitar", "fiddle", "banjo", "ukulele", "bass")

#: What is made: ("sequence", its pattern) or ("line", its level).
MATERIAL = (
    *(("sequence", name) for name in SEQUENCES),
    *(("line", level) for level in LEVELS),
)

#: How many of the 2,664 the short form looks at.
SHORT = 30


def made(key: str, neck: str, kind: str, what: object) -> Score:
    if kind == "sequence":
        return sequence(f"{key} major", str(what), instrument=neck)
    assert isinstance(what, int)
    return line_over("12-bar blues", key, level=what, instrument=neck, seed=what, grit=0.6).score


def check_files(score: Score, neck: str, folder: Path) -> None:
    instrument = find_instrument(neck)
    check_musicxml(
        score, folder, instrument=instrument, tablature=not instrument.fretless, frames={}
    )
    check_abc(score, folder)
    check_midi(score)


def chosen(number: int) -> Iterator[tuple[str, str, str, object]]:
    """Some of all, each pattern and level at least in turn (seeded)."""
    dice = random.Random(number)
    for kind, what in dice.sample(MATERIAL, number):
        yield dice.choice(KEYS), dice.choice(NECKS), kind, what


@pytest.mark.parametrize(("key", "neck", "kind", "what"), list(chosen(SHORT)))
def test_other_readers_find_the_notes(
    key: str, neck: str, kind: str, what: object, tmp_path: Path
) -> None:
    check_files(made(key, neck, kind, what), neck, tmp_path)


@pytest.mark.long
@pytest.mark.parametrize("neck", NECKS)
@pytest.mark.parametrize("key", KEYS)
def test_other_readers_find_the_notes_of_all(key: str, neck: str, tmp_path: Path) -> None:
    for kind, what in MATERIAL:
        check_files(made(key, neck, kind, what), neck, tmp_path)


def test_the_short_form_draws_from_all() -> None:
    assert len(list(product(KEYS, NECKS, MATERIAL))) == 12 * 6 * (len(SEQUENCES) + 4)
    assert len(SEQUENCES) >= 20


def test_a_changed_note_is_noticed() -> None:
    """The check itself: a file of another line is no match."""
    one = made("G", "mandolin", "line", 3)
    other = made("G", "mandolin", "line", 2)
    assert by_music21(abc_text(one), "abc") != ours(other)
    with pytest.raises(BadInput):
        made("G", "mandolin", "line", 9)
