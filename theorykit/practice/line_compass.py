"""Which notes a line may have: what an instrument has in easy reach."""

from __future__ import annotations

from theorykit.errors import BadInput
from theorykit.instruments.hand import places
from theorykit.instruments.instrument import Instrument
from theorykit.instruments.positions import melody_strings

#: Where a line lies if no instrument says: G3 to A5, what a treble staff shows.
LOWEST, HIGHEST = 55, 81
#: How far up the first string a line goes if not told: a fiddler's first position.
HIGHEST_FRET = 7
#: Less than an octave leaves no room to play.
LEAST_COMPASS = 12


def playable_notes(
    neck: Instrument | None, lowest: int | None, highest: int | None
) -> tuple[int, ...]:
    """The MIDI numbers that a line may have, rising.

    Raises
    ------
    BadInput
        If they do not span an octave.
    """
    if neck is None:
        notes = set(range(128))
        low, high = LOWEST, HIGHEST
    else:
        strings = melody_strings(neck)
        on_neck = places(neck, 0)
        notes = {midi for midi, where in on_neck.items() if any(s in strings for s, _ in where)}
        low = min(notes)
        first = min(strings)
        high = max(
            midi
            for midi, where in on_neck.items()
            if any(string == first and fret <= HIGHEST_FRET for string, fret in where)
        )
        high = max(high, min(low + LEAST_COMPASS, max(notes)))
    low = low if lowest is None else lowest
    high = high if highest is None else highest
    compass = tuple(sorted(midi for midi in notes if low <= midi <= high))
    if not compass or compass[-1] - compass[0] < LEAST_COMPASS - 1:
        raise BadInput(
            "compass",
            f"{low} to {high}",
            "less than an octave" + (f" on a {neck.name}" if neck else ""),
            accepted="MIDI numbers an octave apart or more",
        )
    return compass
