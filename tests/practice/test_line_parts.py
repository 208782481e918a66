"""What lines are made of: the vocabulary of rhythms, what a note is worth over a chord, names."""

import random
from fractions import Fraction
from itertools import pairwise

import pytest

from theorykit.analysis.style import find_style
from theorykit.practice.line import line_over
from theorykit.practice.line_chart import line_chart
from theorykit.practice.line_figures import FIGURES, GROUPS, bar_eighths, figure_lengths
from theorykit.practice.line_rhythm import phrase_rhythms
from theorykit.theory.form import find_progression
from theorykit.theory.key import Key
from theorykit.theory.meter import METERS
from theorykit.theory.pitch import Note
from theorykit.theory.progression import Progression


def test_every_meter_of_charts_has_groups_that_fill_its_bar():
    assert set(GROUPS) == set(METERS)
    for name, meter in METERS.items():
        assert bar_eighths(name) == 2 * meter.beats * meter.beat_quarters


def test_every_group_has_figures_at_every_level_and_they_fill_it():
    sizes = {length for groups in GROUPS.values() for length, _ in groups}
    for figures in FIGURES.values():
        assert set(figures) == sizes
        for length, choices in figures.items():
            for figure, weight in choices:
                assert sum(each for each, _ in figure_lengths(figure)) == length, figure
                assert weight > 0


@pytest.mark.parametrize("meter", METERS)
@pytest.mark.parametrize("level", FIGURES)
def test_phrases_fill_the_form_and_breathe(meter, level):
    for seed in range(20):
        bars = 1 + seed % 9
        changes = [frozenset({Fraction(0)})] * bars
        found = phrase_rhythms(meter, level, changes, random.Random(seed), last=True)
        assert sum(rhythm.bars for rhythm in found) == bars
        end = Fraction(0)
        for number, rhythm in enumerate(found):
            start = rhythm.first_bar * bar_eighths(meter)
            assert number == 0 or start + rhythm.beats[0].at > end
            end = start + rhythm.beats[-1].end
        assert end == bars * bar_eighths(meter)


def names(form, key, bar, *, style="bluegrass", treatment=None, gritty=False):
    """The names of what may be played over a bar's chord, rising from the tonic."""
    slot = next(
        slot
        for slot in line_chart(find_progression(form), Key.parse(key), find_style(style)).slots
        if slot.bar == bar
    )
    tones = [tone for tone in (slot.gritty if gritty else slot.plain) if tone is not None]
    wanted = {treatment} if treatment else {"rest", "join", "brief", "watch", "blue", "slur"}
    return " ".join(str(t.degree.at(slot.tonic)) for t in tones if t.treatment in wanted)


@pytest.mark.parametrize(
    ("form", "key", "bar", "scale"),
    [
        # Common practice: the mode that the chord's own third and seventh ask for.
        ("12-bar blues", "C", 0, "C D E F G A Bb"),
        ("12-bar blues", "C", 4, "C D Eb F G A Bb"),
        ("12-bar blues", "C", 8, "C D E F G A B"),
        ("12-bar blues, plain chords", "C", 0, "C D E F G A B"),
        ("ii-V-I", "F", 1, "F G A Bb C D E"),
        ("I-bVII-IV", "A", 1, "A B C# D E F# G"),
        ("Dorian vamp", "D", 1, "D E F G A B C"),
    ],
)
def test_the_scale_over_a_chord(form, key, bar, scale):
    assert names(form, key, bar) == scale


def test_the_dominant_in_minor_has_its_leading_note():
    # Any handbook of the major-minor system; from memory.
    over_five = names("i-iv-V in minor", "A", 2).split()
    assert "G#" in over_five
    assert "G" not in over_five


def test_a_gritty_bar_has_the_chord_and_the_blues_scale():
    # Common practice: the blues scale of the key, and the chord's own third beside the blue one.
    assert names("12-bar blues", "A", 0, gritty=True, style="blues") == "A C C# D Eb E G"
    assert names("12-bar blues", "A", 0, gritty=True, style="blues", treatment="blue") == "C"
    assert names("12-bar blues", "A", 0, gritty=True, style="blues", treatment="slur") == "Eb"


def test_neighbours_lead_up_from_a_half_step_below():
    # Common practice: raised fourth to the fifth, lowered third to the third.
    led = names("12-bar blues, plain chords", "C", 0, treatment="lead")
    assert led == "Eb F#"


@pytest.mark.parametrize(
    ("key", "scale"),
    [
        ("C", "C D E F G A B"),
        ("Db", "Db Eb F Gb Ab Bb C"),
        ("D", "D E F# G A B C#"),
        ("Eb", "Eb F G Ab Bb C D"),
        ("E", "E F# G# A B C# D#"),
        ("F", "F G A Bb C D E"),
        ("F#", "F# G# A# B C# D# E#"),
        ("G", "G A B C D E F#"),
        ("Ab", "Ab Bb C Db Eb F G"),
        ("A", "A B C# D E F# G#"),
        ("Bb", "Bb C D Eb F G A"),
        ("B", "B C# D# E F# G# A#"),
    ],
)
def test_notes_are_spelled_in_the_key(key, scale):
    # The major scales, any theory handbook.
    known = {Note.parse(name) for name in scale.split()}
    for seed in range(6):
        line = line_over("I-vi-ii-V", key, level=2, seed=seed)
        assert {note.pitch.note for note in line.notes} <= known


def test_going_up_a_blue_fifth_is_a_raised_fourth():
    # Common practice: flats going down, sharps going up.
    spelled = set()
    for seed in range(30):
        notes = line_over("12-bar blues", "A", level=4, grit=1, seed=seed, style="blues").notes
        for note, after in pairwise(notes):
            if note.midi % 12 == 3 and after.midi - note.midi in {1, -1} and note.role == "blue":
                spelled.add((str(note.pitch.note), after.midi > note.midi))
    assert spelled == {("D#", True), ("Eb", False)}


def test_where_chords_are_silent_the_last_one_is_still_heard():
    chart = line_chart(
        Progression.parse("| I | N.C. | V |"), Key.parse("G"), find_style("bluegrass")
    )
    assert [str(slot.chord) for slot in chart.slots] == ["G", "G", "D"]
    assert [slot.silent for slot in chart.slots] == [False, True, False]
