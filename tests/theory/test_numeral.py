"""Numerals: chords by their place in the key."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from music21 import key as music21_key
from music21 import roman

from theorykit.errors import BadInput
from theorykit.theory.chord import Chord, ChordType
from theorykit.theory.degree import Degree
from theorykit.theory.key import MAJOR_TONICS, MINOR_TONICS
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import LETTERS, Note

# Common practice, written out by hand.
CHORDS = [
    ("I", "G", "G"), ("IV", "G", "C"), ("V7", "G", "D7"), ("ii7", "Bb", "Cm7"),
    ("bVII", "D", "C"), ("bVII", "E", "D"), ("V/V", "D", "E"), ("V7/V", "G", "A7"),
    ("V7/ii", "C", "A7"), ("vi", "A", "F#m"), ("iii", "Eb", "Gm"), ("vii°", "F", "Edim"),
    ("viiø7", "C", "Bm7b5"), ("#iv°7", "C", "F#dim7"), ("bIII", "A", "C"),
    ("bVImaj7", "E", "Cmaj7"),
    ("i", "A", "Am"), ("iv7", "E", "Am7"), ("bII7", "C", "Db7"), ("I/3", "C", "C/E"),
    ("IV/5", "G", "C/D"), ("V7/V/V", "C", "A7"), ("iiø7/ii", "C", "Em7b5"), ("I69", "F", "F69"),
    ("Imaj7", "Db", "Dbmaj7"), ("vii°7/V", "G", "C#dim7"), ("V7/3/V", "C", "D7/E"),
    ("1", "A", "A"), ("4", "A", "D"), ("57", "A", "E7"), ("2m", "A", "Bm"), ("6-", "C", "Am"),
    ("b7", "A", "G"), ("1/3", "A", "A/C#"), ("7ø7", "C", "Bm7b5"), ("5/7", "C", "G/B"),
    ("1maj7", "G", "Gmaj7"), ("#4°", "C", "F#dim"), ("2m7", "F", "Gm7"), ("4/1", "C", "F/C"),
    ("V5", "A", "E5"), ("V7sus4", "G", "D7sus4"), ("V7(b9/b13)", "C", "G7b9b13"),
    ("ii-7", "C", "Dm7"), ("iimaj7", "C", "Dmmaj7"), ("IIm7", "C", "Dm7"), ("I+", "C", "Caug"),
]  # fmt: skip


@pytest.mark.parametrize(("numeral", "tonic", "symbol"), CHORDS)
def test_numerals_stand_for_the_chords_that_players_play(numeral, tonic, symbol):
    assert str(Numeral.parse(numeral).chord(Note.parse(tonic))) == symbol


# Ours beside music21's. Ours counts every degree against the major scale on the tonic, in minor too
# (bIII), and a bare figure says what it says (I7 is a dominant seventh). music21 counts against the
# key's own scale (III in minor) and takes sevenths from it (I7 in major is a major seventh), so
# each chord is written in each way; an applied chord's own target is written in music21's way.
IN_MAJOR = """
    I I | ii ii | iii iii | IV IV | V V | vi vi | vii° viio | i i | iv iv | v v | II II | III III
    VI VI | VII VII | Imaj7 IM7 | ii7 ii7 | iii7 iii7 | IVmaj7 IVM7 | V7 V7 | vi7 vi7 | viiø7 viiø7
    vii°7 viio7 | bII bII | bIII bIII | bVI bVI | bVII bVII | bVIImaj7 bVIImaj7 | #iv°7 #ivo7
    V/ii V/ii | V/iii V/iii | V/IV V/IV | V/V V/V | V/vi V/vi | V7/ii V7/ii | V7/iii V7/iii
    V7/IV V7/IV | V7/V V7/V | V7/vi V7/vi | vii°7/V viio7/V | vii°7/ii viio7/ii | vii°/V viio/V
    ii7/V ii7/V | IV/V IV/V | I+ I+ | iiø7 iiø7 | iv7 iv7 | V7/bVII V7/bVII | i7 i7
    vii°7/vi viio7/vi
"""
IN_MINOR = """
    i i | ii° iio | bIII III | iv iv | v v | V V | bVI VI | bVII VII | vii° viio | I I | IV IV
    i7 i7 | iiø7 iiø7 | iv7 iv7 | V7 V7 | vii°7 viio7 | bIIImaj7 III7 | bVImaj7 VI7 | bVII7 VII7
    bII bII | V7/iv V7/iv | V7/V V7/V | V/iv V/iv | V7/bIII V7/III | V7/bVI V7/VI | V7/bVII V7/VII
    vii°7/V viio7/V | vii°7/iv viio7/iv | V/bVI V/VI | #iv°7 #ivo7
"""


def pairs(text, tonics, mode):
    rows = [row.split() for line in text.splitlines() for row in line.split("|") if row.split()]
    return [(ours, theirs, tonic, mode) for ours, theirs in rows for tonic in tonics]


PAIRS = pairs(IN_MAJOR, MAJOR_TONICS, "major") + pairs(IN_MINOR, MINOR_TONICS, "minor")


def test_there_are_more_than_a_thousand_pairs():
    assert len(PAIRS) > 1000


@pytest.mark.parametrize("mode", ["major", "minor"])
def test_numerals_are_those_of_music21(mode):
    keys = {}
    wrong = []
    for ours, theirs, tonic, pair_mode in PAIRS:
        if pair_mode != mode:
            continue
        name = str(tonic).replace("b", "-")
        key = keys.setdefault(name, music21_key.Key(name, mode))
        pitches = {
            pitch.name.replace("-", "b") for pitch in roman.RomanNumeral(theirs, key).pitches
        }
        notes = {str(note) for note in Numeral.parse(ours).chord(tonic).notes}
        if notes != pitches:
            wrong.append((ours, theirs, str(tonic), notes, pitches))
    assert wrong == []


@pytest.mark.parametrize(
    ("text", "printed"),
    [("ii7b5", "iiø7"), ("iim7", "ii7"), ("ii-7", "ii7"), ("VII°", "vii°"), ("viio7", "vii°7"),
     ("viidim7", "vii°7"), ("2m", "ii"), ("57", "V7"), ("1/3", "I/3"), ("♭VII", "bVII"),
     ("I6/9", "I69"), ("I6/9/5", "I69/5"), ("V/1", "V/1"), ("I/1", "I"), ("isus4", "Isus4"),
     ("iiMaj7", "iimaj7"), ("iiΔ7", "iimaj7"), ("1/3/5", "I/3/V"), ("V7/2/V", "V7/V")],
)  # fmt: skip
def test_each_numeral_is_printed_in_one_way(text, printed):
    assert str(Numeral.parse(text)) == printed


@pytest.mark.parametrize(
    ("numeral", "figure"),
    [("I", "1"), ("ii", "2m"), ("ii7", "2m7"), ("V7", "57"), ("bVII", "b7"), ("viiø7", "7ø7"),
     ("vii°7", "7°7"), ("I/3", "1/3"), ("V7/V", "27"), ("V5", "55"), ("IV69", "469")],
)  # fmt: skip
def test_figures_of_the_number_system(numeral, figure):
    assert Numeral.parse(numeral).figure == figure


def test_an_applied_chord_counts_from_what_it_leads_to():
    numeral = Numeral.parse("V7/ii")
    assert str(numeral.root) == "6"
    assert [str(member) for member in numeral.members] == ["6", "#1", "3", "5"]


degrees = st.builds(Degree, st.integers(1, 7), st.integers(-1, 1))
kinds = st.sampled_from(
    """. m 7 m7 maj7 6 m6 dim dim7 m7b5 aug sus2 sus4 9 m9 maj9 add9 69 13 7b9 7#9 7alt 7sus4 5 7no3
    m7no3 mmaj7 m9b5 dimmaj7 (b5) 7b5 13b9 madd9 m11 addb9""".replace(".", "").split()
).map(ChordType.parse)  # fmt: skip
plain = st.builds(Numeral, degrees, kinds)
applied = st.builds(lambda degree, kind, target: Numeral(degree, kind, None, target),
                    degrees, kinds, plain)  # fmt: skip


def with_bass(numeral, bass):
    return Numeral(
        numeral.degree, numeral.type, bass if bass != numeral.root else None, numeral.target
    )


numerals = st.builds(with_bass, plain | applied, st.none() | degrees)
tonics = st.builds(Note, st.sampled_from(LETTERS), st.integers(-1, 1))


@given(numerals)
def test_numerals_are_read_as_they_are_written(numeral):
    assert Numeral.parse(str(numeral)) == numeral
    assert Numeral.parse(numeral.pretty) == numeral


@given(numerals)
def test_figures_are_read_as_they_are_written(numeral):
    assume(abs(numeral.root.alter) <= 2)
    again = Numeral.parse(numeral.figure)
    assert (again.root, again.type, again.bass) == (numeral.root, numeral.type, numeral.bass)


@given(tonics, kinds, tonics, st.none() | tonics)
def test_a_symbol_becomes_a_numeral_and_the_same_symbol_again(root, kind, tonic, bass):
    chord = Chord(root, kind, bass if bass != root else None)
    assert Numeral.from_chord(chord, tonic).chord(tonic) == chord


@given(numerals, degrees)
def test_counting_from_another_tonic_and_back(numeral, tonic):
    assert numeral.shifted(tonic).unshifted(tonic) == numeral


@given(numerals, degrees, tonics)
def test_counting_from_another_tonic_keeps_the_chord(numeral, degree, tonic):
    assert numeral.shifted(degree).chord(tonic) == numeral.chord(degree.at(tonic))


@given(numerals, tonics)
def test_members_are_the_notes_of_the_chord(numeral, tonic):
    chord = numeral.chord(tonic)
    members = [degree.at(chord.root) for degree in chord.type.degrees]
    assert [degree.at(tonic).pitch_class for degree in numeral.members] == [
        note.pitch_class for note in members
    ]


def test_a_long_chain_of_applied_chords_is_refused():
    assert str(Numeral.parse("V/V/V/V")) == "V/V/V/V"
    with pytest.raises(BadInput, match="more than 3 chords"):
        Numeral.parse("/".join(["V"] * 10_000))
