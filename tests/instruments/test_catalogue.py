"""Tunings against hand tables and against the tables that an independent package carries."""

from __future__ import annotations

import mingus.extra.tunings as mingus_tunings
import pytest

from theorykit.errors import BadInput
from theorykit.instruments.catalogue import INSTRUMENTS, find_instrument
from theorykit.scene.selection import Offer

#: Said from the last string to the first. String makers' sets, from memory; where a name holds a
#: comma, common practice.
HAND = {
    "mandolin": "G3 D4 A4 E5",
    "guitar": "E2 A2 D3 G3 B3 E4",
    "guitar, drop D": "D2 A2 D3 G3 B3 E4",
    "guitar, double drop D": "D2 A2 D3 G3 B3 D4",
    "guitar, DADGAD": "D2 A2 D3 G3 A3 D4",
    "guitar, open G": "D2 G2 D3 G3 B3 D4",
    "guitar, open D": "D2 A2 D3 F#3 A3 D4",
    "banjo": "G4 D3 G3 B3 D4",
    "banjo, double C": "G4 C3 G3 C4 D4",
    "banjo, sawmill": "G4 D3 G3 C4 D4",
    "banjo, drop C": "G4 C3 G3 B3 D4",
    "fiddle": "G3 D4 A4 E5",
    "fiddle, AEAE": "A3 E4 A4 E5",
    "fiddle, sawmill": "G3 D4 G4 D5",
    "fiddle, GDAD": "G3 D4 A4 D5",
    "fiddle, ADAE": "A3 D4 A4 E5",
    "ukulele": "G4 C4 E4 A4",
    "ukulele, low G": "G3 C4 E4 A4",
    "bass": "E1 A1 D2 G2",
    "five-string bass": "B0 E1 A1 D2 G2",
    "tenor banjo": "C3 G3 D4 A4",
    "tenor banjo, Irish": "G2 D3 A3 E4",
    "plectrum banjo": "C3 G3 B3 D4",
    "octave mandolin": "G2 D3 A3 E4",
    "mandola": "C3 G3 D4 A4",
    "resonator guitar": "G2 B2 D3 G3 B3 D4",
    "viola": "C3 G3 D4 A4",
    "cello": "C2 G2 D3 A3",
    "baritone ukulele": "D3 G3 B3 E4",
    "twelve-string guitar": "E2 A2 D3 G3 B3 E4",
    "dulcimer": "D3 A3 D4",
}

#: Name of the instrument and beginning of the tuning's description in mingus.extra.tunings: every
#: tuning of ours that it carries.
MINGUS = {
    "mandolin": ("Mandolin", "Standard"),
    "guitar": ("Guitar", "Standard tuning"),
    "guitar, drop D": ("Guitar", "Drop D"),
    "guitar, double drop D": ("Guitar", "Double drop D"),
    "guitar, DADGAD": ("Guitar", "*DADGAD*"),
    "guitar, open G": ("Guitar", "Open G major"),
    "banjo": ("Banjo (5-string)", "Open G tuning"),
    "fiddle": ("Fiddle", "Standard"),
    "fiddle, AEAE": ("Fiddle", "Cross Tuning"),
    "fiddle, sawmill": ("Fiddle", "Sawmill"),
    "fiddle, GDAD": ("Fiddle", '"Gee-dad"'),
    "fiddle, ADAE": ("Fiddle", "Old-timey D"),
    "ukulele": ("Ukulele", "Standard"),
    "bass": ("Bass guitar", "Standard 4-string"),
    "five-string bass": ("Bass guitar", "Standard 5-string"),
    "tenor banjo": ("Banjo (tenor)", "Standard tenor jazz"),
    "tenor banjo, Irish": ("Banjo (tenor)", "Irish"),
    "octave mandolin": ("Mandolin (Octave)", "Standard"),
    "mandola": ("Mandola", "Standard"),
    "viola": ("Viola", "Standard"),
    "cello": ("Cello", "Standard"),
    # Its first course is a unison there; the octaves of the others are looked at below.
    "twelve-string guitar": ("Guitar", "Standard tuning. Some players"),
}


def test_the_hand_table_has_the_whole_catalogue() -> None:
    assert set(HAND) == set(INSTRUMENTS)


@pytest.mark.parametrize("name", HAND)
def test_tuning(name: str) -> None:
    assert find_instrument(name).tuning == HAND[name]


def mingus_tuning(name: str, description: str) -> list[list[int]]:
    """MIDI numbers of each course of a tuning in mingus, the last string first."""
    for tuning in mingus_tunings.get_tunings(name):
        same = tuning.instrument == name and tuning.description.startswith(description)
        # Plain "Standard tuning" must not find the twelve-string's longer text.
        if same and (description != "Standard tuning" or tuning.description == description):
            # mingus numbers C-4 (its middle C) 48; MIDI has 60.
            return [
                [int(note) + 12 for note in (course if isinstance(course, list) else [course])]
                for course in tuning.tuning
            ]
    raise LookupError(name)


@pytest.mark.parametrize("name", MINGUS)
def test_tuning_against_mingus(name: str) -> None:
    ours = [string.open.midi for string in reversed(find_instrument(name).strings)]
    assert ours == [course[0] for course in mingus_tuning(*MINGUS[name])]


def test_the_octave_strands_of_a_twelve_string_against_mingus() -> None:
    courses = mingus_tuning(*MINGUS["twelve-string guitar"])
    octaves = [course[1] - course[0] == 12 for course in courses]
    strings = find_instrument("twelve-string guitar").strings
    assert [string.octave_strand for string in reversed(strings)] == octaves
    assert {string.strands for string in strings} == {2}


def test_where_mingus_is_wrong() -> None:
    # A dulcimer is said from its bass string there too, but mingus lists that tuning from the
    # melody string: turned round, it is ours.
    ours = [string.open.midi for string in find_instrument("dulcimer").strings]
    assert ours == [course[0] for course in mingus_tuning("Dulcimer", "Mixolydian")]
    # Its Cajun fiddle ends on F5, a seventh above the string before; its Cajun violin, which is
    # the same thing, on D5 (a whole step below standard, as the other three): we carry neither.
    fiddle = mingus_tuning("Fiddle", "Cajun")
    violin = mingus_tuning("Violin", "Cajun")
    assert [a[0] - b[0] for a, b in zip(fiddle, violin, strict=True)] == [0, 0, 0, 3]
    standard = [course[0] for course in mingus_tuning("Violin", "Standard")]
    assert [note - course[0] for note, course in zip(standard, violin, strict=True)] == [2] * 4


@pytest.mark.parametrize(
    ("name", "open_chord"),
    [
        ("guitar, open G", "D G D G B D"),
        ("guitar, open D", "D A D F# A D"),
        ("resonator guitar", "G B D G B D"),
        ("banjo", "G D G B D"),
    ],
)
def test_open_tunings_are_chords(name: str, open_chord: str) -> None:
    # Common practice: an open tuning sounds a major chord with nothing stopped.
    strings = reversed(find_instrument(name).strings)
    assert [str(string.open.note) for string in strings] == open_chord.split()


def test_the_fifth_string_of_a_banjo_is_short() -> None:
    # Common practice: it begins at the fifth fret, an octave above the third string.
    banjo = find_instrument("banjo")
    assert banjo.string(5).open.midi == banjo.string(3).open.midi + 12
    for name in ("banjo", "banjo, double C", "banjo, sawmill", "banjo, drop C"):
        starts = [string.start_fret for string in find_instrument(name).strings]
        assert starts == [0, 0, 0, 0, 5]


def test_double_courses() -> None:
    double = {
        name for name, item in INSTRUMENTS.items() if {s.strands for s in item.strings} == {2}
    }
    assert double == {"mandolin", "octave mandolin", "mandola", "twelve-string guitar"}
    # Common practice: a dulcimer's melody string is doubled.
    assert [string.strands for string in find_instrument("dulcimer").strings] == [2, 1, 1]


def test_bowed_necks_have_neither_frets_nor_inlays() -> None:
    fretless = {name for name, item in INSTRUMENTS.items() if item.fretless}
    assert {name.partition(",")[0] for name in fretless} == {"fiddle", "viola", "cello"}
    assert {INSTRUMENTS[name].inlays for name in fretless} == {()}


# Makers' values, from memory (mm).
@pytest.mark.parametrize(
    ("name", "length"),
    [
        ("guitar", 648),
        ("resonator guitar", 635),
        ("banjo", 667),
        ("mandolin", 352),
        ("fiddle", 328),
        ("ukulele", 345),
        ("bass", 864),
    ],
)
def test_scale_lengths(name: str, length: float) -> None:
    assert find_instrument(name).scale_length_mm == length


def test_every_row_says_where_it_is_from() -> None:
    for item in INSTRUMENTS.values():
        assert item.source
        assert all(fret <= item.frets for fret in item.inlays)


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("Five-String  Banjo", "banjo"),
        ("violin", "fiddle"),
        ("DADGAD", "guitar, DADGAD"),
        ("dadgad", "guitar, DADGAD"),
        ("AEAE", "fiddle, AEAE"),
        ("GDGD", "fiddle, sawmill"),
        ("12-string guitar", "twelve-string guitar"),
        ("Irish tenor banjo", "tenor banjo, Irish"),
    ],
)
def test_aliases(said: str, found: str) -> None:
    assert find_instrument(said).name == found


def test_no_name_stands_for_two() -> None:
    names = [name for item in INSTRUMENTS.values() for name in (item.name, *item.aliases)]
    folded = [name.casefold() for name in names]
    assert len(set(folded)) == len(folded)


def test_the_menus_offer_a_moderate_list() -> None:
    assert Offer().instruments == (
        "mandolin",
        "guitar",
        "banjo",
        "fiddle",
        "ukulele",
        "bass",
        "tenor banjo",
        "octave mandolin",
        "resonator guitar",
        "viola",
        "cello",
    )


def test_an_unknown_instrument_and_string_get_one_clear_line() -> None:
    with pytest.raises(BadInput, match="did you mean 'mandolin'"):
        find_instrument("mandolln")
    with pytest.raises(BadInput, match="accepted: 1 to 4"):
        find_instrument("mandolin").string(5)
    with pytest.raises(BadInput, match="not in the catalogue"):
        find_instrument(5)  # type: ignore[arg-type]
