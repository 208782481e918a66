"""The rounds of keys in which something is practised."""

from __future__ import annotations

import random

from theorykit.errors import BadInput, nearest
from theorykit.theory.key import MAJOR_TONICS, MINOR_TONICS, Key, Mode

#: How far each key lies above the one before, in half steps (common practice); chance has no step.
KEY_ORDERS: dict[str, int] = {
    "fourths": 5,
    "fifths": 7,
    "half steps": 1,
    "whole steps": 2,
    "minor thirds": 3,
    "random": 0,
}


def key_round(
    order: str = "fourths",
    *,
    start: Key | str = "C",
    count: int = 12,
    seed: int = 0,
) -> tuple[Key, ...]:
    """Keys in the order of a round, each once; all of them keys that signatures have.

    A round of whole steps or minor thirds that comes back too early goes on a half step higher.

    Parameters
    ----------
    order : {"fourths", "fifths", "half steps", "whole steps", "minor thirds", "random"}
    start : Key or str
        The first key, whose mode all of them have.
    count : int
    seed : int
        For ``"random"``: the same keys for the same number.

    Raises
    ------
    BadInput
        If there is no such order or number of keys.

    Examples
    --------
    >>> [str(key.tonic) for key in key_round("fourths", start="G", count=5)]
    ['G', 'C', 'F', 'Bb', 'Eb']
    """
    first = start if isinstance(start, Key) else Key.parse(start)
    if order not in KEY_ORDERS:
        close = nearest(order, KEY_ORDERS) if isinstance(order, str) else None
        raise BadInput(
            "order of keys", order, "unknown", accepted=", ".join(KEY_ORDERS), nearest=close
        )
    if isinstance(count, bool) or count not in range(1, 13):
        raise BadInput("keys", count, "out of range", accepted="1 to 12")
    home = first.tonic.pitch_class
    step = KEY_ORDERS[order]
    if order == "random":
        others = [home + above for above in range(1, 12)]
        random.Random(f"keys {seed}").shuffle(others)
        classes = [home, *others]
    else:
        classes = []
        at = home
        while len(classes) < 12:
            # A round that has closed begins again a half step higher.
            at = at + 1 if at % 12 in classes else at
            classes.append(at % 12)
            at = (at + step) % 12
    flats = order != "fifths"
    found = [_key(pitch_class % 12, first.mode, flats=flats) for pitch_class in classes]
    return (first, *found[1:count])


def _key(pitch_class: int, mode: Mode, *, flats: bool) -> Key:
    """The key of a sound with the fewest signs; of two with six, the one on the way."""
    tonics = MAJOR_TONICS if mode == "major" else MINOR_TONICS
    keys = [Key(tonic, mode) for tonic in tonics if tonic.pitch_class == pitch_class]
    return min(keys, key=lambda key: (abs(key.fifths), (key.fifths < 0) != flats))
