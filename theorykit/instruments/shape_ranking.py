"""How gladly a player takes a shape: its effort, as a sum of plain terms.

The weights are stipulated, so that full familiar shapes come first, sparse ones and mixtures of
open strings with high frets later. What holds them is a table of common shapes in the tests.
"""

from __future__ import annotations

from collections.abc import Sequence

from theorykit.instruments.hold import Hold
from theorykit.instruments.shape import Frets

FINGER = 0.45
BARRE = 0.7
SPAN_MM = 1 / 45
HEIGHT = 0.22

#: A muted string between two that sound has to be damped by a finger that does something else.
INNER_MUTE = 3.0
#: A string that is left out at the end where the top is.
TOP_MUTE = 1.3
#: Strings that are left out where the bass is: the first, the second, and each further one, on a
#: neck with more than five strings; with five or four none can be spared.
BASS_MUTES, FEW_STRINGS, FEW_MUTE = (0.5, 0.7, 2.5), 5, 1.9
MISSING_MEMBER = 0.7
NOT_ROOT_BASS = 0.2

#: An open string beside frets above this one sounds unlike them.
HIGH_FRET, MIXED, MIXTURE = 3, 0.4, 0.4


def effort(
    frets: Frets,
    hand: Hold,
    span_mm: float,
    *,
    spared: Sequence[int],
    missing: int,
    root_in_bass: bool,
) -> float:
    """What a shape costs; the lower, the sooner a player takes it.

    Parameters
    ----------
    frets : tuple of (int or None)
        String 1 first.
    hand : Hold
    span_mm : float
    spared : sequence of int
        Strings that nobody misses, such as a banjo's short one where it is not in the chord.
    missing : int
        How many optional members do not sound.
    root_in_bass : bool
    """
    count = len(frets)
    top, bottom = 0, count - 1
    while frets[top] is None:
        top += 1
    while frets[bottom] is None:
        bottom -= 1
    cost = FINGER * hand.used + BARRE * len(hand.barres) + SPAN_MM * span_mm
    stopped, highest, left_out = 0, 0, 0
    for number, fret in enumerate(frets):
        if fret:
            stopped += fret
            highest = max(highest, fret)
        elif fret is None and number + 1 not in spared:
            if number > bottom:
                left_out += 1
            else:
                cost += TOP_MUTE if number < top else INNER_MUTE
    if left_out and count <= FEW_STRINGS:
        cost += FEW_MUTE * left_out
    elif left_out:
        cost += sum(BASS_MUTES[:left_out]) + BASS_MUTES[-1] * max(left_out - len(BASS_MUTES), 0)
    if stopped:
        cost += HEIGHT * stopped / sum(1 for fret in frets if fret)
        if highest > HIGH_FRET and 0 in frets:
            cost += MIXED + MIXTURE * (highest - HIGH_FRET)
    cost += MISSING_MEMBER * missing
    return round(cost if root_in_bass else cost + NOT_ROOT_BASS, 4)
