"""Rendered notes, kept while they are in use."""

from __future__ import annotations

import math
from collections import OrderedDict
from dataclasses import dataclass

from theorykit.audio.loudness import Powers, note_powers
from theorykit.audio.modes import Samples
from theorykit.audio.percussion import brush_samples, click_samples
from theorykit.audio.string import midi_to_hz, pluck_samples
from theorykit.audio.tone import tone_samples
from theorykit.audio.voices import BlockVoice, BrushVoice, StringVoice, Voice, find_voice

#: The key on which a wood block is the higher one (General MIDI percussion map).
HIGH_BLOCK = 76

_SHORTEST_SECONDS = 0.25
_MOST_SECONDS = 600.0


@dataclass(frozen=True, slots=True, eq=False)
class BankedNote:
    """A note as sound, with its weighted power in steps of 100 ms."""

    samples: Samples
    powers: Powers


class NoteBank:
    """Notes by voice, pitch and length; the least recently used go first.

    Lengths double from step to step, so that a change of tempo mostly finds its notes rendered.

    Parameters
    ----------
    sample_rate : int

    Examples
    --------
    >>> bank = NoteBank(44100)
    >>> bank.note("guitar", 60, 1.1) is bank.note("guitar", 60, 1.9)
    True
    """

    def __init__(self, sample_rate: int) -> None:
        self.sample_rate = sample_rate
        self._notes: OrderedDict[tuple[str, float, float], BankedNote] = OrderedDict()
        self._seconds = 0.0

    def note(self, voice_name: str, midi: float, seconds: float) -> BankedNote:
        """A note at least ``seconds`` long, or as long as the voice is heard.

        Raises
        ------
        BadInput
            If there is no such voice.
        """
        voice = find_voice(voice_name)
        step = math.ceil(math.log2(max(seconds / _SHORTEST_SECONDS, 1)))
        wanted = length = min(_SHORTEST_SECONDS * 2**step, voice.decay_seconds)
        while True:
            # A longer one begins the same.
            key = (voice_name, midi, length)
            if key in self._notes:
                self._notes.move_to_end(key)
                return self._notes[key]
            if length >= voice.decay_seconds:
                break
            length = min(2 * length, voice.decay_seconds)
        length, key = wanted, (voice_name, midi, wanted)
        samples = note_samples(voice, midi, length, self.sample_rate)
        note = BankedNote(samples, note_powers(samples, self.sample_rate))
        self._notes[key] = note
        self._seconds += length
        while self._seconds > _MOST_SECONDS and len(self._notes) > 1:
            (_, _, oldest), _ = self._notes.popitem(last=False)
            self._seconds -= oldest
        return note


def note_samples(voice: Voice, midi: float, seconds: float, sample_rate: int) -> Samples:
    """A note of any voice, from sample 0."""
    if isinstance(voice, BlockVoice):
        return click_samples(sample_rate, voice, accent=midi == HIGH_BLOCK)
    if isinstance(voice, BrushVoice):
        return brush_samples(sample_rate, voice)
    if isinstance(voice, StringVoice):
        return pluck_samples(midi_to_hz(midi), seconds, sample_rate, voice, seed=int(midi))
    return tone_samples(midi_to_hz(midi), seconds, sample_rate, voice)
