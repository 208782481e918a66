"""Tunings against hand tables and against the tables that an independent package carries."""

from __future__ import annotations

import mingus.extra.tunings as mingus_tunings
import pytest

from theorykit.errors import BadInput
from theorykit.instruments.catalogue import find_instrument

#: String 1 first. String makers' sets, from memory.
HAND = {
    "mandolin": ["E5", "A4", "D4", "G3"],
    "guitar": ["E4", "B3", "G3", "D3", "A2", "E2"],
    "banjo": ["D4", "B3", "G3", "D3", "G4"],
}

#: Name of the instrument and the tuning in mingus.extra.tunings.
MINGUS = {
    "mandolin": ("Mandolin", "Standard"),
    "guitar": ("Guitar", "Standard tuning"),
    "banjo": ("Banjo (5-string)", "Open G tuning"),
}


@pytest.mark.parametrize("name", HAND)
def test_tuning(name: str) -> None:
    assert [str(string.open) for string in find_instrument(name).strings] == HAND[name]


def mingus_midis(name: str, description: str) -> list[int]:
    """MIDI numbers of a tuning in mingus, string 1 first; doubled courses are counted once."""
    for tuning in mingus_tunings.get_tunings(name):
        if tuning.description.lower().startswith(description.lower()):
            courses = [
                course[0] if isinstance(course, list) else course for course in tuning.tuning
            ]
            # mingus numbers C-4 (its middle C) 48; MIDI has 60.
            return [int(note) + 12 for note in reversed(courses)]
    raise LookupError(name)


@pytest.mark.parametrize("name", MINGUS)
def test_tuning_against_mingus(name: str) -> None:
    ours = [string.open.midi for string in find_instrument(name).strings]
    assert ours == mingus_midis(*MINGUS[name])


def test_the_fifth_string_of_a_banjo_is_short() -> None:
    # Common practice: it begins at the fifth fret, an octave above the third string.
    banjo = find_instrument("banjo")
    assert [string.start_fret for string in banjo.strings] == [0, 0, 0, 0, 5]
    assert banjo.string(5).open.midi == banjo.string(3).open.midi + 12


def test_only_the_mandolin_has_double_courses() -> None:
    assert {string.strands for string in find_instrument("mandolin").strings} == {2}
    assert {string.strands for string in find_instrument("guitar").strings} == {1}


def test_an_unknown_instrument_and_string_get_one_clear_line() -> None:
    with pytest.raises(BadInput, match="did you mean 'mandolin'"):
        find_instrument("mandolln")
    with pytest.raises(BadInput, match="accepted: 1 to 4"):
        find_instrument("mandolin").string(5)
