"""Relations of scales: what is added and dropped, which scales hold given notes, common keys."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from theorykit.errors import BadInput
from theorykit.theory.key import TONICS, Key
from theorykit.theory.pitch import LETTERS, Note
from theorykit.theory.relation import (
    common_keys,
    find_scales,
    keys_of,
    parents,
    relation,
    shared_notes,
)
from theorykit.theory.scale import SCALES, Scale, every_scale, find_scale


# Common practice.
@pytest.mark.parametrize(
    ("first", "second", "sentence"),
    [("minor pentatonic", "blues", "blues is minor pentatonic with b5 added"),
     ("major pentatonic", "major blues", "major blues is major pentatonic with b3 added"),
     ("major", "Mixolydian", "Mixolydian is major with b7 added and 7 dropped"),
     ("major", "Lydian", "Lydian is major with #4 added and 4 dropped"),
     ("natural minor", "Dorian", "Dorian is natural minor with 6 added and b6 dropped"),
     ("major", "major pentatonic", "major pentatonic is major with 4, 7 dropped"),
     ("natural minor", "minor pentatonic", "minor pentatonic is natural minor with 2, b6 dropped"),
     ("Mixolydian", "bebop dominant", "bebop dominant is Mixolydian with 7 added"),
     ("blues", "blues", "blues is blues under another name")],
)  # fmt: skip
def test_what_one_scale_adds_and_drops(first, second, sentence):
    assert relation(SCALES[first], SCALES[second]).sentence(first, second) == sentence


def test_kinds_of_relation():
    kinds = [relation(SCALES["major"], SCALES[name]).kind
             for name in ("major", "Mixolydian", "major pentatonic", "chromatic")]  # fmt: skip
    assert kinds == ["same", "changes", "drops", "adds"]


# Common practice: going from a key's minor pentatonic to that of its fifth changes one note.
@pytest.mark.parametrize("tonic", [str(note) for note in TONICS])
def test_neighbouring_minor_pentatonics_share_four_notes(tonic):
    key = Scale(Note.parse(tonic), SCALES["minor pentatonic"])
    fifth = Scale(key.tonic.shifted(4, 7), SCALES["minor pentatonic"])
    shared = shared_notes(key, fifth)
    assert len(shared) == 4
    assert set(key.notes) - set(shared) == {key.tonic.shifted(2, 3)}


# Any theory handbook.
@pytest.mark.parametrize(
    ("name", "parent", "number"),
    [("Dorian", "major", 2), ("Phrygian", "major", 3), ("Lydian", "major", 4),
     ("Mixolydian", "major", 5), ("natural minor", "major", 6), ("Locrian", "major", 7),
     ("minor pentatonic", "major pentatonic", 5), ("altered", "melodic minor", 7),
     ("Lydian dominant", "melodic minor", 4), ("Phrygian dominant", "harmonic minor", 5),
     ("blues", "major blues", 6), ("half-whole diminished", "whole-half diminished", 2)],
)  # fmt: skip
def test_parent_scales(name, parent, number):
    assert (SCALES[parent], number) in parents(SCALES[name])


def test_a_scale_is_the_mode_that_its_parents_say():
    for formula in every_scale():
        for parent, number in parents(formula):
            assert parent.mode(number) == formula


# Any theory handbook: closely related keys.
@pytest.mark.parametrize(
    ("first", "second", "keys"),
    [("G major", "E natural minor", "G major, E minor"),
     ("G major pentatonic", "D major pentatonic", "G major, E minor, D major, B minor"),
     ("A minor pentatonic", "E minor pentatonic", "C major, A minor, G major, E minor"),
     ("G major", "G minor pentatonic", "")],
)  # fmt: skip
def test_keys_in_common(first, second, keys):
    found = common_keys(Scale.parse(first), Scale.parse(second))
    assert ", ".join(map(str, found)) == keys


def notes_of(text):
    return [Note.parse(name) for name in text.split()]


# Worked out by hand from the catalogue.
@pytest.mark.parametrize(
    ("notes", "tonic", "first"),
    [("G Bb C D F", None, "G minor pentatonic"), ("Bb C D F G", None, "Bb major pentatonic"),
     ("G Bb C Db D F", None, "G blues"), ("A B C# D E F# G#", None, "A major"),
     ("A B C D E F G#", None, "A harmonic minor"), ("D E F G A B C", None, "D Dorian"),
     ("G A B C D E F", "C", "C major"), ("C E G", None, "C major pentatonic"),
     ("E G# B D F", "E", "E Phrygian dominant"), ("C Db D Eb E F F#", None, "C chromatic"),
     ("F# A C", None, "F# whole-half diminished")],
)  # fmt: skip
def test_which_scales_hold_these_notes(notes, tonic, first):
    found = find_scales(notes_of(notes), tonic=Note.parse(tonic) if tonic else None)
    names = [str(holder.scale) for holder in found]
    if first == "F# whole-half diminished":
        assert first in names
    else:
        assert names[0] == first


def test_the_nearest_scales_come_first_and_say_what_is_extra():
    found = find_scales(notes_of("G Bb C D F"), most=12)
    assert [len(holder.extra) for holder in found] == sorted(len(each.extra) for each in found)
    blues = next(holder for holder in found if str(holder.scale) == "G blues")
    assert [str(note) for note in blues.extra] == ["Db"]


def test_no_notes_are_refused():
    with pytest.raises(BadInput, match="notes '': there are none"):
        find_scales([])


names = st.builds(Note, st.sampled_from(LETTERS), st.integers(-1, 1))


@given(st.lists(names, min_size=1, max_size=5))
def test_every_scale_that_is_found_holds_the_notes(notes):
    found = find_scales(notes)
    assert any(holder.scale.formula.name == "chromatic" for holder in found)
    for holder in found:
        sounds = {note.pitch_class for note in holder.scale.notes}
        asked = {note.pitch_class for note in notes}
        assert asked <= sounds
        assert {note.pitch_class for note in holder.extra} == sounds - asked


@given(st.sampled_from([name for name in SCALES if name != "chord tones"]), names)
def test_a_scale_is_found_by_its_own_notes(name, tonic):
    scale = Scale(tonic, SCALES[name])
    holder = find_scales(scale.notes, tonic=tonic)[0]
    assert holder.scale == scale
    assert holder.extra == ()


@given(st.sampled_from(every_scale()), st.sampled_from(every_scale()))
def test_adding_and_dropping_lead_from_one_scale_to_the_other(first, second):
    there, back = relation(first, second), relation(second, first)
    assert [each.semitones for each in there.added] == [each.semitones for each in back.dropped]
    assert {each.semitones for each in (*there.shared, *there.added)} == set(second.semitones)
    assert {each.semitones for each in (*there.shared, *there.dropped)} == set(first.semitones)


def test_keys_of_a_key_is_the_key_and_its_relative():
    for text in ("C", "F#", "Gb", "Bbm", "C#m"):
        key = Key.parse(text)
        name = "major" if key.mode == "major" else "natural minor"
        found = keys_of(Scale(key.tonic, find_scale(name)).notes)
        assert set(found) == {key, key.relative}
