"""The rhythm section: what it plays in each feel and meter, over charts with everything in them."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest

from theorykit.errors import BadInput
from theorykit.score.arrange import arrange
from theorykit.score.feel import BASS_STROKES, COMP_STROKES, FALLBACKS, FEELS, find_feel
from theorykit.score.score import Part, Score, ScoreNote
from theorykit.theory.chord import Chord
from theorykit.theory.form import FORMS, MORE_FORMS
from theorykit.theory.key import MAJOR_TONICS, Key
from theorykit.theory.meter import METERS, find_meter
from theorykit.theory.progression import Progression

KEYS = tuple(str(tonic) for tonic in MAJOR_TONICS)
IN_FOUR = [name for name, form in (FORMS | MORE_FORMS).items() if form.meter == "4/4"]
EVERY = [(meter, feel) for meter in METERS for feel in FEELS]


def full_chart(meter: str) -> Progression:
    """A repeat, a split bar, a silence, a slash chord and a change of key in a meter."""
    rest = ". " * (find_meter(meter).beats - 2)
    return Progression.parse(
        f"{meter} |: I | IV {rest}V :| [B] vi7 | N.C. {rest}V7 | I/3 | key: V I | V7 | key: I I |"
    )


def names(part: Part, first: int, beyond: int) -> list[str]:
    return [str(note.pitch) for note in part.notes if first <= note.start < beyond]


def chord_at(score: Score, beat: Fraction) -> Chord | None:
    placed = [one for one in score.chords if one.start <= beat < one.start + one.beats]
    assert len(placed) == 1
    return placed[0].chord


# The patterns, against what is common practice


def test_bluegrass_alternates_root_and_fifth_with_chops_on_two_and_four() -> None:
    score = arrange("I-V-vi-IV", "G", feel="bluegrass", ending=False)
    assert names(score.part("bass"), 0, 2) == ["G2"]
    assert names(score.part("bass"), 2, 3) == ["D3"]
    chops = {note.start % 4 for note in score.part("comp").notes}
    assert chops == {1, 3}
    assert {note.sounding_beats for note in score.part("comp").notes} == {Fraction(1, 4)}


def test_a_bass_walks_up_from_g_to_c_over_the_last_half_bar() -> None:
    # Common practice of bluegrass bass and guitar: G A B to C.
    score = arrange(Progression.parse("| I | I | IV | IV |"), "G", feel="bluegrass", ending=False)
    assert names(score.part("bass"), 0, 9) == ["G2", "D3", "G2", "A2", "B2", "C3"]


def test_a_waltz_has_bass_on_one_and_chords_on_two_and_three() -> None:
    chart = Progression.parse("3/4 | I | I | I | I |")
    score = arrange(chart, "D", feel="waltz", ending=False)
    assert names(score.part("bass"), 0, 12) == ["D3", "A2", "D3", "A2"]
    assert {note.start % 3 for note in score.part("comp").notes} == {1, 2}


def test_a_shuffle_walks_in_quarters_with_swung_eighths() -> None:
    score = arrange("12-bar blues", "A", feel="shuffle", ending=False)
    assert [note.start for note in score.part("bass").notes] == list(range(48))
    onsets = {note.onset % 4 for note in score.part("comp").notes}
    assert onsets == {1, Fraction(5, 3), 3, Fraction(11, 3)}
    harder = arrange("12-bar blues", "A", feel="shuffle", swing=3, ending=False)
    assert Fraction(7, 4) in {note.onset for note in harder.part("comp").notes}


def test_a_slow_blues_divides_each_beat_in_three_in_both_ways_of_writing_it() -> None:
    for chart in (FORMS["12-bar blues"], Progression.parse("12/8 | I7 | IV7 | I7 | V7 |")):
        score = arrange(chart, "E", feel="slow blues")
        onsets = {note.onset % 1 for note in score.part("comp").notes}
        assert onsets == {0, Fraction(1, 3), Fraction(2, 3)}


def test_rock_plays_root_and_fifth_and_no_third_even_with_thirds() -> None:
    score = arrange("I-V-vi-IV", "A", feel="rock", ending=False)
    for note in score.part("comp").notes:
        chord = chord_at(score, note.start)
        assert chord is not None
        assert (note.midi - chord.root.pitch_class) % 12 in {0, 7}
    assert len({note.start for note in score.part("comp").notes}) == 32


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize("form", IN_FOUR)
def test_a_walk_starts_each_chord_on_its_bass_note_and_steps_into_the_next(
    form: str, key: str
) -> None:
    score = arrange(form, key, feel="shuffle", ending=False)
    notes = score.part("bass").notes
    for one, other in pairwise(notes):
        before, after = chord_at(score, one.start), chord_at(score, other.start)
        assert before is not None
        assert after is not None
        changes = (before.bass or before.root) != (after.bass or after.root)
        if changes:
            root = (after.bass or after.root).pitch_class
            assert other.midi % 12 == root
            # A step into it, or at the most a fourth or fifth as cadences have it.
            assert abs(other.midi - one.midi) in {1, 2, 3, 4, 5, 7, 9, 10}
        assert abs(other.midi - one.midi) <= 12
    steps = [abs(b.midi - a.midi) for a, b in pairwise(notes)]
    assert sum(step <= 2 for step in steps) > 0.6 * len(steps)


# Properties of every feel in every meter


@pytest.mark.parametrize(("meter", "feel"), EVERY)
def test_every_feel_plays_every_meter(meter: str, feel: str) -> None:
    score = arrange(full_chart(meter), "Eb", feel=feel, choruses=2, click=True, drone=True)
    beats = find_meter(meter).beats
    played = meter in FEELS[feel].patterns
    assert score.feel == (feel if played else FALLBACKS[meter])
    assert bool(score.remark) == (not played)
    assert len(score.bars) == 2 * 10 + 1
    assert score.end == 21 * beats
    for name in ("bass", "comp"):
        notes = score.part(name).notes
        for bar in score.bars:
            assert any(bar.start <= note.start < bar.start + beats for note in notes), bar
        for note in notes:
            chord = chord_at(score, note.start)
            assert chord is not None, f"{name} plays where no chord sounds: {note.start}"
            assert note.pitch is not None
            assert note.pitch.midi == note.midi
        assert list(notes) == sorted(notes, key=lambda note: note.start)


@pytest.mark.parametrize(("meter", "feel"), EVERY)
def test_each_chord_is_heard_from_its_start(meter: str, feel: str) -> None:
    score = arrange(full_chart(meter), "F#", feel=feel, ending=False)
    starts = {note.start: note for note in score.part("bass").notes}
    last = None
    for placed in score.chords:
        if placed.chord is not None and placed.chord != last:
            root = placed.chord.bass or placed.chord.root
            assert starts[placed.start].midi % 12 == root.pitch_class
            inside = [
                note
                for note in score.part("comp").notes
                if placed.start <= note.start < placed.start + placed.beats
            ]
            assert inside
            classes = {note.pitch_class for note in placed.chord.notes}
            assert {note.midi % 12 for note in inside} <= classes
        last = placed.chord


@pytest.mark.parametrize("feel", FEELS)
@pytest.mark.parametrize("key", ["C", "F#", "Ab"])
def test_without_thirds_no_third_sounds(feel: str, key: str) -> None:
    for form in ("12-bar blues", "12-bar blues, jazz changes"):
        score = arrange(form, key, feel=feel, thirds=False)
        for name in ("bass", "comp"):
            for note in score.part(name).notes:
                chord = chord_at(score, note.start)
                assert chord is not None
                assert (note.midi - chord.root.pitch_class) % 12 not in {3, 4}


def test_the_bass_stays_in_its_compass_and_the_chords_above_it() -> None:
    for key in KEYS:
        for feel in FEELS:
            score = arrange("32-bar AABA", key, feel=feel)
            assert all(40 <= note.midi <= 57 for note in score.part("bass").notes)
            assert all(52 <= note.midi <= 76 for note in score.part("comp").notes)


def test_every_stroke_of_the_table_is_of_a_known_kind_and_inside_its_bar() -> None:
    for feel in FEELS.values():
        for meter, pattern in feel.patterns.items():
            beats = find_meter(meter).beats
            for kinds, strokes in ((BASS_STROKES, pattern.bass), (COMP_STROKES, pattern.comp)):
                assert all(stroke.what in kinds for stroke in strokes)
                assert all(0 <= stroke.at < beats and stroke.beats > 0 for stroke in strokes)
                assert [s.at for s in strokes] == sorted(s.at for s in strokes)
    assert set(FALLBACKS) == set(METERS)
    assert all(meter in FEELS[feel].patterns for meter, feel in FALLBACKS.items())


# Count-ins, click, drone, line, ending, voicings, looseness


@pytest.mark.parametrize(("meter", "high"), [("4/4", 1), ("3/4", 1), ("6/8", 1), ("7/8", 1)])
def test_two_bars_of_count_in_with_an_accent_on_each_one(meter: str, high: int) -> None:
    beats = find_meter(meter).beats
    score = arrange(full_chart(meter), "G", count_in=2)
    clicks = score.part("click").notes
    assert [note.start for note in clicks] == list(range(-2 * beats, 0))
    # General MIDI percussion: 76 is the high wood block, 77 the low one.
    assert [note.midi for note in clicks] == ([76] + [77] * (beats - 1)) * 2
    assert score.start == -2 * beats


def test_seven_eighths_is_accented_two_two_three() -> None:
    score = arrange(Progression.parse("7/8 | I | I |"), "G", click=True, ending=False)
    levels = [note.level for note in score.part("click").notes[:7]]
    assert [beat for beat in range(7) if levels[beat] == 1] == [0, 2, 4]


def test_a_pickup_lies_within_the_count_in() -> None:
    chart = Progression.parse("4/4 pickup: V | I | IV |")
    line = [ScoreNote(Fraction(-1), Fraction(1), 62), ScoreNote(Fraction(0), Fraction(1), 67)]
    counted = arrange(chart, "G", count_in=1, line=line)
    assert (counted.start, counted.pickup, counted.seconds_at(0)) == (-4, 1, 4 * 60 / 100)
    assert arrange(chart, "G", line=line).start == -1
    assert str(counted.chords[0].chord) == "D"


def test_the_ending_rings_on_the_tonic_chord_as_the_chart_has_it() -> None:
    blues = arrange("12-bar blues", "A")
    assert str(blues.chords[-1].chord) == "A7"
    last = [note for note in blues.part("comp").notes if note.start == 48]
    assert {note.beats for note in last} == {4}
    assert str(arrange("i-bVII-bVI-V", "Am").chords[-1].chord) == "Am"
    assert arrange("12-bar blues", "A", ending=False).end == 48


def test_a_drone_holds_tonic_and_fifth_and_follows_the_key() -> None:
    chart = Progression.parse("| I | I | key: V I | I |")
    score = arrange(chart, "G", drone=True, ending=False)
    drone = [(note.start, note.end, str(note.pitch)) for note in score.part("drone").notes]
    assert drone == [(0, 8, "G3"), (0, 8, "D4"), (8, 16, "D3"), (8, 16, "A3")]


def test_a_line_is_swung_with_the_band_and_written_straight() -> None:
    line = [ScoreNote(Fraction(beat, 2), Fraction(1, 2), 69) for beat in range(4)]
    score = arrange("12-bar blues", "A", feel="shuffle", line=line, line_voice="fiddle")
    notes = score.part("line").notes
    assert [note.start for note in notes] == [Fraction(beat, 2) for beat in range(4)]
    assert [note.onset for note in notes] == [0, Fraction(2, 3), 1, Fraction(5, 3)]
    assert [note.sounding_beats for note in notes] == [Fraction(2, 3), Fraction(1, 3)] * 2
    assert score.part("line").voice == "fiddle"


def test_chords_are_played_with_the_voicings_that_are_given() -> None:
    shapes = {"G": (50, 55, 59, 67)}
    score = arrange(Progression.parse("| I | IV |"), "G", voicings=shapes, ending=False)
    first = [note.midi for note in score.part("comp").notes if note.start == 1]
    assert first == [50, 55, 59, 67]
    asked = arrange(Progression.parse("| I | IV |"), "G", voicings=lambda _: None, ending=False)
    assert [note.midi for note in asked.part("comp").notes if note.start == 1] == [55, 59, 62]


def test_chords_of_many_notes_are_no_louder_than_those_of_few() -> None:
    score = arrange("12-bar blues, jazz changes", "C", feel="bluegrass", ending=False)
    by_start: dict[Fraction, float] = {}
    for note in score.part("comp").notes:
        by_start[note.start] = by_start.get(note.start, 0) + note.level**2
    assert all(power == pytest.approx(1, abs=1e-4) for power in by_start.values())


def test_looseness_is_small_and_the_same_for_a_seed() -> None:
    exact = arrange("12-bar blues", "A", count_in=1)
    loose, again, other = (arrange("12-bar blues", "A", count_in=1, seed=s) for s in (1, 1, 2))
    assert loose == again
    assert loose != other
    assert loose.part("click") == exact.part("click")
    for name in ("bass", "comp"):
        pairs = zip(loose.part(name).notes, exact.part(name).notes, strict=True)
        shifts = [float(one.onset - two.onset) * 60 / exact.tempo for one, two in pairs]
        assert 0.002 < max(map(abs, shifts)) <= 0.0201
        assert len(set(shifts)) > 10


def test_choruses_repeat_the_first() -> None:
    once = arrange("12-bar blues", "A", ending=False)
    thrice = arrange("12-bar blues", "A", choruses=3, ending=False)
    for name in ("bass", "comp"):
        notes, first = thrice.part(name).notes, once.part(name).notes
        assert len(notes) == 3 * len(first)
        assert [n.start for n in notes[len(first) : 2 * len(first)]] == [
            n.start + 48 for n in first
        ]


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ({"feel": "blugrass"}, "did you mean 'bluegrass'?"),
        ({"tempo": 900}, "20 to 400"),
        ({"choruses": 0}, "a number from 1 to 100"),
        ({"count_in": 3}, "a number from 0 to 2"),
        ({"swing": 4}, "1 (even) to 3"),
    ],
)
def test_what_cannot_be_played_is_said(options: dict[str, object], words: str) -> None:
    with pytest.raises(BadInput) as raised:
        arrange("12-bar blues", Key.parse("A"), **options)  # type: ignore[arg-type]
    assert words in str(raised.value)


def test_feels_are_found_as_people_type_them() -> None:
    assert find_feel(" Slow  Blues ").name == "slow blues"
