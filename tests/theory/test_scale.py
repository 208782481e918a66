"""Scales: spelling in every key, the catalogue, formulas, modes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from mingus.core import scales as mingus_scales
from music21 import chord as music21_chord
from music21 import scale as music21_scale
from music21.scale.intervalNetwork import Direction

from theorykit.errors import BadInput
from theorykit.theory.degree import Degree
from theorykit.theory.key import MAJOR_TONICS, MINOR_TONICS, TONICS
from theorykit.theory.pitch import LETTER_SEMITONES, LETTERS, Note
from theorykit.theory.scale import MORE_SCALES, SCALES, Scale, ScaleFormula, find_scale

# Spelled by hand from the formula and the letter names, as players print them (common practice; a
# double flat gives way to the sharp a letter lower in the blues scales).
SPELLINGS = {
    "minor pentatonic": """
        C Eb F G Bb | G Bb C D F | D F G A C | A C D E G | E G A B D | B D E F# A | F# A B C# E
        F Ab Bb C Eb | Bb Db Eb F Ab | Eb Gb Ab Bb Db | Ab Cb Db Eb Gb | C# E F# G# B
        G# B C# D# F# | Db Fb Gb Ab Cb | Gb Bbb Cb Db Fb | D# F# G# A# C# | A# C# D# E# G#""",
    "blues": """
        C Eb F Gb G Bb | G Bb C Db D F | D F G Ab A C | A C D Eb E G | E G A Bb B D
        B D E F F# A | F# A B C C# E | F Ab Bb Cb C Eb | Bb Db Eb Fb F Ab | Eb Gb Ab A Bb Db
        Ab Cb Db D Eb Gb | Db Fb Gb G Ab Cb | C# E F# G G# B | G# B C# D D# F#""",
    "major pentatonic": """
        C D E G A | G A B D E | D E F# A B | A B C# E F# | E F# G# B C# | B C# D# F# G#
        F G A C D | Bb C D F G | Eb F G Bb C | Ab Bb C Eb F | Db Eb F Ab Bb | Gb Ab Bb Db Eb
        Cb Db Eb Gb Ab | F# G# A# C# D# | C# D# E# G# A#""",
    "major blues": """
        C D Eb E G A | G A Bb B D E | D E F F# A B | A B C C# E F# | E F# G G# B C#
        B C# D D# F# G# | F G Ab A C D | Bb C Db D F G | Eb F Gb G Bb C | Ab Bb Cb C Eb F
        Db Eb Fb F Ab Bb | Gb Ab A Bb Db Eb | F# G# A A# C# D#""",
    "major": """
        C D E F G A B | G A B C D E F# | D E F# G A B C# | A B C# D E F# G# | E F# G# A B C# D#
        B C# D# E F# G# A# | F# G# A# B C# D# E# | C# D# E# F# G# A# B# | F G A Bb C D E
        Bb C D Eb F G A | Eb F G Ab Bb C D | Ab Bb C Db Eb F G | Db Eb F Gb Ab Bb C
        Gb Ab Bb Cb Db Eb F | Cb Db Eb Fb Gb Ab Bb""",
    "harmonic minor": """
        A B C D E F G# | D E F G A Bb C# | G A Bb C D Eb F# | C D Eb F G Ab B | F G Ab Bb C Db E
        Bb C Db Eb F Gb A | Eb F Gb Ab Bb Cb D | Ab Bb Cb Db Eb Fb G | E F# G A B C D#
        B C# D E F# G A# | F# G# A B C# D E# | C# D# E F# G# A B# | G# A# B C# D# E F##
        D# E# F# G# A# B C## | A# B# C# D# E# F# G##""",
    "natural minor": "A B C D E F G | D E F G A Bb C | G A Bb C D Eb F | F# G# A B C# D E",
    "melodic minor": "A B C D E F# G# | D E F G A B C# | C D Eb F G A B | F# G# A B C# D# E#",
    "Dorian": "D E F G A B C | G A Bb C D E F | A B C D E F# G | C D Eb F G A Bb",
    "Phrygian": "E F G A B C D | A Bb C D E F G | B C D E F# G A",
    "Lydian": "F G A B C D E | C D E F# G A B | Bb C D E F G A",
    "Mixolydian": "G A B C D E F | A B C# D E F# G | D E F# G A B C | Bb C D Eb F G Ab",
    "Locrian": "B C D E F G A | E F G A Bb C D | F# G A B C D E",
    "Lydian dominant": "F G A B C D Eb | C D E F# G A Bb | Bb C D E F G Ab",
    "Phrygian dominant": "E F G# A B C D | D Eb F# G A Bb C | A Bb C# D E F G",
    "altered": "G Ab Bb Cb Db Eb F | B C D Eb F G A | C Db Eb Fb Gb Ab Bb",
    "bebop dominant": "G A B C D E F F# | C D E F G A Bb B | D E F# G A B C C#",
    "whole tone": "C D E F# G# Bb | F G A B C# Eb | Ab Bb C D E Gb",
    "whole-half diminished": "C D Eb F Gb Ab A B | A B C D Eb F F# G#",
    "half-whole diminished": "C Db Eb E F# G A Bb | G Ab Bb B C# D E F | E F G G# A# B C# D",
    "chromatic": """
        C C# D D# E F F# G G# A A# B | G G# A A# B C C# D D# E E# F#
        F F# G G# A Bb B C C# D D# E""",
    "Lydian augmented": "C D E F# G# A B",
    "Mixolydian b6": "C D E F G Ab Bb",
    "harmonic major": "C D E F G Ab B",
    "double harmonic": "C Db E F G Ab B",
    "Hungarian minor": "C D Eb F# G Ab B",
}  # fmt: skip


def rows(text):
    """Split a block of ``a b c | d e f``, where a line's end is a bar line too."""
    return [row.split() for line in text.splitlines() for row in line.split("|") if row.split()]


HAND_ROWS = [(name, row) for name, text in SPELLINGS.items() for row in rows(text)]


@pytest.mark.parametrize(("name", "notes"), HAND_ROWS, ids=lambda value: "-".join(value)
                         if isinstance(value, list) else value)  # fmt: skip
def test_scales_are_spelled_as_players_print_them(name, notes):
    scale = Scale(Note.parse(notes[0]), find_scale(name))
    assert [str(note) for note in scale.notes] == notes


def music21_notes(scale, low, high, direction=Direction.ASCENDING):
    pitches = scale.getPitches(low, high, direction=direction)
    return [pitch.name.replace("-", "b") for pitch in pitches][:-1]


# The chromatic, octatonic and whole-tone classes of music21 spell by sound, so only the seven-note
# scales can be compared letter by letter; it has no pentatonic class.
MUSIC21_CLASSES = {
    "major": music21_scale.MajorScale,
    "natural minor": music21_scale.MinorScale,
    "harmonic minor": music21_scale.HarmonicMinorScale,
    "melodic minor": music21_scale.MelodicMinorScale,
    "Dorian": music21_scale.DorianScale,
    "Phrygian": music21_scale.PhrygianScale,
    "Lydian": music21_scale.LydianScale,
    "Mixolydian": music21_scale.MixolydianScale,
    "Locrian": music21_scale.LocrianScale,
}


def tonics_of(name):
    return MAJOR_TONICS if name in {"major", "Lydian", "Mixolydian"} else MINOR_TONICS


@pytest.mark.parametrize("name", MUSIC21_CLASSES)
def test_fifteen_keys_are_spelled_as_in_music21(name):
    for tonic in tonics_of(name):
        other = MUSIC21_CLASSES[name](str(tonic).replace("b", "-"))
        low = str(tonic).replace("b", "-")
        expected = music21_notes(other, f"{low}4", f"{low}5")
        assert [str(note) for note in Scale(tonic, SCALES[name]).notes] == expected, tonic


def test_melodic_minor_comes_down_as_in_music21():
    for tonic in MINOR_TONICS:
        low = str(tonic).replace("b", "-")
        other = music21_scale.MelodicMinorScale(low)
        down = other.getPitches(f"{low}4", f"{low}5", direction=Direction.DESCENDING)
        expected = [pitch.name.replace("-", "b") for pitch in reversed(down)][:-1]
        assert [str(note) for note in Scale(tonic, SCALES["melodic minor"]).notes_descending] == (
            expected
        )


MINGUS_CLASSES = {
    "major": mingus_scales.Major,
    "natural minor": mingus_scales.NaturalMinor,
    "harmonic minor": mingus_scales.HarmonicMinor,
    "melodic minor": mingus_scales.MelodicMinor,
    "Dorian": mingus_scales.Dorian,
    "Phrygian": mingus_scales.Phrygian,
    "Lydian": mingus_scales.Lydian,
    "Mixolydian": mingus_scales.Mixolydian,
    "Locrian": mingus_scales.Locrian,
}


@pytest.mark.parametrize("name", MINGUS_CLASSES)
def test_scales_are_spelled_as_in_mingus(name):
    for tonic in tonics_of(name):
        expected = MINGUS_CLASSES[name](str(tonic), 1).ascending()[:-1]
        assert [str(note) for note in Scale(tonic, SCALES[name]).notes] == expected, tonic


# Set classes and interval vectors (Forte 1973; from memory). Blues and major blues are one class.
SET_CLASSES = [
    ("minor pentatonic", "5-35", (0, 3, 2, 1, 4, 0)),
    ("major pentatonic", "5-35", (0, 3, 2, 1, 4, 0)),
    ("blues", "6-47B", (2, 3, 3, 2, 4, 1)),
    ("major blues", "6-47B", (2, 3, 3, 2, 4, 1)),
    ("major", "7-35", (2, 5, 4, 3, 6, 1)),
    ("natural minor", "7-35", (2, 5, 4, 3, 6, 1)),
    ("Dorian", "7-35", (2, 5, 4, 3, 6, 1)),
    ("harmonic minor", "7-32A", (3, 3, 5, 4, 4, 2)),
    ("melodic minor", "7-34", (2, 5, 4, 4, 4, 2)),
    ("altered", "7-34", (2, 5, 4, 4, 4, 2)),
    ("Lydian dominant", "7-34", (2, 5, 4, 4, 4, 2)),
    ("whole tone", "6-35", (0, 6, 0, 6, 0, 3)),
    ("whole-half diminished", "8-28", (4, 4, 8, 4, 4, 4)),
    ("half-whole diminished", "8-28", (4, 4, 8, 4, 4, 4)),
    ("chromatic", "12-1", (12, 12, 12, 12, 12, 6)),
]


def interval_vector(semitones):
    vector = [0] * 6
    for index, low in enumerate(semitones):
        for high in semitones[index + 1 :]:
            distance = (high - low) % 12
            vector[min(distance, 12 - distance) - 1] += 1
    return tuple(vector)


@pytest.mark.parametrize(("name", "forte", "vector"), SET_CLASSES)
def test_set_classes_are_those_of_the_published_table(name, forte, vector):
    formula = SCALES[name]
    other = music21_chord.Chord(list(formula.semitones))
    assert other.forteClass == forte
    assert tuple(other.intervalVector) == interval_vector(formula.semitones) == vector


def test_every_scale_of_the_catalogue_has_the_interval_vector_that_music21_counts():
    for formula in [*SCALES.values(), *MORE_SCALES.values()]:
        if not formula.follows_chord:
            other = music21_chord.Chord(list(formula.semitones))
            assert tuple(other.intervalVector) == interval_vector(formula.semitones), formula.name


def test_blues_is_the_minor_pentatonic_and_one_note():
    # Common practice: six notes, the added one between 4 and 5.
    added = set(SCALES["blues"].degrees) - set(SCALES["minor pentatonic"].degrees)
    assert (
        {str(degree) for degree in added}
        == {"b5"}
        == {str(degree) for degree in SCALES["blues"].ornaments}
    )
    added = set(SCALES["major blues"].degrees) - set(SCALES["major pentatonic"].degrees)
    assert {str(degree) for degree in added} == {"b3"}


def test_chromatic_goes_up_in_sharps_and_down_in_flats():
    scale = Scale(Note.parse("C"), SCALES["chromatic"])
    assert " ".join(map(str, scale.notes)) == "C C# D D# E F F# G G# A A# B"
    assert " ".join(map(str, scale.notes_descending)) == "C Db D Eb E F Gb G Ab A Bb B"


def test_a_scale_with_one_form_comes_down_as_it_went_up():
    scale = Scale(Note.parse("Eb"), SCALES["blues"])
    assert scale.notes_descending == scale.notes


# What a key's printed spelling may hold: at most one double sign in a whole scale, never a triple.
def test_no_scale_in_any_key_needs_a_triple_sign():
    for formula in [*SCALES.values(), *MORE_SCALES.values()]:
        for tonic in TONICS:
            assert all(abs(note.alter) <= 2 for note in Scale(tonic, formula).notes)


def test_a_scale_prints_the_second_spelling_only_where_the_first_needs_a_double_sign():
    flats = [str(tonic) for tonic in TONICS
             if Degree.parse("#4") in Scale(tonic, SCALES["blues"]).degrees]  # fmt: skip
    assert flats == ["Cb", "Db", "Eb", "Gb", "Ab"]


@pytest.mark.parametrize(
    ("text", "name"),
    [("Aeolian", "natural minor"), ("ionian", "major"), ("BLUES", "blues"),
     ("minor pentatonic scale", "minor pentatonic"), ("jazz minor", "melodic minor"),
     ("  super   locrian ", "altered"), ("1 b3 4 5 b7", "minor pentatonic"),
     ("1 ♭3 4 5 ♭7", "minor pentatonic"), ("1, b3, 4, b5, 5, b7", "blues"),
     ("1 b3 4 #4 5 b7", "blues"), ("1 2 #2 3 5 6", "major blues"), ("lydian b7", "Lydian dominant"),
     ("pentatonic", "major pentatonic"), ("arpeggio", "chord tones"), ("minor", "natural minor"),
     ("byzantine", "double harmonic"), ("half-diminished", "Locrian natural 2"),
     ("1 2 b3 5 6", "1 2 b3 5 6"), ("1 2 3 #4 5", "1 2 3 #4 5")],
)  # fmt: skip
def test_scales_are_found_by_name_alias_and_formula(text, name):
    assert find_scale(text).name == name


def test_no_name_or_alias_means_two_scales():
    names = [name.casefold() for scale in [*SCALES.values(), *MORE_SCALES.values()]
             for name in (scale.name, *scale.aliases)]  # fmt: skip
    assert len(names) == len(set(names))


def test_no_two_scales_of_the_catalogue_sound_alike():
    sounds = [scale.semitones for scale in [*SCALES.values(), *MORE_SCALES.values()]]
    assert len(sounds) == len(set(sounds))


def test_every_scale_says_where_it_is_from():
    assert all(scale.source for scale in [*SCALES.values(), *MORE_SCALES.values()])


# Modes (any theory handbook for the major scale's; Levine 1995 for the minors', from memory).
@pytest.mark.parametrize(
    ("parent", "names"),
    [("major", "major, Dorian, Phrygian, Lydian, Mixolydian, natural minor, Locrian"),
     ("melodic minor", ("melodic minor, Dorian b2, Lydian augmented, Lydian dominant, "
      "Mixolydian b6, Locrian natural 2, altered")),
     ("major pentatonic", ("major pentatonic, suspended pentatonic, 1 b3 4 b6 b7, 1 2 4 5 6, "
      "minor pentatonic")),
     ("whole-half diminished", "whole-half diminished, half-whole diminished"),
     ("whole tone", "whole tone, whole tone"),
     ("harmonic minor", ("harmonic minor, Locrian natural 6, Ionian augmented, Dorian #4, "
      "Phrygian dominant, Lydian #2, 1 b2 b3 b4 b5 b6 bb7")),
     ("blues", "blues, major blues")],
)  # fmt: skip
def test_modes_have_their_names(parent, names):
    expected = names.split(", ")
    formula = find_scale(parent)
    assert [formula.mode(number + 1).name for number in range(len(expected))] == expected


def test_there_is_no_mode_beyond_the_last_note():
    for number in (0, 6, -1):
        with pytest.raises(BadInput, match=r"mode '-?[0-9]': the scale has 5 notes"):
            SCALES["minor pentatonic"].mode(number)
    with pytest.raises(BadInput, match="have no formula"):
        SCALES["chord tones"].mode(1)


formulas = st.lists(st.integers(1, 11), min_size=1, max_size=11, unique=True).map(
    lambda steps: (0, *sorted(steps))
)
SEMITONE_DEGREES = ["1", "b2", "2", "b3", "3", "4", "b5", "5", "b6", "6", "b7", "7"]


@given(formulas, st.data())
def test_a_mode_has_the_parents_notes_and_its_own_degree_brings_it_back(steps, data):
    formula = ScaleFormula.parse(" ".join(SEMITONE_DEGREES[step] for step in steps))
    number = data.draw(st.integers(1, len(steps)))
    mode = formula.mode(number)
    moved = sorted((step - steps[number - 1]) % 12 for step in steps)
    assert list(mode.semitones) == moved
    back = mode.mode((len(steps) - number + 1) % len(steps) + 1)
    assert back.semitones == formula.semitones


@given(formulas)
def test_formulas_are_read_as_they_are_written(steps):
    formula = ScaleFormula.parse(" ".join(SEMITONE_DEGREES[step] for step in steps))
    assert ScaleFormula.parse(str(formula)) == formula
    assert formula.semitones == steps


letters = st.builds(Note, st.sampled_from(LETTERS), st.integers(-1, 1))


@given(st.sampled_from([*SCALES.values(), *MORE_SCALES.values()]), letters)
def test_every_key_sounds_the_same_scale(formula, tonic):
    scale = Scale(tonic, formula)
    assert [(note.pitch_class - tonic.pitch_class) % 12 for note in scale.notes] == list(
        formula.semitones
    )
    if len(formula.degrees) == 7:
        assert len({note.letter for note in scale.notes}) == 7


@given(st.sampled_from([name for name in SCALES if name != "chord tones"]), letters)
def test_scales_are_read_as_they_are_written(name, tonic):
    scale = Scale(tonic, SCALES[name])
    assert Scale.parse(str(scale)) == scale
    assert Scale.parse(scale.pretty) == scale


def test_letters_and_half_steps_agree():
    # The one table from which everything else is counted (any theory handbook).
    assert [LETTER_SEMITONES[letter] for letter in LETTERS] == [0, 2, 4, 5, 7, 9, 11]
