"""Every verdict can be asked why."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from theorykit.analysis.advice import advise
from theorykit.analysis.explain import RULES, VERDICT_RULES, explain
from theorykit.analysis.style import CLASSES, STYLES, find_style
from theorykit.analysis.wording import fill
from theorykit.theory.form import FORMS
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.scale import SCALES, find_scale


def why(scale, chord, style="bluegrass", mode="major", beats=4):
    return explain(
        advise(find_scale(scale), Numeral.parse(chord), find_style(style), mode, Fraction(beats))
    )


def test_every_class_and_every_verdict_has_its_rule_and_source():
    assert list(RULES) == list(CLASSES)
    assert all(rule and source for rule, source in RULES.values())
    assert set(VERDICT_RULES) == {"stay", "pass", "leave", "switch"}


def test_the_whole_text_word_for_word():
    text = fill(why("minor pentatonic", "V").text, Note.parse("G"))
    assert text.splitlines() == [
        (
            "Over D, leave G minor pentatonic for D minor pentatonic: Bb lies a half step above "
            "A, the fifth; A takes its place."
        ),
        (
            "In bluegrass style, switch: a note weighs 0.7 or more, and another scale is worth "
            "the change."
        ),
        (
            "G weighs 0.2, so one may rest on it: a fourth over a major third may pass; here "
            "above F#, the third."
        ),
        (
            "Bb weighs 0.9, so leave it out: a foreign note a half step above a chord tone, or a "
            "major third over a minor one, clashes; here above A, the fifth; it goes down a half "
            "step to A."
        ),
        "C weighs 0.05, so one may rest on it: no other rule speaks of it.",
        "D weighs 0, so one may rest on it: it sounds in the chord; it is the root.",
        (
            "F weighs 0.25, so one may rest on it: the key's lowered third, fifth or seventh a "
            "half step below a chord tone, or the chord's own minor third below its major one, "
            "is a blue note; here below F#, the third."
        ),
        (
            "D minor pentatonic is taken: nothing has to be left out, and its score is 0.19 "
            "better where 0.045 is asked."
        ),
    ]


def test_an_ornament_is_passed_however_much_it_weighs():
    notes = {str(reason.note.degree): reason for reason in why("blues", "IV").notes}
    assert notes["b5"].effect == "pass"
    assert "an ornament of the scale" in notes["b5"].words


@pytest.mark.parametrize(
    ("question", "rule", "offers"),
    [
        (("minor pentatonic", "I"), "no note weighs 0.3 or more", []),
        (
            ("minor pentatonic", "I", "bluegrass", "major", 1),
            "no note weighs 0.3 or more",
            [],
        ),
        (("major", "bVII"), "a note weighs 0.3 or more, and none but an ornament weighs 0.7", []),
        (
            ("minor pentatonic", "V", "bluegrass", "major", 1),
            "a note weighs 0.7 or more, and the chord is over in less than 2 beats",
            ["D minor pentatonic is not tried: the chord is over in less than 2 beats."],
        ),
        (
            ("minor pentatonic", "V", "classical"),
            "a note weighs 0.7 or more, and no other scale is worth the change",
            ["D minor pentatonic is not taken: F would have to be left out there."],
        ),
        (
            ("major", "III7", "classical"),
            "a note weighs 0.7 or more, and another scale is worth the change",
            [
                "B Mixolydian is not taken: G# would have to be left out there.",
                (
                    "E harmonic minor is taken: nothing has to be left out, and its score is 0.16 "
                    "better where 0.045 is asked."
                ),
            ],
        ),
        (
            ("natural minor", "VI7", "country"),
            "a note weighs 0.7 or more, and another scale is worth the change",
            [
                (
                    "E Mixolydian would do, but another gains more: its score is 0.38 better "
                    "where 0.045 is asked."
                ),
                (
                    "A harmonic minor is taken: nothing has to be left out, and its score is 0.39 "
                    "better where 0.045 is asked."
                ),
            ],
        ),
    ],
)
def test_the_rule_and_the_scales_that_were_weighed(question, rule, offers):
    found = why(*question)
    assert found.rule == rule
    told = [fill(offer.words, Note.parse("G")) for offer in found.offers]
    assert told == offers


def test_a_scale_that_gains_too_little_is_told_so():
    found = why("major blues", "i7", "jazz", "minor")
    assert found.advice.verdict == "leave"
    same, harmonic = found.offers
    assert "would have to be left out there" in same.words
    assert harmonic.words == (
        "{1} harmonic minor is not taken: its score is 0.01 better where 0.045 is asked."
    )
    assert 0 < harmonic.gain < 0.045
    assert harmonic.gain == pytest.approx(harmonic.fit.score - found.advice.fit.score)


def test_the_records_are_plain():
    records = why("blues", "V7").records()
    assert records[1] == {
        "note": "b3",
        "class": "avoid, foreign to the key",
        "member": "fifth",
        "severity": 0.9,
        "effect": "leave out",
        "rule": RULES[CLASSES[4]][0],
        "source": RULES[CLASSES[4]][1],
    }
    assert records[3]["note"] == "b5|#4"
    assert why("major", "I").records()[1]["member"] == ""


@given(
    st.sampled_from(sorted(SCALES)),
    st.sampled_from(sorted({str(c.numeral) for form in FORMS.values() for c in form.chords})),
    st.sampled_from(sorted(STYLES)),
    st.sampled_from(["major", "minor", "Dorian", "Mixolydian"]),
    st.sampled_from([1, 4]),
)
def test_an_explanation_agrees_with_its_advice(scale, chord, style, mode, beats):
    advice = advise(SCALES[scale], Numeral.parse(chord), STYLES[style], mode, Fraction(beats))
    found = explain(advice)
    effects = {reason.note.degree: reason.effect for reason in found.notes}
    assert [n.degree for n in advice.fit.unwanted] == sorted(
        (degree for degree, effect in effects.items() if effect == "leave out"),
        key=[n.degree for n in advice.fit.unwanted].index,
    )
    passed = {degree for degree, effect in effects.items() if effect == "pass"}
    assert passed == {n.degree for n in advice.fit.careful}
    taken = [offer for offer in found.offers if offer.taken]
    assert len(taken) == (advice.verdict == "switch")
    assert bool(found.offers) == (advice.verdict in {"leave", "switch"})
    text = fill(found.text, Note.parse("Ab"))
    assert not set("{}|") & set(text)
    assert "None" not in text
