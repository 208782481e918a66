"""How fast shapes are found and lines fingered; nothing here fails for being slow.

Run with ``pytest --benchmark-only -s tests/instruments/test_shapes_benchmark.py``. The search is
timed over a catalogue of chords on a guitar; plain enumeration tries every fret that sounds a chord
tone on every string, on a tenth of the same chords, and its time is scaled up.
"""

import itertools
import random
import statistics
import time

from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.fingering import finger_line
from theorykit.instruments.hold import hold
from theorykit.instruments.shape_search import find_shapes
from theorykit.theory.chord import Chord
from theorykit.theory.pitch import Pitch

KINDS = ("", "m", "7", "m7", "maj7", "6", "9", "sus4", "dim7", "m7b5", "aug", "add9", "m6", "13")
CHORDS = [
    Chord.parse(root + kind)
    for root, kind in itertools.product(
        ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"], KINDS
    )
]


def test_shapes_of_a_catalogue_of_chords(benchmark):
    guitar = find_instrument("guitar")

    def search():
        times = []
        for chord in CHORDS:
            start = time.perf_counter()
            find_shapes(guitar, chord)
            times.append(time.perf_counter() - start)
        return times

    times = benchmark.pedantic(search, rounds=3)
    start = time.perf_counter()
    some = CHORDS[::10]
    for chord in some:
        enumerate_shapes(guitar, chord)
    plain = (time.perf_counter() - start) / len(some)
    median = statistics.median(times)
    print(f"\n{len(CHORDS)} chords: median {median * 1e3:.1f} ms, most {max(times) * 1e3:.1f} ms")
    print(f"plain enumeration {plain * 1e3:.0f} ms a chord: {plain / statistics.mean(times):.0f}x")


def enumerate_shapes(instrument, chord):
    tones = {note.pitch_class for note in chord.notes}
    rows = [
        [None, *(fret for fret in range(16) if (string.open.midi + fret) % 12 in tones)]
        for string in instrument.strings
    ]
    found = []
    for frets in itertools.product(*rows):
        stopped = [fret for fret in frets if fret]
        if stopped and max(stopped) - min(stopped) > 4:
            continue
        sounding = {
            (string.open.midi + fret) % 12
            for string, fret in zip(instrument.strings, frets, strict=True)
            if fret is not None
        }
        if sounding == tones and hold(frets) is not None:
            found.append(frets)
    return found


def test_two_hundred_notes(benchmark):
    dice = random.Random(1)
    names = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"]
    midis = [dice.randint(45, 76) for _ in range(200)]
    line = [Pitch.parse(f"{names[midi % 12]}{midi // 12 - 1}") for midi in midis]
    guitar = find_instrument("guitar")
    fingered = benchmark(finger_line, guitar, line)
    assert len(fingered.notes) == 200
