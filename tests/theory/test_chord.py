"""Chord symbols: the notes that they stand for, and the one way in which each is printed."""

import pychord
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from mingus.core import chords as mingus_chords
from music21 import chord as music21_chord
from music21 import harmony

from theorykit.errors import BadInput
from theorykit.theory.chord import Chord, ChordType
from theorykit.theory.interval import Interval
from theorykit.theory.key import TONICS
from theorykit.theory.pitch import LETTERS, Note
from theorykit.theory.symbol import EXTENSIONS, QUALITIES, TRIADS


def words(text):
    return text.split()


# Spelled by hand, stacked upwards (Levine 1995 and Nettles & Graf 1997 for extensions, from memory;
# common practice for suspensions, added and left-out notes).
SPELLINGS = {
    "C": "C E G", "F#m": "F# A C#", "Bb7": "Bb D F Ab", "C-7": "C Eb G Bb", "Bbm7": "Bb Db F Ab",
    "Ebmaj7": "Eb G Bb D", "A7": "A C# E G", "D7": "D F# A C", "B7": "B D# F# A",
    "E7": "E G# B D", "G7": "G B D F", "Ab6": "Ab C Eb F", "Am6": "A C E F#",
    "C°7": "C Eb Gb Bbb", "F#°7": "F# A C Eb", "Bø7": "B D F A", "F#m7b5": "F# A C E",
    "C+": "C E G#", "G+7": "G B D# F", "Dsus2": "D E A", "Dsus4": "D G A", "A7sus4": "A D E G",
    "C6/9": "C E G A D", "C69": "C E G A D", "Cmaj9": "C E G B D", "C9": "C E G Bb D",
    "Dm9": "D F A C E", "G13": "G B D F A E", "Cm11": "C Eb G Bb D F", "C11": "C E G Bb D F",
    "Dm13": "D F A C E G B", "Cmaj13": "C E G B D A", "C7(b9)": "C E G Bb Db",
    "G7#9": "G B D F A#", "C7#11": "C E G Bb F#", "Cmaj7#11": "C E G B F#",
    "E7b13": "E G# B D C", "C7alt": "C E Gb G# Bb Db D#", "C7b5": "C E Gb Bb",
    "C7sus4b9": "C F G Bb Db", "C9#11": "C E G Bb D F#", "Cadd11": "C E G F", "C6sus4": "C F G A",
    "Cm7add11": "C Eb G Bb F", "Cdim(maj7)": "C Eb Gb B", "Cm(maj7)": "C Eb G B",
    "Cadd9": "C E G D", "Cmadd9": "C Eb G D", "C5": "C G", "Cno3": "C G", "C7no3": "C G Bb",
    "C7no5": "C E Bb", "E5": "E B", "Cb": "Cb Eb Gb", "Gbm": "Gb Bbb Db", "C#7": "C# E# G# B",
    "G#m7": "G# B D# F#", "D#7": "D# F## A# C#", "Abm7": "Ab Cb Eb Gb", "C9sus4": "C F G Bb D",
    "Cm7sus4": "C F G Bb", "Csus2sus4": "C D F G", "C13b9": "C E G Bb Db A",
    "C(b5)": "C E Gb", "Cm#5": "C Eb G#", "C/E": "C E G", "C/Bb": "Bb C E G",
    "D/F#": "D F# A", "Am7/G": "A C E G", "F/G": "G F A C", "C6/9/E": "C E G A D",
    "Cm9(maj7)": "C Eb G B D", "C7(9,13)": "C E G Bb D A", "C7(b9/b13)": "C E G Bb Db Ab",
    "Cmaj7b5": "C E Gb B", "C+maj7": "C E G# B", "Cm7b5b9": "C Eb Gb Bb Db",
    "Cadd2": "C D E G", "Cadd4": "C E F G", "Cmb6": "C Eb G Ab", "C7b9#9": "C E G Bb Db D#",
}  # fmt: skip


@pytest.mark.parametrize("symbol", SPELLINGS)
def test_chords_are_spelled_as_handbooks_spell_them(symbol):
    assert " ".join(map(str, Chord.parse(symbol).notes)) == SPELLINGS[symbol]


# Ways of writing one chord (common practice), the printed one first.
SAME = [
    "C Cmaj CM Cma CMaj Cmajor C/C",
    "Cm Cmin Cmi C- C− CMin Cminor",
    "Cmaj7 CM7 Cma7 CΔ CΔ7 C△7 CMaj7 CMA7 C^7 C7M C(maj7) Cmajor7",
    "Cm7 C-7 Cmin7 Cmi7 CMI7 Cminor7",
    "Cmmaj7 Cm(maj7) CmM7 C-Δ C-Δ7 C-maj7 CmΔ7 Cminmaj7 Cmin(maj7)",
    "Cdim C° Co Cº Cm(b5) Cmb5",
    "Cdim7 C°7 Co7 Cº7",
    "Cm7b5 Cø Cø7 CØ7 C-7b5 Cm7(b5) C-7(b5) Cm7-5 Cm7♭5",
    "Caug C+ C(#5) C(♯5)",
    "C7#5 C+7 Caug7 C7+5 C7(#5) C7+",
    "C7b9 C7-9 C7(b9) C7♭9 C9b9",
    "C7#9 C7+9 C7(#9)",
    "C69 C6/9 C6add9 C6(9) Cmaj6/9",
    "Csus4 Csus Cmsus4",
    "Csus24 Csus2sus4 Csus4sus2 Csus2/4 Csus42",
    "C7sus4 C7sus Cm7sus4 C7(sus4)",
    "C9sus4 C9sus C7sus4(9) C7sus4add9",
    "C7b9sus4 C7sus4b9 C7susb9 C7sus(b9)",
    "C5 Cno3 C(no3) Comit3 Cno3rd",
    "C9 C7add9 C7(9)",
    "C13 C7(9,13) C9add13 C7(9/13)",
    "C13b9 C7b9add13 C7(b9,13)",
    "Cadd#11 C(#11)",
    "C6 Cadd6 CM6 Cmaj6",
    "Cdimmaj7 Cdim(maj7) C°maj7 Cmmaj7b5",
    "Cmaj7#5 C+maj7 CaugM7 C+Δ7",
    "C7alt Calt C7b5#5b9#9",
    "C7no5 C7omit5 C7(no5)",
    "C9add13no3 C13no3",
    "Cadd9no3 C5add9",
    "Cmaj7#11 CΔ#11 CΔ7#11 CM7(#11)",
]


@pytest.mark.parametrize("row", SAME)
def test_every_way_of_writing_a_chord_gives_one_value(row):
    printed, *others = row.split()
    chord = Chord.parse(printed)
    for other in others:
        assert Chord.parse(other) == chord, other


# After the letter a sign belongs to the root, and in brackets to the chord (common practice).
@pytest.mark.parametrize(
    ("symbol", "notes"),
    [("C#11", "C# E# G# B D# F#"), ("C(#11)", "C E G F#"), ("Cb5", "Cb Gb"), ("C(b5)", "C E Gb"),
     ("Bb9", "Bb D F Ab C"), ("B(b9)", "B D# F# C"), ("Bb", "Bb D F"), ("Bbb", "Bbb Db Fb")],
)  # fmt: skip
def test_a_sign_after_the_letter_belongs_to_the_root(symbol, notes):
    assert " ".join(map(str, Chord.parse(symbol).notes)) == notes


@pytest.mark.parametrize("row", [row for row in SAME if not row.startswith("C9add13no3")])
def test_the_first_way_is_the_printed_one(row):
    assert str(Chord.parse(row.split()[0])) == row.split()[0]


# Symbols that the libraries can be asked for. What is not compared, and why, stands beside each.
SUFFIXES = """
    m 7 m7 maj7 6 m6 dim dim7 m7b5 aug sus2 sus4 9 m9 maj9 add9 madd9 69 m69 11 m11 13 m13 maj13 7b5
    7#5 7b9 7#9 7#11 7b13 9#11 13#11 13b9 13#9 maj7#11 maj7#5 maj7b5 mmaj7 mmaj9 7sus4 9sus4 13sus4
    7b9sus4 5 add11 6add9 m7b9 m11b5 7b5b9 7#5#9 7#5b9 7b5#9 9b5 9#5 7b9#11 7b9b13 7#9b13 m9b5
    dimmaj7 7alt maj9#11 7sus2 add2 add4 m7add11 7add13 7add11 m7#5 maj7add13 11b9 (b5) 7b9#9
""".split()  # noqa: SIM905
SUFFIXES = ["", *SUFFIXES]

MUSIC21_LEFT_OUT = {
    "69": "reads C A D, the third and fifth are lost",
    "13": "keeps the eleventh, which players leave out over a major third",
    "13#11": "drops the alteration", "13b9": "drops the alteration", "13#9": "drops the alteration",
    "11b9": "drops the alteration",
    **dict.fromkeys(
        words(
            "maj9 m69 maj13 mmaj7 mmaj9 9sus4 13sus4 7b9sus4 dimmaj7 7alt maj9#11 7sus2 (b5)"
        ),
        "raises",
    ),
}  # fmt: skip
PYCHORD_LEFT_OUT = {
    **dict.fromkeys(words("13 13b9 13#9 maj13 7b9b13"), "keeps the eleventh over a major third"),
    **dict.fromkeys(
        words(
            "m13 maj7#5 maj7b5 mmaj9 13sus4 7b9sus4 6add9 m7b9 m11b5 7b5b9 7#5#9 7#5b9 7b5#9 7#9b13"
            " m9b5 dimmaj7 7alt maj9#11 7sus2 add2 7add13 7add11 11b9"
        ),
        "unknown quality",
    ),
}
MINGUS_LEFT_OUT = {
    "11": "leaves out third and ninth", "m11": "leaves out the ninth",
    "m13": "leaves out the eleventh",
    **dict.fromkeys(
        words(
            "add9 madd9 m69 7b13 9#11 13#11 13b9 13#9 maj7#11 maj7#5 maj7b5 mmaj9 7sus4 9sus4"
            " 13sus4 7b9sus4 add11 6add9 m7b9 m11b5 7b5b9 7#5#9 7#5b9 7b5#9 9b5 9#5 7b9#11"
            " 7b9b13 7#9b13 m9b5"
            " dimmaj7 7alt maj9#11 7sus2 add2 add4 m7add11 7add13 7add11 m7#5 maj7add13 11b9 (b5)"
            " 7b9#9"
        ),
        "unknown shorthand",
    ),
}  # fmt: skip
ROOTS = [str(note) for note in TONICS]


def spelled(root, suffix):
    return sorted(str(note) for note in Chord.parse(root + suffix).notes)


@pytest.mark.parametrize("suffix", [each for each in SUFFIXES if each not in MUSIC21_LEFT_OUT])
def test_chords_are_those_of_music21(suffix):
    for root in ROOTS:
        # music21 writes flats as '-', and would read Bb7 as B with a flat seventh.
        pitches = harmony.ChordSymbol(root.replace("b", "-") + suffix).pitches
        names = sorted(pitch.name.replace("-", "b") for pitch in pitches)
        assert spelled(root, suffix) == names, root


@pytest.mark.parametrize("suffix", [each for each in SUFFIXES if each not in PYCHORD_LEFT_OUT])
def test_chords_are_those_of_pychord(suffix):
    for root in ROOTS:
        ours = {note.pitch_class for note in Chord.parse(root + suffix).notes}
        # pychord takes its spelling from a table by root, so sounds are compared.
        names = pychord.Chord(root + suffix).components()
        theirs = {
            Note(name[0], name.count("#") - name[1:].count("b")).pitch_class for name in names
        }
        assert ours == theirs, root


@pytest.mark.parametrize("suffix", [each for each in SUFFIXES if each not in MINGUS_LEFT_OUT])
def test_chords_are_those_of_mingus(suffix):
    for root in ROOTS:
        assert spelled(root, suffix) == sorted(mingus_chords.from_shorthand(root + suffix)), root


# Set classes of chords (Forte 1973; from memory).
@pytest.mark.parametrize(
    ("suffix", "forte", "vector"),
    [("7", "4-27B", (0, 1, 2, 1, 1, 1)), ("m7", "4-26", (0, 1, 2, 1, 2, 0)),
     ("maj7", "4-20", (1, 0, 1, 2, 2, 0)), ("dim7", "4-28", (0, 0, 4, 0, 0, 2)),
     ("m7b5", "4-27A", (0, 1, 2, 1, 1, 1)), ("", "3-11B", (0, 0, 1, 1, 1, 0)),
     ("m", "3-11A", (0, 0, 1, 1, 1, 0)), ("aug", "3-12", (0, 0, 0, 3, 0, 0)),
     ("dim", "3-10", (0, 0, 2, 0, 0, 1)), ("sus4", "3-9", (0, 1, 0, 0, 2, 0))],
)  # fmt: skip
def test_set_classes_of_chords(suffix, forte, vector):
    other = music21_chord.Chord(sorted(ChordType.parse(suffix).semitones))
    assert other.forteClass == forte
    assert tuple(other.intervalVector) == vector


def test_leaving_the_third_out_leaves_the_power_chord():
    # Common practice: root and fifth alone are neither major nor minor.
    assert str(ChordType.parse("").without_third()) == "5"
    assert str(ChordType.parse("m").without_third()) == "5"
    assert str(ChordType.parse("7").without_third()) == "7no3"
    assert ChordType.parse("sus4").without_third() == ChordType.parse("sus4")
    assert ChordType.parse("m9").without_third().third is None


# Transposed by hand (common practice).
@pytest.mark.parametrize(
    ("symbol", "interval", "result"),
    [("Bbm7/Ab", "M2", "Cm7/Bb"), ("A7", "m2", "Bb7"), ("C/E", "P5", "G/B"), ("Eb", "-m3", "C"),
     ("F#m7b5", "P4", "Bm7b5"), ("Gb7", "m2", "G7"), ("G#m", "A1", "Am"), ("G", "-P4", "D"),
     ("C#/E#", "M3", "F/A"), ("B/D#", "A4", "F/A"), ("Ab6", "P8", "Ab6")],
)  # fmt: skip
def test_transposed_chords_keep_a_good_spelling(symbol, interval, result):
    assert str(Chord.parse(symbol).transposed(Interval.parse(interval))) == result


roots = st.builds(Note, st.sampled_from(LETTERS), st.integers(-1, 1))
quality_words = [word for each in QUALITIES.values() for word in each]
modifiers = st.sampled_from(
    words(
        "b5 #5 b9 #9 #11 b13 add2 add4 add6 add9 add11 add13 addb9 add#11 addb6 sus sus2 sus4"
        " no3 no5 no1 alt maj7 (maj7) (b9) (9) (13) (b9,#11) b6 -9 +11 omit3 no11 no9"
    )
)
suffixes = st.builds(
    lambda quality, extension, rest: quality + extension + "".join(rest),
    st.sampled_from(["", *quality_words]),
    st.sampled_from(["", "5", "6", "69", "6/9", "7", "9", "11", "13"]),
    st.lists(modifiers, max_size=3),
)


def read(suffix):
    try:
        return ChordType.parse(suffix)
    except BadInput:
        return None


kinds = suffixes.map(read).filter(lambda kind: kind is not None)


@settings(max_examples=500)
@given(kinds)
def test_chord_types_are_read_as_they_are_written(kind):
    assert ChordType.parse(kind.suffix) == kind
    assert ChordType.parse(kind.pretty) == kind


@given(roots, kinds, st.none() | roots)
def test_chords_are_read_as_they_are_written(root, kind, bass):
    chord = Chord(root, kind, bass if bass != root else None)
    assert Chord.parse(str(chord)) == chord
    assert Chord.parse(chord.pretty) == chord


@settings(max_examples=500)
@given(kinds, kinds)
def test_one_set_of_members_has_one_name(first, second):
    # Without a third, a symbol still says what it came from (m7no3, 7no3, sus2, add2no3).
    if first.degrees == second.degrees and first.third is not None:
        assert first == second


@given(kinds)
def test_a_chord_has_two_notes_or_more_and_each_once(kind):
    assert len(kind.degrees) >= 2
    assert len(set(kind.degrees)) == len(kind.degrees)
    assert [degree.semitones for degree in kind.degrees] == sorted(
        degree.semitones for degree in kind.degrees
    )


intervals = st.builds(
    lambda low, high: Interval.between(Note.parse(low), Note.parse(high)),
    st.sampled_from([*LETTERS]),
    st.sampled_from(ROOTS),
)


@given(roots, kinds, st.none() | roots, intervals)
def test_transposing_moves_every_note_alike(root, kind, bass, interval):
    chord = Chord(root, kind, bass if bass != root else None)
    moved = chord.transposed(interval)
    assert moved.type == chord.type
    assert abs(moved.root.alter) <= 1
    distance = interval.semitones % 12
    assert (moved.root.pitch_class - chord.root.pitch_class) % 12 == distance
    if bass is not None and chord.bass is not None:
        assert (moved.bass.pitch_class - bass.pitch_class) % 12 == distance
    there_and_back = moved.transposed(-interval)
    assert there_and_back.root.pitch_class == root.pitch_class


def test_every_frame_and_extension_is_a_row_of_degrees():
    for text in [*TRIADS.values(), *EXTENSIONS.values()]:
        assert all(token.lstrip("b#").isdigit() for token in text.split())


def test_one_value_for_each_set_of_members_over_the_whole_grammar():
    tails = ["", "b5", "#5", "b9", "#9", "#11", "b13", "add2", "add4", "add6", "add9", "add11",
             "add13", "addb9", "sus2", "sus4", "no5", "no9", "no11", "maj7", "(9)"]  # fmt: skip
    by_members = {}
    for quality in ("", "m", "dim", "+", "ø", "maj", "Δ"):
        for extension in ("", "6", "69", "7", "9", "11", "13"):
            for first in tails:
                for second in tails:
                    kind = read(quality + extension + first + second)
                    if kind is not None and kind.third is not None:
                        by_members.setdefault(kind.degrees, set()).add(kind)
    assert len(by_members) > 500
    assert {len(kinds) for kinds in by_members.values()} == {1}
