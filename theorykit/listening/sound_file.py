"""A sound file that nobody vouches for, read as one side at the rate that all is heard at."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import soundfile

from theorykit.errors import BadInput, TuneError
from theorykit.listening.periods import RATE, Floats

#: What a recording may be; a quarter of an hour at 48 kHz in stereo is 173 MB as WAV.
MOST_SOUND_BYTES, MOST_SECONDS = 400_000_000, 900
LOWEST_RATE, HIGHEST_RATE = 8000, 192_000
MOST_SIDES = 8
LEAST_SECONDS = 0.25

_BLOCK = 1 << 16


def read_sound(source: str | Path | bytes) -> Floats:
    """The sound of a file, or of what is in one: WAV, FLAC, MP3 or Ogg, all sides as one.

    It is read and brought to the rate bit by bit, so that a long file needs no more room than what
    is kept of it, 5 MB a minute.

    Raises
    ------
    TuneError
        If it is no sound file, is cut off at its beginning, too long or too short.
    """
    size = len(source) if isinstance(source, bytes) else _size(Path(source))
    if size > MOST_SOUND_BYTES:
        raise TuneError(f"more than {MOST_SOUND_BYTES // 1_000_000} MB")
    opened: Any = BytesIO(source) if isinstance(source, bytes) else Path(source)
    try:
        with soundfile.SoundFile(opened) as file:
            return _read(file)
    except (soundfile.SoundFileError, RuntimeError, ValueError, TypeError) as error:
        if isinstance(error, (TuneError, BadInput)):
            raise
        raise TuneError("is not a sound file that can be read") from None


def _size(path: Path) -> int:
    try:
        size = path.stat().st_size
    except OSError as error:
        raise TuneError((error.strerror or "can't be read").lower()) from None
    if not path.is_file():
        raise TuneError("is no file")
    return size


def at_rate(samples: npt.ArrayLike, sample_rate: int) -> Floats:
    """Samples as one side at ``RATE``.

    Raises
    ------
    BadInput
        If they are no sound, or too long or too short.
    """
    sound = np.asarray(samples)
    if sound.ndim not in (1, 2) or sound.dtype.kind not in "fi" or 0 in sound.shape:
        raise BadInput(
            "samples", sound.shape, "no sound", accepted="numbers, a row or column for each side"
        )
    if sound.ndim == 2 and sound.shape[1] > MOST_SIDES:
        raise BadInput("samples", sound.shape, "too many sides", accepted=f"up to {MOST_SIDES}")
    if sound.dtype.kind == "i":
        sound = sound.astype(np.float32) / np.float32(np.iinfo(sound.dtype).max)
    try:
        _check_rate(sample_rate)
        _check_length(len(sound) / sample_rate)
    except TuneError as error:
        raise BadInput("samples", f"{len(sound)} at {sample_rate} Hz", error.reason) from None
    stream = _stream(sample_rate)
    one = _one_side(sound.reshape(len(sound), -1))
    return np.asarray(stream.resample_chunk(one, last=True), dtype=np.float32)


def _read(file: Any) -> Floats:
    _check_rate(file.samplerate)
    if not 1 <= file.channels <= MOST_SIDES:
        raise TuneError(f"has {file.channels} sides; up to {MOST_SIDES} can be heard")
    stream = _stream(file.samplerate)
    pieces: list[Floats] = []
    frames = 0
    # A header may promise any length: what counts is what comes.
    while len(block := file.read(_BLOCK, dtype="float32", always_2d=True)):
        frames += len(block)
        if frames > MOST_SECONDS * file.samplerate:
            raise TuneError(f"longer than {MOST_SECONDS // 60} minutes")
        pieces.append(stream.resample_chunk(_one_side(block)))
    _check_length(frames / file.samplerate)
    pieces.append(stream.resample_chunk(np.zeros(0, np.float32), last=True))
    return np.concatenate(pieces)


def _one_side(block: npt.NDArray[Any]) -> Floats:
    one: npt.NDArray[Any] = block.mean(axis=1) if block.shape[1] > 1 else block[:, 0]
    # Files of floating point numbers may hold what is no number, or any size of one.
    number = np.nan_to_num(one, nan=0, posinf=0, neginf=0)
    clipped: Floats = np.clip(number, -4, 4).astype(np.float32)
    return clipped


def _stream(sample_rate: int) -> Any:
    try:
        import soxr
    except ImportError:
        raise BadInput(
            "recording",
            "sound",
            "can't be heard without soxr",
            accepted="after: pip install 'theorykit[listen]'",
        ) from None
    return soxr.ResampleStream(sample_rate, RATE, 1, dtype="float32")


def _check_rate(sample_rate: int) -> None:
    if not LOWEST_RATE <= sample_rate <= HIGHEST_RATE:
        raise TuneError(
            f"{sample_rate} samples a second; {LOWEST_RATE} to {HIGHEST_RATE} can be heard"
        )


def _check_length(seconds: float) -> None:
    if seconds > MOST_SECONDS:
        raise TuneError(f"longer than {MOST_SECONDS // 60} minutes")
    if seconds < LEAST_SECONDS:
        raise TuneError("has no sound to hear")
