"""What a row says of a tune, against handbooks, music21 and tunes counted by hand."""

from __future__ import annotations

import warnings
from fractions import Fraction
from pathlib import Path

import music21
import pytest

from theorykit.errors import BadInput, TuneError
from theorykit.instruments.catalogue import find_instrument
from theorykit.notation.abc_reader import read_abc
from theorykit.score.score import Part, Score, ScoreNote
from theorykit.survey.chord_runs import chord_runs, plain_numerals
from theorykit.survey.compass import first_position, fit_of
from theorykit.survey.outside import neighbours, outside_notes, use_of
from theorykit.survey.row import surveyed, tune_row
from theorykit.survey.scale_cover import covers
from theorykit.theory.pitch import Note, Pitch
from theorykit.theory.scale import Scale
from theorykit.tune.reading import read_tune

CORPUS = Path(music21.__file__).parent / "corpus"


def tune(body: str, *, key: str = "C", unit: str = "1/4") -> Score:
    return read_abc(f"X:1\nT:Test\nM:4/4\nL:{unit}\nK:{key}\n{body}\n", repeats=False)


def row_of(score: Score, *instruments: str) -> dict[str, object]:
    return tune_row(score, [find_instrument(name) for name in instruments])


#: Melodies and the scale that any teacher would call theirs (common practice).
NAMED = [
    ("C D E G|A c A G|E D C2|]", "C", "C major pentatonic"),
    ("C D E F|G A B c|B A G F|E D C2|]", "C", "C major"),
    ("D E F G|A B c d|c B A G|F E D2|]", "Ddor", "D Dorian"),
    ("A B c d|e f g a|g f e d|c B A2|]", "Am", "A natural minor"),
    ("A B c d|e f ^g a|^g f e d|c B A2|]", "Am", "A harmonic minor"),
    ("G A B c|d e =f g|=f e d c|B A G2|]", "G", "G Mixolydian"),
    ("D F G _A|A c d c|A _A G F|D4|]", "Dm", "D blues"),
    # One raised fourth in passing does not make it another scale.
    ("C D E F|G ^F/G/ A B|c B A G|F E D C|C D E F|G A B c|G E D2|C4|]", "C", "C major"),
    # The signature of D and all of it turns about A: the file's word holds, as the notes are the same.
    ("A B ^c d|e f =g a|=g f e d|c B A2|]", "D", "D major"),
]


@pytest.mark.parametrize(("body", "key", "scale"), NAMED)
def test_the_scale_that_a_teacher_would_name(body: str, key: str, scale: str) -> None:
    assert row_of(tune(body, key=key))["scale"] == scale


def test_shares_counted_by_hand() -> None:
    # Ten notes, twelve beats; F sharp twice, for one beat in all.
    score = tune("C2 ^F/ G/ A|C ^F/ G/ C2|G4 z|]")
    notes = score.part("line").notes
    assert (len(notes), sum(note.beats for note in notes)) == (9, 12)
    (major,) = [
        each for each in covers(notes, [Note.parse("C")]) if each.scale.formula.name == "major"
    ]
    assert major.notes == pytest.approx(7 / 9)
    assert major.time == pytest.approx(11 / 12)
    assert major.unused == 4  # D, E, F, B


# In the Pedestal Clog music21 forgets the accidental of a note that comes again in its bar.
RYAN = [
    path
    for path in sorted((CORPUS / "ryansMammoth").glob("*.abc"))[20:1000:110]
    if path.stem != "DickieRogersPedestalClog"
]


@pytest.mark.parametrize("path", RYAN, ids=lambda path: path.stem)
def test_music21_counts_the_same(path: Path) -> None:
    """Range, share of the scale's notes and their time, counted by an independent reader."""
    row = row_of(read_tune(path, repeats=False))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        theirs = music21.converter.parse(path).stripTies().flatten().notes
    sounded = [note for note in theirs if note.duration.quarterLength > 0]
    midis = [note.pitch.midi for note in sounded]
    assert row["notes"] == len(midis)
    assert (Pitch.parse(str(row["lowest"])).midi, Pitch.parse(str(row["highest"])).midi) == (
        min(midis),
        max(midis),
    )
    for each in row["scales"]:  # type: ignore[attr-defined]
        found = Scale.parse(each["scale"])
        classes = {note.pitch_class for note in (*found.notes, *found.notes_descending)}
        inside = [note for note in sounded if note.pitch.pitchClass in classes]
        time = sum(note.duration.quarterLength for note in inside)
        whole = sum(note.duration.quarterLength for note in sounded)
        assert each["notes"] == pytest.approx(len(inside) / len(sounded), abs=1e-4)
        assert each["time"] == pytest.approx(float(time / whole), abs=1e-4)


#: Lowest and highest note of the first position, every half step between them included: open
#: strings and the frets of four fingers (methods for each instrument agree; common practice).
FIRST_POSITIONS = {
    "mandolin": ("G3", "B5"),
    "fiddle": ("G3", "B5"),
    "guitar": ("E2", "G#4"),
}


@pytest.mark.parametrize("name", FIRST_POSITIONS)
def test_first_position(name: str) -> None:
    low, high = (Pitch.parse(text).midi for text in FIRST_POSITIONS[name])
    assert first_position(find_instrument(name)) == set(range(low, high + 1))


def test_a_ukulele_has_its_high_string_too() -> None:
    found = first_position(find_instrument("ukulele"))
    assert min(found) == Pitch.parse("C4").midi


def at(beat: float, midi: float, beats: float = 1) -> ScoreNote:
    return ScoreNote(Fraction(beat), Fraction(beats), midi)


@pytest.mark.parametrize(
    ("name", "notes", "octave", "on_neck"),
    [
        ("mandolin", "G3 B5", 0, True),
        ("mandolin", "G3 C6", None, True),  # a stretch past the fourth finger
        ("mandolin", "E3 B4", 1, False),
        ("mandolin", "A5 C6", -1, True),
        ("guitar", "D4 B4", -1, True),
        ("guitar", "E2 G#4", 0, True),
        ("guitar", "E4 C6", -2, True),
        ("guitar", "D2 G3", 1, False),
        ("guitar", "D2 C4", None, False),
    ],
)
def test_where_a_tune_lies(name: str, notes: str, octave: int | None, on_neck: bool) -> None:
    line = [at(beat, Pitch.parse(text).midi) for beat, text in enumerate(notes.split())]
    fit = fit_of(line, find_instrument(name))
    assert (fit.octave, fit.first, fit.on_neck) == (octave, octave == 0, on_neck)


def test_the_share_of_notes_in_first_position() -> None:
    line = [at(beat, midi) for beat, midi in enumerate([83, 84, 55, 54])]  # B5, C6, G3, F#3
    assert fit_of(line, find_instrument("mandolin")).share == 0.5


def test_a_bar_has_no_first_position() -> None:
    with pytest.raises(BadInput, match="bar"):
        first_position(find_instrument("lap steel"))


#: Three notes and what the middle one is (definitions of any counterpoint handbook; from memory).
USES = [
    ((60, 62, 60), "neighbour"),
    ((60, 61, 60), "neighbour"),
    ((60, 59, 60), "neighbour"),
    ((60, 62, 64), "passing"),
    ((64, 63, 62), "passing"),
    ((60, 66, 67), "leading"),
    ((60, 64, 60), "free"),
    ((60, 62, 59), "free"),
]


@pytest.mark.parametrize(("midis", "use"), USES)
def test_what_a_note_is_to_those_beside_it(midis: tuple[int, ...], use: str) -> None:
    before, note, after = (at(beat, midi) for beat, midi in enumerate(midis))
    assert use_of(before, note, after) == use


def test_a_long_note_is_no_neighbour() -> None:
    assert use_of(at(0, 60), at(1, 62, 2), at(3, 60)) == "free"


def test_neighbours_and_notes_outside_counted_by_hand() -> None:
    score = tune("G A G ^F|G A B ^c|d ^c d2|G ^c A2|]")
    line = score.part("line").notes
    # Above: A between Gs, D between C sharps. Below: F sharp between Gs, C sharp between Ds.
    assert neighbours(line) == (2, 2)
    (sharp_fourth, sharp_first) = sorted(
        outside_notes(line, Scale.parse("C major")), key=lambda each: each.count
    )
    assert (str(sharp_fourth.degree), sharp_fourth.uses) == ("#4", (("neighbour", 1),))
    assert str(sharp_first.degree) == "#1"
    assert sharp_first.uses == (("neighbour", 1), ("passing", 1), ("free", 1))


def test_progressions_counted_by_hand() -> None:
    # ii V I twice, once with sevenths and a bass note; a bar with no chord breaks the run.
    score = tune(
        '"Am"A4|"D"d4|"G"G4|"Am7"A4|"D7/F#"d4|"G"G4|"Bdim"B4|"N.C."z4|"Gsus4"G4|]', key="G"
    )
    numerals = plain_numerals(score)
    assert [each for each in numerals if each] == ["ii", "V", "I", "ii", "V", "I", "iii°", "I"]
    runs = chord_runs(numerals)
    assert runs["ii V I"] == 2
    assert runs["V I ii V"] == 1
    assert "iii° I" not in runs


def test_numerals_count_from_the_key_that_holds() -> None:
    score = tune('"G"G4|"D"d4|[K:D] "D"d4|"A"A4|]', key="G")
    assert plain_numerals(score) == ["I", "V", "I", "V"]


def test_a_tune_with_no_key_is_taken_from_its_last_note() -> None:
    line = tuple(at(beat, midi) for beat, midi in enumerate([62, 64, 66, 67, 69, 71, 73, 74, 62]))
    row = row_of(Score((Part("line", line, "guitar"),)))
    assert (row["key"], row["tonic_from"], row["scale"]) == (None, "last note", "D major")
    assert (row["lowest"], row["highest"]) == ("D4", "D5")


def test_a_row_of_a_tune_with_no_notes_says_so() -> None:
    with pytest.raises(TuneError, match="no notes"):
        row_of(Score((Part("line", (), "guitar"),)))


def test_a_fault_of_ours_is_told_and_stops_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    good = b"X:1\nT:One\nM:4/4\nL:1/4\nK:C\nC D E F|]\n"

    def fails(data: bytes, *, name: str, repeats: bool) -> Score:
        if data != good:
            raise RecursionError("too deep")
        return read_tune(data, name=name, repeats=repeats)

    monkeypatch.setattr("theorykit.survey.row.read_tune", fails)
    bad, fine = surveyed([("abc", b"X:1"), ("abc", good)], [])
    assert bad["error"] == "can't be surveyed (RecursionError: too deep)"
    assert bad["again"]
    assert fine["title"] == "One"
