"""Road maps: the order in which repeats, endings and jumps play the bars."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from theorykit.errors import BadInput
from theorykit.theory.progression import Progression
from theorykit.theory.roadmap import PLACES, Mark, playing_order

# Worked out by hand as players read such charts (common practice); bars are named by the chord that
# each holds, so that the order can be read off.
ORDERS = {
    "| I | II | III |": "I II III",
    "|: I | II :|": "I II I II",
    "| I | II :|": "I II I II",
    "|: I | II :|: III | IV :|": "I II I II III IV III IV",
    "|: I | II :| III | IV :|": "I II I II III IV III IV",
    "| I |: II :|x3 III |": "I II II II III",
    "|: I | II |1. III :|2. IV | V |": "I II III I II IV V",
    "| I | II |1. III | IV :|2. V |": "I II III IV I II V",
    "|: I |1.2. II :|3. III |": "I II I II I III",
    "|: I |1.3. II :|2. III :|4. IV |": "I II I III I II I IV",
    "|: I |1. II :|2. III |: IV | V |1. VI :|2. VII |": "I II I III IV V VI IV V VII",
    "| I | II | III D.C. |": "I II III I II III",
    "| I | II fine | III D.C. al Fine |": "I II III I II",
    "| I | segno II | III fine | IV | D.S. al Fine |": "I II III IV II III",
    "| I | segno II | III | IV D.S. | V |": "I II III IV II III IV V",
    "| I | II to coda | III | IV D.C. al Coda | coda V | VI |": "I II III IV I II V VI",
    "| I | segno II | III to coda | IV | V D.S. al Coda | coda VI |": "I II III IV V II III VI",
    "|: I | II :| III D.C. |": "I II I II III I II III",
    "|: I |1. II :|2. III fine | IV D.C. al Fine |": "I II I III IV I III",
    "|: I | II to coda :| III D.C. al Coda | coda IV |": "I II I II III I II IV",
    "[A] |: I | II :| [B] III | IV |": "I II I II III IV",
}


@pytest.mark.parametrize("chart", ORDERS)
def test_charts_are_played_as_players_read_them(chart):
    played = Progression.parse(chart).unfolded()
    assert " ".join(str(bar[0].numeral) for bar in played.bars) == ORDERS[chart]
    assert not [mark for mark in played.marks if mark.kind not in {"key", "section"}]


# Road maps that lead nowhere, and the reason that is given.
WRONG = {
    "| I | II D.S. |": "has D.S., but no segno",
    "| I | II D.C. al Fine |": "has 'al Fine', but no fine",
    "| I to coda | II D.C. al Coda |": "has 'al Coda', but no coda",
    "| I | II D.C. al Coda | coda III |": "has 'al Coda', but no to coda",
    "| I fine | II D.C. |": "has a fine, but nothing leads to it",
    "| segno I | II |": "has a segno, but nothing leads to it",
    "| I | coda II |": "has a coda, but nothing leads to it",
    "| I D.C. | II D.C. |": "has more than one D.C. or D.S.",
    "| segno I | segno II | III D.S. |": "has more than one segno",
    "|: I | II |": "bar 1: '|:' is never closed by ':|'",
    "|: I |: II :|": "bar 1: '|:' is never closed by ':|'",
    "|: I |1. II :|": "bar 2: its endings are not 1., 2. and so on",
    "|: I |1. II :|3. III |": "bar 2: its endings are not 1., 2. and so on",
    "|: I |1. II |2. III :|": "bar 2: the ending has no ':|' before the next one",
    "|: I |1. II :|x3 2. III |": "bar 2: its endings say how often it is played",
    "|: I |1. II :| III :|2. IV |": "bar 2: a repeat ends inside an ending",
    "|: I |1. II :|2. III | IV :|": "bar 4: the last ending goes on, so no '|:' is open",
    "| coda I | II to coda | III D.C. al Coda |": "its coda stands before the jump to it",
    "| I | II D.C. al Coda | III to coda | coda IV |": "'to coda' stands after the D.C. or D.S.",
    ":| I |": "':|' stands before the first bar",
    "D.C. | I |": "bar 1: 'D.C.' stands at the end of a bar",
    "| I segno | II D.S. |": "bar 1: 'segno' stands at the start of a bar",
    "| I | D.C. II |": "bar 2: 'II' comes after the end mark",
    "| I | II | segno |": "'segno' stands before no bar",
    "| I |x3 II |": "bar 2: 'x3' belongs after ':|'",
    "| I : II |": "bar 1: ':' is no part of a chart",
    "| I [verse | II |": "bar 1: '[verse' is no part of a chart",
}


@pytest.mark.parametrize("chart", WRONG)
def test_road_maps_that_lead_nowhere_say_why(chart):
    with pytest.raises(BadInput) as caught:
        Progression.parse(chart)
    assert caught.value.reason == WRONG[chart]


@given(
    st.integers(1, 12),
    st.lists(
        st.builds(Mark, st.integers(0, 11), st.sampled_from([*PLACES]),
                  st.sampled_from(["", "1", "2", "12", "3", "fine", "coda"])),
        max_size=8,
    ),
)  # fmt: skip
def test_any_marks_are_either_played_or_refused(count, marks):
    marks = [
        Mark(mark.bar % count, mark.kind, "2" if mark.kind == "repeat end" else mark.value)
        for mark in marks
    ]
    try:
        order = playing_order(count, marks)
    except BadInput:
        return
    assert order
    assert set(order) <= set(range(count))
    # Between jumps bars follow each other, so a bar is only left out by an ending or a jump.
    if not marks:
        assert order == tuple(range(count))


@given(st.integers(1, 20), st.integers(2, 9), st.data())
def test_a_repeated_stretch_is_played_as_often_as_it_says(count, times, data):
    first = data.draw(st.integers(0, count - 1))
    last = data.draw(st.integers(first, count - 1))
    marks = [Mark(first, "repeat start"), Mark(last, "repeat end", str(times))]
    stretch = tuple(range(first, last + 1))
    expected = (*range(first), *(stretch * times), *range(last + 1, count))
    assert playing_order(count, marks) == expected
