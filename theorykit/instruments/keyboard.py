"""The piano keyboard, for reference beside a neck."""

from __future__ import annotations

from dataclasses import dataclass

_BLACK = {1, 3, 6, 8, 10}
_WHITE_BELOW = (0, 1, 1, 2, 2, 3, 4, 4, 5, 5, 6, 6)

#: Two octaves from middle C's octave down to up: enough for any scale with room on both sides.
LOWEST_MIDI = 48
HIGHEST_MIDI = 72


@dataclass(frozen=True, slots=True)
class PianoKey:
    """A key of the piano.

    Parameters
    ----------
    midi : int
    black : bool
    left, width : float
        In white keys from the lowest one.
    """

    midi: int
    black: bool
    left: float
    width: float


def piano_keys(low: int = LOWEST_MIDI, high: int = HIGHEST_MIDI) -> list[PianoKey]:
    """The keys from ``low`` to ``high`` (MIDI numbers of white keys), white ones first.

    >>> [key.midi for key in piano_keys(60, 64)]
    [60, 62, 64, 61, 63]
    """
    start = _white_index(low)
    keys: list[PianoKey] = []
    for midi in range(low, high + 1):
        left = _white_index(midi) - start
        if midi % 12 in _BLACK:
            # Real black keys straddle the gap between two white ones; 0.58 of a white key wide.
            keys.append(PianoKey(midi, True, left - 0.29, 0.58))
        else:
            keys.append(PianoKey(midi, False, float(left), 1.0))
    return sorted(keys, key=lambda key: (key.black, key.midi))


def _white_index(midi: int) -> int:
    return 7 * (midi // 12) + _WHITE_BELOW[midi % 12]
