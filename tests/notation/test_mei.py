"""What the MEI says, read back by music21's own reader of MEI."""

from __future__ import annotations

from fractions import Fraction
from xml.etree import ElementTree

import pytest
from music21.mei import MeiToM21Converter
from notation.sheets import blues, chromatic, everything, jig, line, waltz

from theorykit.errors import BadInput
from theorykit.instruments.catalogue import INSTRUMENTS, find_instrument
from theorykit.notation.clef import clef_of
from theorykit.notation.mei import head_texts, mei
from theorykit.notation.sheet import sheet
from theorykit.score.arrange import arrange
from theorykit.score.score import Part, Score, ScoreBar, ScoreNote
from theorykit.theory.key import MAJOR_TONICS, MINOR_TONICS, Key
from theorykit.theory.meter import find_meter
from theorykit.theory.pitch import Note, Pitch
from theorykit.theory.scale import Scale

MEI = "{http://www.music-encoding.org/ns/mei}"


def read_back(score: Score, part: str = "line") -> list[tuple[str, int, Fraction]]:
    """Spelling, MIDI number and quarters of every note, ties joined, as music21 reads them."""
    ready = sheet(score, part=part, tablature=False, fingering=False, repeats=False)
    stream = MeiToM21Converter(mei(ready, "x")).run().stripTies()
    found = []
    for note in stream.recurse().notes:
        if "ChordSymbol" in note.classes:
            continue
        for pitch in note.pitches:
            name = pitch.name.replace("-", "b")
            found.append((f"{name}{pitch.octave}", pitch.midi, Fraction(note.quarterLength)))
    return found


def written(score: Score, part: str = "line") -> list[tuple[str, int, Fraction]]:
    quarters = score.signature.beat_quarters
    return [
        (str(note.pitch), int(note.midi), note.beats * quarters) for note in score.part(part).notes
    ]


SCORES = {
    "everything": everything(),
    "jig": jig(),
    "waltz": waltz(),
    "sixteenths": chromatic(Fraction(1, 4), 3),
    "triplets": chromatic(Fraction(1, 3), 3),
    "12/8": chromatic(Fraction(1, 3), 3, meter="12/8"),
    "blues": blues("A", "A blues", 45, 70),
    "flats": blues("Eb", "Eb blues", 51, 80),
}


@pytest.mark.parametrize("name", SCORES)
def test_another_reader_finds_the_same_notes(name: str) -> None:
    assert read_back(SCORES[name]) == written(SCORES[name])


def test_a_bass_line_is_read_back() -> None:
    score = arrange("12-bar blues", "F", feel="shuffle", ending=False)
    found = [(name, midi) for name, midi, _ in read_back(score, "bass")]
    assert found == [(name, midi) for name, midi, _ in written(score, "bass")]


@pytest.mark.parametrize("key", [*map(str, MAJOR_TONICS), *(f"{t}m" for t in MINOR_TONICS)])
def test_accidentals_in_every_key(key: str) -> None:
    tonic = Key.parse(key).tonic
    names = []
    for number, alter in (
        (1, 0),
        (1, 1),
        (1, 0),
        (1, -1),
        (1, -1),
        (1, 0),
        (4, 1),
        (4, 0),
        (7, -1),
    ):
        degree = Scale.parse(f"{tonic} major").notes[number - 1]
        note = Note(degree.letter, degree.alter + alter)
        if abs(note.alter) <= 2:
            names.append(str(Pitch(note, 4)))
    score = line([(name, Fraction(1, 2)) for name in names], key=key)
    assert [name for name, _, _ in read_back(score)] == names


def accidentals(score: Score) -> list[str]:
    """What is drawn before each sign of a note: the @accid of MEI, not @accid.ges."""
    ready = sheet(score, tablature=False, fingering=False)
    root = ElementTree.fromstring(mei(ready, "x"))
    return [note.get("accid", "") for note in root.iter(f"{MEI}note")]


#: Key; notes; the accidentals that are printed, by the rule that one lasts to the bar line in its
#: own octave, and over it only by a tie (any theory handbook).
PRINTED = (
    ("C", "F#4:1 F#4:1 F4:1 F#4:1", "s  n s"),
    ("C", "F#4:1 F#5:1 F#4:1 F5:1", "s s  n"),
    ("C", "F#4:4 F#4:1 F4:1 F4:2", "s s n "),
    ("G", "F#4:1 F4:1 F4:1 F#4:1", " n  s"),
    ("Eb", "Eb4:1 E4:1 Eb4:1 Bb4:1", " n f "),
    ("C", "F#4:5 F4:1 F#4:1 G4:1", "s  n s "),
    ("C", "G4:3 F#4:2 F#4:1 G4:1 F4:1", " s  s  n"),
    ("C", "Bb4:1 B4:1 Bbb4:1 B##4:1", "f n ff x"),
)


@pytest.mark.parametrize(("key", "notes", "expected"), PRINTED)
def test_accidentals_are_printed_where_they_are_needed(key: str, notes: str, expected: str) -> None:
    rows = [(word.split(":")[0], Fraction(word.split(":")[1])) for word in notes.split()]
    assert accidentals(line(rows, key=key)) == expected.split(" ")


#: Common practice: guitars, banjos and basses are written an octave above where they sound.
CLEFS = {
    "mandolin": "treble",
    "fiddle": "treble",
    "fiddle, AEAE": "treble",
    "ukulele": "treble",
    "guitar": "treble 8vb",
    "guitar, DADGAD": "treble 8vb",
    "banjo": "treble 8vb",
    "tenor banjo": "treble 8vb",
    "octave mandolin": "treble 8vb",
    "viola": "alto",
    "cello": "bass",
    "bass": "bass 8vb",
    "five-string bass": "bass 8vb",
}


#: Sign, line and octaves of the clefs (common practice).
WRITTEN = {
    "treble": ("G", 2, 0),
    "treble 8vb": ("G", 2, -1),
    "alto": ("C", 3, 0),
    "bass": ("F", 4, 0),
    "bass 8vb": ("F", 4, -1),
}


@pytest.mark.parametrize("name", CLEFS)
def test_clefs(name: str) -> None:
    assert find_instrument(name).clef == CLEFS[name]
    assert clef_of(find_instrument(name), ()) == WRITTEN[CLEFS[name]]


def test_every_instrument_reads_most_of_its_notes_near_the_staff() -> None:
    # Within five ledger lines of the staff for the open strings. Middle lines: B4, B3, C4, D3, D2.
    middles = {"treble": 71, "treble 8vb": 59, "alto": 60, "bass": 50, "bass 8vb": 38}
    for instrument in INSTRUMENTS.values():
        for string in instrument.strings:
            assert abs(string.open.midi - middles[instrument.clef]) <= 24, instrument.name


def test_frets_are_the_notes() -> None:
    for name in ("guitar", "mandolin", "banjo", "ukulele", "bass"):
        neck = find_instrument(name)
        lowest = min(string.open.midi for string in neck.strings)
        score = blues("G", "G major", lowest, lowest + 24)
        root = ElementTree.fromstring(mei(sheet(score, instrument=neck), "x"))
        frets = [
            neck.string(int(note.get("tab.course", ""))).open.midi + int(note.get("tab.fret", ""))
            for note in root.iter(f"{MEI}note")
            if note.get("tab.fret") is not None
        ]
        assert frets == [note.midi for note in score.part("line").notes]


def test_the_courses_are_the_tuning() -> None:
    root = ElementTree.fromstring(mei(sheet(jig(), instrument="mandolin"), "x"))
    courses = [
        (course.get("pname", "") + course.get("oct", "")) for course in root.iter(f"{MEI}course")
    ]
    assert courses == ["e5", "a4", "d4", "g3"]


def test_chords_and_numerals_stand_at_their_beats() -> None:
    ready = sheet(everything(), tablature=False)
    root = ElementTree.fromstring(mei(ready, "x"))
    symbols = [
        (measure.get("n"), harm.get("tstamp"), harm.text)
        for measure in root.iter(f"{MEI}measure")
        for harm in measure.iter(f"{MEI}harm")
    ]
    assert symbols == [
        ("1", "1", "G"),
        ("2", "1", "C"),
        ("2", "3", "D7"),
        ("3", "1", "Cmaj7"),
        ("3", "3", "F7"),
        ("3", "4", "F♯m7♭5"),
        ("4", "1", "A7"),
        ("5", "1", "G"),
    ]
    numerals = [
        "".join(mark.itertext()) for mark in root.iter(f"{MEI}dir") if mark.get("type") == "numeral"
    ]
    assert numerals == ["I", "IV", "V7", "IVmaj7", "♭VII7", "viiø7", "V7/V", "I"]


def test_degrees_over_the_chord() -> None:
    score = line([("G4", 1), ("B4", 1), ("F4", 1), ("Bb4", 1)], chords="I:2 V7:2")
    root = ElementTree.fromstring(mei(sheet(score, tablature=False), "x"))
    # Over G: root and third; over D7: F is the flat third and B-flat the flat sixth.
    assert [syllable.text for syllable in root.iter(f"{MEI}syl")] == ["1", "3", "♭3", "♭6"]


def test_a_change_of_key_has_a_new_signature() -> None:
    score = arrange("| I | key: V I |", "C", feel="straight", ending=False)
    root = ElementTree.fromstring(mei(sheet(score, part="bass", tablature=False), "x"))
    changes = [change.get("keysig") for change in root.iter(f"{MEI}scoreDef")][1:]
    assert changes == ["1s"]


def test_repeats_and_endings() -> None:
    twice = arrange("12-bar blues", "E", feel="shuffle", choruses=2, ending=False)
    root = ElementTree.fromstring(mei(sheet(twice, part="bass", tablature=False), "x"))
    measures = list(root.iter(f"{MEI}measure"))
    assert len(measures) == 12
    assert (measures[0].get("left"), measures[11].get("right")) == ("rptstart", "rptend")

    strain = [("G4", 1), ("A4", 1), ("B4", 1), ("D5", 1)]
    rows = [*strain * 3, ("G4", 4), *strain * 3, ("B4", 4)]
    score = line(rows)
    bars = [*(0, 4, 8, 12), *(16, 20, 24, 28)]
    score = Score(
        score.parts,
        bars=tuple(ScoreBar(Fraction(at), Fraction(4), 1 if at < 16 else 2) for at in bars),
        key=score.key,
    )
    root = ElementTree.fromstring(mei(sheet(score, tablature=False), "x"))
    endings = [
        (ending.get("n"), [measure.get("n") for measure in ending.iter(f"{MEI}measure")])
        for ending in root.iter(f"{MEI}ending")
    ]
    assert endings == [("1", ["4"]), ("2", ["5"])]


#: Meter, lengths in quarters, strokes (common practice of method books: down on the beat, up
#: between; jigs and triplets down-up-down; slurred notes have none).
PICKED = (
    ("4/4", "1/2 " * 8, "DUDUDUDU"),
    ("4/4", "1 1/2 1/2 1 1", "DDUDD"),
    ("4/4", "1/4 1/4 1/4 1/4 1/2 1/2 2", "DUDUDUD"),
    ("4/4", "1/2 1 1/2 2", "DUUD"),
    ("4/4", "1/3 1/3 1/3 1 2", "DUDDD"),
    ("6/8", "1/2 " * 6, "DUDDUD"),
    ("6/8", "1 1/2 1 1/2", "DDDD"),
)


@pytest.mark.parametrize(("meter", "lengths", "expected"), PICKED)
def test_pick_strokes(meter: str, lengths: str, expected: str) -> None:
    quarters = find_meter(meter).beat_quarters
    score = line([("A4", Fraction(word) / quarters) for word in lengths.split()], meter=meter)
    strokes = sheet(score, tablature=False, strokes="pick").strokes
    assert "".join(strokes[at][0].upper() for at in sorted(strokes)) == expected


def test_bows_go_to_and_fro() -> None:
    rows = [("D4", Fraction(1, 2)), ("G4", 1), ("A4", 1), ("B4", 1), ("D5", 1)]
    score = line(rows, pickup=Fraction(1, 2))
    # Common practice: up on the pick-up, down on the first beat.
    strokes = sheet(score, tablature=False, strokes="bow").strokes
    assert [strokes[at] for at in range(5)] == ["up", "down", "up", "down", "up"]
    after_rest = line([("G4", 1), ("A4", 1), ("B4", 1), (None, 1), ("D5", 1)])
    strokes = sheet(after_rest, tablature=False, strokes="bow").strokes
    assert [strokes[at] for at in range(4)] == ["down", "up", "down", "down"]


def test_a_slur_joins_what_has_no_stroke() -> None:
    ready = sheet(everything(), instrument="guitar", strokes="pick")
    root = ElementTree.fromstring(mei(ready, "x"))
    slurs = [(slur.get("startid"), slur.get("endid")) for slur in root.iter(f"{MEI}slur")]
    # The triplet is one stroke and two pull-offs; the slide is a curve on the tablature alone.
    assert slurs == [("#x-n4", "#x-n6"), ("#x-t4", "#x-t6"), ("#x-t16", "#x-t17")]
    assert not {5, 6} & set(ready.strokes)


def test_the_head_line_is_told_more_briefly_on_a_narrow_page() -> None:
    ready = sheet(blues("A", "A blues", 45, 70), instrument="twelve-string guitar")
    full = head_texts(ready, 200)
    assert full[0].startswith("♩ = 112, swing (")
    assert full[1] == "twelve-string guitar (E2 A2 D3 G3 B3 E4)"
    assert head_texts(ready, 40) == ("♩ = 112, swing", "twelve-string guitar")
    assert head_texts(ready, 20) == ("♩ = 112, swing", "")


def test_a_title_is_text() -> None:
    score = line([("A4", 4)], title="<b>&\"'\x00\x07 ]]>")
    root = ElementTree.fromstring(mei(sheet(score, tablature=False), "x"))
    title = root.find(f".//{MEI}title")
    assert title is not None
    assert title.text == "<b>&\"' ]]>"


def test_notes_without_a_spelling_get_the_chord_s_or_the_key_s() -> None:
    def names(key: str, chords: str, *midis: int) -> list[str]:
        notes = tuple(ScoreNote(Fraction(at), Fraction(1), midi) for at, midi in enumerate(midis))
        bare = line([], key=key, chords=chords)
        score = bare.with_part(Part("line", notes, "guitar"))
        return [name for name, _, _ in read_back(score)]

    # Common practice: the key's own notes, or the chord's, and else the side of the signature.
    assert names("F", "", 70, 65, 66) == ["Bb4", "F4", "Gb4"]
    assert names("D", "", 66, 73, 68) == ["F#4", "C#5", "G#4"]
    assert names("C", "V7/V:2 iv:2", 66, 62, 68, 65) == ["F#4", "D4", "Ab4", "F4"]


def test_what_was_played_is_written_on_the_grid() -> None:
    # 480 ticks a quarter, each note a few ticks early or late, as a keyboard is played.
    late = [0, 7, -5, 11, 3, -9, 4, 0]
    notes = tuple(
        ScoreNote(
            Fraction(1, 2) * at + Fraction(off, 480) if at else Fraction(0), Fraction(1, 2), 69
        )
        for at, off in enumerate(late)
    )
    score = line([]).with_part(Part("line", notes, "guitar"))
    assert [length for _, _, length in read_back(score)] == [Fraction(1, 2)] * 8


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ({"part": "lin"}, "did you mean 'line'"),
        ({"strokes": "pik"}, "did you mean 'pick'"),
        ({"bars_a_line": 0}, "accepted: 1 to 16"),
        ({"tablature": True}, "needs strings"),
        ({"instrument": "gitar"}, "did you mean 'guitar'"),
        ({"instrument": "bass", "tablature": True}, "D5"),
    ],
)
def test_bad_options(options: dict[str, object], message: str) -> None:
    score = line([("D5", 1), ("D7", 1)])
    with pytest.raises(BadInput, match=message):
        sheet(score, **options)  # type: ignore[arg-type]
