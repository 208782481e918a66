"""Chords as a chosen instrument holds them."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from theorykit.errors import BadInput
from theorykit.instruments.instrument import Instrument
from theorykit.instruments.shape_search import find_shapes
from theorykit.score.comp import MOST_NOTES
from theorykit.theory.chord import Chord
from theorykit.theory.key import TONICS

# Chords on a neck that lies lower are the bass's own business.
_LOWEST_COMP = 45


def shape_voicings(
    instrument: Instrument, *, capo: int = 0
) -> Callable[[Chord], tuple[int, ...] | None]:
    """What `arrange` asks for a chord's notes: the shape that a player takes first.

    Of a big shape it sounds the highest strings, which keep out of the bass's way, and a bass of
    its own is the bass player's. What the neck has no shape for, and all on a bowed neck, is left
    to the arrangement.

    Examples
    --------
    >>> from theorykit.instruments.catalogue import find_instrument
    >>> shape_voicings(find_instrument("guitar"))(Chord.parse("G"))
    (50, 55, 59, 67)
    >>> shape_voicings(find_instrument("mandolin"))(Chord.parse("G"))
    (55, 62, 71, 79)
    """

    @cache
    def voicing(chord: Chord) -> tuple[int, ...] | None:
        if instrument.fretless:
            return None
        # Who puts a capo on holds the shapes of the lower key.
        pitch_class = (chord.root.pitch_class - capo) % 12
        root = next(tonic for tonic in TONICS if tonic.pitch_class == pitch_class)
        try:
            found = find_shapes(instrument, Chord(root, chord.type), limit=1)
        except BadInput:
            return None
        if not found:
            return None
        sounding = sorted({midi for midi in found[0].midis if midi is not None})
        high = tuple(midi for midi in sounding if midi >= _LOWEST_COMP)[-MOST_NOTES:]
        return tuple(midi + capo for midi in high) if len(high) > 1 else None

    return voicing
