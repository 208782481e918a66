"""Chord shapes against what handbooks and players use, against enumeration, and against mingus."""

from __future__ import annotations

import itertools
import random

import pytest

from theorykit.errors import BadInput
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.fretboard import stop_distance
from theorykit.instruments.hold import hold
from theorykit.instruments.instrument import Instrument
from theorykit.instruments.shape import format_frets, parse_frets
from theorykit.instruments.shape_change import (
    changes,
    members_at,
    nearest_without,
    places_of,
    shape_sequence,
)
from theorykit.instruments.shape_search import INNER_MUTES, MOST_FRETS, REACH_MM, find_shapes
from theorykit.theory.chord import Chord

#: Common shapes, the lowest string first, as first chord tables of each instrument have them (common
#: practice, from memory). The weights of the ranking were chosen while looking at chords like these,
#: and some were changed after the table stood, so how early its rows come is a check against
#: regressions and no independent evidence that the ranking is right.
COMMON = {
    "guitar": """
        C x32010  A x02220  G 320003  E 022100  D xx0232  Am x02210  Em 022000  Dm xx0231
        F 133211  F xx3211  Bm x24432  B x24442  F#m 244222  Gm 355333  Cm x35543  Bb x13331
        G 355433  A 577655  D x57775  C 8-10-10-9-8-8
        G7 320001  C7 x32310  D7 xx0212  A7 x02020  E7 020100  B7 x21202  F7 131211
        Am7 x02010  Dm7 xx0211  Em7 020000  Em7 022030  Bm7 x20202  Cmaj7 x32000  Fmaj7 xx3210
        Gmaj7 320002  Amaj7 x02120  Dmaj7 xx0222  Asus4 x02230  Dsus4 xx0233  Esus4 022200
        Caug x32110  Bdim7 x23131  Bm7b5 x2323x  C9 x32330  A5 x022xx  E5 022xxx  D/F# 200232  C/G 332010
    """,
    "mandolin": """
        G 0023  C 0230  D 2002  A 2245  E 1220  F 5301  Am 2230  Em 0220  Dm 2001  Bm 4022
        G7 0021  D7 2032  A7 2243  C7 3230  Bb 3011  G 7523  C 5233  D 7455  A 9745
    """,
    "ukulele": """
        C 0003  F 2010  G 0232  Am 2000  Dm 2210  Em 0432  D 2220  A 2100  G7 0212  C7 0001
        D7 2223  A7 0100  E7 1202  Bb 3211  Gm 0231  F7 2310  Bm 4222  Cm 0333  Fm 1013
    """,
    "banjo": """
        G 00000  C 02012  D x0234  F x3213  A x2222  Em 02002  Am x2212  D7 x0214  G x5435  C x5555
    """,
    "tenor banjo": """
        C 0023  G 2002  D 2245  F 0230  Am 0220  Dm 2230  G7 2032  C 4553  G 7455
    """,
}
ROWS = [
    (neck, chord, frets)
    for neck, table in COMMON.items()
    for chord, frets in zip(table.split()[::2], table.split()[1::2], strict=True)
]
#: How soon each of the table comes up among the shapes of its chord.
FIRST = 5


def texts(neck: str, chord: str, **options: object) -> list[str]:
    shapes = find_shapes(find_instrument(neck), Chord.parse(chord), **options)  # type: ignore[arg-type]
    return [shape.text for shape in shapes]


def test_the_table_is_long_enough() -> None:
    assert len(ROWS) == len(set(ROWS)) >= 80


@pytest.mark.parametrize(("neck", "chord", "frets"), ROWS)
def test_a_common_shape_is_found(neck: str, chord: str, frets: str) -> None:
    assert frets in texts(neck, chord)


def test_common_shapes_come_early() -> None:
    late = [row for row in ROWS if row[2] not in texts(row[0], row[1])[:FIRST]]
    assert len(late) <= 0.2 * len(ROWS), late


@pytest.mark.parametrize(
    ("chord", "frets"),
    # The plain first-position shapes of any guitar handbook.
    [
        ("C", "x32010"),
        ("A", "x02220"),
        ("G", "320003"),
        ("E", "022100"),
        ("D", "xx0232"),
        ("Am", "x02210"),
        ("Em", "022000"),
        ("Dm", "xx0231"),
    ],
)
def test_first_position_shapes_come_first(chord: str, frets: str) -> None:
    assert texts("guitar", chord)[0] == frets


@pytest.mark.parametrize(
    ("neck", "frets", "fingers"),
    # As handbooks print them, the lowest string first (common practice).
    [
        ("guitar", "x32010", "032010"),
        ("guitar", "320003", "210003"),
        ("guitar", "xx0232", "000132"),
        ("guitar", "022100", "023100"),
        ("guitar", "x02210", "002310"),
        ("guitar", "xx0231", "000231"),
        ("guitar", "133211", "134211"),
        ("guitar", "xx3211", "003211"),
        ("guitar", "x24432", "013421"),
        ("guitar", "x21202", "021304"),
        ("guitar", "x32310", "032410"),
        ("guitar", "xx0212", "000213"),
        ("guitar", "320001", "320001"),
        ("guitar", "355333", "134111"),
        ("guitar", "x13331", "012341"),
        ("ukulele", "2210", "2310"),
        ("ukulele", "3211", "3211"),
        ("ukulele", "0232", "0132"),
        ("ukulele", "2223", "1112"),
        ("mandolin", "0023", "0012"),
        ("mandolin", "7523", "4312"),
        ("banjo", "02012", "02013"),
        ("banjo", "x3213", "03214"),
        ("banjo", "x5555", "01111"),
    ],
)
def test_fingers_are_those_of_handbooks(neck: str, frets: str, fingers: str) -> None:
    instrument = find_instrument(neck)
    held = hold(
        parse_frets(frets, len(instrument.strings)), frets_a_finger=instrument.frets_a_finger
    )
    assert held is not None
    assert "".join(map(str, reversed(held.fingers))) == fingers


def test_the_nearest_shape_without_the_third() -> None:
    # Common practice: the open G chord with string 5 muted and string 2 at fret 3.
    guitar, chord = find_instrument("guitar"), Chord.parse("G")
    full = find_shapes(guitar, chord)[0]
    assert places_of(full, chord) == [(5, 2), (2, 0)]
    bare = nearest_without(guitar, chord, full)
    assert bare.text == "3x0033"
    # Nor does a sparse shape come before it in the list: common practice.
    assert find_shapes(guitar, chord, omit=("3",))[0].text == "3x0033"
    assert places_of(bare, chord) == []


def enumerated(instrument: Instrument, chord: Chord, highest: int) -> set[str]:
    """The frets of every shape, by trying all frets on all strings."""
    tones = {note.pitch_class for note in chord.notes}
    found = set()
    choices = [
        [None, 0] if string.start_fret else [None, *range(highest + 1)]
        for string in instrument.strings
    ]
    for frets in itertools.product(*choices):
        places = [i for i, fret in enumerate(frets) if fret is not None]
        midis = [instrument.strings[i].open.midi + (frets[i] or 0) for i in places]
        if len(places) < min(3, len(frets)) or {midi % 12 for midi in midis} != tones:
            continue
        if sum(frets[i] is None for i in range(places[0], places[-1])) > INNER_MUTES:
            continue
        stopped = [fret for fret in frets if fret]
        if stopped:
            low, high = min(stopped), max(stopped)
            apart = stop_distance(instrument, high) - stop_distance(instrument, low)
            if high - low > MOST_FRETS[instrument.frets_a_finger] or apart > REACH_MM:
                continue
        if hold(frets, frets_a_finger=instrument.frets_a_finger) is not None:
            found.add(format_frets(frets))
    return found


@pytest.mark.parametrize("neck", ["mandolin", "ukulele", "banjo", "tenor banjo"])
@pytest.mark.parametrize("chord", ["C", "Gm", "D5", "F#dim", "Bb+"])
def test_the_search_finds_what_enumeration_finds(neck: str, chord: str) -> None:
    instrument, wanted = find_instrument(neck), Chord.parse(chord)
    shapes = find_shapes(instrument, wanted, highest_fret=8, bass="any")
    found = [shape.text for shape in shapes]
    assert len(found) == len(set(found))
    assert set(found) == enumerated(instrument, wanted, 8)


def test_every_shape_of_random_chords_is_sound() -> None:
    dice = random.Random(4)
    kinds = ("", "m", "7", "m7", "maj7", "6", "9", "sus4", "m7b5", "dim7", "7b9", "13", "add9")
    for _ in range(150):
        instrument = find_instrument(dice.choice(("guitar", "mandolin", "banjo", "ukulele")))
        chord = Chord.parse(
            dice.choice("CDEFGAB") + dice.choice(("", "b", "#")) + dice.choice(kinds)
        )
        capo, closed = dice.choice((0, 0, 2, 5)), dice.random() < 0.4
        omit = dice.choice(((), (), ("3",), ("5",), ("1",)))
        numbers = {str(degree.number) for degree in chord.type.degrees}
        if not set(omit) <= numbers:
            continue
        tones = {
            degree.at(chord.root).pitch_class: str(degree.number) for degree in chord.type.degrees
        }
        for shape in find_shapes(instrument, chord, omit=omit, capo=capo, closed=closed, limit=30):
            heard = {tones[midi % 12] for midi in shape.midis if midi is not None}
            assert not heard & set(omit)
            assert numbers - heard - set(omit) <= {"5", "9", "11"}
            for string, fret, midi in zip(
                instrument.strings, shape.frets, shape.midis, strict=True
            ):
                assert (fret is None) == (midi is None)
                assert fret is None or midi == string.open.midi + capo + fret
            assert len({finger for finger in shape.fingers if finger}) <= 4
            assert not closed or 0 not in shape.frets
            for barre in shape.barres:
                under = shape.frets[barre.high_string - 1 : barre.low_string]
                assert all(fret is None or fret >= barre.fret for fret in under)
                assert 0 not in under


def test_a_capo_moves_shapes_and_not_their_frets() -> None:
    # Played in G's shapes behind a capo at fret 2, A sounds (common practice).
    guitar = find_instrument("guitar")
    assert find_shapes(guitar, Chord.parse("A"), capo=2)[0].text == "320003"


def test_a_capo_on_some_strings() -> None:
    # With strings 3, 4 and 5 closed at fret 2 an open guitar sounds E B E A B E: an E suspended
    # fourth (common practice). String 5 stopped two frets above that capo is C sharp.
    guitar = find_instrument("guitar, capo 2 on strings 3 4 5")
    assert find_shapes(guitar, Chord.parse("Esus4"))[0].text == "000000"
    found = find_shapes(guitar, Chord.parse("E"), highest_fret=5)
    assert found
    for shape in found:
        for string, fret, midi in zip(guitar.strings, shape.frets, shape.midis, strict=True):
            above = fret - string.start_fret if fret else 0
            assert midi is None or midi == string.open.midi + above
    assert any(shape.frets[2] for shape in found)


def test_what_may_be_asked_for() -> None:
    guitar, mandolin = find_instrument("guitar"), find_instrument("mandolin")
    g = Chord.parse("G")
    assert all(shape.midis[-1] is not None for shape in find_shapes(guitar, g, ring=True))
    lowest = [
        min(m for m in s.midis if m is not None) % 12 for s in find_shapes(guitar, g, bass="B")
    ]
    assert lowest
    assert set(lowest) == {11}
    high = find_shapes(mandolin, g, lowest_fret=7, highest_fret=12, closed=True)
    assert high
    assert all(7 <= fret <= 12 for shape in high for fret in shape.frets if fret is not None)
    assert all(
        midi is None or 60 <= midi <= 76
        for shape in find_shapes(mandolin, g, lowest_pitch=60, highest_pitch=76)
        for midi in shape.midis
    )
    assert len(find_shapes(guitar, g, limit=3)) == 3


def test_two_finger_mandolin_chords() -> None:
    # Common practice: the first chords of a mandolin take two fingers.
    for chord, frets in (("G", "0023"), ("C", "0230"), ("D", "2002"), ("Em", "0220")):
        best = find_shapes(find_instrument("mandolin"), Chord.parse(chord))[0]
        assert best.text == frets
        assert sum(finger > 0 for finger in best.fingers) == 2


def test_members_of_a_shape() -> None:
    # The open D chord: root, fifth, root, third, from the fourth string (any chord table).
    guitar, chord = find_instrument("guitar"), Chord.parse("D")
    shape = next(s for s in find_shapes(guitar, chord) if s.text == "xx0232")
    assert [str(m) for m in members_at(shape, chord)] == ["3", "1", "5", "1", "None", "None"]


def test_shapes_in_mingus() -> None:
    """Where mingus (an independent package) fingers a triad on the guitar, the search has it too.

    mingus lets four fingers do what a hand can't and does not ask for the root in the bass, so only
    shapes within its first that sound all three tones are compared, in any inversion.
    """
    from mingus.containers import NoteContainer
    from mingus.extra import tunings

    tuning = tunings.get_tuning("Guitar", "Standard")
    compared = 0
    for name, notes in (
        ("C", "C E G"),
        ("G", "G B D"),
        ("D", "D F# A"),
        ("Am", "A C E"),
        ("E", "E G# B"),
    ):
        mine = set(texts("guitar", name, bass="any"))
        theirs = tuning.find_chord_fingering(NoteContainer(notes.split()), max_distance=3)
        for fingering in theirs[:40]:
            if None in fingering[1:-1] or max(fret or 0 for fret in fingering) > 15:
                continue
            text = format_frets(tuple(reversed(fingering)))
            if hold(tuple(reversed(fingering))) is not None and text.count("x") <= 3:
                assert text in mine, (name, text)
                compared += 1
    assert compared >= 10


def test_a_smooth_sequence_moves_little() -> None:
    guitar = find_instrument("guitar")
    chords = [Chord.parse(name) for name in ("A7", "D7", "A7", "E7")]
    smooth = shape_sequence(guitar, chords, closed=True)
    first = [find_shapes(guitar, chord, closed=True)[0] for chord in chords]

    def moved(shapes: list) -> int:  # type: ignore[type-arg]
        return sum(abs(a.lowest_fret - b.lowest_fret) for a, b in itertools.pairwise(shapes))

    assert moved(smooth) <= moved(first)
    assert [shape.text for shape in smooth[:1]] == [smooth[2].text]
    assert sum(shape.cost for shape in first) <= sum(shape.cost for shape in smooth)
    assert changes(smooth[0], smooth[2]) == 0


def test_a_sequence_is_the_cheapest_of_all() -> None:
    """Against every combination of the shapes that it chooses from."""
    from theorykit.instruments import shape_change

    mandolin = find_instrument("mandolin")
    chords = [Chord.parse(name) for name in ("G", "Em", "C")]
    layers = [find_shapes(mandolin, chord, limit=shape_change.CHOICES) for chord in chords]

    def total(path: tuple) -> float:  # type: ignore[type-arg]
        cost = sum(shape.cost for shape in path)
        for one, other in itertools.pairwise(path):
            if one.lowest_fret and other.lowest_fret:
                apart = stop_distance(mandolin, one.lowest_fret) - stop_distance(
                    mandolin, other.lowest_fret
                )
                cost += abs(apart) * shape_change.WAY_MM
            set_down = sum(
                bool(there) and here != there
                for here, there in zip(one.frets, other.frets, strict=True)
            )
            cost += shape_change.NEW_PLACE * set_down
        return cost

    best = min(itertools.product(*layers), key=total)
    assert total(tuple(shape_sequence(mandolin, chords))) == pytest.approx(total(best), abs=0.005)


@pytest.mark.parametrize(
    ("action", "message"),
    [
        (
            lambda: find_shapes(find_instrument("guitar"), Chord.parse("G"), omit=("7",)),
            "left-out member '7': not in G; accepted: 1, 3, 5",
        ),
        (
            lambda: find_shapes(find_instrument("resonator guitar"), Chord.parse("G")),
            "instrument 'resonator guitar': a bar holds no shapes: it lies straight",
        ),
        (
            lambda: parse_frets("32003", 6),
            (
                "frets '32003': names 5 strings; accepted: 6 frets from the lowest string, "
                "x for a muted one, as in 3x0033"
            ),
        ),
        (
            lambda: parse_frets("3?0033", 6),
            (
                "frets '3?0033': not digits and x; accepted: 6 frets from the lowest string, "
                "x for a muted one, as in 3x0033"
            ),
        ),
    ],
)
def test_wrong_input(action: object, message: str) -> None:
    with pytest.raises(BadInput) as caught:
        action()  # type: ignore[operator]
    assert str(caught.value) == message


def test_frets_are_read_as_they_are_written() -> None:
    for frets in ((3, 3, 0, 0, None, 3), (10, 12, 12, 12, 10, None), (0, 1), (None, 12)):
        assert parse_frets(format_frets(frets), len(frets)) == frets
