"""The classes, the thresholds and the five styles, against the design's table typed again."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from theorykit.analysis.style import (
    APPROACH,
    BLUE,
    CARE_AT,
    CLASSES,
    ROLES,
    STYLES,
    SWITCH_AT,
    find_style,
)
from theorykit.errors import BadInput

#: Stipulated (the design's table of severities, typed again by hand, a row a class).
TABLE = """
class                      bluegrass country blues jazz classical
chord tone                 0     0     0     0     0
passing                    .20   .20   .15   .45   .25
functional tension         .15   .20   .15   .05   .15
avoid, in the key          .45   .45   .40   .55   .45
avoid, foreign to the key  .90   .95   .60   .75   1.0
leading-note conflict      .35   .45   .30   .60   .80
blue                       .25   .40   .10   .25   .80
approach                   .25   .40   .10   .25   .80
colour                     .05   .05   .05   0     .15
"""


def _typed() -> dict[str, dict[str, float]]:
    head, *rows = TABLE.strip().splitlines()
    names = head.split()[1:]
    typed = {}
    for row in rows:
        words = row.split()
        figures = [float(word) for word in words[-5:]]
        typed[" ".join(words[:-5])] = dict(zip(names, figures, strict=True))
    return typed


def test_the_five_styles_are_the_design_s_table():
    ours = {
        kind.name: {name: style.severity(kind) for name, style in STYLES.items()}
        for kind in CLASSES
    }
    assert ours == _typed()


def test_the_classes_stand_in_the_order_of_the_rules():
    assert [kind.name for kind in CLASSES] == list(_typed())


def test_the_one_inequality_that_the_model_rests_on():
    # Stipulated: a foreign note a half step above a chord tone calls for a change in every style
    # but blues, where one scale runs throughout and the note is passed through.
    foreign = CLASSES[4]
    taken = {name: style.severity(foreign) for name, style in STYLES.items()}
    assert {name for name, severity in taken.items() if severity < SWITCH_AT} == {"blues"}
    assert taken["blues"] >= CARE_AT


def test_the_thresholds():
    assert (CARE_AT, SWITCH_AT) == (0.3, 0.7)


def test_every_role_of_a_class_is_drawn():
    assert {kind.role for kind in CLASSES} | {"root"} == set(ROLES)


def test_the_side_on_which_each_class_rubs():
    sides = {kind.name: kind.rubs_against for kind in CLASSES}
    assert {name for name, side in sides.items() if side == -1} == {
        "passing",
        "functional tension",
        "avoid, in the key",
        "avoid, foreign to the key",
    }
    assert {name for name, side in sides.items() if side == +1} == {
        "leading-note conflict",
        "blue",
        "approach",
    }


@pytest.mark.parametrize("name", ["Bluegrass", " JAZZ ", "classical"])
def test_a_style_is_found_in_any_capitals(name):
    assert find_style(name).name == name.strip().lower()


def test_an_unknown_style_names_the_nearest():
    with pytest.raises(BadInput, match="did you mean 'bluegrass'"):
        find_style("blugrass")


@pytest.mark.parametrize("value", [None, 3, "", "  "])
def test_what_is_no_style_is_refused(value):
    with pytest.raises(BadInput, match="accepted: bluegrass, country, blues, jazz, classical"):
        find_style(value)


def test_an_edited_style_changes_only_what_was_changed():
    mine = find_style("blues").edited("mine", {BLUE: 0.5})
    assert mine.name == "mine"
    assert mine.severity(BLUE) == 0.5
    rest = [kind for kind in CLASSES if kind is not BLUE]
    assert [mine.severity(k) for k in rest] == [find_style("blues").severity(k) for k in rest]


@given(st.one_of(st.floats(max_value=-1e-9), st.floats(min_value=1 + 1e-9), st.just(float("nan"))))
def test_a_severity_outside_zero_to_one_is_refused(severity):
    with pytest.raises(BadInput, match="accepted: 0 to 1"):
        find_style("blues").edited("mine", {APPROACH: severity})
