"""From a score to sound: every note at its sample, the parts balanced, at a calm level.

What a mix is about to be as loud as is known before it is made: notes of different pitch add in
power, and the bank knows the power of each. So there is no second pass over the sound.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from theorykit.audio.bank import NoteBank
from theorykit.audio.curve import bent, pitch_curve
from theorykit.audio.loudness import STEP_SECONDS, Powers, gated_loudness
from theorykit.audio.modes import Samples
from theorykit.audio.recording import Recording
from theorykit.audio.voices import PART_GAINS, ToneVoice, Voice, find_voice
from theorykit.errors import BadInput
from theorykit.score.score import Part, Score, ScoreNote

#: The level of a recording, and how loud its highest peak may be: calm, with room above.
TARGET_LUFS = -18.0
CEILING = 0.885  # -1.06 dBFS

#: How long a plucked note fades after its end.
RELEASE_SECONDS = 0.04

SAMPLE_RATES = (22050, 24000, 32000, 44100, 48000, 88200, 96000)

#: Above this the curve of the ceiling bends.
CEILING_KNEE = 0.6
_LOWEST_MIDI, _HIGHEST_MIDI = 16, 112
_LOUDEST_GAIN = 8.0


def render(
    score: Score,
    *,
    sample_rate: int = 44100,
    loudness: float | None = TARGET_LUFS,
) -> Recording:
    """The sound of a score, in stereo.

    Parameters
    ----------
    score : Score
    sample_rate : int
        One of ``SAMPLE_RATES``.
    loudness : float, optional
        The level that the mix is brought to, LUFS; None leaves the parts' own levels. However loud,
        no sample exceeds -1 dBFS.

    Raises
    ------
    BadInput
        If a voice is unknown, a pitch is out of the synthesiser's range, or the rate is odd.

    Examples
    --------
    >>> from theorykit.score.arrange import arrange
    >>> recording = render(arrange("12-bar blues", "A", tempo=120))
    >>> recording.samples.shape, round(recording.loudness)
    ((1148364, 2), -18)
    """
    mixer = _Mixer(score, sample_rate)
    heard = [part for part in score.parts if not part.muted and part.volume]
    return Recording(mixer.sound(heard, mixer.gain(heard, loudness)), sample_rate, score.title)


def stems(
    score: Score, *, sample_rate: int = 44100, loudness: float | None = TARGET_LUFS
) -> dict[str, Recording]:
    """Each part as a recording of its own, as loud as it is in the mix; muted parts too.

    Below the ceiling's bend the sum of the stems of what is not muted is the mix.

    Raises
    ------
    BadInput
        As `render`.
    """
    mixer = _Mixer(score, sample_rate)
    gain = mixer.gain([part for part in score.parts if not part.muted], loudness)
    return {
        part.name: Recording(mixer.sound([part], gain), sample_rate, f"{score.title}, {part.name}")
        for part in score.parts
    }


@dataclass(frozen=True, slots=True, eq=False)
class _Shape:
    """A note as long and as loud as it is played, and its weighted power in steps of 100 ms."""

    samples: Samples
    powers: Powers


class _Mixer:
    """The notes of a score, each with its shape and its first sample."""

    def __init__(self, score: Score, sample_rate: int) -> None:
        if sample_rate not in SAMPLE_RATES:
            rates = ", ".join(map(str, SAMPLE_RATES))
            raise BadInput("sample rate", sample_rate, "not in use", accepted=rates)
        self.score, self.sample_rate = score, sample_rate
        self.bank = _bank(sample_rate)
        self.step = round(STEP_SECONDS * sample_rate)
        self.per_beat = 60 / score.tempo * sample_rate
        timed = {part.name: _timed(part) for part in score.parts}
        every = [(onset, length) for notes in timed.values() for onset, length, _ in notes]
        first = [-float(score.count_in), -float(score.pickup)]
        self.start = min([*first, *(onset for onset, _ in every)])
        ends = [float(bar.start + bar.beats) for bar in score.bars[-1:]]
        end = max([0.0, *ends, *(onset + length for onset, length in every)])
        voices = {part.voice_of(note) for part in score.parts for note in part.notes}
        release = max((_release(find_voice(name)) for name in voices), default=RELEASE_SECONDS)
        self.frames = math.ceil((end - self.start) * self.per_beat + release * sample_rate)
        self._ready(score.parts, timed)
        self.placed = {part.name: self._placed(part, timed[part.name]) for part in score.parts}

    def _ready(
        self, parts: Iterable[Part], timed: dict[str, list[tuple[float, float, ScoreNote]]]
    ) -> None:
        """Have the longest note of each pitch in the bank: the shorter ones are its beginning."""
        longest: dict[tuple[str, float], float] = {}
        for part in parts:
            for _, length, note in timed[part.name]:
                key = (note.voice or part.voice, note.midi)
                if length > longest.get(key, 0.0):
                    longest[key] = length
        for (name, midi), length in longest.items():
            if _LOWEST_MIDI <= midi <= _HIGHEST_MIDI:
                seconds = length * self.per_beat / self.sample_rate + _release(find_voice(name))
                self.bank.note(name, midi, seconds)

    def _placed(
        self, part: Part, timed: list[tuple[float, float, ScoreNote]]
    ) -> list[tuple[int, _Shape]]:
        balance = part.volume * PART_GAINS[part.name]
        shapes: dict[tuple[object, ...], _Shape] = {}
        placed: list[tuple[int, _Shape]] = []
        for onset, length, note in timed:
            first = round((onset - self.start) * self.per_beat)
            count = round((onset + length - self.start) * self.per_beat) - first
            voice = note.voice or part.voice
            key = (voice, note.midi, count, note.level, note.glide, note.vibrato)
            shape = shapes.get(key)
            if shape is None:
                shape = shapes[key] = self._shape(note, voice, count, note.level * balance)
            placed.append((first, shape))
        return placed

    def _shape(self, note: ScoreNote, voice_name: str, count: int, level: float) -> _Shape:
        if not _LOWEST_MIDI <= note.midi <= _HIGHEST_MIDI:
            accepted = f"{_LOWEST_MIDI} to {_HIGHEST_MIDI}"
            raise BadInput("midi", note.midi, "can't be played", accepted=accepted)
        voice = find_voice(voice_name)
        release = round(_release(voice) * self.sample_rate)
        seconds = (count + release) / self.sample_rate
        curve = pitch_curve(note, voice, seconds, self.score.tempo)
        if curve is None:
            banked = self.bank.note(voice_name, note.midi, seconds)
            samples = banked.samples[: count + release] * np.float32(level)
        else:
            fastest = float(2 ** (max(0.0, float(np.max(curve))) / 1200))
            banked = self.bank.note(voice_name, note.midi, seconds * fastest)
            reached = min(count + release, int(len(banked.samples) / fastest))
            samples = bent(banked.samples, curve, reached, self.sample_rate) * np.float32(level)
        tail = samples[count:]
        tail *= 1 - np.arange(len(tail), dtype=np.float32) / release
        whole, rest = divmod(count, self.step)
        powers = banked.powers[: whole + 1] * level**2
        if whole < len(powers):
            powers[whole] *= rest / self.step
        return _Shape(samples, powers)

    def gain(self, heard: Iterable[Part], loudness: float | None) -> float:
        """The gain that brings parts to a loudness, both sides counted."""
        if loudness is None:
            return 1.0
        powers = np.zeros(self.frames // self.step + 2)
        for part in heard:
            for first, shape in self.placed[part.name]:
                at = round(first / self.step)
                room = powers[at : at + len(shape.powers)]
                room += shape.powers[: len(room)]
        return min(10 ** ((loudness - gated_loudness(2 * powers)) / 20), _LOUDEST_GAIN)

    def sound(self, parts: Sequence[Part], gain: float) -> Samples:
        """Parts in stereo."""
        # With all in the middle, one side is both.
        centred = all(part.pan == 0 for part in parts)
        sides = [np.zeros(self.frames, dtype=np.float32) for _ in range(1 if centred else 2)]
        for part in parts:
            for side, share in zip(sides, _pan(part), strict=False):
                scaled: dict[int, Samples] = {}
                for first, shape in self.placed[part.name]:
                    samples = scaled.get(id(shape))
                    if samples is None:
                        samples = scaled[id(shape)] = shape.samples * np.float32(gain * share)
                    side[first : first + len(samples)] += samples
        stereo = np.empty((self.frames, 2), dtype=np.float32)
        for side in sides:
            bend_under_ceiling(side)
        stereo[:, 0], stereo[:, 1] = sides[0], sides[-1]
        return stereo


def _timed(part: Part) -> list[tuple[float, float, ScoreNote]]:
    """Each note with its onset and length in beats: exact fractions are too slow to reckon with."""
    return [
        (
            float(note.start) + float(note.shift) if note.shift else float(note.start),
            float(note.beats if note.sounding is None else note.sounding),
            note,
        )
        for note in part.notes
    ]


@lru_cache(maxsize=len(SAMPLE_RATES))
def _bank(sample_rate: int) -> NoteBank:
    """The notes of a rate, kept from one rendering to the next."""
    return NoteBank(sample_rate)


def clear_notes() -> None:
    """Forget the notes that were kept."""
    _bank.cache_clear()


def _release(voice: Voice) -> float:
    return voice.release_seconds if isinstance(voice, ToneVoice) else RELEASE_SECONDS


def _pan(part: Part) -> tuple[float, float]:
    """Gains of the sides: equal power, and 1 for both in the middle."""
    if part.pan == 0:
        return 1.0, 1.0
    angle = (part.pan + 1) * math.pi / 4
    return math.sqrt(2) * math.cos(angle), math.sqrt(2) * math.sin(angle)


def bend_under_ceiling(samples: Samples) -> None:
    """Bend what is above the knee under the ceiling, in place."""
    if not len(samples) or max(float(samples.max()), -float(samples.min())) <= CEILING_KNEE:
        return
    loud = np.flatnonzero((samples > CEILING_KNEE) | (samples < -CEILING_KNEE))
    over = np.abs(samples[loud]) - CEILING_KNEE
    room = CEILING - CEILING_KNEE
    samples[loud] = np.sign(samples[loud]) * (CEILING_KNEE + room * np.tanh(over / room))
