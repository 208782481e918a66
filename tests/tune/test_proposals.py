"""Proposed keys and chords against printed ones, clearly ahead of simple guesses; their plain facts."""

from __future__ import annotations

import music21
import pytest
from proposal_measures import (
    DANCES,
    LEAD_SHEETS,
    WITH_CHORDS,
    chord_table,
    key_table,
    lines_over_forms,
    spread,
    tunes,
)

from theorykit.errors import BadInput
from theorykit.theory.progression import Progression
from theorykit.tune.chord_proposal import propose_chords
from theorykit.tune.key_proposal import PROFILES, propose_key
from theorykit.tune.reading import read_tune
from theorykit.tune.study import tune_study


def test_profiles_as_music21_has_them() -> None:
    theirs = music21.analysis.discrete.KrumhanslKessler()
    assert list(PROFILES["major"]) == theirs.getWeights("major")
    assert list(PROFILES["minor"]) == theirs.getWeights("minor")


@pytest.mark.parametrize("book", DANCES)
def test_keys_of_dance_tunes(book: str) -> None:
    table = key_table(score for _, score in spread(DANCES[book], 40))
    assert table["proposal"] >= table["last note, major"] + 0.08
    assert table["proposal"] >= 0.75


def test_chords_of_lines_over_forms() -> None:
    table = chord_table(lines_over_forms(seeds=1))
    for other in ("tonic everywhere", "best triad by bar"):
        assert table["proposal"] >= table[other] + 0.08


def test_printed_chords() -> None:
    table = chord_table(score for _, score in tunes([*WITH_CHORDS, *LEAD_SHEETS]))
    for other in ("tonic everywhere", "best triad by bar"):
        assert table["proposal"] >= table[other] + 0.08


# Plain tunes whose key any teacher would say at once (common practice).
@pytest.mark.parametrize(
    ("music", "name"),
    [
        ("CEGE|FAcA|GBdB|c4|", "C major"),
        ("A,CEA|^GBED|CEA,C|A,4|", "A minor"),
        ("A^CEA|GBdG|A^ceg|A4|", "A mixolydian"),
        ("DFAd|cEGc|DFAB|D4|", "D dorian"),
    ],
)
def test_modes(music: str, name: str) -> None:
    tune = read_tune(f"X:1\nM:4/4\nL:1/4\nK:C\n{music}".encode())
    named = propose_key(tune, use_signature=False)[0].name
    assert named == name


TUNE = b"X:1\nT:Gate\nM:6/8\nL:1/8\nQ:3/8=110\nK:G\nGBd gdB|ceg gec|fdA AFD|G3 G3|]"


def test_chart_is_read_back() -> None:
    study = tune_study(read_tune(TUNE))
    assert study.meter == "6/8"
    assert Progression.parse(study.chart) == study.progression
    assert study.chords is not None
    assert [str(each.numeral) for each in study.progression.chords] == ["I", "IV", "V", "I"]
    assert [str(each.chord) for each in study.score.chords] == ["G", "C", "D", "G"]


def test_own_chord_takes_the_place_of_a_proposed_one() -> None:
    proposal = propose_chords(read_tune(TUNE)).with_chord(2, "ii")
    assert str(proposal.progression).endswith("| I | ii | V | I |")
    with pytest.raises(BadInput, match="not in this tune"):
        proposal.with_chord(9, "ii")


def test_the_key_may_be_overruled() -> None:
    assert str(propose_chords(read_tune(TUNE), "Em").key) == "E minor"
    with pytest.raises(BadInput):
        propose_chords(read_tune(TUNE), mode="dorain")
    with pytest.raises(BadInput):
        propose_chords(read_tune(TUNE), chords_a_bar=3)  # type: ignore[arg-type]
