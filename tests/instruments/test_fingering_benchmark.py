"""How fast a line of two hundred notes is fingered; nothing here fails for being slow.

Run with ``pytest --benchmark-only tests/instruments/test_fingering_benchmark.py``. The aim is 25 ms
on each instrument.
"""

import random

import pytest

from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.fingering import finger_line
from theorykit.theory.pitch import Pitch

NAMES = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"]


@pytest.mark.parametrize(
    ("neck", "low", "high", "roll"),
    [
        ("guitar", 45, 76, False),
        ("mandolin", 55, 86, False),
        ("fiddle", 55, 86, False),
        ("ukulele", 60, 79, False),
        ("bass", 28, 55, False),
        ("banjo", 55, 74, False),
        # From here up each note is on two strings, so that a roll is never stuck.
        ("banjo", 55, 74, True),
    ],
)
def test_two_hundred_notes(benchmark, neck, low, high, roll):
    dice = random.Random(1)
    midis = [dice.randint(low, high) for _ in range(200)]
    line = [Pitch.parse(f"{NAMES[midi % 12]}{midi // 12 - 1}") for midi in midis]
    fingered = benchmark(finger_line, find_instrument(neck), line, roll=roll)
    assert [note.pitch for note in fingered.notes] == line
