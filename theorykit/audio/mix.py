"""From a score to sound: every note at its sample, the parts balanced, at a calm level.

What a mix is about to be as loud as is known before it is made: notes of different pitch add in
power, and the bank knows the power of each. So there is no second pass over the sound.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from theorykit.audio.bank import NoteBank
from theorykit.audio.curve import bent, pitch_curve
from theorykit.audio.loudness import STEP_SECONDS, gated_loudness
from theorykit.audio.recording import Recording
from theorykit.audio.string import Samples
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
    ((1149191, 2), -18)
    """
    mixer = _Mixer(score, sample_rate)
    gain = mixer.gain(loudness)
    panned = [(mixer.buses[part.name], _pan(part)) for part in mixer.heard]
    centred = all(left == right for _, (left, right) in panned)
    sides = [_summed([(bus, shares[0]) for bus, shares in panned], mixer.frames, gain)]
    if not centred:
        sides.append(_summed([(bus, shares[1]) for bus, shares in panned], mixer.frames, gain))
    return Recording(_stereo(sides), sample_rate, score.title)


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
    gain = mixer.gain(loudness)
    found: dict[str, Recording] = {}
    for part in score.parts:
        bus = mixer.bus(part)[0]
        sides = [_summed([(bus, share)], mixer.frames, gain) for share in _pan(part)]
        found[part.name] = Recording(_stereo(sides), sample_rate, f"{score.title}, {part.name}")
    return found


class _Mixer:
    """The parts of a score as sound, one bus for each that is heard."""

    def __init__(self, score: Score, sample_rate: int) -> None:
        if sample_rate not in SAMPLE_RATES:
            rates = ", ".join(map(str, SAMPLE_RATES))
            raise BadInput("sample rate", sample_rate, "not in use", accepted=rates)
        self.score, self.sample_rate = score, sample_rate
        self.bank = _bank(sample_rate)
        self.step = round(STEP_SECONDS * sample_rate)
        longest = max(
            [
                RELEASE_SECONDS,
                *(
                    _release(find_voice(part.voice_of(n)))
                    for part in score.parts
                    for n in part.notes
                ),
            ]
        )
        self.frames = math.ceil((score.seconds + longest) * sample_rate)
        self.heard = [part for part in score.parts if not part.muted and part.volume > 0]
        self.powers = np.zeros(self.frames // self.step + 2)
        self.buses: dict[str, Samples] = {}
        for part in self.heard:
            self.buses[part.name], powers = self.bus(part)
            self.powers += powers

    def gain(self, loudness: float | None) -> float:
        """The gain that brings the mix to a loudness, with both sides counted."""
        if loudness is None:
            return 1.0
        expected = gated_loudness(2 * self.powers)
        return min(10 ** ((loudness - expected) / 20), _LOUDEST_GAIN)

    def bus(self, part: Part) -> tuple[Samples, npt.NDArray[np.float64]]:
        """A part in mono, as loud as its volume, and its weighted power in steps of 100 ms."""
        bus = np.zeros(self.frames, dtype=np.float32)
        powers = np.zeros_like(self.powers)
        balance = part.volume * PART_GAINS[part.name]
        per_beat = 60 / self.score.tempo * self.sample_rate
        start = self.score.start
        shaped: dict[tuple[object, ...], tuple[Samples, npt.NDArray[np.float64]]] = {}
        for note in part.notes:
            first = round(float(note.onset - start) * per_beat)
            count = round(float(note.end - start) * per_beat) - first
            voice = part.voice_of(note)
            key = (voice, note.midi, count, note.level, note.glide, note.vibrato)
            if key not in shaped:
                shaped[key] = self._shaped(note, voice, count, note.level * balance)
            samples, power = shaped[key]
            bus[first : first + len(samples)] += samples
            at = round(first / self.step)
            powers[at : at + len(power)] += power[: len(powers) - at]
        return bus, powers

    def _shaped(
        self, note: ScoreNote, voice_name: str, count: int, level: float
    ) -> tuple[Samples, npt.NDArray[np.float64]]:
        """A note as long and as loud as it is played, and its weighted power."""
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
            samples = bent(banked.samples, curve, reached, self.sample_rate)
            samples *= np.float32(level)
        tail = samples[count:]
        tail *= 1 - np.arange(len(tail), dtype=np.float32) / release
        whole, rest = divmod(count, self.step)
        power = banked.powers[: whole + 1] * level**2
        if whole < len(power):
            power[whole] *= rest / self.step
        return samples, power


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
    angle = (part.pan + 1) * math.pi / 4
    if part.pan == 0:
        return 1.0, 1.0
    return math.sqrt(2) * math.cos(angle), math.sqrt(2) * math.sin(angle)


def _summed(buses: Iterable[tuple[Samples, float]], frames: int, gain: float) -> Samples:
    mixed = np.zeros(frames, dtype=np.float32)
    for bus, share in buses:
        mixed += bus if share == 1 else bus * np.float32(share)
    mixed *= np.float32(gain)
    return _under_ceiling(mixed)


def _under_ceiling(samples: Samples) -> Samples:
    """The samples with what is above the knee bent under the ceiling, in place."""
    if not len(samples) or max(float(samples.max()), -float(samples.min())) <= CEILING_KNEE:
        return samples
    loud = np.flatnonzero(np.abs(samples) > CEILING_KNEE)
    over = np.abs(samples[loud]) - CEILING_KNEE
    room = CEILING - CEILING_KNEE
    samples[loud] = np.sign(samples[loud]) * (CEILING_KNEE + room * np.tanh(over / room))
    return samples


def _stereo(sides: list[Samples]) -> Samples:
    samples = np.empty((len(sides[0]), 2), dtype=np.float32)
    samples[:, 0], samples[:, 1] = sides[0], sides[-1]
    return samples
