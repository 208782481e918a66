"""What a quiz plays: runs, strums and broken chords on the quiz's own instrument."""

from __future__ import annotations

from collections.abc import Sequence

from theorykit.quiz.question import Tone
from theorykit.quiz.topic import Topic

#: A chord lower than C3 is mud, whatever can play it (common practice).
_LOWEST_CHORD = 48

#: A strum takes this share of a beat from string to string, and rings so long.
_STRUM_BEATS, _RINGING_BEATS = 0.06, 3.0


def chord_root(topic: Topic, pitch_class: int) -> int:
    """The lowest key of a pitch class that the instrument has and a chord may stand on."""
    lowest = min(string.open.midi for string in topic.instrument.strings)
    floor = max(lowest, _LOWEST_CHORD)
    return floor + (pitch_class - floor) % 12


def played(midis: Sequence[int], *, start: float = 0.0, beats: float = 0.5) -> tuple[Tone, ...]:
    """Notes one after another."""
    return tuple(Tone(midi, start + i * beats, beats) for i, midi in enumerate(midis))


def strum(
    midis: Sequence[int], *, start: float = 0.0, beats: float = _RINGING_BEATS
) -> tuple[Tone, ...]:
    """A chord, its lowest note first."""
    return tuple(
        Tone(midi, round(start + i * _STRUM_BEATS, 3), beats)
        for i, midi in enumerate(sorted(midis))
    )


def arpeggio(midis: Sequence[int], *, start: float = 0.0) -> tuple[Tone, ...]:
    """A chord's notes one by one, upwards."""
    return played(sorted(midis), start=start, beats=1.0)
