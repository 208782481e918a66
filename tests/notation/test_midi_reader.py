"""MIDI files, ours and others', read back; what is no MIDI file is refused."""

from __future__ import annotations

import io
from fractions import Fraction

import mido
import pretty_midi
import pytest
from file_checks import check_midi
from written import Written, ours, tune, written

from theorykit.errors import BadInput, TuneError
from theorykit.notation.midi_reader import MOST_MIDI_BYTES, read_midi
from theorykit.score.arrange import arrange
from theorykit.score.midi import midi_file
from theorykit.score.run import scale_run
from theorykit.theory.key import Key
from theorykit.theory.scale import Scale

# Of a quintuplet's places none is on the grid that is read by default.
WRITTEN = [case for case in written() if case.name != "quintuplet"]


def data_of(file: mido.MidiFile) -> bytes:
    target = io.BytesIO()
    file.save(file=target)
    return target.getvalue()


def names(case: Written) -> str:
    return case.name


@pytest.mark.parametrize("case", WRITTEN, ids=names)
def test_written_by_hand(case: Written) -> None:
    check_midi(case.score)


def test_a_quintuplet_on_a_grid_of_its_own() -> None:
    score = next(case.score for case in written() if case.name == "quintuplet")
    assert ours(read_midi(data_of(midi_file(score)), grid=5)) == ours(score)


@pytest.mark.parametrize("feel", ["shuffle", "boom-chuck", "straight", "waltz"])
def test_a_whole_band(feel: str) -> None:
    run = scale_run(Scale.parse("A minor pentatonic"), 12, lowest=52)
    score = arrange("12-bar blues", "A", feel=feel, line=run, ending=False)
    again = read_midi(data_of(midi_file(score)))
    assert [part.name for part in again.parts] == [part.name for part in score.parts]
    # What is heard comes back to the tick, swing and all.
    tick = Fraction(1, 960)
    for part in score.parts:
        for was, now in zip(sorted(part.notes, key=lambda n: (n.onset, n.midi)),
                            sorted(again.part(part.name).notes, key=lambda n: (n.onset, n.midi)),
                            strict=True):  # fmt: skip
            assert now.midi == was.midi
            assert abs(now.onset - was.onset) <= tick
            assert abs(now.end - was.end) <= 2 * tick


def test_a_file_that_another_library_wrote() -> None:
    song = pretty_midi.PrettyMIDI(initial_tempo=90)
    song.time_signature_changes.append(pretty_midi.TimeSignature(3, 4, 0))
    song.key_signature_changes.append(pretty_midi.KeySignature(7, 0))
    fiddle = pretty_midi.Instrument(program=110, name="Anything")
    beat = 60 / 90
    for index, key in enumerate((67, 66, 69, 62)):
        fiddle.notes.append(pretty_midi.Note(90, key, index * beat, (index + 1) * beat))
    song.instruments.append(fiddle)
    target = io.BytesIO()
    song.write(target)
    score = read_midi(target.getvalue())
    assert (score.meter, score.tempo, score.key) == ("3/4", 90, Key.parse("G"))
    # One sharp: the F is sharp, not a flat G.
    assert [str(note.pitch) for note in score.part("line").notes] == ["G4", "F#4", "A4", "D4"]
    assert [note.start for note in score.part("line").notes] == [0, 1, 2, 3]
    assert score.part("line").voice == "fiddle"


def good() -> bytes:
    return data_of(midi_file(tune("C4 D4 E4 F4")))


def test_files_that_are_none() -> None:
    frames = bytearray(good())
    frames[12] = 0xE7
    zero = bytearray(good())
    zero[12:14] = b"\0\0"
    many = mido.MidiFile(type=2)
    many.tracks.append(mido.MidiTrack())
    silent = mido.MidiFile()
    silent.tracks.append(mido.MidiTrack())
    for data, message in (
        (b"", "not a MIDI file"),
        (b"RIFF" + good(), "not a MIDI file"),
        (good()[:40], "not a whole MIDI file"),
        (bytes(frames), "counts frames"),
        (bytes(zero), "not a MIDI file of one tune"),
        (data_of(many), "not a MIDI file of one tune"),
        (data_of(silent), "no notes"),
        (b"MThd" + bytes(MOST_MIDI_BYTES), "more than 600 kB"),
    ):
        with pytest.raises(TuneError, match=message):
            read_midi(data)


def test_a_note_that_never_ends_is_no_endless_tune() -> None:
    file = mido.MidiFile(ticks_per_beat=1)
    track = mido.MidiTrack()
    track.append(mido.Message("note_on", note=60, velocity=64, time=0))
    track.append(mido.Message("note_off", note=60, time=2**27))
    file.tracks.append(track)
    with pytest.raises(TuneError, match="bars"):
        read_midi(data_of(file))


@pytest.mark.parametrize("position", range(0, 200, 3))
@pytest.mark.parametrize("value", [0, 127, 255])
def test_a_byte_out_of_place(position: int, value: int) -> None:
    data = bytearray(good())
    data[position % len(data)] = value
    try:
        score = read_midi(bytes(data))
    except TuneError as error:
        message = str(error)
    else:
        message = f"{len(score.parts)} parts"
    assert 0 < len(message) < 260


def test_a_grid_that_is_none() -> None:
    with pytest.raises(BadInput, match="grid '0'"):
        read_midi(good(), grid=0)
