"""Keys and their signatures."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from mingus.core import keys as mingus_keys
from music21 import key as music21_key

from theorykit.theory.key import MAJOR_TONICS, MINOR_TONICS, TONICS, Key

# Signatures of the thirty keys (any theory handbook).
SIGNATURES = {
    "Cb major": "Bb Eb Ab Db Gb Cb Fb", "Ab minor": "Bb Eb Ab Db Gb Cb Fb",
    "Gb major": "Bb Eb Ab Db Gb Cb", "Eb minor": "Bb Eb Ab Db Gb Cb",
    "Db major": "Bb Eb Ab Db Gb", "Bb minor": "Bb Eb Ab Db Gb",
    "Ab major": "Bb Eb Ab Db", "F minor": "Bb Eb Ab Db",
    "Eb major": "Bb Eb Ab", "C minor": "Bb Eb Ab",
    "Bb major": "Bb Eb", "G minor": "Bb Eb",
    "F major": "Bb", "D minor": "Bb",
    "C major": "", "A minor": "",
    "G major": "F#", "E minor": "F#",
    "D major": "F# C#", "B minor": "F# C#",
    "A major": "F# C# G#", "F# minor": "F# C# G#",
    "E major": "F# C# G# D#", "C# minor": "F# C# G# D#",
    "B major": "F# C# G# D# A#", "G# minor": "F# C# G# D# A#",
    "F# major": "F# C# G# D# A# E#", "D# minor": "F# C# G# D# A# E#",
    "C# major": "F# C# G# D# A# E# B#", "A# minor": "F# C# G# D# A# E# B#",
}  # fmt: skip


@pytest.mark.parametrize("name", SIGNATURES)
def test_signatures_are_those_of_the_handbooks(name):
    key = Key.parse(name)
    assert " ".join(map(str, key.signature)) == SIGNATURES[name]
    assert abs(key.fifths) == len(SIGNATURES[name].split())


@pytest.mark.parametrize("name", SIGNATURES)
def test_signatures_are_those_of_music21_and_mingus(name):
    key = Key.parse(name)
    other = music21_key.Key(str(key.tonic).replace("b", "-"), key.mode)
    assert key.fifths == other.sharps
    assert [str(note) for note in key.signature] == [
        pitch.name.replace("-", "b") for pitch in other.alteredPitches
    ]
    # mingus writes minor keys with a small letter.
    theirs = (
        str(key.tonic) if key.mode == "major" else str(key.tonic)[0].lower() + str(key.tonic)[1:]
    )
    assert key.fifths == mingus_keys.get_key_signature(theirs)


def test_there_are_thirty_keys():
    assert len(MAJOR_TONICS) == len(MINOR_TONICS) == 15
    assert {f"{tonic} major" for tonic in MAJOR_TONICS} | {
        f"{tonic} minor" for tonic in MINOR_TONICS
    } == set(SIGNATURES)
    assert set(TONICS) == {*MAJOR_TONICS, *MINOR_TONICS}


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("A", "A major"),
        ("Am", "A minor"),
        ("B♭", "Bb major"),
        ("F♯m", "F# minor"),
        ("Eb  minor", "Eb minor"),
        ("G major", "G major"),
        (" C ", "C major"),
    ],
)
def test_keys_are_read_as_teachers_write_them(text, name):
    assert str(Key.parse(text)) == name


# Relative and parallel keys (any theory handbook).
@pytest.mark.parametrize(
    ("name", "relative"),
    [
        ("C major", "A minor"),
        ("G major", "E minor"),
        ("Eb major", "C minor"),
        ("F# minor", "A major"),
        ("Ab minor", "Cb major"),
        ("A# minor", "C# major"),
    ],
)
def test_relative_keys_share_a_signature(name, relative):
    key = Key.parse(name)
    assert str(key.relative) == relative
    assert key.relative.signature == key.signature
    assert key.relative.relative == key


@given(st.sampled_from([*TONICS]), st.sampled_from(["major", "minor"]))
def test_keys_are_read_as_they_are_written(tonic, mode):
    key = Key(tonic, mode)
    assert Key.parse(str(key)) == key
    assert Key.parse(key.pretty) == key
