"""Sequences against tables typed by hand, as exercise books print them (common practice)."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise

import pytest

from theorykit.errors import BadInput
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.positions import patterns
from theorykit.practice.rhythm import RHYTHMS
from theorykit.practice.sequence import DIRECTIONS, sequence
from theorykit.practice.sequence_pattern import SEQUENCES, find_pattern
from theorykit.score.score import Score
from theorykit.theory.meter import METERS, find_meter
from theorykit.theory.scale import Scale

KEYS = ("C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B")
SIX = ("guitar", "mandolin", "fiddle", "banjo", "ukulele", "bass")


def names(score: Score) -> str:
    return " ".join(str(note.pitch) for note in score.part("line").notes)


def starts(score: Score) -> str:
    return " ".join(str(note.start) for note in score.part("line").notes)


# Scale, pattern, direction, lowest, highest, notes. Upwards each table ends on the note of the
# start; the bars are those of the book, a figure to a group. Common practice, typed by hand.
TABLES = [
    (
        "C major",
        "scale",
        "up and back",
        "C4 C5",
        "C4 D4 E4 F4 G4 A4 B4 C5 B4 A4 G4 F4 E4 D4 C4",
    ),
    (
        "C major",
        "threes",
        "up",
        "C4 C5",
        "C4 D4 E4  D4 E4 F4  E4 F4 G4  F4 G4 A4  G4 A4 B4  A4 B4 C5  C5",
    ),
    (
        "C major",
        "threes",
        "down",
        "C4 C5",
        "C5 B4 A4  B4 A4 G4  A4 G4 F4  G4 F4 E4  F4 E4 D4  E4 D4 C4  C4",
    ),
    (
        "G major",
        "fours",
        "up",
        "G3 G4",
        "G3 A3 B3 C4  A3 B3 C4 D4  B3 C4 D4 E4  C4 D4 E4 F#4  D4 E4 F#4 G4  G4",
    ),
    (
        "G major",
        "fours",
        "down",
        "G3 G4",
        "G4 F#4 E4 D4  F#4 E4 D4 C4  E4 D4 C4 B3  D4 C4 B3 A3  C4 B3 A3 G3  G3",
    ),
    (
        "C major",
        "thirds",
        "up",
        "C4 C5",
        "C4 E4  D4 F4  E4 G4  F4 A4  G4 B4  A4 C5  C5",
    ),
    (
        "D major",
        "thirds",
        "down",
        "D4 D5",
        "D5 B4  C#5 A4  B4 G4  A4 F#4  G4 E4  F#4 D4  D4",
    ),
    (
        "F major",
        "fourths",
        "up",
        "F4 F5",
        "F4 Bb4  G4 C5  A4 D5  Bb4 E5  C5 F5  F5",
    ),
    (
        "C major",
        "fifths",
        "up",
        "C4 E5",
        "C4 G4  D4 A4  E4 B4  F4 C5  G4 D5  A4 E5  C5",
    ),
    (
        "A major",
        "sixths",
        "up",
        "A3 C#5",
        "A3 F#4  B3 G#4  C#4 A4  D4 B4  E4 C#5  A4",
    ),
    (
        "G major",
        "octaves",
        "up",
        "G3 B4",
        "G3 G4  A3 A4  B3 B4  G4",
    ),
    (
        "C major",
        "tenths",
        "up",
        "C4 G5",
        "C4 E5  D4 F5  E4 G5  C5",
    ),
    (
        "C major",
        (1, 2, 3, 5),
        "up",
        "C4 C5",
        "C4 D4 E4 G4  D4 E4 F4 A4  E4 F4 G4 B4  F4 G4 A4 C5  C5",
    ),
    (
        "Bb major",
        "1-2-3-5",
        "down",
        "Bb3 Bb4",
        "Bb4 G4 F4 Eb4  A4 F4 Eb4 D4  G4 Eb4 D4 C4  F4 D4 C4 Bb3  Bb3",
    ),
    (
        "G major",
        "triads",
        "up",
        "G3 G4",
        "G3 B3 D4  A3 C4 E4  B3 D4 F#4  C4 E4 G4  G4",
    ),
    (
        "D major",
        "triads",
        "down",
        "D4 D5",
        "D5 B4 G4  C#5 A4 F#4  B4 G4 E4  A4 F#4 D4  D4",
    ),
    (
        "C major",
        "seventh chords",
        "up",
        "C4 C5",
        "C4 E4 G4 B4  D4 F4 A4 C5  C5",
    ),
    (
        "A minor pentatonic",
        "threes",
        "up",
        "A3 A4",
        "A3 C4 D4  C4 D4 E4  D4 E4 G4  E4 G4 A4  A4",
    ),
    (
        "E minor pentatonic",
        "fours",
        "down",
        "E4 E5",
        "E5 D5 B4 A4  D5 B4 A4 G4  B4 A4 G4 E4  E4",
    ),
    (
        "A blues",
        "fours",
        "down",
        "A3 A4",
        "A4 G4 E4 Eb4  G4 E4 Eb4 D4  E4 Eb4 D4 C4  Eb4 D4 C4 A3  A3",
    ),
    (
        "G major pentatonic",
        "thirds",
        "up",
        "G3 G4",
        "G3 B3  A3 D4  B3 E4  D4 G4  G4",
    ),
    (
        "C major",
        "three and back",
        "up",
        "C4 G4",
        "C4 D4 E4 C4  D4 E4 F4 D4  E4 F4 G4 E4  C4",
    ),
    (
        "C major",
        "threes by thirds",
        "up",
        "C4 B4",
        "C4 D4 E4  E4 F4 G4  G4 A4 B4  C4",
    ),
    (
        "C major",
        "turns",
        "up",
        "B3 G4",
        "C4 D4 C4 B3  D4 E4 D4 C4  E4 F4 E4 D4  F4 G4 F4 E4  C4",
    ),
    # The melodic minor has its own way down (any handbook of the major-minor system).
    (
        "A melodic minor",
        "scale",
        "up and back",
        "A3 A4",
        "A3 B3 C4 D4 E4 F#4 G#4 A4 G4 F4 E4 D4 C4 B3 A3",
    ),
    # In the keys with most signs: no note takes another letter.
    (
        "Gb major",
        "threes",
        "up",
        "Gb3 Gb4",
        "Gb3 Ab3 Bb3  Ab3 Bb3 Cb4  Bb3 Cb4 Db4  Cb4 Db4 Eb4  Db4 Eb4 F4  Eb4 F4 Gb4  Gb4",
    ),
    # Turning at the top without striking a note twice, and home at the bottom.
    (
        "C major",
        "threes",
        "up and back",
        "C4 G4",
        "C4 D4 E4  D4 E4 F4  E4 F4 G4  F4 E4 D4  E4 D4 C4  C4",
    ),
    # A compass that goes below the start: up to its top, down to its bottom, and home.
    (
        "C major",
        "scale",
        "up and back",
        "A3 E4",
        "C4 D4 E4 D4 C4 B3 A3 B3 C4",
    ),
    (
        "C major",
        "thirds",
        "up and back",
        "A3 G4",
        "C4 E4  D4 F4  E4 G4  F4 D4  E4 C4  D4 B3  C4 A3  B3 D4  C4",
    ),
]


@pytest.mark.parametrize(("scale", "pattern", "direction", "ends", "notes"), TABLES)
def test_a_sequence_is_the_book_s(
    scale: str, pattern: str, direction: str, ends: str, notes: str
) -> None:
    low, high = ends.split()
    score = sequence(scale, pattern, direction=direction, lowest=low, highest=high)
    # A last note that is home on the beat is made long and not struck again.
    assert names(score) == " ".join(notes.split()) or (
        names(score) == " ".join(notes.split()[:-1])
        and notes.split()[-1] == notes.split()[-2]
        and score.part("line").notes[-1].start.denominator == 1
    )


def test_there_are_enough_tables() -> None:
    assert len(TABLES) >= 20


def test_it_may_begin_and_end_on_any_degree() -> None:
    # Common practice: the same scale from its third is practised as a mode.
    score = sequence("C major", "scale", start=3, direction="up", lowest="E4", highest="E5")
    # Home on the last half of a beat, it is struck again on the next.
    assert names(score) == "E4 F4 G4 A4 B4 C5 D5 E5 E5"
    assert str(score.part("line").notes[0].degree) == "3"


# Beats typed by hand: a bar of 4/4 in eighths has its notes a half apart, and so on.
def test_threes_in_eighths_go_against_the_bar() -> None:
    score = sequence("C major", "threes", direction="up", lowest="C4", highest="C5", accents=True)
    line = score.part("line").notes
    accented = [str(note.start) for note in line if note.articulation == "accent"]
    # A figure of three eighths begins a beat and a half after the one before.
    assert accented == ["0", "3/2", "3", "9/2", "6", "15/2", "9"]


def test_threes_in_sixteenths_come_back_to_the_beat_every_third() -> None:
    score = sequence(
        "C major",
        "threes",
        rhythm="sixteenths",
        direction="up",
        lowest="C4",
        highest="C5",
        accents=True,
    )
    line = score.part("line").notes
    accented = [str(note.start) for note in line if note.articulation == "accent"]
    assert accented == ["0", "3/4", "3/2", "9/4", "3", "15/4"]
    # Home on the second sixteenth of a beat: it rings on from there.
    assert (str(line[-1].start), str(line[-1].beats)) == ("17/4", "15/4")
    assert starts(score).startswith("0 1/4 1/2 3/4 1 5/4 3/2 7/4 2")


def test_triplets_put_a_figure_of_three_on_every_beat() -> None:
    score = sequence(
        "C major", "threes", rhythm="triplets", direction="up", lowest="C4", highest="C5"
    )
    assert starts(score) == ("0 1/3 2/3 1 4/3 5/3 2 7/3 8/3 3 10/3 11/3 4 13/3 14/3 5 16/3 17/3 6")
    # The last note fills the second bar.
    assert (score.part("line").notes[-1].beats, score.end) == (2, 8)


def test_fours_in_triplets() -> None:
    score = sequence(
        "C major", "fours", rhythm="triplets", direction="up", lowest="C4", highest="C5"
    )
    line = score.part("line").notes
    assert [str(line[place].start) for place in (0, 4, 8, 12, 16)] == [
        "0",
        "4/3",
        "8/3",
        "4",
        "16/3",
    ]


def test_eighths_of_a_compound_meter_are_three_to_the_beat() -> None:
    score = sequence("C major", "threes", meter="6/8", direction="up", lowest="C4", highest="C5")
    assert starts(score).startswith("0 1/3 2/3 1 4/3 5/3 2")
    with pytest.raises(BadInput, match="falls in three already"):
        sequence("C major", rhythm="triplets", meter="6/8")


def test_a_gallop_goes_round_under_the_figures() -> None:
    score = sequence(
        "C major", "threes", rhythm="gallop", direction="up", lowest="C4", highest="C5"
    )
    assert starts(score).startswith("0 1/2 3/4 1 3/2 7/4 2")


def test_bars_are_filled_and_the_last_is_for_the_last_note() -> None:
    score = sequence("G major", "fours", bars=4, lowest="G3", highest="G4")
    last = score.part("line").notes[-1]
    assert (score.end, len(score.bars)) == (16, 4)
    assert (last.start, last.beats, str(last.pitch.note)) == (12, 4, "G")  # type: ignore[union-attr]


def test_a_position_s_places_are_used() -> None:
    # The closed A minor pentatonic at fret 5, two notes on each string (common practice).
    score = sequence("A minor pentatonic", "scale", instrument="guitar", position=5, direction="up")
    found = [(note.string, note.fret, note.finger) for note in score.part("line").notes]
    assert found[:6] == [(6, 5, 1), (6, 8, 4), (5, 5, 1), (5, 7, 3), (4, 5, 1), (4, 7, 3)]
    assert found[10] == (1, 5, 1)


def test_a_position_turns_at_its_own_top_and_bottom() -> None:
    # G major in a mandolin's first position: G3 open to B5 at the seventh fret (common practice).
    score = sequence("G major", "threes", instrument="mandolin", position=1)
    midis = [note.midi for note in score.part("line").notes]
    assert (min(midis), max(midis)) == (55, 83)
    # Three notes a string from the third fret: 3-5-7 on the two lowest (common practice).
    scale = Scale.parse("G major")
    found = patterns(find_instrument("guitar"), scale, 3)
    wide = next(each for each in found if each.places[0].note == scale.tonic)
    three = sequence("G major", "scale", instrument="guitar", position=wide, direction="up")
    strings = [note.string for note in three.part("line").notes]
    assert strings[:6] == [6, 6, 6, 5, 5, 5]
    frets = [(note.fret, note.finger) for note in three.part("line").notes[:6]]
    assert frets == [(3, 1), (5, 2), (7, 4), (3, 1), (5, 2), (7, 4)]


def test_closed_takes_no_open_string() -> None:
    score = sequence("A major", "threes", instrument="mandolin", closed=True)
    assert all(note.fret for note in score.part("line").notes)


@lru_cache(maxsize=1)
def everything() -> list[tuple[str, str, Score]]:
    return [
        (name, pattern, sequence(f"{key} major", pattern, instrument=name))
        for name in SIX
        for key in KEYS
        for pattern in SEQUENCES
    ]


def test_every_pattern_in_every_key_on_six_instruments() -> None:
    found = everything()
    assert len(found) == 12 * 6 * len(SEQUENCES)
    for name, pattern, score in found:
        neck = find_instrument(name)
        line = score.part("line").notes
        for note in line:
            assert note.string is not None
            assert note.fret is not None
            assert note.finger is not None
            string = neck.string(note.string)
            # It sounds where it is fingered, on a neck that has that fret.
            assert string.open.midi + max(note.fret - string.start_fret, 0) == note.midi
            assert note.fret <= neck.frets, (name, pattern)
            assert (note.finger == 0) == (note.fret == 0)
            assert note.pitch is not None
            assert note.pitch.midi == note.midi
        # The notes follow one another with no gap, and every bar adds up.
        assert line[0].start == 0
        assert all(one.start + one.beats == two.start for one, two in pairwise(line))
        for bar in score.bars:
            inside = [
                min(note.start + note.beats, bar.start + bar.beats) - max(note.start, bar.start)
                for note in line
                if note.start < bar.start + bar.beats and note.start + note.beats > bar.start
            ]
            assert sum(inside) == bar.beats == 4
        assert score.bars[-1].start + 4 == line[-1].start + line[-1].beats


def test_every_note_is_of_the_scale_and_the_last_is_home() -> None:
    for _, pattern, score in everything():
        assert score.key is not None
        scale = Scale.parse(f"{score.key.tonic} major")
        line = score.part("line").notes
        assert {note.pitch.note for note in line if note.pitch} <= {*scale.notes}, pattern
        assert line[-1].pitch is not None
        assert line[-1].pitch.note == score.key.tonic


def test_every_figure_has_the_shape_of_its_pattern() -> None:
    # On the way up, each figure of a scale of seven notes lies on the letters that it names.
    letters = {letter: place for place, letter in enumerate("CDEFGAB")}
    for pattern in SEQUENCES.values():
        score = sequence("C major", pattern, direction="up", lowest="C3", highest="C6")
        line = [note.pitch for note in score.part("line").notes if note.pitch]
        size = len(pattern.steps)
        steps = [letters[pitch.note.letter] + 7 * pitch.octave for pitch in line]
        for place in range(0, len(line) - size, size):
            figure = steps[place : place + size]
            shape = [step - figure[0] for step in figure]
            assert shape == [step - pattern.steps[0] for step in pattern.steps], pattern.name
        if size < len(line) - size:
            assert steps[size] - steps[0] == pattern.stride


@pytest.mark.parametrize("meter", METERS)
@pytest.mark.parametrize("rhythm", RHYTHMS)
def test_the_last_bar_is_full_in_every_meter(meter: str, rhythm: str) -> None:
    in_three = find_meter(meter).beat_parts == 3
    if in_three and rhythm in ("triplets", "sixteenth triplets", "shuffle"):
        with pytest.raises(BadInput, match="falls in three"):
            sequence("D Dorian", rhythm=rhythm, meter=meter)
        return
    for direction in DIRECTIONS:
        for bars in (None, 1, 3):
            score = sequence("D Dorian", rhythm=rhythm, meter=meter, direction=direction, bars=bars)
            last = score.part("line").notes[-1]
            assert (last.start + last.beats) % score.signature.beats == 0
            assert bars in (None, len(score.bars))


def test_scales_of_other_sizes() -> None:
    for scale in (
        "A blues",
        "A minor pentatonic",
        "C whole tone",
        "G bebop dominant",
        "C chromatic",
    ):
        for pattern in ("threes", "fours", "thirds", "octaves", "triads"):
            score = sequence(scale, pattern, instrument="guitar")
            tonic = Scale.parse(scale).tonic
            last = score.part("line").notes[-1].pitch
            assert last is not None
            assert last.note == tonic
    octave = sequence("A minor pentatonic", "octaves", instrument="guitar").part("line").notes
    assert octave[1].midi - octave[0].midi == 12


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ({"pattern": "threees"}, "did you mean 'threes'"),
        ({"pattern": ()}, "no figure of so many notes"),
        ({"pattern": (1, 40)}, "reaches too far"),
        ({"direction": "sideways"}, "accepted: up and back, up, down, down and back"),
        ({"rhythm": "eights"}, "did you mean 'eighths'"),
        ({"rhythm": [0]}, "quarter notes above 0"),
        ({"start": "b3"}, "not a degree of C major"),
        ({"position": 1}, "of what instrument"),
        ({"bars": 0}, "accepted: 1 to 200"),
        ({"tempo": 5}, "beats a minute"),
        ({"lowest": "C4", "highest": "D4"}, "compass 'C4 to D4': too narrow for threes"),
        ({"meter": "11/4"}, "not a meter"),
        ({"instrument": "guitar", "lowest": "C2", "highest": "C4"}, "not on a guitar"),
        ({"scale": "C chord tones"}, "those of a chord"),
        ({"scale": "A minor pentatonic", "pattern": "sevenths"}, "a scale of 5 notes has none"),
    ],
)
def test_what_cannot_be_is_refused_in_one_line(options: dict[str, object], words: str) -> None:
    given = {"scale": "C major", **options}
    with pytest.raises(BadInput) as raised:
        sequence(given.pop("scale"), given.pop("pattern", "threes"), **given)  # type: ignore[arg-type]
    assert words in str(raised.value)
    assert "\n" not in str(raised.value)


def test_steps_are_read_from_text_and_numbers() -> None:
    assert find_pattern("1 2 3 5").steps == find_pattern((1, 2, 3, 5)).steps == (1, 2, 3, 5)
    assert find_pattern("1-2-1-0").steps == (1, 2, 1, 0)
    assert all(pattern.source for pattern in SEQUENCES.values())
