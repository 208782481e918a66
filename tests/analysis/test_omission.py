"""Chords with a member left out, and what comes of it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from theorykit.analysis.omission import MEMBERS, compare_without, without_member
from theorykit.analysis.style import STYLES, find_style
from theorykit.analysis.wording import fill
from theorykit.errors import BadInput
from theorykit.theory.chord import ChordType
from theorykit.theory.form import FORMS
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.scale import SCALES, find_scale

BLUEGRASS = find_style("bluegrass")
MINOR_PENTATONIC = find_scale("minor pentatonic")

#: Common practice, typed by hand: chord, member left out, what is left above the root.
LEFT = """
I     third    1 5
I     fifth    1 3
I     root     3 5
V7    third    1 5 b7
V7    seventh  1 3 5
V7    fifth    1 3 b7
Imaj7 seventh  1 3 5
ii7   seventh  1 b3 5
ii7   third    1 5 b7
V9    seventh  1 3 5 9
V9    third    1 5 b7 9
V13   seventh  1 3 5 9 13
V7b9  seventh  1 3 5 b9
iiø7  seventh  1 b3 b5
iiø7  fifth    1 b3 b7
vii°7 third    1 b5 bb7
vii°  fifth    1 b3
V7b5  fifth    1 3 b7
"""


@pytest.mark.parametrize("line", LEFT.strip().splitlines())
def test_what_is_left_of_a_chord(line):
    chord, member, *left = line.split()
    thinner = without_member(Numeral.parse(chord), member)
    assert [str(degree) for degree in thinner.type.degrees] == left


@pytest.mark.parametrize(
    ("chord", "member"),
    [
        ("I", "seventh"),
        ("I5", "third"),
        ("I5", "fifth"),
        ("I5", "root"),
        ("Ino5", "third"),
        ("Ino5", "root"),
        ("Isus4", "third"),
        ("vii°7", "fifth"),
        ("V7alt", "seventh"),
    ],
)
def test_a_member_that_is_not_there_or_can_t_be_spared(chord, member):
    assert without_member(Numeral.parse(chord), member) is None


@pytest.mark.parametrize("member", ["ninth", "", "Third", None])
def test_what_is_no_member_is_refused(member):
    with pytest.raises(BadInput, match="accepted: root, third, fifth, seventh"):
        without_member(Numeral.parse("I"), member)


#: Common practice: what leaving out a member does to the key's minor pentatonic, in G.
SENTENCES = [
    ("V", "third", "With the third left out (D5), the advice is the same, though G and F no "),
    ("V", "fifth", "With the fifth left out (Dno5), one may stay: Bb no longer rubs."),
    ("I", "third", "With the third left out (G5), the advice is the same, though Bb and C no "),
    ("I", "fifth", "With the fifth left out (Gno5), the advice is the same."),
    ("V9", "fifth", "With the fifth left out (D9no5), leave out F: Bb no longer rubs."),
]


@pytest.mark.parametrize(("chord", "member", "sentence"), SENTENCES)
def test_the_sentence(chord, member, sentence):
    found = compare_without(MINOR_PENTATONIC, Numeral.parse(chord), BLUEGRASS)
    (omission,) = [one for one in found if one.member == member]
    assert fill(omission.words, Note.parse("G")).startswith(sentence)


def test_without_the_fifth_of_five_the_verdict_changes_and_without_the_third_it_does_not():
    # Common practice: the lowered third rubs against V's fifth and not against its third.
    for chord in ("V", "V7"):
        found = {
            one.member: one
            for one in compare_without(MINOR_PENTATONIC, Numeral.parse(chord), BLUEGRASS)
        }
        assert found["fifth"].changes
        assert not found["third"].changes
        assert found["fifth"].without.verdict == "stay"
        assert found["third"].without.verdict == "switch"
        assert [str(note.degree) for note in found["fifth"].freed] == ["b3"]


def test_in_jazz_style_the_passing_fourth_is_freed_with_the_third():
    found = compare_without(find_scale("major"), Numeral.parse("I"), find_style("jazz"))
    third = next(one for one in found if one.member == "third")
    assert (third.whole.verdict, third.without.verdict) == ("pass", "stay")
    assert third.changes
    assert fill(third.words, Note.parse("C")) == (
        "With the third left out (C5), one may stay: F no longer rubs."
    )


@given(
    st.sampled_from(sorted(SCALES)),
    st.sampled_from(sorted({str(c.numeral) for form in FORMS.values() for c in form.chords})),
    st.sampled_from(sorted(STYLES)),
    st.sampled_from(["major", "minor"]),
)
def test_a_comparison_holds_together(scale, chord, style, mode):
    numeral = Numeral.parse(chord)
    found = compare_without(SCALES[scale], numeral, STYLES[style], mode)
    spared = [member for member in MEMBERS if without_member(numeral, member) is not None]
    assert [one.member for one in found] == spared
    assert {"root", "third"} <= set(spared)
    for one in found:
        left = one.without.numeral
        assert left.root == numeral.root
        assert ChordType.parse(left.type.suffix) == left.type
        assert one.member not in {degree.ordinal for degree in left.type.degrees}
        kept = [degree for degree in numeral.type.degrees if degree.ordinal != one.member]
        assert set(left.type.degrees) == set(kept)
        same = (one.whole.verdict, one.whole.scale) == (one.without.verdict, one.without.scale)
        assert same or one.changes
        text = fill(one.words, Note.parse("Eb"))
        assert text.startswith(f"With the {one.member} left out (")
        assert not set("{}|") & set(text)
