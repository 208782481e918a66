"""MIDI files, read back by two readers that are not ours."""

from __future__ import annotations

import warnings
from fractions import Fraction
from pathlib import Path

import mido
import pretty_midi
import pytest

from theorykit.errors import BadInput
from theorykit.score.arrange import arrange
from theorykit.score.feel import FEELS
from theorykit.score.midi import midi_file, write_midi
from theorykit.score.score import Glide, Part, Score, ScoreNote
from theorykit.theory.meter import METERS, find_meter
from theorykit.theory.progression import Progression

#: A tick at 960 to the quarter is less than this at 40 quarters a minute.
TICK_SECONDS = 0.0016

Heard = list[tuple[float, float, int]]


def read_pretty(path: Path) -> pretty_midi.PrettyMIDI:
    return pretty_midi.PrettyMIDI(str(path))


def ours(score: Score, part: Part) -> Heard:
    return sorted(
        (score.seconds_at(note.onset), score.seconds_at(note.end), round(note.midi))
        for note in part.notes
    )


def theirs(instrument: pretty_midi.Instrument) -> Heard:
    return sorted((note.start, note.end, note.pitch) for note in instrument.notes)


def by_mido(path: Path) -> dict[str, Heard]:
    """Notes by the name of the track, with a clock of our own over mido's ticks."""
    file = mido.MidiFile(str(path))
    tempo = next(m.tempo for m in file.tracks[0] if m.type == "set_tempo")
    found: dict[str, Heard] = {}
    for track in file.tracks[1:]:
        now, sounding = 0, {}
        for message in track:
            now += message.time
            seconds = mido.tick2second(now, file.ticks_per_beat, tempo)
            if message.type == "note_on" and message.velocity:
                assert message.note not in sounding
                sounding[message.note] = seconds
            elif message.type == "note_off":
                start = sounding.pop(message.note)
                found.setdefault(track.name, []).append((start, seconds, message.note))
        assert not sounding
    return {name: sorted(notes) for name, notes in found.items()}


def assert_same(one: Heard, other: Heard) -> None:
    assert [note[2] for note in one] == [note[2] for note in other]
    for a, b in zip(one, other, strict=True):
        assert a[0] == pytest.approx(b[0], abs=TICK_SECONDS)
        assert a[1] == pytest.approx(b[1], abs=TICK_SECONDS)


@pytest.mark.parametrize("feel", FEELS)
def test_two_readers_find_the_same_notes(feel: str, tmp_path: Path) -> None:
    score = arrange(
        "12-bar blues, jazz changes",
        "Bb",
        feel=feel,
        count_in=1,
        click=True,
        drone=True,
        choruses=2,
    )
    path = tmp_path / "blues.mid"
    write_midi(score, path)
    read, ticks = read_pretty(path), by_mido(path)
    instruments = {instrument.name: instrument for instrument in read.instruments}
    assert set(instruments) == set(ticks) == {part.name for part in score.parts}
    for part in score.parts:
        assert_same(theirs(instruments[part.name]), ours(score, part))
        assert_same(ticks[part.name], ours(score, part))


@pytest.mark.parametrize("meter", METERS)
def test_two_readers_find_tempo_and_meter(meter: str, tmp_path: Path) -> None:
    chart = Progression.parse(f"{meter} | I | V |")
    path = tmp_path / "chart.mid"
    write_midi(arrange(chart, "D", tempo=87), path)
    upper, lower = map(int, meter.split("/"))
    read = read_pretty(path)
    changes = read.time_signature_changes
    assert [(c.numerator, c.denominator, c.time) for c in changes] == [(upper, lower, 0)]
    _, tempos = read.get_tempo_changes()
    quarters = 87 * float(find_meter(meter).beat_quarters)
    assert tempos[0] == pytest.approx(quarters, rel=1e-4)
    first = mido.MidiFile(str(path)).tracks[0]
    signature = next(m for m in first if m.type == "time_signature")
    assert (signature.numerator, signature.denominator) == (upper, lower)
    tempo = next(m.tempo for m in first if m.type == "set_tempo")
    assert tempo == pytest.approx(60e6 / quarters, abs=1)


def test_keys_chords_and_sections_are_named(tmp_path: Path) -> None:
    chart = Progression.parse("| [A] I | V7 | [B] key: V I | I |")
    path = tmp_path / "keys.mid"
    write_midi(arrange(chart, "G", tempo=120, ending=False), path)
    read = read_pretty(path)
    names = [pretty_midi.key_number_to_key_name(c.key_number) for c in read.key_signature_changes]
    assert names == ["G Major", "D Major"]
    assert [c.time for c in read.key_signature_changes] == [0, 4]
    texts = [m for m in mido.MidiFile(str(path)).tracks[0] if m.type in {"text", "marker"}]
    assert [m.text for m in texts if m.type == "text"] == ["G", "D7", "D", "D"]
    assert [m.text for m in texts if m.type == "marker"] == ["A", "B"]


def test_programs_are_those_of_general_midi(tmp_path: Path) -> None:
    score = arrange("I-V-vi-IV", "C", count_in=1, drone=True, comp_voice="banjo")
    line = (ScoreNote(Fraction(0), Fraction(1), 69),)
    score = score.with_part(Part("line", line, "fiddle"))
    path = tmp_path / "band.mid"
    write_midi(score, path)
    read = read_pretty(path)
    said = {
        i.name: "drum" if i.is_drum else pretty_midi.program_to_instrument_name(i.program)
        for i in read.instruments
    }
    assert said == {
        "bass": "Acoustic Bass",
        "comp": "Banjo",
        "click": "drum",
        "drone": "Reed Organ",
        "line": "Fiddle",
    }
    clicks = next(i for i in read.instruments if i.is_drum).notes
    assert {pretty_midi.note_number_to_drum_name(note.pitch) for note in clicks} == {
        "Hi Wood Block",
        "Low Wood Block",
    }


def test_the_bytes_of_the_standard_are_there() -> None:
    # Standard MIDI Files 1.0 (RP-001): header, and the tempo of 120 quarters a minute, FF 51 03 07 A1 20.
    import io

    buffer = io.BytesIO()
    midi_file(arrange("I-V-vi-IV", "C", tempo=120)).save(file=buffer)
    data = buffer.getvalue()
    assert data[:8] == b"MThd\x00\x00\x00\x06"
    assert data[8:10] == b"\x00\x01"
    assert b"\xff\x51\x03\x07\xa1\x20" in data
    assert data.endswith(b"\xff\x2f\x00")


def test_a_bend_is_a_pitch_wheel_that_goes_back(tmp_path: Path) -> None:
    bend = Glide("bend", ((Fraction(0), 0.0), (Fraction(1), 1.0)))
    notes = (
        ScoreNote(Fraction(0), Fraction(2), 63, glide=bend),
        ScoreNote(Fraction(2), Fraction(1), 63.5),
        ScoreNote(Fraction(3), Fraction(1), 65),
    )
    path = tmp_path / "bend.mid"
    write_midi(Score((Part("line", notes, "guitar"),), tempo=60), path)
    wheel = [(b.time, b.pitch) for b in read_pretty(path).instruments[0].pitch_bends]
    # General MIDI: the wheel spans two half steps, so that one is half of 8192.
    assert max(pitch for at, pitch in wheel if at < 2) == pytest.approx(4096, abs=2)
    assert [pitch for at, pitch in wheel if at >= 3] == [0]
    # 63.5 is the even key of the two nearest, 64, bent down by a half of a half step.
    assert next(pitch for at, pitch in wheel if at == 2 and pitch) == pytest.approx(-2048, abs=2)


def test_muted_parts_stay_out_and_mixer_settings_are_told(tmp_path: Path) -> None:
    score = arrange("I-V-vi-IV", "C").with_mix(
        bass={"muted": True}, comp={"pan": 1.0, "volume": 0.5}
    )
    path = tmp_path / "mix.mid"
    write_midi(score, path)
    (comp,) = read_pretty(path).instruments
    assert comp.name == "comp"
    assert {c.number: c.value for c in comp.control_changes} == {7: 50, 10: 127}


def test_no_key_signature_has_more_than_seven_signs(tmp_path: Path) -> None:
    chart = Progression.parse("| I | key: bII I | key: III I |")
    path = tmp_path / "far.mid"
    write_midi(arrange(chart, "Cb"), path)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert read_pretty(path).get_end_time() > 0


def test_a_voice_with_no_program_is_refused_and_nothing_is_written(tmp_path: Path) -> None:
    score = Score((Part("line", (ScoreNote(Fraction(0), Fraction(1), 60),), "kazoo"),))
    with pytest.raises(BadInput, match="has no MIDI program"):
        write_midi(score, tmp_path / "a.mid")
    assert list(tmp_path.iterdir()) == []
