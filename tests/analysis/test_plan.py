"""Plans for whole forms: the cheapest of all, and what players do."""

from itertools import pairwise, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from theorykit.analysis import plan_cost
from theorykit.analysis.advice import sounded
from theorykit.analysis.classification import Harmony
from theorykit.analysis.fit import fit
from theorykit.analysis.plan import plan_progression
from theorykit.analysis.plan_cost import AWAY_COST, CHANGE_COST, UNWANTED_COST
from theorykit.analysis.style import STYLES, find_style
from theorykit.analysis.wording import fill
from theorykit.theory.degree import Degree
from theorykit.theory.form import FORMS, find_progression
from theorykit.theory.key import TONICS
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.progression import Progression
from theorykit.theory.scale import SCALES, find_scale

BLUEGRASS = find_style("bluegrass")


def plan(chart, scale="minor pentatonic", style="bluegrass", **options):
    return plan_progression(
        find_progression(chart), find_scale(scale), find_style(style), **options
    )


def tonics(found):
    return " ".join(str(entry.scale_tonic) for entry in found.entries)


def test_the_stipulated_costs():
    assert (CHANGE_COST, UNWANTED_COST, AWAY_COST) == (0.6, 0.5, 0.4)


@pytest.mark.parametrize("scale", ["minor pentatonic", "blues"])
def test_the_twelve_bar_blues_changes_for_five_and_comes_back(scale):
    # Common practice: over IV and nearly everything else one stays.
    found = plan("12-bar blues", scale)
    assert tonics(found) == "1 1 1 1 1 1 1 1 5 1 1 5"
    assert found.changes == 4
    assert {entry.scale.name for entry in found.entries} == {scale}


def test_a_beat_of_five_is_too_short_to_change_and_half_a_bar_is_not():
    assert tonics(plan("| I . . V | I |")) == "1 1 1"
    assert tonics(plan("| I . V . | I |")) == "1 5 1"


def test_between_two_visits_one_comes_back_for_a_bar_and_not_for_half():
    assert tonics(plan("| I | V | IV | V | I |")) == "1 5 1 5 1"
    assert tonics(plan("| I | V | IV V | I |")) == "1 5 5 5 1"


def test_in_blues_style_and_with_the_major_scale_nothing_changes():
    assert plan("12-bar blues", style="blues").changes == 0
    for scale in ("major", "major pentatonic"):
        assert plan("I-IV-V vamp", scale).changes == 0


def test_chord_tones_never_count_as_a_change():
    found = plan("12-bar blues", "chord tones")
    assert found.changes == 0
    assert tonics(found) == "1 1 1 1 4 4 1 1 5 4 1 5"
    assert {entry.away for entry in found.entries} == {0.0}


def test_the_sentences():
    told = [fill(entry.reason, Note.parse("G")) for entry in plan("| I | V | IV V | I |").entries]
    assert told == [
        "Over G, stay on G minor pentatonic: nothing of it has to be left out.",
        "Over D, change to D minor pentatonic: Bb lies a half step above A, the fifth.",
        "Over C, keep D minor pentatonic: coming back here would cost more than it gains.",
        "Over D, keep D minor pentatonic: Bb lies a half step above A, the fifth.",
        "Over G, come back to G minor pentatonic: it is the scale that you hold.",
    ]
    short = plan("| I . . V | I |").entries[1]
    assert fill(short.reason, Note.parse("G")) == (
        "Over D, stay on G minor pentatonic: a change would cost more than leaving out Bb."
    )


def test_the_cost_of_a_plan_by_hand():
    # I: clean 1 - (.25 + .20 + .05 + 0 + 0)/5, cover 1.5/2.5; V on its own pentatonic: the same
    # figures, for the same scale lies over the same chord; two changes.
    found = plan("| I | V | I |")
    score = 0.75 * (1 - 0.5 / 5) + 0.25 * 1.5 / 2.5
    assert [entry.rub for entry in found.entries] == pytest.approx([4 * (1 - score)] * 3)
    assert found.cost == pytest.approx(12 * (1 - score) + 2 * 0.6)
    parts = [(e.unwanted, e.away, e.change) for e in found.entries]
    assert parts == [(0.0, 0.0, 0.0), (0.0, 0.0, 0.6), (0.0, 0.0, 0.6)]
    held = plan("| I . . V | I |").entries[1]
    assert held.unwanted == pytest.approx(0.5)


def test_the_way_back_at_the_end_counts():
    found = plan("| I | V |")
    assert found.returns
    assert found.changes == 2
    assert found.cost == pytest.approx(sum(entry.cost for entry in found.entries) + CHANGE_COST)


def test_the_bars_and_the_records():
    form = find_progression("8-bar blues")
    found = plan_progression(form, find_scale("blues"), BLUEGRASS)
    assert [len(bar) for bar in found.bars()] == [len(bar) for bar in form.bars]
    assert [entry.beats for entry in found.entries] == [chord.beats for chord in form.chords]
    record = found.records()[1]
    assert record == {
        "bar": 2,
        "chord": "{5:7}",
        "beats": 4.0,
        "scale": "{5} blues",
        "changes": True,
        "cost": round(found.entries[1].cost, 4),
        "reason": found.entries[1].reason,
    }


def test_the_thirds_can_be_left_out():
    found = plan("I-IV-V vamp", thirds=False)
    assert [str(entry.numeral) for entry in found.entries] == ["I5", "IV5", "V5", "I5"]
    assert tonics(found) == "1 1 5 1"


def test_the_mode_is_the_progression_s_unless_told():
    form = Progression.parse("| I | bVII | I |")
    major = find_scale("major")
    assert plan_progression(form, major, BLUEGRASS).changes == 0
    modal = plan_progression(form, major, BLUEGRASS, "Mixolydian")
    assert modal.mode == "Mixolydian"
    assert modal.changes == 2


charts = st.lists(
    st.sampled_from(["I", "IV7", "V7", "ii7", "bVII", "VI7", "I V", "IV . . V", "iv"]),
    min_size=1,
    max_size=3,
).map(lambda bars: f"| {' | '.join(bars)} |")


@settings(max_examples=40)
@given(
    charts,
    st.sampled_from(["minor pentatonic", "blues", "major", "natural minor", "chord tones"]),
    st.sampled_from(sorted(STYLES)),
    st.sampled_from(["major", "minor"]),
    st.booleans(),
)
def test_no_plan_is_cheaper(chart, scale, style, mode, thirds):
    """Every plan of a short form is priced again from the fits, and none costs less."""
    form, held = Progression.parse(chart), find_scale(scale)
    found = plan_progression(form, held, STYLES[style], mode, thirds=thirds)
    numerals = [sounded(chord.numeral, thirds=thirds) for chord in form.chords]
    options = plan_cost.plan_options(held, [Harmony.of(numeral, mode) for numeral in numerals])
    assert options[0] == (None, held)
    home = options[0]
    prices = {}
    for index, (numeral, chord) in enumerate(zip(numerals, form.chords, strict=True)):
        beats = float(chord.beats)
        own = fit(held, numeral, STYLES[style], mode)
        for tonic, other in options:
            over = fit(other, numeral, STYLES[style], mode, tonic=tonic)
            price = beats * (1 - over.score) + 0.5 * beats * len(over.unwanted)
            if (tonic, other) != home and not own.unwanted:
                price += 0.4 * beats
            prices[index, (tonic, other)] = price

    def price_of(path):
        changes = sum(before != after for before, after in pairwise([home, *path, home]))
        return sum(prices[place] for place in enumerate(path)) + 0.6 * changes

    best = min(price_of(path) for path in product(options, repeat=len(numerals)))
    assert found.cost == pytest.approx(best, abs=1e-6)


@given(
    st.sampled_from(sorted(FORMS)),
    st.sampled_from(sorted(SCALES)),
    st.sampled_from(sorted(STYLES)),
    st.sampled_from(TONICS),
)
def test_a_plan_of_a_known_form_holds_together(name, scale, style, tonic):
    found = plan_progression(FORMS[name], SCALES[scale], STYLES[style])
    before = (Degree(1), SCALES[scale])
    for entry in found.entries:
        now = (entry.scale_tonic, entry.scale)
        if not SCALES[scale].follows_chord:
            assert entry.changes == (now != before)
        before = now
        assert entry.cost >= 0
        assert not set("{}|") & set(fill(entry.reason, tonic))
    held = sum(
        (1 - serves.score + 0.5 * len(serves.unwanted)) * float(chord.beats)
        for chord in FORMS[name].chords
        for serves in [fit(SCALES[scale], chord.numeral, STYLES[style], FORMS[name].mode)]
    )
    assert found.cost <= held + 1e-6


def test_where_no_chord_sounds_one_comes_back_or_changes_but_nothing_rubs():
    found = plan("| I | V | N.C. | V | I |")
    silent = found.entries[2]
    assert (silent.rub, silent.unwanted, silent.away) == (0.0, 0.0, 0.0)
    assert tonics(found) == "1 5 5 5 1"
    assert fill(silent.reason, Note.parse("G")) == "No chord sounds: stay on D minor pentatonic."


def test_a_plan_as_a_table_in_degrees_and_in_a_key():
    found = plan("| I | V |", scale="1 b3 4 5 b7")
    table = found._repr_html_()
    assert table.count("<tr>") == 3
    assert "<caption>minor pentatonic, bluegrass style: a plan with 2 changes</caption>" in table
    assert '<th scope="col">bar</th>' in table
    assert "Over V, change to 5 minor pentatonic: ♭3 lies a half step above 2, the fifth." in table
    assert "Over F, change to F minor pentatonic: D♭ lies" in found.html(Note.parse("Bb"))


def test_a_style_s_name_is_escaped():
    style = BLUEGRASS.edited("<b>&", {})
    found = plan_progression(Progression.parse("| I |"), find_scale("blues"), style)
    assert "&lt;b&gt;&amp; style" in found.html()
    assert "<b>" not in found.html()


def test_the_scales_of_a_plan_are_the_held_one_and_what_advice_would_change_to():
    held = find_scale("blues")
    harmonies = [Harmony.of(Numeral.parse(name), "major") for name in ("I", "IV", "V", "I7")]
    offered = plan_cost.plan_options(held, harmonies)
    assert offered == ((None, held), (Degree(4), held), (Degree(5), held))
    tones = find_scale("chord tones")
    assert plan_cost.plan_options(tones, harmonies) == ((None, tones),)
