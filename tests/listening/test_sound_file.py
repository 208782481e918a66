"""Sound files that nobody vouches for: read whole, refused in one line, and never changed."""

from __future__ import annotations

import struct
from pathlib import Path

import numpy as np
import pytest
import soundfile

from theorykit.errors import TuneError
from theorykit.listening import sound_file
from theorykit.listening.periods import RATE
from theorykit.listening.sound_file import at_rate, read_sound


def sine(rate: int, seconds: float, hz: float = 441.0) -> np.ndarray:
    return 0.5 * np.sin(2 * np.pi * hz * np.arange(round(rate * seconds)) / rate)


@pytest.mark.parametrize(
    ("suffix", "rate", "sides"), [(".wav", 44100, 2), (".flac", 96000, 1), (".mp3", 48000, 2)]
)
def test_files_are_brought_to_one_rate(suffix: str, rate: int, sides: int, tmp_path: Path) -> None:
    path = tmp_path / f"tone{suffix}"
    soundfile.write(path, np.stack([sine(rate, 2)] * sides, axis=1), rate)
    before = path.read_bytes()
    found = read_sound(path)
    assert path.read_bytes() == before
    assert abs(len(found) / RATE - 2) < 0.1
    spectrum = np.abs(np.fft.rfft(found[: RATE * 3 // 2] * np.hanning(RATE * 3 // 2)))
    assert abs(np.argmax(spectrum) / 1.5 - 441) < 1
    assert abs(np.sqrt(np.mean(found[2000:-4000] ** 2)) - 0.5 / np.sqrt(2)) < 0.01


def test_samples_in_whole_numbers_are_full_scale() -> None:
    whole = (sine(RATE, 1) * 32767).astype(np.int16)
    assert np.allclose(at_rate(whole, RATE), sine(RATE, 1), atol=1e-3)


def test_what_is_no_number_is_silence(tmp_path: Path) -> None:
    sound = sine(RATE, 1).astype(np.float32)
    sound[100:200], sound[300] = np.nan, np.inf
    soundfile.write(tmp_path / "odd.wav", sound, RATE, subtype="FLOAT")
    found = read_sound(tmp_path / "odd.wav")
    assert np.isfinite(found).all()
    assert np.abs(found).max() <= 4.5


def wav_header(*, rate: int = 44100, sides: int = 1, length: int = 1 << 30) -> bytes:
    """The head of a WAV file of 16 bits that promises a length (RIFF, Microsoft 1991; from memory)."""
    form = struct.pack("<HHIIHH", 1, sides, rate, rate * sides * 2 % (1 << 32), 2 * sides, 16)
    return (
        b"RIFF"
        + struct.pack("<I", length)
        + b"WAVEfmt "
        + struct.pack("<I", 16)
        + form
        + (b"data" + struct.pack("<I", length - 36))
    )


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "not a sound file"),
        (b"these are words, no sound", "not a sound file"),
        (b"MThd" + bytes(40), "not a sound file"),
        (b"RIFF", "not a sound file"),
        (b"fLaC" + bytes(60), "not a sound file"),
        (b"ID3" + b"\xff" * 200, "not a sound file|no sound"),
        (wav_header(), "no sound"),
        (wav_header(rate=100) + bytes(4000), "samples a second"),
        (wav_header(rate=4_000_000) + bytes(4000), "samples a second"),
        (wav_header(sides=20) + bytes(4000), "sides"),
    ],
)
def test_what_cannot_be_read_is_told(data: bytes, words: str, tmp_path: Path) -> None:
    path = tmp_path / "take.wav"
    path.write_bytes(data)
    with pytest.raises(TuneError, match=words):
        read_sound(path)
    assert path.read_bytes() == data


def test_what_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(TuneError, match="no such file"):
        read_sound(tmp_path / "none.wav")
    with pytest.raises(TuneError, match="no file"):
        read_sound(tmp_path)


def test_caps_hold(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "long.flac"
    soundfile.write(path, np.zeros(8000 * 901, np.int16), 8000)
    with pytest.raises(TuneError, match="longer than 15 minutes"):
        read_sound(path)
    monkeypatch.setattr(sound_file, "MOST_SOUND_BYTES", 10)
    with pytest.raises(TuneError, match="MB"):
        read_sound(path)


def test_a_file_cut_off_is_heard_to_its_end(tmp_path: Path) -> None:
    path = tmp_path / "cut.wav"
    soundfile.write(path, sine(44100, 3), 44100, subtype="PCM_16")
    path.write_bytes(path.read_bytes()[: 44100 * 2])
    assert abs(len(read_sound(path)) / RATE - 1) < 0.01
