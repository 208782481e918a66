"""Takes that the listening tests make: lines played by a voice or a SoundFont, out of tune and in noise."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import mir_eval.transcription
import numpy as np
import numpy.typing as npt

from theorykit.audio.mix import render
from theorykit.audio.soundfont import render_soundfont
from theorykit.listening.heard import Heard
from theorykit.practice.line import line_over
from theorykit.score.looseness import loosened
from theorykit.score.score import Score

RATE = 44100
Sound = npt.NDArray[np.float64]

#: Bars of the lines are over these forms, in keys that suit strings.
FORMS = ("12-bar blues", "I-V-vi-IV", "I-IV-V vamp")
KEYS = ("G", "D", "A", "C", "E", "F")


@dataclass(frozen=True, slots=True, eq=False)
class Played:
    """A take as it was played: its sound, and what stands in its score."""

    score: Score
    sound: Sound
    rate: int
    cents: float

    @property
    def intervals(self) -> npt.NDArray[np.float64]:
        """Onset and offset of each note, in seconds."""
        return np.array(
            [
                [self.score.seconds_at(note.onset), self.score.seconds_at(note.end)]
                for note in self.score.part("line").notes
            ]
        )

    @property
    def pitches_hz(self) -> npt.NDArray[np.float64]:
        midis = np.array([note.midi for note in self.score.part("line").notes])
        return 440 * 2 ** ((midis - 69 + self.cents / 100) / 12)


def line_score(
    number: int,
    instrument: str,
    *,
    level: int,
    tempo: float,
    voice: str | None = None,
    loose: bool = True,
) -> Score:
    """A line, played as loosely as people do, alone."""
    line = line_over(
        FORMS[number % len(FORMS)],
        KEYS[number % len(KEYS)],
        level=level,
        instrument=instrument,
        seed=number,
        tempo=tempo,
    )
    part = line.score.part("line")
    if loose:
        part = loosened(part, tempo, number)
    if voice is not None:
        part = replace(part, voice=voice)
    return replace(line.score, parts=(part,), chords=())


def noise(kind: str, count: int, seed: int) -> Sound:
    """White or pink noise of power 1; pink falls by 3 dB an octave."""
    white = np.random.default_rng(seed).standard_normal(count)
    if kind == "pink":
        spectrum = np.fft.rfft(white)
        spectrum[1:] /= np.sqrt(np.arange(1, len(spectrum)))
        spectrum[0] = 0
        white = np.fft.irfft(spectrum, count)
    return white / np.sqrt(np.mean(white**2))


def played(
    score: Score,
    *,
    cents: float = 0.0,
    snr_db: float | None = None,
    kind: str = "white",
    soundfont: Path | None = None,
    seed: int = 0,
) -> Played:
    """The sound of a score, one side, all of it ``cents`` sharp, in noise."""
    recording = render(score) if soundfont is None else render_soundfont(score, soundfont)
    sound = recording.samples.mean(axis=1, dtype=np.float64)
    if snr_db is not None:
        power = float(np.mean(sound**2)) / 10 ** (snr_db / 10)
        sound = sound + np.sqrt(power) * noise(kind, len(sound), seed)
    # Called a faster rate, it sounds higher and is over sooner.
    return Played(
        score.with_tempo(score.tempo * 2 ** (cents / 1200)),
        sound,
        round(RATE * 2 ** (cents / 1200)),
        cents,
    )


def short(score: Score, bars: int) -> Score:
    """The first bars of a line, no long note at their end."""
    part = score.part("line")
    beyond = bars * score.bars[0].beats
    notes = tuple(note for note in part.notes if note.start + note.beats <= beyond)
    return replace(score, parts=(replace(part, notes=notes),), bars=score.bars[:bars])


def f_measure(take: Played, heard: Heard) -> float:
    """Notes found by onset (50 ms) and pitch (50 cents), offsets aside, as mir_eval counts them."""
    if not heard.notes:
        return 0.0
    intervals = np.array([[note.onset, note.offset] for note in heard.notes])
    cents = np.array([100 * note.midi + heard.tuning_cents for note in heard.notes])
    found = mir_eval.transcription.precision_recall_f1_overlap(
        take.intervals,
        take.pitches_hz,
        intervals,
        440 * 2 ** ((cents - 6900) / 1200),
        onset_tolerance=0.05,
        pitch_tolerance=50,
        offset_ratio=None,
    )
    return float(found[2])
