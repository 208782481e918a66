"""Neighbour notes lead by step into a melody that stays where it was."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from theorykit.errors import BadInput
from theorykit.practice.neighbour import NEIGHBOURS, AddedNote, Decorated, add_neighbours
from theorykit.practice.sequence import sequence
from theorykit.practice.sequence_over import sequence_over
from theorykit.score.score import Part, Score, ScoreNote
from theorykit.theory.key import Key
from theorykit.theory.pitch import Pitch


def melody(text: str, *, key: str = "G", meter: str = "4/4") -> Score:
    """A melody from pitches with their lengths; a length alone is a rest."""
    at, notes = Fraction(0), []
    for word in text.split():
        name, _, length = word.rpartition(":")
        if name:
            pitch = Pitch.parse(name)
            notes.append(ScoreNote(at, Fraction(length), pitch.midi, pitch))
        at += Fraction(length)
    return Score((Part("line", tuple(notes), "fiddle"),), meter=meter, key=Key.parse(key))


def shown(decorated: Decorated) -> str:
    return " ".join(f"{note.pitch}:{note.beats}" for note in decorated.score.part("line").notes)


def faults(plain: Score, decorated: Decorated) -> list[str]:
    """What is wrong with a decorated melody; nothing, if all is well."""
    found = []
    added = {id(each.note): each for each in decorated.added}
    line = decorated.score.part("line").notes
    own = [note for note in line if id(note) not in added]
    tune = plain.part("line").notes
    if [(note.start, note.midi, note.pitch) for note in own] != [
        (note.start, note.midi, note.pitch) for note in tune
    ]:
        found.append("the melody has moved")
    for note, before in zip(own, tune, strict=False):
        if not before.beats / 2 <= note.beats <= before.beats:
            found.append(f"{note.pitch} lost more than half its time")
    for one, two in pairwise(line):
        if one.start + one.beats > two.start:
            found.append(f"{one.pitch} rings into {two.pitch}")
        if id(one) in added and one.start + one.beats != two.start:
            found.append(f"{one.pitch} does not lead on")
        if id(one) in added and added[id(one)].target.start < two.start:
            found.append(f"{one.pitch} comes after its target")
    for each in decorated.added:
        if not 1 <= abs(each.half_steps) <= 2:
            found.append(f"{each.note.pitch} leaps to {each.target.pitch}")
        if each.note.role != each.figure.role:
            found.append(f"{each.note.pitch} does not say what it is")
    # The last added note before a target resolves to it at once, by step.
    for one, two in pairwise(line):
        if id(one) in added and id(two) not in added and abs(two.midi - one.midi) not in (1, 2):
            found.append(f"{one.pitch} is left by a leap")
    return found


TUNES = [
    melody("G4:1 B4:1 D5:2 C5:1 A4:1 F#4:1 1 G4:4"),
    melody("1/2 D4:1/2 G4:1 G4:1 A4:1/2 B4:1/2 A4:1/3 G4:1/3 E4:1/3 D4:3"),
    melody("Bb4:3/2 C5:1/2 D5:1 Eb5:1 F5:2 D5:2", key="Bb"),
    melody("A4:1 C5:1 E5:1 G#4:1 A4:2", key="A minor", meter="3/4"),
    melody("D5:2/3 E5:1/3 F#5:1 A5:2/3 F#5:1/3 D5:1", key="D", meter="6/8"),
    sequence("F major", "triads", rhythm="eighths", lowest="F4", highest="F5"),
    sequence_over("12-bar blues", "A", "thirds", rhythm="quarters", instrument="guitar"),
]


@settings(max_examples=300, deadline=None)
@given(
    st.sampled_from(TUNES),
    st.integers(0, 10**6),
    st.floats(0, 1),
    st.sets(st.sampled_from(sorted(NEIGHBOURS)), min_size=1),
)
def test_every_added_note_resolves_by_step_and_the_melody_stays(
    tune: Score, seed: int, amount: float, figures: set[str]
) -> None:
    done = add_neighbours(tune, amount=amount, seed=seed, figures=sorted(figures))
    assert faults(tune, done) == []


def test_many_seeds_of_every_tune() -> None:
    counted = 0
    for tune in TUNES:
        for seed in range(100):
            done = add_neighbours(tune, amount=1, seed=seed)
            assert faults(tune, done) == []
            counted += len(done.added)
    assert counted > 5000


def test_the_check_sees_planted_faults() -> None:
    tune = TUNES[0]
    done = add_neighbours(tune, amount=1, figures="lower neighbour")
    line = [*done.score.part("line").notes]
    at = next(place for place, note in enumerate(line) if note is done.added[1].note)

    def planted(place: int, note: ScoreNote) -> Decorated:
        notes = (*line[:place], note, *line[place + 1 :])
        score = done.score.with_part(replace(done.score.part("line"), notes=notes))
        added = tuple(
            AddedNote(note, each.target, each.figure) if each.note is line[place] else each
            for each in done.added
        )
        return Decorated(score, added)

    assert faults(tune, planted(at, line[at])) == []
    leaping = replace(line[at], midi=line[at].midi - 2)
    assert any("leap" in fault for fault in faults(tune, planted(at, leaping)))
    late = replace(line[at], beats=line[at].beats / 2)
    assert any("does not lead on" in fault for fault in faults(tune, planted(at, late)))
    own = line[at + 1]
    moved = replace(own, start=own.start + Fraction(1, 8), beats=own.beats - Fraction(1, 8))
    assert "the melody has moved" in faults(tune, planted(at + 1, moved))


# Chromatic neighbours take the next letter (any theory handbook: a neighbour is a step, not an
# altered note of the same letter): lower, upper. Typed by hand.
SPELLED = {
    "G": ("F#", "Ab"),
    "C": ("B", "Db"),
    "D": ("C#", "Eb"),
    "E": ("D#", "F"),
    "F": ("E", "Gb"),
    "A": ("G#", "Bb"),
    "B": ("A#", "C"),
    "Bb": ("A", "Cb"),
    "Eb": ("D", "Fb"),
    "Ab": ("G", "Bbb"),
    "F#": ("E#", "G"),
    "C#": ("B#", "D"),
}


@pytest.mark.parametrize(("note", "both"), SPELLED.items())
def test_chromatic_neighbours_are_spelled_by_step(note: str, both: tuple[str, str]) -> None:
    # The same note twice, so that a neighbour stands between.
    tune = melody(f"{note}4:2 {note}4:2", key="C")
    found = [
        str(
            add_neighbours(tune, amount=1, figures=f"chromatic {side} neighbour")
            .added[0]
            .note.pitch.note
        )  # type: ignore[union-attr]
        for side in ("lower", "upper")
    ]
    assert found == [*both]


# Figures by hand, in G major (common practice): a half note that gives up its second half.
FIGURES = [
    ("upper neighbour", "C5:3/2 C5:1/2 B4:2"),
    ("upper neighbour", "D5:3/2 C5:1/2 B4:2"),
    ("lower neighbour", "G4:3/2 A4:1/2 B4:2"),
    ("chromatic lower neighbour", "G4:3/2 A#4:1/2 B4:2"),
    ("approach from below", "G4:1 A4:1/2 A#4:1/2 B4:2"),
    ("approach from above", "G4:1 C#5:1/2 C5:1/2 B4:2"),
    ("enclosure", "G4:1 C5:1/2 A#4:1/2 B4:2"),
    ("enclosure from below", "G4:1 A#4:1/2 C5:1/2 B4:2"),
    ("enclosure in the scale", "G4:1 C5:1/2 A4:1/2 B4:2"),
    ("chromatic enclosure", "E4:1 C5:1/2 A#4:1/2 B4:2"),
]


@pytest.mark.parametrize(("figure", "wanted"), FIGURES)
def test_figures_by_hand(figure: str, wanted: str) -> None:
    first, *_, last = wanted.split()
    plain = f"{first.partition(':')[0]}:2 {last}"
    done = add_neighbours(melody(plain), amount=1, figures=figure)
    # What would only say the note before once more is left out.
    assert shown(done) == (plain if first[:2] == "C5" else wanted)


def test_a_rest_gives_its_time_first() -> None:
    done = add_neighbours(melody("G4:1 1 B4:2"), amount=1, figures="enclosure")
    assert shown(done) == "G4:1 C5:1/2 A#4:1/2 B4:2"
    assert [str(each.note.start) for each in done.added] == ["1", "3/2"]


def test_triplets_are_led_into_in_triplets() -> None:
    done = add_neighbours(melody("G4:1/3 B4:1/3 D5:1/3 G5:3"), amount=1, figures="lower neighbour")
    assert shown(done) == "G4:1/6 A4:1/6 B4:1/6 C5:1/6 D5:1/6 F#5:1/6 G5:3"


def test_nothing_is_added_where_there_is_no_time_or_no_step() -> None:
    assert not add_neighbours(melody("G4:1/4 B4:1/4 D5:1/2"), amount=1).added
    # A minor third lies above A in A minor pentatonic: no step.
    tune = melody("E4:2 A4:2", key="A minor")
    assert not add_neighbours(
        tune, amount=1, figures="upper neighbour", scale="A minor pentatonic"
    ).added
    chord = Score(
        (
            Part(
                "line",
                tuple(
                    ScoreNote(Fraction(at), Fraction(2), Pitch.parse(name).midi, Pitch.parse(name))
                    for at, name in ((0, "G4"), (0, "B4"), (2, "A4"), (2, "C5"))
                ),
                "guitar",
            ),
        ),
        key=Key.parse("G"),
    )
    assert add_neighbours(chord, amount=1).score == chord


def test_more_adds_to_what_less_has_and_the_seed_holds() -> None:
    tune = TUNES[5]
    counts = []
    for seed in range(20):
        before: set[tuple[Fraction, str]] = set()
        for amount in (0, 0.25, 0.5, 0.75, 1):
            done = add_neighbours(tune, amount=amount, seed=seed)
            now = {(each.note.start, str(each.note.pitch)) for each in done.added}
            assert before <= now
            before = now
            counts.append((amount, len(now)))
        assert done == add_neighbours(tune, amount=1, seed=seed)
    means = [
        sum(count for each, count in counts if each == amount) / 20
        for amount in (0, 0.25, 0.5, 0.75, 1)
    ]
    assert means[0] == 0
    assert all(low < high for low, high in pairwise(means))
    assert add_neighbours(tune, amount=1, seed=1) != add_neighbours(tune, amount=1, seed=2)


def test_notes_on_the_beat_are_led_into_first() -> None:
    on = off = 0
    for seed in range(50):
        for each in add_neighbours(TUNES[5], amount=0.4, seed=seed).added:
            on += each.target.start.denominator == 1
            off += each.target.start.denominator != 1
    assert on > 5 * off


def test_an_instrument_plays_all_of_it() -> None:
    tune = sequence("G major", "thirds", rhythm="quarters", instrument="mandolin")
    done = add_neighbours(tune, amount=1, seed=4, instrument="mandolin")
    assert all(note.string is not None for note in done.score.part("line").notes)
    # Nothing lies under the open G.
    assert min(note.midi for note in done.score.part("line").notes) >= 55
    assert done.records()[0]["words"] == done.added[0].words


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ({"amount": 2}, "0 (plain) to 1 (busy)"),
        ({"amount": float("nan")}, "0 (plain) to 1 (busy)"),
        ({"figures": "uper neighbour"}, "did you mean 'upper neighbour'"),
        ({"shortest": Fraction(0)}, "beats above 0"),
        ({"scale": "G majorr"}, "no scale of that name"),
    ],
)
def test_what_cannot_be_is_refused(options: dict[str, object], words: str) -> None:
    with pytest.raises(BadInput) as raised:
        add_neighbours(TUNES[0], **options)  # type: ignore[arg-type]
    assert words in str(raised.value)
