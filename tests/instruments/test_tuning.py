"""Instruments of one's own, and capos."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from theorykit.errors import BadInput
from theorykit.instruments.capo import partly_capoed, shape_chord, shape_key, sounding_key
from theorykit.instruments.catalogue import INSTRUMENTS, find_instrument
from theorykit.instruments.fretboard import cells
from theorykit.instruments.tuning import looks_like_tuning, read_instrument
from theorykit.scene.selection import Selection
from theorykit.theory.chord import Chord
from theorykit.theory.key import MAJOR_TONICS, Key


def test_a_tuning_is_said_from_the_last_string() -> None:
    own = read_instrument("G2 D3 A3 E4, 20 frets, 352 mm")
    assert [str(string.open) for string in own.strings] == ["E4", "A3", "D3", "G2"]
    assert (own.frets, own.scale_length_mm, own.fretless) == (20, 352, False)


def test_what_is_not_said_has_a_default() -> None:
    own = read_instrument("D3 G3")
    assert (own.frets, own.scale_length_mm) == (20, 648)
    assert own.name == "D3 G3, 20 frets, 648 mm"


def test_everything_that_can_be_said() -> None:
    own = read_instrument("my  neck: G♭4@5 D3 A3, double courses, fretless, 13.86 in, 24 frets")
    assert own.name == "my neck: Gb4@5 D3 A3, 24 frets, 352 mm, fretless, double courses"
    assert [string.start_fret for string in own.strings] == [0, 0, 5]
    assert {string.strands for string in own.strings} == {2}
    assert own.fretless
    assert own.inlays == ()


@pytest.mark.parametrize("name", ["banjo", "mandolin", "guitar, open D", "cello"])
def test_a_known_neck_can_be_said_as_a_tuning(name: str) -> None:
    known = find_instrument(name)
    words = [
        f"{string.open}@{string.start_fret}" if string.start_fret else str(string.open)
        for string in reversed(known.strings)
    ]
    options = [f"{known.frets} frets", f"{known.scale_length_mm:g} mm"]
    options += ["fretless"] if known.fretless else []
    options += ["double courses"] if known.strings[0].strands == 2 else []
    own = find_instrument(", ".join([" ".join(words), *options]))
    assert (own.strings, own.frets) == (known.strings, known.frets)
    assert cells(own) == cells(known)


WORDS = st.builds(
    lambda letter, sign, octave: f"{letter}{sign}{octave}",
    st.sampled_from("ABCDEFG"),
    st.sampled_from(["", "b", "#"]),
    st.integers(1, 5),
)


@given(
    words=st.lists(WORDS, min_size=1, max_size=12),
    frets=st.integers(12, 36),
    length=st.integers(1500, 14000),
    name=st.sampled_from(["", "a neck: "]),
)
def test_an_own_instrument_is_found_again_by_its_name(
    words: list[str], frets: int, length: int, name: str
) -> None:
    own = read_instrument(f"{name}{' '.join(words)}, {frets} frets, {length / 10} mm")
    assert find_instrument(own.name) == own
    assert looks_like_tuning(own.name)


@given(st.text(alphabet="ABG#b2345@,: x-frets mm\n\x00", max_size=40))
def test_any_text_is_read_whole_or_refused(text: str) -> None:
    own, said = None, ""
    try:
        own = find_instrument(text)
    except BadInput as error:
        said = str(error)
    assert "\n" not in said
    assert own is None or find_instrument(own.name) == own


def test_a_study_keeps_an_own_instrument() -> None:
    chosen = Selection.of(instrument="G2  D3 A3 D4")
    assert chosen.instrument == "G2 D3 A3 D4, 20 frets, 648 mm"
    assert chosen.neck.tuning == "G2 D3 A3 D4"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("G D A E", "'G' is not a note with an octave; .*did you mean 'G3 D4 A4 E5'"),
        ("G2 D3 A3 H4", "'H4' is not a note with an octave; .*did you mean 'B4'"),
        ("G2 d3", "did you mean 'D3'"),
        ("G2 D3, 5 frets", "can't have 5 frets; accepted: 12 to 36 frets; did you mean '12 frets'"),
        ("G2 D3, 99 frets", "did you mean '36 frets'"),
        ("G2 D3, 9 mm", "did you mean '150 mm'"),
        ("G2 D3, 20 frets, 21 frets", "says '21 frets' again"),
        ("G2 D3, frettless", "can't read 'frettless'; .*did you mean 'fretless'"),
        ("G2 D3,", "nothing stands between two commas"),
        (": G2 D3", "the name before the colon"),
        ("a, b: G2 D3", "a name has no comma"),
        ("G2 " * 13, "has 13 strings; 1 to 12 would do"),
        ("G2@12 D3", "starts too high"),
        ("G9", "'G9' is out of range"),
        ("B-1", "out of range"),
        ("G2@ D3", "'G2@' is not a note with an octave"),
    ],
)
def test_what_is_wrong_is_said_in_one_line(text: str, expected: str) -> None:
    with pytest.raises(BadInput, match=expected) as caught:
        find_instrument(text)
    assert "\n" not in str(caught.value)


def test_only_a_text_is_read() -> None:
    with pytest.raises(BadInput, match="not a text"):
        read_instrument(None)  # type: ignore[arg-type]


# Common practice: a capo that leaves the first and the two last strings open at the second fret
# makes the sound of DADGAD a whole step up from standard tuning.
def test_a_capo_on_some_strings() -> None:
    guitar = find_instrument("guitar")
    partial = partly_capoed(guitar, 2, (3, 4, 5))
    assert partial.tuning == "E2 B2 E3 A3 B3 E4"
    up = [string.open.midi - 2 for string in partial.strings]
    assert up == [string.open.midi for string in find_instrument("DADGAD").strings]
    assert find_instrument(partial.name) == partial
    # What is stopped above the capo sounds as it did without it.
    plain = {(cell.string, cell.fret): cell.midi for cell in cells(guitar)}
    capoed = {(cell.string, cell.fret): cell.midi for cell in cells(partial)}
    stopped = {place: midi for place, midi in capoed.items() if place[1]}
    assert stopped == {
        place: midi
        for place, midi in plain.items()
        if place[1] > (2 if place[0] in {3, 4, 5} else 0)
    }


@pytest.mark.parametrize("fret", range(1, 12))
@pytest.mark.parametrize("name", ["guitar", "mandolin", "fiddle, AEAE"])
def test_a_capo_on_all_strings_sounds_as_a_whole_one(name: str, fret: int) -> None:
    neck = find_instrument(name)
    every = partly_capoed(neck, fret, tuple(range(1, len(neck.strings) + 1)))
    assert sorted(cell.midi for cell in cells(every)) == sorted(
        cell.midi for cell in cells(neck, capo=fret)
    )


@pytest.mark.parametrize(
    ("fret", "strings", "expected"),
    [
        (0, (1,), "accepted: 1 to 11"),
        (12, (1,), "accepted: 1 to 11"),
        (2, (), "not some strings"),
        (2, (1, 1), "not some strings"),
        (2, (6,), "accepted: 1 to 5"),
        (5, (5,), "string 5 starts at fret 5; accepted: 6 or higher"),
    ],
)
def test_impossible_capos(fret: int, strings: tuple[int, ...], expected: str) -> None:
    with pytest.raises(BadInput, match=expected):
        partly_capoed(INSTRUMENTS["banjo"], fret, strings)


# Any capo chart (common practice): the key that sounds, the capo, the shapes.
@pytest.mark.parametrize(
    ("sounding", "capo", "shape"),
    [
        ("A", 2, "G"),
        ("Bb", 3, "G"),
        ("B", 4, "G"),
        ("C", 5, "G"),
        ("D", 2, "C"),
        ("Eb", 3, "C"),
        ("E", 2, "D"),
        ("F", 1, "E"),
        ("F#", 2, "E"),
        ("Ab", 1, "G"),
        ("B", 2, "A"),
        ("F#m", 2, "Em"),
        ("Bm", 2, "Am"),
        ("Gm", 3, "Em"),
        ("G", 0, "G"),
    ],
)
def test_a_capo_chart(sounding: str, capo: int, shape: str) -> None:
    assert shape_key(Key.parse(sounding), capo) == Key.parse(shape)
    assert sounding_key(Key.parse(shape), capo).tonic.pitch_class == (
        Key.parse(sounding).tonic.pitch_class
    )


@pytest.mark.parametrize("tonic", MAJOR_TONICS)
@pytest.mark.parametrize("capo", range(12))
def test_the_shapes_lie_as_far_below_as_the_capo(tonic: object, capo: int) -> None:
    key = Key.parse(str(tonic))
    shape = shape_key(key, capo)
    assert (shape.tonic.pitch_class + capo - key.tonic.pitch_class) % 12 == 0
    # A shape's key is at most a tritone's worth of signs: nobody thinks in C flat over a capo.
    assert shape == key or abs(shape.fifths) <= 6


def test_chords_take_the_shapes_names() -> None:
    key = Key.parse("Bb")
    shapes = [str(shape_chord(Chord.parse(text), key, 3)) for text in ("Bb", "Eb", "F7", "Gm/D")]
    assert shapes == ["G", "C", "D7", "Em/B"]


@pytest.mark.parametrize("capo", [-1, 12, True, 2.0])
def test_a_capo_beyond_the_neck(capo: int) -> None:
    with pytest.raises(BadInput, match="accepted: 0 to 11"):
        shape_key(Key.parse("G"), capo)
