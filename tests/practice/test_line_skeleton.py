"""A tune varied: what stays of it, and what the new notes keep to."""

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from line_promises import QUARTERS, STRONG

from theorykit.analysis.classification import classify
from theorykit.analysis.style import CARE_AT, SWITCH_AT, find_style
from theorykit.analysis.tonality import tune_mode
from theorykit.errors import BadInput
from theorykit.practice.line import line_over
from theorykit.practice.line_skeleton import line_from_tune
from theorykit.score.score import Part, Score, ScoreNote
from theorykit.theory.form import find_progression
from theorykit.theory.key import Key
from theorykit.theory.pitch import Pitch
from theorykit.theory.progression import Progression

#: A tune made up for this test, eight bars in G.
TUNE = """D4:1 G4:1 B4:1/2 A4:1/2 G4:1  E4:1 G4:1 D4:2  C5:1 B4:1/2 A4:1/2 G4:1 B4:1  A4:3 D4:1
D4:1 G4:1 B4:1/2 A4:1/2 G4:1  E4:1 G4:1 D4:2  A4:1/2 B4:1/2 A4:1/2 G4:1/2 F#4:1 A4:1  G4:4"""
CHART = "| I | IV I | IV I | V | I | IV I | V | I |"


def tune_score(key="G"):
    at, notes = Fraction(0), []
    for word in TUNE.split():
        name, beats = word.split(":")
        pitch = Pitch.parse(name)
        notes.append(ScoreNote(at, Fraction(beats), pitch.midi, pitch))
        at += Fraction(beats)
    return Score((Part("line", tuple(notes), "guitar"),), key=Key.parse(key), title="made up")


def shape(notes):
    return [(note.start, note.beats, note.midi, note.pitch) for note in notes]


def test_nothing_varied_is_the_tune():
    line = line_from_tune(tune_score(), CHART, vary=0)
    assert shape(line.notes) == shape(tune_score().part("line").notes)
    assert line.score.title == "made up"


@pytest.mark.parametrize("level", [1, 2, 3, 4])
def test_the_skeleton_stays_by_hand(level):
    # Beats 1 and 3 of each bar, and every quarter or longer: only the weak eighths may go.
    for seed in range(30):
        line = line_from_tune(tune_score(), CHART, vary=1, level=level, seed=seed)
        there = {(note.start, note.midi) for note in line.notes}
        for note in tune_score().part("line").notes:
            eighth = note.beats == Fraction(1, 2) and note.start % 2
            if not eighth:
                assert (note.start, note.midi) in there, (seed, note)


def test_the_more_is_varied_the_less_is_left():
    own = set(shape(tune_score().part("line").notes))

    def left(vary):
        lines = [line_from_tune(tune_score(), CHART, vary=vary, seed=seed) for seed in range(20)]
        return sum(len(own & set(shape(line.notes))) for line in lines)

    assert left(0.0) > left(0.3) > left(0.7) > left(1.0)


def test_the_same_seed_gives_the_same_variation():
    one, same, other = (
        line_from_tune(tune_score(), CHART, vary=0.8, seed=seed) for seed in (1, 1, 2)
    )
    assert one == same
    assert one != other


def broken(line, tune, progression, style):
    """What the new notes break: strong beats, rubbing notes, steps, bar lines, compass."""
    found = []
    own = {(note.start, note.midi) for note in tune}
    score, mode = line.score, tune_mode(progression)
    bar = score.bars[0].beats
    quarters = QUARTERS.get(score.meter, Fraction(1))
    low, high = min(n.midi for n in tune) - 4, max(n.midi for n in tune) + 4
    for note, after in pairwise(line.notes):
        if note.start + note.beats > after.start:
            found.append(("overlap", note))
    for index, note in enumerate(line.notes):
        if (note.start, note.midi) in own:
            continue
        if not low <= note.midi <= high:
            found.append(("range", note))
        if note.start // bar != (note.start + note.beats - Fraction(1, 96)) // bar:
            found.append(("bar line", note))
        placed = [c for c in score.chords if c.start <= note.start][-1]
        tones = {n.pitch_class for n in placed.chord.notes}
        if note.midi % 12 in tones:
            continue
        if line.level == 1:
            found.append(("level", note))
        kind, _ = classify(note.midi - score.key.tonic.pitch_class, placed.numeral, mode)
        severity = find_style(style).severity(kind)
        gritty = line.gritty[int(note.start // bar)]
        strong = note.start % bar in STRONG[score.meter] or note.start == placed.start
        if strong and not (line.level == 4 and gritty and kind.role == "blue"):
            found.append(("strong", note))
        if severity >= SWITCH_AT:
            found.append(("avoid", note))
        if index + 1 == len(line.notes):
            found.append(("step", note))
            continue
        after = line.notes[index + 1]
        move = abs(after.midi - note.midi)
        joined = note.start + note.beats == after.start
        if kind.role == "avoid" or severity >= CARE_AT:
            goal = {n.pitch_class for n in placed.chord.notes}
            good = joined and 1 <= move <= 2 and after.midi % 12 in goal
            if not good or note.beats * quarters > Fraction(1, 2):
                found.append(("resolution", note))
        if not (1 <= move <= 3 if gritty or kind.role == "blue" else 1 <= move <= 2):
            found.append(("step", note))
    return found


FORMS = ("12-bar blues", "waltz", "two-part jig", "minor ii-V-i", "I-bVII-IV", "circle of fourths")


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("level", [1, 2, 3, 4])
def test_what_is_new_keeps_the_promises_of_its_level(form, level):
    progression = find_progression(form)
    for seed, style in enumerate(("bluegrass", "blues", "jazz", "classical")):
        tune = line_over(progression, "D", level=1 + seed % 3, seed=seed)
        varied = line_from_tune(tune.score, vary=1, level=level, style=style, seed=seed, grit=0.6)
        assert broken(varied, tune.notes, progression, style) == []
        skeleton = {
            (note.start, note.midi)
            for note in tune.notes
            if note.start % tune.score.bars[0].beats in STRONG[progression.meter]
        }
        assert skeleton <= {(note.start, note.midi) for note in varied.notes}


def planted(line, index, **change):
    """The kinds that are found when one note of a sound variation is changed."""
    notes = list(line.notes)
    notes[index] = replace(notes[index], **change)
    spoilt = replace(line, score=line.score.with_part(Part("line", tuple(notes), "guitar")))
    tune = tune_score().part("line").notes
    return {kind for kind, _ in broken(spoilt, tune, Progression.parse(CHART), "jazz")}


def test_the_checker_finds_what_is_planted():
    line = line_from_tune(tune_score(), CHART, vary=1, seed=4, style="jazz")
    own = {(note.start, note.midi) for note in tune_score().part("line").notes}
    assert planted(line, 0) == set()
    new = [i for i, note in enumerate(line.notes) if (note.start, note.midi) not in own]
    assert "range" in planted(line, new[0], midi=90)
    assert "overlap" in planted(line, new[0], beats=Fraction(3))
    assert "bar line" in planted(line, new[0], beats=Fraction(9))
    # Over G: A flat is a half step above the root, foreign to the key.
    assert {"strong", "avoid"} <= planted(line, 0, midi=68)
    # Over G: C rubs against the third in jazz, and may only pass.
    in_first_bar = next(i for i in new if line.notes[i].start < 4)
    after = line.notes[in_first_bar + 1].midi
    assert {"resolution", "step"} <= planted(line, in_first_bar, midi=72 if after < 70 else 60)


def test_the_tune_s_own_chords_serve_where_no_others_are_given():
    tune = line_over("| I | N.C. | key: II | I | V |", "G", level=1, seed=2).score
    varied = line_from_tune(tune, vary=1, seed=1)
    assert [str(c.chord) for c in varied.score.chords] == ["G", "None", "A", "E"]
    assert [str(key) for _, key in varied.score.keys] == ["G major", "A major"]


def test_a_fingered_variation():
    line = line_from_tune(tune_score(), CHART, vary=1, seed=1, instrument="mandolin", closed=True)
    assert all(note.string and note.finger is not None for note in line.notes)


@pytest.mark.parametrize(
    ("score", "options", "words"),
    [
        (tune_score(), {"progression": CHART, "vary": 2}, "vary '2': out of range"),
        (tune_score(), {}, "has no chords"),
        (Score((Part("line", (), "guitar"),)), {"progression": CHART}, "has no notes"),
        (
            Score((Part("line", (ScoreNote(Fraction(0), Fraction(1), 60),), "guitar"),)),
            {"progression": CHART},
            "names none",
        ),
    ],
)
def test_what_cannot_be_varied_is_refused(score, options, words):
    with pytest.raises(BadInput, match=words):
        line_from_tune(score, **options)
