"""Fingerings against handbooks, and the shortest path against every path."""

from __future__ import annotations

import itertools
import random

import pytest

from theorykit.errors import BadInput
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.fingering import (
    CROSSING,
    SAME_FINGER,
    allowed_stops,
    finger_line,
    shift_costs,
)
from theorykit.theory.pitch import Pitch

NAMES = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"]


def pitch(midi: int) -> Pitch:
    return Pitch.parse(f"{NAMES[midi % 12]}{midi // 12 - 1}")


@pytest.mark.parametrize(
    ("neck", "closed", "notes", "printed"),
    # String:fret(finger), as first books of each instrument print their scales (common practice).
    [
        (
            "guitar",
            False,
            "C3 D3 E3 F3 G3 A3 B3 C4",
            "53(3) 40(0) 42(2) 43(3) 30(0) 32(2) 20(0) 21(1)",
        ),
        (
            "guitar",
            False,
            "G2 A2 B2 C3 D3 E3 F#3 G3",
            "63(3) 50(0) 52(2) 53(3) 40(0) 42(2) 44(4) 30(0)",
        ),
        (
            "guitar",
            False,
            "A2 B2 C#3 D3 E3 F#3 G#3 A3",
            "50(0) 52(2) 54(4) 40(0) 42(2) 44(4) 31(1) 32(2)",
        ),
        (
            "guitar",
            False,
            "E2 F#2 G#2 A2 B2 C#3 D#3 E3",
            "60(0) 62(2) 64(4) 50(0) 52(2) 54(4) 41(1) 42(2)",
        ),
        (
            "guitar",
            False,
            "F2 G2 A2 Bb2 C3 D3 E3 F3",
            "61(1) 63(3) 50(0) 51(1) 53(3) 40(0) 42(2) 43(3)",
        ),
        (
            "guitar",
            True,
            "G2 A2 B2 C3 D3 E3 F#3 G3 A3 B3 C4 D4 E4 F#4 G4",
            "63(2) 65(4) 52(1) 53(2) 55(4) 42(1) 44(3) 45(4) 32(1) 34(3) 35(4) 23(2) 25(4) 12(1) 13(2)",
        ),
        (
            "mandolin",
            False,
            "G3 A3 B3 C4 D4 E4 F#4 G4 A4 B4 C5 D5 E5 F#5 G5 A5 B5",
            (
                "40(0) 42(1) 44(2) 45(3) 30(0) 32(1) 34(2) 35(3) 20(0) 22(1) 23(2) 25(3) 10(0) 12(1) 13(2) "
                "15(3) 17(4)"
            ),
        ),
        (
            "mandolin",
            False,
            "D4 E4 F#4 G4 A4 B4 C#5 D5",
            "30(0) 32(1) 34(2) 35(3) 20(0) 22(1) 24(2) 25(3)",
        ),
        (
            "fiddle",
            False,
            "A3 B3 C#4 D4 E4 F#4 G#4 A4",
            "42(1) 44(2) 46(3) 30(0) 32(1) 34(2) 36(3) 20(0)",
        ),
        (
            "ukulele",
            False,
            "C4 D4 E4 F4 G4 A4 B4 C5",
            "30(0) 32(2) 20(0) 21(1) 23(3) 10(0) 12(2) 13(3)",
        ),
        (
            "bass",
            False,
            "G1 A1 B1 C2 D2 E2 F#2 G2",
            "43(2) 30(0) 32(1) 33(2) 20(0) 22(1) 24(3) 10(0)",
        ),
    ],
)
def test_handbook_fingerings(neck: str, closed: bool, notes: str, printed: str) -> None:
    line = finger_line(find_instrument(neck), notes, closed=closed)
    assert " ".join(f"{n.string}{n.fret}({n.finger})" for n in line.notes) == printed


def cheapest_of_all(neck: str, midis: list[int], closed: bool) -> float:
    """The least cost over every choice of places, worked out for each from the published prices."""
    instrument = find_instrument(neck)
    prices = shift_costs(instrument, 0)
    stops = [allowed_stops(instrument, midi, closed, 1, instrument.frets, 0) for midi in midis]
    least = float("inf")
    for path in itertools.product(*stops):
        cost, hand = path[0].cost, path[0].position or 0
        for old, new in itertools.pairwise(path):
            cost += new.cost + CROSSING * abs(old.string - new.string)
            if new.finger and new.finger == old.finger and new.fret != old.fret:
                cost += SAME_FINGER
            if new.position is not None:
                cost += prices[new.position][hand] * (1.0 if old.finger else 0.5)
                hand = new.position
            if cost >= least:
                break
        least = min(least, cost)
    return least


@pytest.mark.parametrize(
    ("neck", "low", "high"),
    [
        ("guitar", 40, 67),
        ("mandolin", 55, 81),
        ("fiddle", 55, 79),
        ("ukulele", 60, 76),
        ("bass", 28, 50),
        ("banjo", 50, 69),
    ],
)
def test_no_other_fingering_is_cheaper(neck: str, low: int, high: int) -> None:
    """Fifty random lines on each of six instruments, by trying everything."""
    dice = random.Random(neck)
    for number in range(50):
        length = dice.choice((2, 3, 3, 4, 4)) if number else 5
        midis = [dice.randint(low, high)]
        while len(midis) < length:
            midis.append(min(max(midis[-1] + dice.choice((-4, -3, -2, -1, 1, 2, 3, 5)), low), high))
        closed = dice.random() < 0.4
        line = finger_line(find_instrument(neck), [pitch(m) for m in midis], closed=closed)
        assert line.cost == pytest.approx(cheapest_of_all(neck, midis, closed), abs=1e-3)


def test_six_notes_too() -> None:
    dice = random.Random(6)
    for _ in range(6):
        midis = [dice.randint(55, 64) for _ in range(6)]
        line = finger_line(find_instrument("mandolin"), [pitch(m) for m in midis])
        assert line.cost == pytest.approx(cheapest_of_all("mandolin", midis, False), abs=1e-3)


@pytest.mark.parametrize(
    "neck", ["guitar", "mandolin", "banjo", "ukulele", "bass", "cello", "dulcimer"]
)
def test_every_note_sounds_as_it_is_written(neck: str) -> None:
    instrument = find_instrument(neck)
    dice = random.Random(7)
    lowest = instrument.strings[-1 if neck != "banjo" else 3].open.midi
    steps = (0, 2, 4, 5, 7, 9, 10, 12) if neck == "dulcimer" else range(15)
    line = [pitch(lowest + dice.choice(steps)) for _ in range(60)]
    found = finger_line(instrument, line, capo=0)
    assert [note.pitch for note in found.notes] == line
    for note in found.notes:
        string = instrument.string(note.string)
        above = note.fret - string.start_fret if note.fret else 0
        assert string.open.midi + above == note.pitch.midi
        assert (note.finger == 0) == (note.fret == 0)


def test_the_window_is_kept() -> None:
    line = finger_line(
        find_instrument("guitar"), "A3 C4 D4 E4 G4 A4", lowest_position=5, highest_position=5
    )
    assert {note.position for note in line.notes if note.finger} == {5}


def test_closed_means_closed_where_it_can() -> None:
    mandolin = find_instrument("mandolin")
    assert all(note.fret for note in finger_line(mandolin, "D4 A4 E5", closed=True).notes)
    # The lowest open string is nowhere else.
    assert finger_line(mandolin, "G3 A3", closed=True).notes[0].fret == 0


def test_slurs_are_marked_where_the_hand_has_them() -> None:
    # Common practice: up on one string is hammered on, down is pulled off, one finger slides.
    guitar = find_instrument("guitar")
    line = finger_line(guitar, "G3 A3 G3 A3", lowest_position=2, highest_position=2)
    assert [note.joined for note in line.notes] == ["", "hammer-on", "pull-off", "hammer-on"]
    slid = finger_line(guitar, "E2 F2 G2 A2 B2 C3", closed=True).notes
    one_finger = [b for a, b in itertools.pairwise(slid) if b.joined == "slide" and a.finger]
    assert all(note.finger for note in one_finger)


def test_a_roll_strikes_no_string_twice() -> None:
    banjo = find_instrument("banjo")
    line = finger_line(banjo, "G3 B3 D4 G4 G3 B3 D4 G4 D4 G4 B3 D4", roll=True)
    assert all(one.string != other.string for one, other in itertools.pairwise(line.notes))


def test_a_capo_moves_the_fingering_along() -> None:
    plain = finger_line(find_instrument("guitar"), "C3 D3 E3 F3 G3")
    raised = finger_line(find_instrument("guitar"), "D3 E3 F#3 G3 A3", capo=2)
    assert [(n.string, n.fret, n.finger) for n in plain.notes] == [
        (n.string, n.fret, n.finger) for n in raised.notes
    ]


@pytest.mark.parametrize(
    ("neck", "notes", "options", "message"),
    [
        (
            "guitar",
            "E2 D2",
            {},
            "note 'D2 (number 2)': not on a guitar; accepted: E2 and up, to fret 20",
        ),
        (
            "guitar",
            "E4",
            {"lowest_position": 1, "highest_position": 25},
            "position '1 to 25': not a window on the neck; accepted: 1 to 20",
        ),
        (
            "guitar",
            "F2",
            {"lowest_position": 9},
            "note 'F2 (number 1)': not in the window; accepted: E2 and up, to fret 20",
        ),
        (
            "banjo",
            "D3 D3",
            {"roll": True},
            "note 'D3 (number 2)': no string but the one just struck has it",
        ),
        (
            "resonator guitar",
            "G2",
            {},
            "instrument 'resonator guitar': played with a bar; a bar has no fingering",
        ),
    ],
)
def test_wrong_input(neck: str, notes: str, options: dict[str, int], message: str) -> None:
    with pytest.raises(BadInput) as caught:
        finger_line(find_instrument(neck), notes, **options)  # type: ignore[arg-type]
    assert str(caught.value) == message


def test_no_notes_cost_nothing() -> None:
    assert finger_line(find_instrument("guitar"), "").cost == 0.0
