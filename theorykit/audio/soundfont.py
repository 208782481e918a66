"""A score played by a SoundFont that the user names; none comes with the package."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np

from theorykit.audio.loudness import integrated_loudness
from theorykit.audio.mix import TARGET_LUFS, bend_under_ceiling
from theorykit.audio.modes import Samples
from theorykit.audio.recording import Recording
from theorykit.errors import BadInput
from theorykit.score.midi import DRUM_CHANNEL, midi_file
from theorykit.score.score import Score

_RELEASE_SECONDS = 1.0


def render_soundfont(score: Score, soundfont: str | Path, *, sample_rate: int = 44100) -> Recording:
    """The sound of a score as a SoundFont plays it, at the level of all recordings.

    Needs the extra ``soundfont``. Bends reach as far as the pitch wheel does, two half steps.

    Parameters
    ----------
    score : Score
    soundfont : str or Path
        An .sf2 file.
    sample_rate : int

    Raises
    ------
    BadInput
        If the extra is not installed, or the file is no SoundFont.
    """
    try:
        import tinysoundfont
    except ImportError:
        raise BadInput(
            "soundfont",
            soundfont,
            "can't be played without tinysoundfont",
            accepted="after: pip install 'theorykit[soundfont]'",
        ) from None
    if not Path(soundfont).is_file():
        raise BadInput("soundfont", soundfont, "no such file", accepted="an .sf2 file")
    synth = tinysoundfont.Synth(samplerate=sample_rate)
    try:
        font = synth.sfload(str(soundfont))
    except Exception as error:
        raise BadInput(
            "soundfont", soundfont, "is no SoundFont", accepted="an .sf2 file"
        ) from error
    samples = _played(score, synth, font, sample_rate)
    samples *= 10 ** ((TARGET_LUFS - integrated_loudness(samples, sample_rate)) / 20)
    bend_under_ceiling(samples.reshape(-1))
    return Recording(samples, sample_rate, score.title)


def _played(score: Score, synth: Any, font: int, sample_rate: int) -> Samples:
    blocks: list[bytes] = []
    seconds = 0.0
    synth.program_select(DRUM_CHANNEL, font, 0, 0, True)
    done = 0
    for message in midi_file(score):
        seconds += message.time
        frame = round(seconds * sample_rate)
        if frame > done:
            blocks.append(bytes(synth.generate(frame - done)))
            done = frame
        if message.type == "program_change":
            synth.program_select(message.channel, font, 0, message.program)
        elif message.type == "note_on":
            synth.noteon(message.channel, message.note, message.velocity)
        elif message.type == "note_off":
            synth.noteoff(message.channel, message.note)
        elif message.type == "control_change":
            synth.control_change(message.channel, message.control, message.value)
        elif message.type == "pitchwheel":
            synth.pitchbend(message.channel, message.pitch + 8192)
    blocks.append(bytes(synth.generate(round(_RELEASE_SECONDS * sample_rate))))
    return np.frombuffer(b"".join(blocks), dtype=np.float32).reshape(-1, 2).copy()
