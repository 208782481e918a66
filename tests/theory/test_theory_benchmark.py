"""How fast theory is, beside music21 on the same work in the same run.

Run with ``pytest --benchmark-only -s tests/theory/test_theory_benchmark.py``; each pair prints its
ratio. Inputs are all different and our caches are emptied before each round, so that nothing is
timed that was worked out before; within a round, a quality that was read on one root is not read
again on the next, as in a chart. Nothing here fails for being slow.
"""

import itertools
import time

import pytest
from music21 import harmony, roman
from music21 import interval as music21_interval
from music21 import key as music21_key
from music21 import pitch as music21_pitch

from theorykit.theory import degree, symbol
from theorykit.theory.chord import Chord
from theorykit.theory.interval import Interval
from theorykit.theory.key import MAJOR_TONICS, TONICS
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.scale import SCALES, Scale

# Symbols that music21 reads as players do, so that both do the same work.
SUFFIXES = """
    m 7 m7 maj7 6 m6 dim dim7 m7b5 aug sus2 sus4 9 m9 add9 11 m11 7b5 7#5 7b9 7#9 7#11 7b13 9#11
    maj7#11 maj7#5 maj7b5 7sus4 7b5b9 7#5#9 7#5b9 7b5#9 9b5 9#5 7b9#11 7b9b13 7#9b13 m9b5 m7b9 m11b5
    add2 add4 m7add11 7add13 7add11 m7#5 maj7add13 7b9#9 madd9 6add9 7b5#11 7#9#11 m7b13 maj7b9 9b13
"""
SYMBOLS = [
    f"{root}{suffix}" for suffix, root in itertools.product(["", *SUFFIXES.split()], TONICS)
][:1000]

# Ours and music21's way of writing one chord of a major key; see the cross-checks of numerals.
NUMERALS = [
    ("I", "I"), ("ii", "ii"), ("iii", "iii"), ("IV", "IV"), ("V", "V"), ("vi", "vi"),
    ("vii°", "viio"), ("i", "i"), ("iv", "iv"), ("v", "v"), ("II", "II"), ("III", "III"),
    ("VI", "VI"), ("VII", "VII"), ("Imaj7", "IM7"), ("ii7", "ii7"), ("iii7", "iii7"),
    ("IVmaj7", "IVM7"), ("V7", "V7"), ("vi7", "vi7"), ("viiø7", "viiø7"), ("vii°7", "viio7"),
    ("bII", "bII"), ("bIII", "bIII"), ("bVI", "bVI"), ("bVII", "bVII"), ("bVIImaj7", "bVIImaj7"),
    ("#iv°7", "#ivo7"), ("V/ii", "V/ii"), ("V/iii", "V/iii"), ("V/IV", "V/IV"), ("V/V", "V/V"),
    ("V/vi", "V/vi"), ("V7/ii", "V7/ii"), ("V7/iii", "V7/iii"), ("V7/IV", "V7/IV"),
    ("V7/V", "V7/V"), ("V7/vi", "V7/vi"), ("vii°7/V", "viio7/V"), ("vii°7/ii", "viio7/ii"),
    ("vii°/V", "viio/V"), ("ii7/V", "ii7/V"), ("IV/V", "IV/V"), ("I+", "I+"), ("iiø7", "iiø7"),
    ("iv7", "iv7"), ("i7", "i7"), ("V7/bVII", "V7/bVII"), ("vii°7/vi", "viio7/vi"),
    ("V/bVII", "V/bVII"), ("ii/V", "ii/V"), ("IV/IV", "IV/IV"), ("vii°/ii", "viio/ii"),
    ("vii°/vi", "viio/vi"), ("ii/IV", "ii/IV"), ("vi/V", "vi/V"), ("iii/V", "iii/V"),
    ("vii°7/iii", "viio7/iii"), ("vii°/iii", "viio/iii"), ("V/bIII", "V/bIII"),
    ("V7/bIII", "V7/bIII"), ("V/bVI", "V/bVI"), ("V7/bVI", "V7/bVI"), ("IV/ii", "IV/ii"),
    ("iv/V", "iv/V"), ("V/bII", "V/bII"), ("V7/bII", "V7/bII"),
]  # fmt: skip
PLACED = list(itertools.product(NUMERALS, MAJOR_TONICS))[:1000]


FORMULAS = [scale for scale in SCALES.values() if not scale.follows_chord]


def flats(text):
    # music21 writes flats as '-'.
    return text[0] + text[1:2].replace("b", "-") + text[2:]


def cold():
    for cached in (symbol.read_suffix, symbol.members, symbol.write_suffix, degree._plus):
        cached.cache_clear()


def our_scales():
    return [Scale(tonic, formula).notes for formula in FORMULAS for tonic in MAJOR_TONICS]


# Naming the intervals is not timed. music21 has no class for most of the catalogue's scales; moving
# the tonic by intervals is its quickest way to any formula. It has no second spellings either.
INTERVALS = [
    [music21_interval.Interval(str(Interval(each.number - 1, each.semitones)))
     for each in formula.degrees]
    for formula in FORMULAS
]  # fmt: skip


def their_scales():
    return [
        [step.transposePitch(music21_pitch.Pitch(flats(str(tonic)))) for step in steps]
        for steps in INTERVALS
        for tonic in MAJOR_TONICS
    ]


def our_symbols():
    return [Chord.parse(text).notes for text in SYMBOLS]


def their_symbols():
    return [harmony.ChordSymbol(flats(text)).pitches for text in SYMBOLS]


def our_numerals():
    return [Numeral.parse(ours).chord(tonic).notes for (ours, _), tonic in PLACED]


def their_numerals():
    keys = {tonic: music21_key.Key(flats(str(tonic))) for tonic in MAJOR_TONICS}
    return [roman.RomanNumeral(theirs, keys[tonic]).pitches for (_, theirs), tonic in PLACED]


def sounds(found):
    """Pitch classes of each row, which both sides must agree on."""
    return [
        {each.pitch_class if isinstance(each, Note) else int(each.ps) % 12 for each in row}
        for row in found
    ]


@pytest.mark.parametrize(
    ("work", "ours", "theirs"),
    [
        ("every scale of the catalogue in 15 keys", our_scales, their_scales),
        ("1,000 chord symbols to notes", our_symbols, their_symbols),
        ("1,000 numerals to notes", our_numerals, their_numerals),
    ],
    ids=["scales", "chord symbols", "numerals"],
)
def test_theory_beside_music21(benchmark, work, ours, theirs):
    seconds = []
    for _ in range(3):
        start = time.perf_counter()
        expected = theirs()
        seconds.append(time.perf_counter() - start)
    found = benchmark.pedantic(ours, setup=cold, rounds=20)
    assert sounds(found) == sounds(expected)
    ratio = min(seconds) / benchmark.stats.stats.min
    benchmark.extra_info["music21_seconds"] = min(seconds)
    benchmark.extra_info["times_faster"] = ratio
    print(f"\n{work}: {benchmark.stats.stats.min * 1e3:.1f} ms, {ratio:.0f} times music21's speed")


def test_there_are_a_thousand_of_each_and_all_differ():
    assert len(set(SYMBOLS)) == 1000
    assert len(set(PLACED)) == 1000
