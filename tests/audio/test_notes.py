"""Single notes of every voice: in tune, in time, equally loud, and silent at the end."""

from __future__ import annotations

import math

import numpy as np
import pytest
from spectrum import cents, equal_tempered_hz

from theorykit.audio.bank import NoteBank, note_samples
from theorykit.audio.chance import seeded_numbers
from theorykit.audio.curve import CURVE_HZ, bent
from theorykit.audio.percussion import click_samples
from theorykit.audio.string import midi_to_hz, pluck_samples
from theorykit.audio.voices import VOICES, BlockVoice, StringVoice, ToneVoice, voices_data
from theorykit.errors import BadInput

STRINGS = {name: voice for name, voice in VOICES.items() if isinstance(voice, StringVoice)}
TONES = {name: voice for name, voice in VOICES.items() if isinstance(voice, ToneVoice)}
PITCHED = STRINGS | TONES


@pytest.mark.parametrize("sample_rate", [44100, 48000])
@pytest.mark.parametrize("name", PITCHED)
def test_every_voice_is_in_tune_from_e1_to_e7(name: str, sample_rate: int) -> None:
    # A bass dies away before its high notes can be measured: its own compass and an octave more.
    highest = 67 if name == "bass" else 100
    errors = {}
    for midi in range(28, highest + 1):
        samples = note_samples(VOICES[name], midi, 1.5, sample_rate).astype(float)
        errors[midi] = cents(samples, midi, sample_rate)
    assert {midi: off for midi, off in errors.items() if abs(off) > 0.5} == {}


@pytest.mark.parametrize("midi", [60.25, 63.5, 47.9])
def test_pitches_between_the_keys_are_exact(midi: float) -> None:
    samples = note_samples(VOICES["guitar"], midi, 1.5, 44100).astype(float)
    assert abs(cents(samples, midi, 44100)) < 0.5


def test_a_key_has_the_frequency_of_the_standard() -> None:
    # 440 * 2^((n - 69) / 12), any acoustics handbook.
    assert midi_to_hz(40) == pytest.approx(82.4069, abs=5e-5)
    assert midi_to_hz(64) == pytest.approx(329.6276, abs=5e-5)


@pytest.mark.parametrize("name", STRINGS)
@pytest.mark.parametrize("midi", [40, 64, 88])
def test_a_pluck_starts_at_once_equally_loud_and_ends_in_silence(name: str, midi: int) -> None:
    samples = pluck_samples(equal_tempered_hz(midi), 1.5, 44100, STRINGS[name], seed=midi)
    assert abs(samples[0]) > 0.3 * np.max(np.abs(samples))
    assert math.sqrt(np.mean(samples[:8820].astype(float) ** 2)) == pytest.approx(0.125, rel=1e-3)
    assert samples[-1] == 0
    assert abs(np.mean(samples)) < 2e-4


@pytest.mark.parametrize("name", ["guitar", "banjo"])
def test_a_string_loses_sixty_decibels_in_its_own_time(name: str) -> None:
    # The law of the table: the time of 60 dB is decay / (1 + (f / knee)^2), at the fundamental.
    voice, hz = STRINGS[name], equal_tempered_hz(52)
    samples = pluck_samples(hz, 2.0, 44100, voice, seed=52).astype(float)
    expected = voice.decay_seconds / (1 + (hz / max(voice.knee_hz, hz / 2)) ** 2)
    t = np.arange(len(samples)) / 44100
    heard = [
        abs(
            np.sum(
                (samples * np.exp(-2j * np.pi * hz * t))[int(a * 44100) : int((a + 0.25) * 44100)]
            )
        )
        for a in (0.25, 0.75)
    ]
    measured = 0.5 * 60 / (20 * math.log10(heard[0] / heard[1]))
    assert measured == pytest.approx(expected, rel=0.03)


def test_plucking_at_a_node_silences_the_partials_that_have_it() -> None:
    # A string plucked at a fifth of its length lacks partials 5, 10 ... (Fletcher & Rossing 1998).
    voice = StringVoice(4, 1100, 0.2, 0.8, 2600, (0,), ())
    samples = pluck_samples(110.0, 2.0, 44100, voice).astype(float)
    spectrum = np.abs(np.fft.rfft(samples * np.hanning(len(samples))))
    levels = [np.max(spectrum[int(220 * n) - 4 : int(220 * n) + 5]) for n in range(1, 8)]
    assert levels[4] < 0.02 * min(levels[3], levels[5])


@pytest.mark.parametrize("name", TONES)
def test_a_tone_swells_holds_and_ends_in_silence(name: str) -> None:
    samples = note_samples(VOICES[name], 69, 2.0, 44100).astype(float)
    assert samples[0] == 0
    rms = [math.sqrt(np.mean(samples[a : a + 22050] ** 2)) for a in (11025, 44100, 60000)]
    assert max(rms) / min(rms) < 1.25  # two ranks of reeds beat
    assert samples[-1] == 0


def test_a_bowed_string_has_the_partials_of_a_saw() -> None:
    # Helmholtz 1863, from memory: the partials of a bowed string fall as 1/n.
    voice = ToneVoice(1, 1e9, 1, ((0, 1),), (), 0.05, 0.05)
    samples = note_samples(voice, 57, 1.0, 44100).astype(float)[4410:-4410]
    spectrum = np.abs(np.fft.rfft(samples * np.blackman(len(samples))))
    scale = len(samples) / 44100
    levels = [
        np.max(spectrum[int(220 * n * scale) - 3 : int(220 * n * scale) + 4]) for n in (1, 2, 5)
    ]
    assert levels[0] / levels[1] == pytest.approx(2, rel=0.02)
    assert levels[0] / levels[2] == pytest.approx(5, rel=0.02)


def test_the_accented_click_is_the_higher_block() -> None:
    voice = VOICES["woodblock"]
    assert isinstance(voice, BlockVoice)
    pitches = []
    for accent in (True, False):
        samples = click_samples(44100, voice, accent=accent)
        assert abs(samples[0]) > 0.3 * np.max(np.abs(samples))
        assert samples[-1] == 0
        pitches.append(int(np.argmax(np.abs(np.fft.rfft(samples, 44100)))))
    assert pitches == [pytest.approx(1480, abs=20), pytest.approx(1110, abs=20)]


def test_a_brush_is_noise_within_its_band() -> None:
    samples = note_samples(VOICES["brush"], 77, 1.0, 44100).astype(float)
    power = np.abs(np.fft.rfft(samples)) ** 2
    hz = np.fft.rfftfreq(len(samples), 1 / 44100)
    inside = power[(hz > 800) & (hz < 9100)].sum() / power.sum()
    assert inside > 0.99
    assert np.max(power) < 0.1 * power.sum()


def test_a_seed_gives_the_same_note_again_and_another_seed_another() -> None:
    one, again, other = (
        pluck_samples(164.8, 0.5, 44100, STRINGS["guitar"], seed=seed) for seed in (7, 7, 8)
    )
    assert np.array_equal(one, again)
    assert not np.allclose(one, other)


def test_chance_is_even() -> None:
    numbers = np.array(seeded_numbers(5, 4000))
    assert np.mean(numbers) == pytest.approx(0.5, abs=0.02)
    assert np.var(numbers) == pytest.approx(1 / 12, abs=0.005)


def test_a_curve_bends_the_pitch_and_keeps_the_length() -> None:
    straight = note_samples(VOICES["guitar"], 57, 2.0, 44100)
    up = np.full(CURVE_HZ * 2, 50.0)
    quarter = bent(straight, up, 66150, 44100).astype(float)
    assert len(quarter) == 66150
    # A quarter tone, half way between the frets.
    assert abs(cents(quarter, 57.5, 44100)) < 0.5


def test_the_bank_keeps_notes_but_not_without_bound() -> None:
    bank = NoteBank(44100)
    first = bank.note("guitar", 60, 1.1)
    assert bank.note("guitar", 60, 1.9) is first
    for midi in range(28, 100):
        for name in ("guitar", "piano", "organ"):
            bank.note(name, midi, 7)
    assert bank.note("guitar", 60, 1.1) is not first


def test_a_voice_that_is_not_there_is_named() -> None:
    with pytest.raises(BadInput, match="did you mean 'mandolin'"):
        NoteBank(44100).note("mandoline", 60, 1)


def test_the_table_for_the_browser_holds_every_voice_as_plain_data() -> None:
    data = voices_data()
    assert list(data) == list(VOICES)
    assert data["guitar"]["pickPosition"] == 0.19
    assert {row["kind"] for row in data.values()} == {"string", "tone", "block", "brush"}
