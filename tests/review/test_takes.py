"""The same take through files of each kind, and takes that do not lie as one would wish."""

import io
import random
from dataclasses import replace
from fractions import Fraction

import pytest
from planted import planted

from theorykit.errors import BadInput
from theorykit.notation.abc import abc_text
from theorykit.notation.abc_reader import read_abc
from theorykit.notation.midi_reader import read_midi
from theorykit.notation.musicxml import musicxml_text
from theorykit.notation.musicxml_reader import read_musicxml
from theorykit.practice.line import line_over
from theorykit.review.solo import check_solo
from theorykit.score.midi import midi_file
from theorykit.score.score import Part, Score, ScoreNote

OF_TIME = {"late", "early", "behind", "ahead", "drag", "rush", "uneven"}


def changed(score, change):
    """The score with each note of its line changed, or dropped where that gives None."""
    part = score.part("line")
    notes = (change(note) for note in part.notes)
    return score.with_part(replace(part, notes=tuple(note for note in notes if note)))


def shifted(score, beats):
    return changed(score, lambda note: replace(note, start=note.start + beats))


def written(score):
    return changed(score, lambda note: replace(note, shift=Fraction(0)))


def midi(score):
    file = io.BytesIO()
    midi_file(score).save(file=file)
    return read_midi(file.getvalue())


def roles(review):
    return [(note.bar, note.beat, str(note.degree), note.role) for note in review.notes]


def said(review):
    return [(f.kind, f.bar, f.beat) for f in review.findings if f.kind not in OF_TIME]


def check(take, score=None, **options):
    return check_solo(take.score if score is None else score, take.form, take.key, **options)


@pytest.fixture(scope="module")
def sound():
    """A vamp four times round, with no fault and no count-in."""
    take = planted(3, faults=())
    assert take.lead == 0
    return take


@pytest.mark.parametrize("seed", range(100, 109))
def test_files_of_each_kind_give_the_same_roles_and_findings(seed):
    take = planted(seed)
    ours = check(take)
    played = check(take, midi(take.score))
    places = [[(f.kind, f.bar, f.beat) for f in review.findings] for review in (ours, played)]
    assert (roles(played), places[1]) == (roles(ours), places[0])
    for text, read in (
        (musicxml_text(written(take.score)), read_musicxml),
        (abc_text(written(take.score)), read_abc),
    ):
        review = check(take, read(text.encode()))
        assert (roles(review), said(review), review.timing) == (roles(ours), said(ours), None)


class TestBeginningAndEnd:
    def test_the_first_bars_were_not_recorded(self, sound):
        cut = changed(
            sound.score,
            lambda note: replace(note, start=note.start - 8) if note.start >= 8 else None,
        )
        review = check(sound, cut)
        assert (review.offset, review.findings) == (-8, ())
        assert "The recording starts 8 beats into the form." in review.report

    def test_the_first_bars_are_silent(self, sound):
        review = check(sound, changed(sound.score, lambda note: note if note.start >= 8 else None))
        assert (review.offset, review.findings) == (0, ())

    @pytest.mark.parametrize("bars", [1, 2])
    def test_a_count_in(self, sound, bars):
        review = check(sound, shifted(sound.score, 4 * bars))
        assert (review.offset, review.findings) == (4 * bars, ())
        assert f"Bar 1 comes after the first {4 * bars} beats" in review.report

    def test_a_pick_up_lies_outside_the_form(self, sound):
        # E and F# lead to the A of the first bar.
        up = tuple(ScoreNote(Fraction(at), Fraction(1), midi) for at, midi in ((2, 64), (3, 66)))
        score = shifted(sound.score, 4)
        part = score.part("line")
        review = check(sound, score.with_part(replace(part, notes=(*up, *part.notes))))
        assert review.offset == 4
        assert [note.role for note in review.notes[:3]].count("outside the form") == 2
        assert [row["bar"] for row in review.records()[:3]] == [0, 0, 1]

    def test_it_ends_early(self, sound):
        early = changed(sound.score, lambda note: note if note.start < 10 else None)
        review = check(sound, early)
        assert (review.take.choruses, review.findings) == (1, ())
        assert "too little yet to give points for" in review.report

    def test_two_choruses(self, sound):
        half = changed(sound.score, lambda note: note if note.start < 32 else None)
        assert check(sound, half).take.choruses == 2
        assert check(sound, half, choruses=2).findings == ()

    def test_one_note(self, sound):
        (first, *_) = sound.score.part("line").notes
        review = check(sound, changed(sound.score, lambda note: note if note is first else None))
        assert "play on through the whole form" in review.report

    def test_none(self, sound):
        with pytest.raises(BadInput, match="no notes"):
            check(sound, changed(sound.score, lambda _: None))


class TestElsewhere:
    @pytest.mark.parametrize("octaves", [-1, 1])
    def test_another_octave_changes_nothing(self, sound, octaves):
        moved = changed(sound.score, lambda note: replace(note, midi=note.midi + 12 * octaves))
        assert roles(check(sound, moved)) == roles(check(sound))

    # The take is in A.
    @pytest.mark.parametrize(("half_steps", "key"), [(-2, "G"), (3, "C"), (-6, "E♭"), (-1, "A♭")])
    def test_another_key_is_told_first(self, sound, half_steps, key):
        moved = changed(sound.score, lambda note: replace(note, midi=note.midi + half_steps))
        review = check(sound, moved)
        (told,) = [finding for finding in review.findings if finding.kind == "other key"]
        assert told.words == f"You seem to play in {key}, and the chart is in A."
        _, _, tasks = review.report.partition("What to work on\n")
        assert tasks.startswith("1. You seem to play in")
        assert "2." not in tasks.splitlines()[1]

    @pytest.mark.parametrize("seed", range(6))
    def test_faults_alone_do_not_make_another_key(self, seed):
        assert check(planted(seed)).take.moved == 0

    @pytest.mark.parametrize("percent", [-5, -3, 3, 5])
    def test_a_free_tempo_is_found(self, sound, percent):
        faster = Fraction(100 + percent, 100)
        played = changed(sound.score, lambda note: replace(note, start=note.start / faster))
        review = check(sound, played)
        assert roles(review) == roles(check(sound))
        assert [finding.kind for finding in review.findings] == ["other pace"]
        assert review.take.tempo == pytest.approx(float(sound.score.tempo * faster), rel=0.002)
        # The planted scatter is all that is left.
        assert review.timing.deviation < 12

    def test_a_tempo_that_is_given_is_kept(self, sound):
        played = changed(sound.score, lambda note: replace(note, start=note.start * 3 / 4))
        review = check(sound, replace(played, tempo=120.0), tempo=160)
        assert roles(review) == roles(check(sound))
        assert review.findings == ()


class TestRhythm:
    def test_a_mess_of_sixty_fourths_is_told_kindly(self):
        chance = random.Random(1)
        notes = tuple(
            ScoreNote(
                Fraction(at, 16),
                Fraction(1, 16),
                chance.randrange(55, 80),
                shift=Fraction(chance.randrange(-20, 20), 1000),
            )
            for at in range(384)
        )
        review = check_solo(Score((Part("line", notes, "guitar"),)), "12-bar blues", "A")
        assert review.score < 60
        assert "Many notes are too quick to tell apart" in review.report
        _, _, tasks = review.report.partition("What to work on\n")
        assert [line[:2] for line in tasks.splitlines()[:4]] == ["1.", "2.", "3.", ""]

    def test_triplets_keep_their_places(self):
        # Common practice: three to a beat over C, E and G, passing through D.
        pitches = (60, 62, 64, 67, 64, 62) * 8
        notes = tuple(
            ScoreNote(Fraction(at, 3), Fraction(1, 3), midi, shift=Fraction(1, 200))
            for at, midi in enumerate(pitches)
        )
        review = check_solo(Score((Part("line", notes, "guitar"),)), "| I | I | I | I |", "C")
        assert [note.note.start for note in review.notes] == [note.start for note in notes]
        assert {f.kind for f in review.findings} == set()

    @pytest.mark.parametrize(
        ("form", "key"),
        [
            ("3/4 | I | I | IV | I | I | V7 | I | I |", "G"),
            ("6/8 | I | IV | V | I |", "D"),
            ("| i | iv | V7 | i |", "A minor"),
            ("| I | N.C. | V | I |", "G"),
            ("| I | V7/V | V7 | key: II | I | IV | V7 | I |", "G"),
        ],
    )
    def test_played_takes_in_any_chart(self, form, key):
        chance = random.Random(form)
        line = line_over(form, key, level=3, seed=2, instrument="guitar", choruses=2)
        bar = line.score.bars[0].beats
        played = changed(
            line.score,
            lambda note: replace(
                note,
                start=note.start + bar,
                shift=Fraction(chance.gauss(0, 0.008)).limit_denominator(1000),
            ),
        )
        review = check_solo(midi(replace(played, chords=(), bars=(), keys=())), form, key)
        assert (review.offset, review.take.choruses) == (bar, 2)
        assert {f.kind for f in review.findings} <= {"late", "early"}
        assert len(review.findings) <= 1
        silent = [note for note in review.notes if note.slot.silent]
        assert bool(silent) == ("N.C." in form)
