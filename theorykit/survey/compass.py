"""A tune's range, and whether it lies under a hand in the first position of an instrument."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from theorykit.instruments.hand import places
from theorykit.instruments.instrument import Instrument
from theorykit.instruments.positions import hand_frets
from theorykit.score.score import ScoreNote

#: Octaves up and down that are tried, the nearest first: a guitar plays a fiddle's tune an octave
#: lower (common practice).
OCTAVES = (0, -1, 1, -2, 2)


@dataclass(frozen=True, slots=True)
class Fit:
    """How a tune lies on an instrument.

    Parameters
    ----------
    share : float
        Of its notes, how many the first position has where it is written.
    octave : int or None
        How many octaves higher (negative: lower) all of it lies in first position; None if
        nowhere.
    on_neck : bool
        True where the neck has all of it as written, in whatever position.
    """

    share: float
    octave: int | None
    on_neck: bool

    @property
    def first(self) -> bool:
        """True where all of it lies in first position as written."""
        return self.octave == 0


def fit_of(notes: Sequence[ScoreNote], instrument: Instrument) -> Fit:
    """How a tune lies on an instrument.

    Parameters
    ----------
    notes : sequence of ScoreNote
        At least one.
    instrument : Instrument

    Raises
    ------
    BadInput
        If a bar is slid on its strings, so that there are no positions.

    Examples
    --------
    >>> from fractions import Fraction
    >>> from theorykit.instruments.catalogue import find_instrument
    >>> high_b = ScoreNote(Fraction(0), Fraction(1), 83)
    >>> [fit_of([high_b], find_instrument(name)).octave for name in ("mandolin", "guitar")]
    [0, -2]
    """
    midis = [note.midi for note in notes]
    under_hand = first_position(instrument)
    neck = places(instrument, 0)
    octave = next(
        (each for each in OCTAVES if all(midi + 12 * each in under_hand for midi in set(midis))),
        None,
    )
    share = sum(midi in under_hand for midi in midis) / len(midis)
    return Fit(share, octave, all(midi in neck for midi in midis))


@lru_cache(maxsize=64)
def first_position(instrument: Instrument) -> frozenset[int]:
    """The MIDI numbers of the first position: open strings, and what the hand covers at the nut.

    No stretch counts, and no fret of a string that begins up the neck.
    """
    last = hand_frets(instrument, 1)
    return frozenset(
        midi
        for midi, where in places(instrument, 0).items()
        if any(fret <= last for _, fret in where)
    )
