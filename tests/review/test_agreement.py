"""Roles beside published analyses of chorales and chords printed over melodies.

``agreement_measures`` says what counts as agreement; figures are those of music21's collection.
"""

import pytest
from agreement_measures import chorale_table, melody_table, reels, songs
from chorales import chorales, read


def agrees(table):
    # A few numerals can't be read alike (augmented sixths), a few notes are tied into a chord.
    assert table["agree"] >= 0.99
    assert table["of these found"] >= 0.97
    assert table["of those found right"] >= 0.97
    # Any handbook of counterpoint: what is no chord tone moves on by step; chord tones may leap.
    assert table["others, by step"] >= 0.95
    assert table["chord tone, by step"] < 0.8


def test_chord_tones_of_three_chorales_are_those_of_their_analyses():
    agrees(chorale_table(read(number) for number in (4, 8, 12)))


@pytest.mark.long
def test_chord_tones_of_all_chorales_are_those_of_their_analyses():
    table = chorale_table(chorales())
    print(table)
    assert table["notes"] > 4000
    agrees(table)
    for role in ("colour", "passing", "avoid"):
        assert table[f"{role}, by step"] >= 0.95, role


def test_what_is_heard_of_printed_melodies_suits_their_chords():
    scores = [*reels(), *songs()]
    printed, late = melody_table(scores), melody_table(scores, late=1)
    assert printed["tunes"] == 4
    assert printed["chord tone or colour"] >= 0.9
    assert printed["avoid"] <= 0.03
    assert printed["chord tone"] > late["chord tone"] + 0.25
    assert late["avoid"] > 2 * printed["avoid"]
