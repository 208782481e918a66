"""The event model: places and lengths are exact, and what can't be is refused."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from theorykit.errors import BadInput
from theorykit.score.feel import swung
from theorykit.score.score import Glide, Part, Score, ScoreNote

BEATS = st.fractions(min_value=0, max_value=64, max_denominator=48)


def note(start: float = 0, beats: float = 1, midi: float = 60, **more: object) -> ScoreNote:
    return ScoreNote(Fraction(start), Fraction(beats), midi, **more)  # type: ignore[arg-type]


def test_seconds_are_counted_from_the_first_sound() -> None:
    score = Score((Part("line", (note(0), note(3)), "guitar"),), tempo=90, count_in=Fraction(4))
    assert score.start == -4
    # Four beats of count-in and four of music at 90 a minute.
    assert score.seconds == pytest.approx(8 * 60 / 90)
    assert score.seconds_at(0) == pytest.approx(4 * 60 / 90)


def test_a_pickup_lies_before_the_first_bar_line() -> None:
    score = Score((Part("line", (note(-1), note(0)), "guitar"),), pickup=Fraction(1), tempo=60)
    assert (score.start, score.seconds_at(0)) == (-1, 1.0)


def test_a_glide_is_straight_between_its_points_and_level_outside() -> None:
    slide = Glide("slide", ((Fraction(1), -2.0), (Fraction(3), 2.0)))
    assert [slide.half_steps(beat) for beat in (0, 1, 2, 3, 9)] == [-2, -2, 0, 2, 2]


@given(BEATS, st.sampled_from([Fraction(1), Fraction(3, 2), Fraction(2), Fraction(3)]))
def test_swing_keeps_quarters_and_order(beat: Fraction, ratio: Fraction) -> None:
    whole = Fraction(beat // 1)
    assert swung(whole, ratio) == whole
    assert whole <= swung(beat, ratio) < whole + 1
    assert swung(whole + Fraction(1, 2), ratio) - whole == ratio / (ratio + 1)


def test_a_triplet_shuffle_puts_the_off_beat_on_the_last_third() -> None:
    # Common practice: swing of two to one is a triplet with its first two notes tied.
    assert swung(Fraction(1, 2), Fraction(2)) == Fraction(2, 3)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: note(beats=0), "needs a length"),
        (lambda: note(midi=128), "no such pitch"),
        (lambda: note(level=-1), "level '-1'"),
        (lambda: Part("drums", (), "brush"), "accepted: bass, comp, click, drone, line"),
        (lambda: Part("bass", (), "bass", pan=2), "-1 (left) to 1 (right)"),
        (lambda: Part("bass", (), "bass", volume=9), "volume '9'"),
        (lambda: Score((), tempo=0), "20 to 400 beats a minute"),
        (lambda: Score((), tempo=float("nan")), "tempo 'nan'"),
        (lambda: Score((), meter="4/3"), "not a meter"),
        (lambda: Score((Part("bass", (), "bass"),) * 2), "two parts of one name"),
        (lambda: Score(()).part("bass"), "not in this score"),
        (
            lambda: Score((Part("bass", (), "bass"),)).with_mix(bass={"loud": 1}),
            "accepted: volume, muted, pan",
        ),
        (lambda: Glide("bend", ()), "from beat 0 on"),
        (lambda: Glide("bend", ((Fraction(1), 0.0), (Fraction(0), 1.0))), "from beat 0 on"),
    ],
)
def test_what_cannot_be_is_refused_in_one_line(make: object, words: str) -> None:
    with pytest.raises(BadInput) as raised:
        make()  # type: ignore[operator]
    assert words in str(raised.value)
    assert "\n" not in str(raised.value)


def test_a_mix_changes_only_what_is_named() -> None:
    parts = (Part("bass", (note(),), "bass"), Part("comp", (note(),), "guitar"))
    mixed = Score(parts).with_mix(bass={"muted": True, "pan": -0.5})
    assert mixed.part("bass").muted
    assert mixed.part("bass").pan == -0.5
    assert mixed.part("comp") == parts[1]
