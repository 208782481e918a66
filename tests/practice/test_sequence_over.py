"""Sequences over a progression: in the plan's scale, joined at the nearest note."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest

from theorykit.analysis.plan import plan_progression
from theorykit.analysis.style import find_style
from theorykit.errors import BadInput
from theorykit.practice.sequence_over import sequence_over
from theorykit.practice.sequence_pattern import SEQUENCES
from theorykit.score.arrange import arrange
from theorykit.score.score import Score, ScoreNote
from theorykit.theory.form import find_progression
from theorykit.theory.pitch import Note
from theorykit.theory.scale import find_scale


def by_chord(score: Score) -> list[str]:
    """The notes of each chord, in the order of the chords."""
    line = score.part("line").notes
    return [
        " ".join(
            str(note.pitch)
            for note in line
            if chord.start <= note.start < chord.start + chord.beats
        )
        for chord in score.chords
    ]


def test_chord_tones_lead_by_the_nearest_step() -> None:
    # By hand (common practice: arpeggios joined by the nearest chord tone), quarter notes.
    score = sequence_over(
        "| I | IV | V | I |",
        "G",
        "scale",
        scale="chord tones",
        rhythm="quarters",
        lowest="G3",
        highest="G5",
    )
    assert by_chord(score) == [
        "G3 B3 D4 G4",
        # E and G of C: G would be struck twice, so E, a minor third below.
        "E4 G4 C5 E5",
        # D and F# lie a whole step off: the D, being below, is not the way that the line goes.
        "F#5 D5 A4 F#4",
        "G4 D4 B3 G3",
        "G3",
    ]


def test_a_figure_that_has_begun_runs_on_where_the_scale_stays() -> None:
    # One major scale over all three chords (common practice: ii-V-I is one key).
    score = sequence_over("ii-V-I", "C", "threes", style="jazz", lowest="C4", highest="C5")
    assert by_chord(score)[:2] == ["D4 E4 F4 E4 F4 G4 F4 G4", "A4 G4 A4 B4 A4 B4 C5 B4"]


def test_the_scale_is_the_plan_s_for_each_bar() -> None:
    form = find_progression("12-bar blues")
    score = sequence_over(form, "A", "fours", scale="minor pentatonic", style="bluegrass")
    plan = plan_progression(form, find_scale("minor pentatonic"), find_style("bluegrass"))
    tonic = Note.parse("A")
    start = Fraction(0)
    line = score.part("line").notes
    assert {entry.scale.name for entry in plan.entries}
    for entry in plan.entries:
        scale = {degree.at(entry.scale_tonic.at(tonic)) for degree in entry.scale.degrees}
        inside = [n for n in line if start <= n.start < start + entry.beats]
        assert len(inside) == 8
        classes = {note.pitch.note.pitch_class for note in inside if note.pitch}
        assert classes <= {note.pitch_class for note in scale}
        # Notes to leave out are left out.
        unwanted = {fit.degree.at(tonic).pitch_class for fit in entry.fit.unwanted}
        assert not classes & unwanted
        start += entry.beats


def test_degrees_and_roles_are_the_chord_s() -> None:
    score = sequence_over("| I | V7 |", "C", "scale", lowest="C4", highest="C5", style="country")
    told = [(str(n.pitch), str(n.degree), n.role) for n in score.part("line").notes]
    # Over C: its members, and the fourth that passes. Over G7: C is its fourth. Common practice.
    assert told[0] == ("C4", "1", "root")
    assert told[3] == ("F4", "4", "passing")
    assert told[4] == ("G4", "5", "chord tone")
    assert {(name[0], degree, role) for name, degree, role in told[8:16]} >= {
        ("B", "3", "chord tone"),
        ("F", "b7", "chord tone"),
        ("G", "1", "root"),
        ("C", "4", "passing"),
    }


def test_figures_on_the_chords_begin_on_a_chord_tone() -> None:
    score = sequence_over("I-vi-ii-V", "D", "1-2-3-5", on_chords=True, instrument="guitar")
    line = score.part("line").notes
    for chord in score.chords:
        first = next(note for note in line if note.start == chord.start)
        assert first.role in ("root", "chord tone")


@pytest.mark.parametrize("form", ["12-bar blues", "waltz", "two-part jig", "32-bar AABA"])
@pytest.mark.parametrize("name", ["guitar", "mandolin", "fiddle", "banjo", "ukulele", "bass"])
def test_over_forms_on_six_instruments(form: str, name: str) -> None:
    for pattern in ("threes", "thirds", "1-2-3-5"):
        score = sequence_over(form, "G", pattern, instrument=name, choruses=2)
        line = score.part("line").notes
        assert all(note.string is not None and note.finger is not None for note in line)
        assert all(one.start + one.beats == two.start for one, two in pairwise(line))
        assert line[-1].start + line[-1].beats == score.end
        assert score.end == sum(bar.beats for bar in score.bars)
        assert line[-1].pitch is not None
        assert line[-1].pitch.note == Note.parse("G")
        # No change of chord makes the line leap: it joins by a fourth at the most.
        joins = [abs(one.midi - two.midi) for one, two in pairwise(line) if _at_chord(score, two)]
        if pattern != "1-2-3-5":
            assert max(joins) <= 12
        assert sorted(joins)[len(joins) // 2] <= 5


def _at_chord(score: Score, note: ScoreNote) -> bool:
    return any(chord.start == note.start for chord in score.chords)


def test_a_band_goes_under_it() -> None:
    score = sequence_over("12-bar blues", "A", "threes", tempo=90)
    band = arrange("12-bar blues", "A", tempo=90, line=score.part("line").notes)
    assert (band.chords, band.bars, band.end) == (score.chords, score.bars, score.end)


def test_every_pattern_runs_over_a_form() -> None:
    for pattern in SEQUENCES:
        score = sequence_over("ii-V-I", "F", pattern, style="jazz", instrument="guitar")
        assert len(score.part("line").notes) == 33


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(BadInput, match="accepted: up, down"):
        sequence_over("ii-V-I", "C", start="sideways")
    with pytest.raises(BadInput, match="of what instrument"):
        sequence_over("ii-V-I", "C", position=5)
    with pytest.raises(BadInput, match="too narrow"):
        sequence_over("ii-V-I", "C", lowest="C4", highest="D4")
    with pytest.raises(BadInput, match="a scale of 4 notes has none"):
        sequence_over("ii-V-I", "C", "seventh chords", scale="chord tones")
