"""Progressions: charts read, written, counted and played out."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from theorykit.errors import BadInput
from theorykit.theory.chord import ChordType
from theorykit.theory.degree import Degree
from theorykit.theory.form import FORMS, MORE_FORMS
from theorykit.theory.key import Key
from theorykit.theory.meter import METERS, find_meter
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.progression import ChartChord, Mark, Progression

EVERY_FORM = {**FORMS, **MORE_FORMS}


def lengths(chart):
    return [[str(chord.beats) for chord in bar] for bar in Progression.parse(chart).bars]


@pytest.mark.parametrize(
    ("text", "printed"),
    [("1 4 5", "| I | IV | V |"), ("I, IV, V", "| I | IV | V |"), ("I | IV | V", "| I | IV | V |"),
     ("| I | % | % |", "| I | I | I |"), ("| I IV | % |", "| I IV | I IV |"),
     ("|| I | V ||", "| I | V |"), ("| I | V |]", "| I | V |"), ("3/4 | I | V |", "3/4 | I | V |"),
     ("| 1 | 4 5 |\n| 57 | 2m |", "| I | IV V | V7 | ii |"), ("3/4: | I |", "3/4 | I |"),
     ("| N.C. | I NC |", "| N.C. | I N.C. |"), ("| I . . V |", "| I . . V |"),
     ("| I . V . |", "| I V |"), ("|:I|IV:|", "|: I | IV :|"), ("| I :||: V :|", "|: I :|: V :|"),
     ("6/8 pickup 1/2: V | I |", "6/8 pickup 1/2: V | I |"),
     ("pickup: V | I |", "pickup 1: V | I |"),
     ("key: G 3/4 | I |", "3/4 key: G major | I |"), ("| I | D.C. Al fine |I", None)],
)  # fmt: skip
def test_charts_are_printed_in_one_way(text, printed):
    if printed is None:
        with pytest.raises(BadInput, match="has 'al Fine', but no fine"):
            Progression.parse(text)
    elif text.startswith("| I :||:"):
        assert str(Progression.parse(text)) == "| I :|: V :|"
    else:
        assert str(Progression.parse(text)) == printed


@pytest.mark.parametrize(
    ("chart", "expected"),
    [("| I |", [["4"]]), ("| I V |", [["2", "2"]]), ("| I IV V I |", [["1"] * 4]),
     ("| I . . V |", [["3", "1"]]), ("| I . IV V |", [["2", "1", "1"]]),
     ("| I . . IV . . V . |", [["3/2", "3/2", "1"]]),
     ("| I . . IV . . . . |", [["3/2", "5/2"]]),
     ("3/4 | I . V |", [["2", "1"]]), ("3/4 | I IV V |", [["1", "1", "1"]]),
     ("2/4 | I V |", [["1", "1"]]), ("6/8 | I | I V |", [["2"], ["1", "1"]]),
     ("6/8 | I . . IV . V |", [["1", "2/3", "1/3"]]), ("9/8 | I IV V |", [["1", "1", "1"]]),
     ("12/8 | I V |", [["2", "2"]]), ("5/4 | I . . V . |", [["3", "2"]])],
)  # fmt: skip
def test_chords_share_a_bar(chart, expected):
    assert lengths(chart) == expected
    assert lengths(str(Progression.parse(chart))) == expected


# Beats in a bar and quarters in a beat (any theory handbook; compound ones count dotted quarters).
@pytest.mark.parametrize(
    ("name", "beats", "quarters", "parts"),
    [("4/4", 4, "1", 2), ("3/4", 3, "1", 2), ("2/4", 2, "1", 2), ("2/2", 2, "2", 2),
     ("6/8", 2, "3/2", 3), ("9/8", 3, "3/2", 3), ("12/8", 4, "3/2", 3), ("5/4", 5, "1", 2)],
)  # fmt: skip
def test_beats_of_the_meters(name, beats, quarters, parts):
    chart = Progression.parse(f"{name} | I | V |")
    assert chart.beats_per_bar == beats
    assert chart.beat_quarters == Fraction(quarters)
    assert find_meter(name).beat_parts == parts


def test_a_bar_of_every_meter_lasts_what_its_signature_says():
    for name, meter in METERS.items():
        upper, lower = map(int, name.split("/"))
        assert meter.beats * meter.beat_quarters == Fraction(4 * upper, lower)


def test_chord_symbols_are_counted_from_the_key():
    chart = Progression.parse("| G | C D7 | Em | Bm7b5 |", key=Key.parse("G"))
    assert str(chart) == "| I | IV V7 | vi | iiiø7 |"
    again = Progression.parse("key: Bb | Gm7 | C7/E | Bb |")
    assert str(again) == "key: Bb major | vi7 | II7/#4 | I |"
    assert [[str(chord) for chord in bar] for bar in again.in_key(Note.parse("Bb"))] == [
        ["Gm7"], ["C7/E"], ["Bb"]
    ]  # fmt: skip


def test_a_change_of_key_counts_from_the_new_tonic_and_is_held_from_the_old():
    chart = Progression.parse("key: G | I | V7/V V7 | key: A | I | V7/V V7 | key: G | I |")
    symbols = [[str(chord) for chord in bar] for bar in chart.in_key(Note.parse("G"))]
    assert symbols == [["G"], ["A7", "D7"], ["A"], ["B7", "E7"], ["G"]]
    assert [str(bar[0].numeral) for bar in chart.bars] == ["I", "V7/V", "II", "V7/VI", "I"]
    assert [chart.key_at(bar) for bar in range(5)] == ["I", "I", "II", "II", "I"]
    assert str(chart.local_numeral(3, chart.bars[3][0])) == "V7/V"
    assert str(chart) == ("key: G major | I | V7/V V7 | key: A I | V7/V V7 | key: G I |")
    # The same tune in symbols, and with no key at all.
    in_symbols = Progression.parse("key: G | G | A7 D7 | key: A | A | B7 E7 | key: G | G |")
    assert in_symbols.in_key(Note.parse("G")) == chart.in_key(Note.parse("G"))
    keyless = Progression.parse("| I | V7/V V7 | key: II | I | V7/V V7 | key: I | I |")
    assert keyless == chart


def test_a_change_to_a_minor_key():
    chart = Progression.parse("key: C | I | key: Am | i | V7 |")
    assert [mark.value for mark in chart.marks] == ["vi"]
    assert [[str(chord) for chord in bar] for bar in chart.in_key(Note.parse("C"))] == [
        ["C"], ["Am"], ["E7"]
    ]  # fmt: skip
    assert str(chart) == "key: C major | I | key: Am i | V7 |"


def test_silences_keep_the_harmony_that_they_interrupt():
    chart = Progression.parse("| N.C. | I | V7 N.C. | % | N.C. . V . |")
    assert [[chord.silent for chord in bar] for bar in chart.bars] == [
        [True], [False], [False, True], [False, True], [True, False]
    ]  # fmt: skip
    numerals = " ".join(str(chord.numeral) for chord in chart.chords)
    assert numerals == "I I V7 V7 V7 V7 V7 V"
    assert chart.in_key(Note.parse("C"))[2][1] is None


def test_a_pick_up_is_shorter_than_a_bar_and_stays_out_of_the_bars():
    chart = Progression.parse("pickup 1/2: V7 | I | IV |")
    assert [str(chord.beats) for chord in chart.pickup] == ["1/2"]
    assert len(chart.bars) == 2
    assert chart.unfolded().pickup == chart.pickup


def test_the_mode_is_that_of_the_chord_on_the_tonic():
    # Common practice; the chart's own key decides where it names one.
    for text, mode in [("| I | IV |", "major"), ("| i | V7 |", "minor"), ("| V7 | i |", "minor"),
                       ("| ii7 | V7 |", "major"), ("key: Am | I7 |", "minor"),
                       ("| ii7 | V7 | Imaj7 |", "major"), ("| N.C. | i |", "minor")]:  # fmt: skip
        assert Progression.parse(text).mode == mode, text


def test_unfolding_keeps_name_meter_sections_and_keys():
    chart = Progression.parse("title: Tune\n6/8 [A] |: I | V :| [B] key: V | I |")
    played = chart.unfolded()
    assert (played.name, played.meter) == ("Tune", "6/8")
    assert str(played) == "6/8 | [A] I | V | [A] I | V | [B] key: V I |"
    plain = Progression.parse("| I | V |")
    assert plain.unfolded() == plain
    assert plain.unfolded().name == "| I | V |"


@pytest.mark.parametrize("name", EVERY_FORM)
def test_forms_are_written_and_read_as_files(name, tmp_path):
    path = tmp_path / "form.txt"
    EVERY_FORM[name].write(path)
    again = Progression.read(path)
    assert again == EVERY_FORM[name]
    assert again.name == name
    assert path.read_text(encoding="utf-8").endswith("|\n")


def test_a_file_may_have_windows_line_ends_and_a_byte_order_mark(tmp_path):
    path = tmp_path / "tune.txt"
    path.write_bytes("\ufefftitle: Tune\r\nkey: D\r\n| D | A7 |\r\n| D | % |\r\n".encode())
    tune = Progression.read(path)
    assert (tune.name, str(tune.key), len(tune.bars)) == ("Tune", "D major", 4)


def test_what_is_no_chart_file_is_refused(tmp_path):
    path = tmp_path / "tune.txt"
    with pytest.raises(BadInput, match=r"chart file '.*': can't be read"):
        Progression.read(path)
    path.write_bytes(b"\xff\xfe\x00\x01")
    with pytest.raises(BadInput, match=r"chart file '.*': is not text"):
        Progression.read(path)
    path.write_text("| I | " * 50_000, encoding="utf-8")
    with pytest.raises(BadInput, match="is longer than 100000 bytes"):
        Progression.read(path)


def test_records_are_plain_rows():
    rows = Progression.parse("| I . . V | N.C. |").records(Note.parse("A"))
    assert rows == [
        {"bar": 1, "beat": 1.0, "beats": 3.0, "numeral": "I", "chord": "A", "silent": False},
        {"bar": 1, "beat": 4.0, "beats": 1.0, "numeral": "V", "chord": "E", "silent": False},
        {"bar": 2, "beat": 1.0, "beats": 4.0, "numeral": "V", "chord": "E", "silent": True},
    ]


kinds = st.sampled_from(["", "m", "7", "m7", "maj7", "6", "dim7", "m7b5", "sus4", "5", "7b9", "69"])
numerals = st.builds(
    Numeral, st.builds(Degree, st.integers(1, 7), st.integers(-1, 1)), kinds.map(ChordType.parse)
)
applied = st.builds(
    lambda target, kind: Numeral(Degree(5), kind, None, target),
    numerals,
    kinds.map(ChordType.parse),
)


@st.composite
def charts(draw):
    """Text of a chart: any meter, chords, shares, silences, sections, keys, repeats."""
    meter = draw(st.sampled_from([*METERS]))
    beats = METERS[meter].beats
    bars = []
    for index in range(draw(st.integers(1, 6))):
        count = draw(st.sampled_from([each for each in range(1, beats + 1) if beats % each == 0]))
        count *= draw(st.sampled_from([1, 2])) if count == beats else 1
        tokens = [str(draw(numerals | applied))]
        for _ in range(count - 1):
            tokens.append(draw(st.just(".") | st.just("N.C.") | (numerals | applied).map(str)))
        bar = " ".join(tokens)
        if draw(st.booleans()):
            bar = f"key: {draw(st.sampled_from(['I', 'II', 'bIII', 'vi', 'iv', 'V']))} {bar}"
        if index and draw(st.booleans()):
            bar = "%"
        if draw(st.booleans()):
            bar = f"[{draw(st.sampled_from(['A', 'B', 'Verse 1']))}] {bar}"
        bars.append(f"|: {bar} :|" if draw(st.booleans()) else f"| {bar} |")
    head = draw(st.sampled_from(["", "key: G ", "key: F#m "]))
    pickup = draw(st.sampled_from(["", "pickup: V7 ", "pickup 1/2: V7 . I "]))
    return f"{meter} {head}{pickup}" + "\n".join(bars)


@given(charts())
def test_charts_are_read_as_they_are_written(text):
    chart = Progression.parse(text, name="a chart")
    for written in (str(chart), chart.text):
        again = Progression.parse(written, name="a chart")
        assert again == chart
        assert again.key == chart.key
        assert str(again) == str(chart)


@given(charts())
def test_every_bar_is_full(text):
    chart = Progression.parse(text)
    for bar in (*chart.bars, *chart.unfolded().bars):
        assert sum(chord.beats for chord in bar) == chart.beats_per_bar


@given(charts())
def test_a_chart_played_out_has_nothing_left_to_play_out(text):
    played = Progression.parse(text).unfolded()
    assert played.unfolded() == played
    assert Progression.parse(str(played)) == played


def test_two_chords_share_three_beats_by_half_beats():
    chart = Progression.parse("3/4 | I . . V . . |")
    assert [chord.beats for chord in chart.bars[0]] == [Fraction(3, 2)] * 2
    assert str(chart) == "3/4 | I . . V . . |"
    assert Progression.parse(str(chart)) == chart


def test_values_stand_for_themselves():
    chord = ChartChord(Numeral.parse("I"), Fraction(4))
    assert Progression(((chord,),)) == Progression.parse("| I |")
    assert not chord.silent
    assert Mark(0, "segno") == Mark(0, "segno", "")
