"""Guide tones by hand, and against every line there is."""

from itertools import pairwise, product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from theorykit.analysis.guide_tones import guide_tone_line, leads, motion
from theorykit.analysis.wording import fill
from theorykit.errors import BadInput
from theorykit.theory.degree import Degree
from theorykit.theory.form import FORMS
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.progression import Progression


def degrees(chart, **options):
    line = guide_tone_line(Progression.parse(chart), **options)
    return " ".join(str(tone.degree) for tone in line)


def test_the_sevenths_fall_to_the_thirds_round_the_circle():
    # Common practice: the guide tones of ii-V-I and of the circle of fourths.
    assert degrees("| ii7 | V7 | Imaj7 |", start="seventh") == "1 7 7"
    assert degrees("| ii7 | V7 | Imaj7 |", start="third") == "4 4 3"
    assert degrees("| III7 | VI7 | II7 | V7 |", start="third") == "#5 5 #4 4"
    assert degrees("| III7 | VI7 | II7 | V7 |", start="seventh") == "2 #1 1 7"


def test_a_triad_gives_its_third_and_a_power_chord_all_it_has():
    assert degrees("| I | IV | V |") == "3 6 7"
    assert degrees("| I5 | IV5 | I5 |") == "1 1 1"


def test_other_members_can_be_asked_for():
    assert degrees("| I | IV | I |", members=["root", "third", "fifth"]) == "1 1 1"
    assert degrees("| I | V | I |", members=["root"]) == "1 5 1"


def test_the_nearest_tones_across_a_bar_line():
    told = [
        fill(lead.words, Note.parse("G")) for lead in leads(Numeral.parse("V7"), Numeral.parse("I"))
    ]
    assert told == [
        "D, the root of D7, stays as D, the fifth of G",
        "F#, the third of D7, rises a half step to G, the root of G",
        "A, the fifth of D7, falls a whole step to G, the root of G",
        "A, the fifth of D7, rises a whole step to B, the third of G",
        "C, the seventh of D7, falls a half step to B, the third of G",
    ]


@given(st.integers(0, 11), st.integers(0, 11))
def test_motion_is_the_shorter_way(start, to):
    names = ["1", "b2", "2", "b3", "3", "4", "#4", "5", "b6", "6", "b7", "7"]
    distance = motion(Degree.parse(names[start]), Degree.parse(names[to]))
    assert (start + distance) % 12 == to
    assert -5 <= distance <= 6


chords = st.sampled_from(
    [*sorted({str(c.numeral) for form in FORMS.values() for c in form.chords}), "I5", "viiø7"]
)


@given(st.lists(chords, min_size=1, max_size=5), st.booleans())
def test_no_line_moves_less(names, every):
    members = ("root", "third", "fifth", "seventh") if every else ("third", "seventh")
    form = Progression.parse(f"| {' | '.join(names)} |")
    line = guide_tone_line(form, members=members)
    layers = []
    for numeral, tone in zip([chord.numeral for chord in form.chords], line, strict=True):
        tones = [d for d in numeral.type.degrees if d.ordinal in members]
        choice = [numeral.root.plus(d) for d in tones or numeral.type.degrees]
        assert tone.degree in choice
        assert tone.numeral == numeral
        assert numeral.root.plus(tone.member) == tone.degree
        layers.append(choice)

    def moved(path):
        steps = [motion(*pair) for pair in pairwise(path)]
        return sum(map(abs, steps)), sum(step for step in steps if step > 0)

    ours = (
        sum(abs(tone.half_steps) for tone in line),
        sum(tone.half_steps for tone in line if tone.half_steps > 0),
    )
    assert line[0].half_steps == 0
    assert ours == moved([tone.degree for tone in line])
    assert ours == min(moved(path) for path in product(*layers))


@given(chords, chords)
def test_every_tone_leads_to_a_nearest_one(current, following):
    one, other = Numeral.parse(current), Numeral.parse(following)
    found = leads(one, other)
    assert {lead.start.member for lead in found} == set(one.type.degrees)
    for lead in found:
        nearest = min(abs(motion(lead.start.degree, degree)) for degree in other.members)
        assert abs(lead.to.half_steps) == nearest
        assert lead.to.half_steps == motion(lead.start.degree, lead.to.degree)


def test_what_is_no_member_is_refused():
    form = Progression.parse("| I | V |")
    with pytest.raises(BadInput, match="no such member"):
        guide_tone_line(form, members=["thrid"])
    with pytest.raises(BadInput, match="the first chord, I, has none"):
        guide_tone_line(form, start="seventh")
    with pytest.raises(BadInput, match="no such member"):
        guide_tone_line(form, start="top")
