"""Fingerings against every other one, and what holds of each of them.

``test_fingering_handbook.py`` has what handbooks print.
"""

from __future__ import annotations

import itertools
import random
from collections.abc import Sequence
from typing import Any

import pytest

from theorykit.errors import BadInput
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.fingering import finger_line
from theorykit.instruments.fingering_cost import (
    CROSSING,
    HALF_STEP_SLIDE,
    REACH,
    SAME_FINGER,
    SHIFT_FROM_OPEN,
    SKIPPED,
    haste,
    shift_costs,
)
from theorykit.instruments.hand import Stop, allowed_stops
from theorykit.theory.pitch import Pitch

NAMES = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"]

#: Six instruments, with the lowest and the highest note of the lines that are tried on each.
SIX = [
    ("guitar", 40, 67),
    ("mandolin", 55, 81),
    ("fiddle", 55, 79),
    ("ukulele", 60, 76),
    ("bass", 28, 50),
    ("banjo", 50, 69),
]


def pitch(midi: int) -> Pitch:
    return Pitch.parse(f"{NAMES[midi % 12]}{midi // 12 - 1}")


def wander(dice: random.Random, length: int, low: int, high: int) -> list[int]:
    midis = [dice.randint(low, high)]
    while len(midis) < length:
        step = dice.choice((-7, -4, -3, -2, -1, 1, 2, 3, 5, 7))
        midis.append(min(max(midis[-1] + step, low), high))
    return midis


class Search:
    """Tries every fingering of a line, and leaves one only when it already costs too much.

    It knows the prices and nothing of how the cheapest way is looked for: it goes note by note into
    each place in turn, and since no price is below 0, a way that costs more than a whole one can't
    get better.
    """

    def __init__(
        self, neck: str, midis: Sequence[int], closed: bool, roll: bool, seconds: Sequence[float]
    ) -> None:
        instrument = find_instrument(neck)
        self.shifts = shift_costs(instrument, 0)
        self.stops = [
            allowed_stops(instrument, midi, 0, 1, instrument.frets, closed=closed, roll=roll)
            for midi in midis
        ]
        self.roll, self.seconds, self.least = roll, seconds, float("inf")
        for stop in self.stops[0]:
            self.go_on(1, stop, stop.position or 0, stop.cost)

    def go_on(self, number: int, old: Stop, hand: int, cost: float) -> None:
        if cost >= self.least:
            return
        if number == len(self.stops):
            self.least = cost
            return
        for new in self.stops[number]:
            if self.roll and new.string == old.string:
                continue
            more = new.cost
            if not self.roll:
                crossed = abs(new.string - old.string)
                more += CROSSING * crossed + (SKIPPED * (crossed - 1) if crossed else 0.0)
            if new.finger and new.finger == old.finger and new.fret != old.fret:
                slides = new.string == old.string and abs(new.fret - old.fret) == 1
                more += HALF_STEP_SLIDE if slides else SAME_FINGER
            there = hand
            if new.position is not None:
                there = new.position
                shift = self.shifts[there][hand] * haste(self.seconds[number - 1])
                more += shift if old.finger else shift * SHIFT_FROM_OPEN
            self.go_on(number + 1, new, there, cost + more)


@pytest.mark.parametrize(("neck", "low", "high"), SIX)
def test_no_other_fingering_is_cheaper(neck: str, low: int, high: int) -> None:
    """A hundred random lines of up to six notes on each of six instruments."""
    dice = random.Random(neck)
    for number in range(100):
        midis = wander(dice, 2 + number % 5, low, high)
        closed = dice.random() < 0.4
        beats = [dice.choice((0.25, 0.5, 1.0, 2.0)) for _ in midis]
        line = finger_line(
            find_instrument(neck), [pitch(m) for m in midis], closed=closed, beats=beats
        )
        every = Search(neck, midis, closed, False, [each / 2.0 for each in beats])
        assert line.cost == pytest.approx(every.least, abs=1e-3), midis


def test_no_other_roll_is_cheaper() -> None:
    dice = random.Random(5)
    stuck = 0
    for _ in range(60):
        midis = wander(dice, 5, 50, 67)
        every = Search("banjo", midis, False, True, [0.25] * 5)
        if every.least == float("inf"):
            stuck += 1
            with pytest.raises(BadInput, match="no string but the one just struck"):
                finger_line(find_instrument("banjo"), [pitch(m) for m in midis], roll=True)
        else:
            line = finger_line(find_instrument("banjo"), [pitch(m) for m in midis], roll=True)
            assert line.cost == pytest.approx(every.least, abs=1e-3), midis
    assert 0 < stuck < 60


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


def test_slurs_bind_a_stroke_to_the_note_off_the_beat() -> None:
    # Common practice: up on one string is hammered on, down is pulled off, from the beat to the
    # note after it; the next beat is struck again.
    guitar = find_instrument("guitar")
    hand = {"lowest_position": 2, "highest_position": 2}

    def joins(notes: str, **more: object) -> list[str]:
        return [n.joined for n in finger_line(guitar, notes, **hand, **more).notes]  # type: ignore[arg-type]

    assert joins("G3 A3 G3 A3") == ["", "hammer-on", "", "hammer-on"]
    assert joins("A3 G3 A3 G3") == ["", "pull-off", "", "pull-off"]
    # From an off-beat to a beat none; quarters are no hurry, nor are slow eighths.
    assert joins("D3 G3 A3 B3", beats=[0.5, 0.5, 0.5, 0.5])[2] == ""
    assert joins("G3 A3 G3 A3", beats=1) == [""] * 4
    assert joins("G3 A3 G3 A3", beats_a_second=1.0) == [""] * 4
    # In a triplet only the second note is bound, in sixteenths the second and the fourth.
    assert joins("G3 A3 B3 G3", beats=1 / 3) == ["", "hammer-on", "", ""]
    assert joins("G3 A3 G3 A3 G3", beats=0.25) == ["", "hammer-on", "", "hammer-on", ""]


def test_one_finger_that_goes_on_slides() -> None:
    # The index finger stays nearest: a half step back from its fret, and up again.
    guitar = find_instrument("guitar")
    line = finger_line(guitar, "G#5 A5 G#5", lowest_position=17, highest_position=17)
    slid = [
        (before.finger, note.finger)
        for before, note in itertools.pairwise(line.notes)
        if note.joined == "slide"
    ]
    assert slid
    assert all(one == other for one, other in slid)


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


@pytest.mark.parametrize(("neck", "low", "high"), SIX)
def test_every_finger_is_within_the_hand(neck: str, low: int, high: int) -> None:
    # Common practice: a finger a half step on guitar and bass, two on mandolin and fiddle; the index
    # finger reaches one back, the little finger one on.
    instrument = find_instrument(neck)
    each = instrument.frets_a_finger
    line = finger_line(instrument, [pitch(m) for m in wander(random.Random(neck), 80, low, high)])
    for note in line.notes:
        if note.finger:
            assert note.position is not None
            above = note.fret - note.position
            assert -1 <= above <= each * 3 + 1
            assert abs(above - each * (note.finger - 1)) <= 1


@pytest.mark.parametrize(("neck", "low", "high"), SIX)
def test_a_closed_line_moves_along_the_neck(neck: str, low: int, high: int) -> None:
    """Under a hand that stays, so many frets up are so many half steps up."""
    instrument = find_instrument(neck)
    dice = random.Random(neck)
    hand = range(5, 5 + 4 * instrument.frets_a_finger)
    strings = range(1, min(len(instrument.strings), 4) + 1)
    midis = [
        instrument.string(dice.choice(strings)).open.midi + dice.choice(hand) for _ in range(30)
    ]
    at_five, at_eight = (
        finger_line(
            instrument,
            [pitch(m + up) for m in midis],
            closed=True,
            lowest_position=5 + up,
            highest_position=5 + up,
        )
        for up in (0, 3)
    )
    assert [(n.string, n.fret + 3, n.finger, n.joined) for n in at_five.notes] == [
        (n.string, n.fret, n.finger, n.joined) for n in at_eight.notes
    ]


def test_time_makes_shifts_cheap() -> None:
    # From the lowest string's first fret to the first string's fifteenth.
    guitar = find_instrument("guitar")
    slow, plain, fast = (
        finger_line(guitar, "F2 G5 F2", beats=beats).cost for beats in (2, 0.5, 0.25)
    )
    assert slow < plain < fast
    assert finger_line(guitar, "F2 G5 F2", beats=1, beats_a_second=4.0).cost == plain


def test_a_longer_line_never_costs_less() -> None:
    assert min(REACH.values()) >= 0
    guitar = find_instrument("guitar")
    midis = wander(random.Random(3), 40, 40, 76)
    costs = [finger_line(guitar, [pitch(m) for m in midis[:end]]).cost for end in range(1, 41)]
    assert costs == sorted(costs)


def test_bows_slur_and_hammer_nothing() -> None:
    line = finger_line(find_instrument("fiddle"), "A3 B3 C4 B3 A3 G3")
    assert {note.joined for note in line.notes} == {""}


def test_strings_out_of_order_are_for_rolls() -> None:
    # Common practice: a melody skips a banjo's fifth string and a ukulele's high fourth.
    banjo, ukulele = find_instrument("banjo"), find_instrument("ukulele")
    assert finger_line(banjo, "D4 G4").notes[1].string == 1
    assert finger_line(banjo, "D4 G4", roll=True).notes[1].string == 5
    assert finger_line(ukulele, "E4 G4 A4").notes[1].string == 2
    assert finger_line(ukulele, "E4 G4 A4", roll=True).notes[1].string == 4


@pytest.mark.parametrize("capo", [0, 2, 5])
def test_a_banjo_with_a_capo_sounds_so_much_higher(capo: int) -> None:
    banjo = find_instrument("banjo")
    plain = finger_line(banjo, "G3 B3 D4 G4 B3 D4", roll=True)
    up = [pitch(note.pitch.midi + capo) for note in plain.notes]
    raised = finger_line(banjo, up, roll=True, capo=capo)
    assert [(n.string, n.fret) for n in raised.notes] == [(n.string, n.fret) for n in plain.notes]


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
            "position '1 to 25': not on the neck; accepted: 1 to 20",
        ),
        (
            "guitar",
            "F2",
            {"lowest_position": 9},
            (
                "note 'F2 (number 1)': not under a hand at frets 9 to 20; "
                "accepted: a window that has fret 1"
            ),
        ),
        (
            "guitar",
            "G5",
            {"lowest_position": 5, "highest_position": 5},
            (
                "note 'G5 (number 1)': not under a hand at fret 5; "
                "accepted: a window that has fret 15 or 20"
            ),
        ),
        ("guitar", "E2", {"capo": 25}, "capo '25': not a place for a capo; accepted: 0 to 11"),
        (
            "guitar",
            "E2 H2",
            {},
            (
                "pitch 'H2': not a note with an octave; accepted: a note and an octave number, "
                "as in G3 or Bb4 (middle C is C4); did you mean 'B2'?"
            ),
        ),
        ("guitar", "E2 F2", {"beats": [1.0]}, "beats '1': not one for each note; accepted: 2"),
        ("guitar", "E2", {"beats": 0}, "beats '0': no length of time; accepted: more than 0"),
        (
            "guitar",
            "E2",
            {"beats_a_second": float("nan")},
            "beats a second 'nan': no length of time; accepted: more than 0",
        ),
        ("dulcimer", "D3 D#3", {}, "note 'D#3 (number 2)': between the frets of a dulcimer"),
        (
            "banjo",
            "D#3 D#3",
            {"roll": True, "closed": True},
            "note 'D#3 (number 2)': no string but the one just struck has it stopped",
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
def test_wrong_input(neck: str, notes: str, options: dict[str, Any], message: str) -> None:
    with pytest.raises(BadInput) as caught:
        finger_line(find_instrument(neck), notes, **options)
    assert str(caught.value) == message


def test_no_notes_cost_nothing() -> None:
    assert finger_line(find_instrument("guitar"), "").cost == 0.0
