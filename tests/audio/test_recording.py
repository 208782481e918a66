"""Sound files: what is written is what is read, and never half of it."""

from __future__ import annotations

import base64
import io
import re
from pathlib import Path

import numpy as np
import pytest
import soundfile

from theorykit.audio.mix import render
from theorykit.audio.recording import FORMATS, Recording
from theorykit.errors import BadInput
from theorykit.score.arrange import arrange

#: One step of 16 bits.
STEP = 1 / 32768


@pytest.fixture(scope="module")
def recording() -> Recording:
    return render(arrange("12-bar blues", "A", feel="shuffle", tempo=150), sample_rate=48000)


@pytest.mark.parametrize("suffix", [".wav", ".flac"])
def test_what_loses_nothing_reads_back_the_same(
    recording: Recording, suffix: str, tmp_path: Path
) -> None:
    path = tmp_path / f"blues{suffix}"
    recording.write(path)
    samples, rate = soundfile.read(path, dtype="float32")
    assert rate == 48000
    assert np.max(np.abs(samples - recording.samples)) <= STEP


@pytest.mark.parametrize("suffix", [".mp3", ".opus", ".ogg"])
def test_what_is_coded_sounds_the_same(recording: Recording, suffix: str, tmp_path: Path) -> None:
    path = tmp_path / f"blues{suffix}"
    recording.write(path)
    samples, rate = soundfile.read(path, dtype="float32")
    coded = Recording(samples, rate)
    assert rate == 48000
    assert coded.seconds == pytest.approx(recording.seconds, abs=0.1)
    assert coded.loudness == pytest.approx(recording.loudness, abs=0.3)
    assert path.stat().st_size < 0.3 * recording.samples.nbytes / 2


def test_a_minute_of_vorbis_and_opus_is_written_in_blocks(tmp_path: Path) -> None:
    noise = np.random.default_rng(1).normal(0, 0.1, (60 * 48000, 2)).astype(np.float32)
    for suffix in (".ogg", ".opus"):
        Recording(noise, 48000).write(tmp_path / f"noise{suffix}")
        assert soundfile.info(tmp_path / f"noise{suffix}").duration == pytest.approx(60, abs=0.1)


def test_progress_is_told_up_to_the_end(recording: Recording, tmp_path: Path) -> None:
    told: list[float] = []
    recording.write(tmp_path / "a.wav", told=told.append)
    assert told == sorted(told)
    assert told[-1] == 1


def test_a_file_that_fails_leaves_the_old_one_and_nothing_else(tmp_path: Path) -> None:
    path = tmp_path / "a.flac"
    path.write_bytes(b"the old one")
    broken = Recording(np.zeros((10, 3), dtype=np.float32), 44100)
    with pytest.raises(ValueError):
        broken.write(path)
    assert path.read_bytes() == b"the old one"
    assert [entry.name for entry in tmp_path.iterdir()] == ["a.flac"]


@pytest.mark.parametrize(
    ("name", "rate", "words"),
    [
        ("a.aiff", 44100, f"accepted: {', '.join(FORMATS)}"),
        ("a.opus", 44100, "sample rate '44100': not in OPUS; accepted: 24000, 48000"),
        ("missing/a.wav", 44100, "no such file or directory"),
    ],
)
def test_what_cannot_be_written_is_said(name: str, rate: int, words: str, tmp_path: Path) -> None:
    with pytest.raises(BadInput) as raised:
        Recording(np.zeros((10, 2), dtype=np.float32), rate).write(tmp_path / name)
    assert words in str(raised.value)
    assert "\n" not in str(raised.value)


def test_a_notebook_shows_a_player_with_the_sound_inside(recording: Recording) -> None:
    markup = recording._repr_html_()
    match = re.search(r'src="data:audio/mpeg;base64,([^"]+)"', markup)
    assert match is not None
    samples, rate = soundfile.read(io.BytesIO(base64.b64decode(match[1])))
    assert len(samples) / rate == pytest.approx(recording.seconds, abs=0.1)
    assert 'aria-label="12-bar blues"' in markup
