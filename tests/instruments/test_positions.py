"""Positions against hand tables, and what must be true of any of them."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from theorykit.errors import BadInput
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.fretboard import scale_cells
from theorykit.instruments.positions import (
    HAND_MM,
    Position,
    closed_positions,
    hand_frets,
    melody_strings,
    patterns,
    position,
)
from theorykit.instruments.routes import routes
from theorykit.theory.pitch import Note
from theorykit.theory.scale import SCALES, Scale


def rows(found: Position, name: str) -> str:
    """Frets of each melody string, the lowest string first."""
    return " | ".join(
        " ".join(map(str, found.on_string(number)))
        for number in melody_strings(find_instrument(name))
    )


# First-position scales as beginners' books print them (common practice; written out by hand from
# the tuning). A banjo's fifth and a ukulele's high fourth string are left out.
@pytest.mark.parametrize(
    ("name", "scale", "expected"),
    [
        ("guitar", "C major", "0 1 3 | 0 2 3 | 0 2 3 | 0 2 | 0 1 3 | 0 1 3"),
        ("guitar", "G major", "0 2 3 | 0 2 3 | 0 2 4 | 0 2 | 0 1 3 | 0 2 3"),
        ("guitar", "E minor pentatonic", "0 3 | 0 2 | 0 2 | 0 2 | 0 3 | 0 3"),
        ("guitar", "E blues", "0 3 | 0 1 2 | 0 2 | 0 2 3 | 0 3 | 0 3"),
        ("mandolin", "G major", "0 2 4 5 | 0 2 4 5 | 0 2 3 5 | 0 2 3 5 7"),
        ("mandolin", "D major", "0 2 4 6 | 0 2 4 5 | 0 2 4 5 | 0 2 3 5 7"),
        ("mandolin", "A major", "1 2 4 6 | 0 2 4 6 | 0 2 4 5 | 0 2 4 5 7"),
        ("mandolin", "G minor pentatonic", "0 3 5 | 0 3 5 | 1 3 5 | 1 3 6"),
        ("fiddle", "G major", "0 2 4 5 | 0 2 4 5 | 0 2 3 5 | 0 2 3 5 7"),
        ("banjo", "G major", "0 2 4 | 0 2 | 0 1 | 0 2 4"),
        ("ukulele", "C major", "0 2 | 0 1 3 | 0 2 3"),
        ("bass", "G major", "0 2 3 | 0 2 3 | 0 2 4 | 0 2"),
        ("tenor banjo", "C major", "0 2 4 5 | 0 2 4 5 | 0 2 3 5 | 0 2 3"),
    ],
)
def test_first_position_by_hand(name: str, scale: str, expected: str) -> None:
    assert rows(position(find_instrument(name), Scale.parse(scale), 1), name) == expected


# Closed shapes as guitar and mandolin players hold them (common practice). C major at V stretches
# the index finger back to string 3, fret 4; at II the little finger reaches string 2, fret 6.
@pytest.mark.parametrize(
    ("name", "scale", "fret", "expected"),
    [
        ("guitar", "A minor pentatonic", 5, "5 8 | 5 7 | 5 7 | 5 7 | 5 8 | 5 8"),
        ("guitar", "A blues", 5, "5 8 | 5 6 7 | 5 7 | 5 7 8 | 5 8 | 5 8"),
        ("guitar", "C major", 2, "3 5 | 2 3 5 | 2 3 5 | 2 4 5 | 3 5 6 | 3 5"),
        ("guitar", "C major", 5, "5 7 8 | 5 7 8 | 5 7 | 4 5 7 | 5 6 8 | 5 7 8"),
        ("guitar", "C major", 7, "7 8 10 | 7 8 10 | 7 9 10 | 7 9 10 | 8 10 | 7 8 10"),
        ("mandolin", "A major", 2, "2 4 6 7 | 2 4 6 7 | 2 4 5 7 | 2 4 5 7"),
        ("mandolin", "B major", 4, "4 6 8 9 | 4 6 8 9 | 4 6 7 9 | 4 6 7 9"),
    ],
)
def test_closed_positions_by_hand(name: str, scale: str, fret: int, expected: str) -> None:
    found = position(find_instrument(name), Scale.parse(scale), fret, closed=True)
    assert rows(found, name) == expected
    assert found in closed_positions(find_instrument(name), Scale.parse(scale))


def test_stretches_are_told() -> None:
    guitar = find_instrument("guitar")
    for fret, reached in ((2, (2, 6)), (5, (3, 4))):
        found = position(guitar, Scale.parse("C major"), fret, closed=True)
        assert [(place.cell.string, place.cell.fret) for place in found.stretches] == [reached]


# One finger a fret on a guitar; two frets a finger on a mandolin, the little finger at the seventh;
# three frets near the nut of a bass, four higher up (common practice).
@pytest.mark.parametrize(
    ("name", "fret", "width"),
    [
        ("guitar", 1, 4),
        ("guitar", 9, 4),
        ("banjo", 1, 4),
        ("ukulele", 1, 4),
        ("cello", 2, 4),
        ("mandolin", 1, 7),
        ("fiddle", 1, 7),
        ("viola", 1, 7),
        ("bass", 1, 3),
        ("bass", 7, 4),
    ],
)
def test_what_a_hand_covers(name: str, fret: int, width: int) -> None:
    assert hand_frets(find_instrument(name), fret) == width


def test_a_longer_neck_gives_the_hand_fewer_frets() -> None:
    lengths = (352, 450, 521, 600, 700, 864, 1100)
    widths = [
        hand_frets(find_instrument(f"E2 A2 D3 G3, fretless, {length} mm"), 1) for length in lengths
    ]
    assert widths == sorted(widths, reverse=True)
    assert widths[0] == 4
    assert widths[-1] < 4
    # On a fretless neck the finger is at the place itself: L(1 - 2^(-n/12)).
    first, third, fourth = (864 * (1 - 2 ** (-fret / 12)) for fret in (1, 3, 4))
    assert third - first <= HAND_MM < fourth - first
    assert widths[5] == 3


def test_fingers() -> None:
    guitar = position(find_instrument("guitar"), Scale.parse("A minor pentatonic"), 5, closed=True)
    assert [guitar.finger(fret) for fret in (5, 6, 7, 8)] == [1, 2, 3, 4]
    mandolin = position(find_instrument("mandolin"), Scale.parse("G major"), 1)
    assert [mandolin.finger(fret) for fret in range(8)] == [0, 1, 1, 2, 2, 3, 3, 4]
    # A stretch is made by the finger at that end of the hand.
    assert (guitar.finger(4), guitar.finger(9)) == (1, 4)


def test_strings_that_break_the_order_are_left_out() -> None:
    assert melody_strings(find_instrument("banjo")) == (4, 3, 2, 1)
    assert melody_strings(find_instrument("ukulele")) == (3, 2, 1)
    assert melody_strings(find_instrument("ukulele, low G")) == (4, 3, 2, 1)
    assert melody_strings(find_instrument("dulcimer")) == (3, 2, 1)


SEVEN = [name for name, scale in SCALES.items() if len(scale.degrees) >= 5]
scales = st.builds(
    lambda tonic, name: Scale(Note.parse(tonic), SCALES[name]),
    st.sampled_from(["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"]),
    st.sampled_from(SEVEN),
)
necks = st.sampled_from(
    ["guitar", "mandolin", "fiddle", "banjo", "ukulele", "viola", "octave mandolin"]
)


@given(name=necks, scale=scales, fret=st.integers(1, 9), closed=st.booleans())
def test_a_position_is_the_scale_without_a_gap(
    name: str, scale: Scale, fret: int, closed: bool
) -> None:
    neck = find_instrument(name)
    found = position(neck, scale, fret, closed=closed)
    midis = [place.cell.midi for place in found.places]
    wanted = {note.pitch_class for note in scale.notes}
    assert midis == [midi for midi in range(midis[0], midis[-1] + 1) if midi % 12 in wanted]
    if found.closed:
        assert all(place.cell.fret for place in found.places)
    assert set(found.places) <= set(scale_cells(neck, scale, frets=neck.frets))


@given(
    name=st.sampled_from(["guitar", "mandolin", "fiddle", "banjo"]),
    formula=st.sampled_from(SEVEN),
    fret=st.integers(2, 6),
    up=st.integers(1, 7),
)
def test_a_closed_position_is_the_same_pattern_in_another_key(
    name: str, formula: str, fret: int, up: int
) -> None:
    neck = find_instrument(name)
    tonics = ["C", "Db", "D", "Eb", "E", "F", "F#", "G"]
    low = position(neck, Scale(Note("C"), SCALES[formula]), fret, closed=True)
    high = position(neck, Scale(Note.parse(tonics[up]), SCALES[formula]), fret + up, closed=True)
    assert low.pattern == high.pattern
    degrees = [place.degree.semitones for place in low.places]
    assert degrees == [place.degree.semitones for place in high.places]


@given(formula=st.sampled_from(SEVEN), capo=st.integers(1, 7), fret=st.integers(1, 5))
def test_above_a_capo_the_hand_does_the_same(formula: str, capo: int, fret: int) -> None:
    mandolin = find_instrument("mandolin")
    tonics = ["C", "Db", "D", "Eb", "E", "F", "F#", "G"]
    plain = position(mandolin, Scale(Note("C"), SCALES[formula]), fret)
    sounding = Scale(Note.parse(tonics[capo]), SCALES[formula])
    capoed = position(mandolin, sounding, fret, capo=capo)
    assert capoed.pattern == plain.pattern
    assert [place.cell.midi - capo for place in capoed.places] == [
        place.cell.midi for place in plain.places
    ]


@pytest.mark.parametrize("count", [2, 3, 4])
@pytest.mark.parametrize("name", ["guitar", "mandolin", "bass", "banjo", "cello"])
def test_so_many_notes_on_every_string(name: str, count: int) -> None:
    neck = find_instrument(name)
    found = patterns(neck, Scale.parse("G major"), count)
    assert found
    for pattern in found:
        assert [len(pattern.on_string(n)) for n in melody_strings(neck)] == [count] * len(
            melody_strings(neck)
        )
        assert 0 not in {place.cell.fret for place in pattern.places}
        midis = [place.cell.midi for place in pattern.places]
        steps = {high - low for low, high in pairwise(midis)}
        assert steps <= {1, 2}


# The pentatonic boxes with two notes a string and the G major pattern with three (common practice).
def test_patterns_by_hand() -> None:
    guitar = find_instrument("guitar")
    two = {
        rows(found, "guitar") for found in patterns(guitar, Scale.parse("A minor pentatonic"), 2)
    }
    assert two == {
        "5 8 | 5 7 | 5 7 | 5 7 | 5 8 | 5 8",
        "8 10 | 7 10 | 7 10 | 7 9 | 8 10 | 8 10",
        "10 12 | 10 12 | 10 12 | 9 12 | 10 13 | 10 12",
        "12 15 | 12 15 | 12 14 | 12 14 | 13 15 | 12 15",
        "3 5 | 3 5 | 2 5 | 2 5 | 3 5 | 3 5",
    }
    three = patterns(guitar, Scale.parse("G major"), 3)
    assert rows(three[1], "guitar") == "3 5 7 | 3 5 7 | 4 5 7 | 4 5 7 | 5 7 8 | 5 7 8"
    assert len(three) == 7


def test_a_route_goes_on_with_the_scale() -> None:
    guitar, scale = find_instrument("guitar"), Scale.parse("A minor pentatonic")
    low, high = closed_positions(guitar, scale)[1:3]
    there, back = routes(guitar, low, high), routes(guitar, high, low)
    every = sorted(place.cell.midi for place in {*low.places, *high.places})
    for route in there:
        assert route.end.cell.midi == min(m for m in every if m > route.start.cell.midi)
        assert route.start in low.places
        assert route.end in high.places
    # Written out from the two boxes above: index to index on 5, 4 and 3, ring to ring on 3, little
    # to little on 6, 2 and 1.
    slides = {
        (route.string, route.start.cell.fret, route.end.cell.fret)
        for route in there
        if route.fingers[0] == route.fingers[1]
    }
    assert slides == {
        *((5, 5, 7), (4, 5, 7), (3, 5, 7)),
        (3, 7, 9),
        *((6, 8, 10), (2, 8, 10), (1, 8, 10)),
    }
    assert there[0].hand_mm == -back[0].hand_mm > 0
    # Two frets from the fifth place to the seventh, by hand: midway between neighbours of L 648 mm.
    fifth = 648 * (1 - (2 ** (-4 / 12) + 2 ** (-5 / 12)) / 2)
    seventh = 648 * (1 - (2 ** (-6 / 12) + 2 ** (-7 / 12)) / 2)
    assert there[0].hand_mm == pytest.approx(seventh - fifth, abs=0.06)


def test_what_has_no_positions_says_so() -> None:
    guitar = find_instrument("guitar")
    with pytest.raises(BadInput, match="played with a bar"):
        position(find_instrument("resonator guitar"), Scale.parse("G major"), 1)
    with pytest.raises(BadInput, match="those of a chord"):
        position(guitar, Scale(Note("G"), SCALES["chord tones"]), 1)
    for fret in (0, 21, True):
        with pytest.raises(BadInput, match="accepted: 1 to 20"):
            position(guitar, Scale.parse("G major"), fret)
    with pytest.raises(BadInput, match="accepted: 2 to 4"):
        patterns(guitar, Scale.parse("G major"), 5)
