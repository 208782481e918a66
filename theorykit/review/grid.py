"""The grid that a take is laid on: what a beat may be cut into, and which beats are strong."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import floor

from theorykit.score.feel import GROUPS
from theorykit.theory.meter import Meter

#: The strong beats of a bar in the meters whose beats do not fall in groups (any handbook of
#: meter; from memory). Elsewhere the first beat of each group is strong.
_STRONG = {"2/2": (0, 1), "6/8": (0, 1)}

#: A note that is this far off its place says nothing of where it was meant (stipulated).
_OFF_SECONDS, _OFF_PULSES = 0.025, 0.07
#: What a finer cut of a pulse must gain over the plain one (stipulated), and what two notes at one
#: place cost.
_FINER, _CROWDED = 4.0, 30.0
#: Notes nearer than this are struck together (stipulated).
TOGETHER_SECONDS = 0.03
#: Where the second half of a swung pulse may lie, from even to three to one.
_SWUNG = (Fraction(1, 2), Fraction(11, 20), Fraction(3, 5), Fraction(2, 3), Fraction(18, 25))


@dataclass(frozen=True, slots=True)
class Grid:
    """A meter as places where notes are written.

    Parameters
    ----------
    meter : Meter
    pulse : Fraction
        What is cut up, in beats: a quarter, a dotted quarter or an eighth.
    cuts : tuple of int
        Into how many parts, the plain one first.

    Examples
    --------
    >>> from theorykit.theory.meter import find_meter
    >>> Grid.of(find_meter("2/2")).pulse, Grid.of(find_meter("6/8")).cuts
    (Fraction(1, 2), (3, 6, 2))
    """

    meter: Meter
    pulse: Fraction
    cuts: tuple[int, ...]

    @classmethod
    def of(cls, meter: Meter) -> Grid:
        """The grid of a meter."""
        if meter.beat_parts == 3:
            return cls(meter, Fraction(1), (3, 6, 2))
        if meter.beat_quarters < 1:
            return cls(meter, Fraction(1), (1, 2, 3))
        return cls(meter, 1 / meter.beat_quarters, (2, 3, 4))

    @property
    def strong(self) -> tuple[int, ...]:
        """The strong beats of a bar, counted from 0."""
        name = self.meter.name
        return _STRONG.get(name, GROUPS.get(name, (0,)))

    def placed(
        self, onsets: Sequence[Fraction], beat_seconds: float
    ) -> tuple[list[Fraction], float]:
        """The written place of each onset, and how well they fit: 0 is best.

        Each pulse is cut as suits the notes in it; off-beat eighths may all be swung alike.

        Parameters
        ----------
        onsets : sequence of Fraction
            In beats, in their order.
        beat_seconds : float

        Examples
        --------
        >>> from theorykit.theory.meter import find_meter
        >>> heard = [Fraction(text) for text in ("0.02", "0.66", "1.03", "1.68", "2")]
        >>> [str(place) for place in Grid.of(find_meter("4/4")).placed(heard, 0.6)[0]]
        ['0', '1/2', '1', '3/2', '2']
        """
        swings = _SWUNG if self.cuts[0] == 2 else (Fraction(1, 2),)
        pulse_seconds = beat_seconds * float(self.pulse)
        groups: dict[int, list[float]] = {}
        size = float(self.pulse)
        for onset in onsets:
            # A little before a pulse belongs to it: cut where no place is near.
            pulse = floor(float(onset) / size + 0.125)
            groups.setdefault(pulse, []).append(float(onset) / size - pulse)
        best: tuple[float, list[Fraction]] | None = None
        for swing in swings:
            cost, found = 0.0, []
            for pulse, inside in groups.items():
                ways = [
                    _laid(inside, cut, swing, pulse_seconds, finer=place > 0)
                    for place, cut in enumerate(self.cuts)
                ]
                least = min(ways, key=lambda way: way[0])
                cost += least[0]
                found += [(pulse + place) * self.pulse for place in least[1]]
            if best is None or cost < best[0]:
                best = cost, found
        assert best is not None
        return best[1], best[0] / max(len(onsets), 1)


@lru_cache(maxsize=64)
def _places(cut: int, swing: Fraction) -> tuple[tuple[Fraction, float], ...]:
    """Where notes are written in a pulse of so many parts, and where they are heard."""
    parts = [Fraction(part, cut) for part in range(cut + 1)]
    if cut == 2:
        return ((parts[0], 0.0), (parts[1], float(swing)), (parts[2], 1.0))
    return tuple((part, float(part)) for part in parts)


def _laid(
    inside: Sequence[float], cut: int, swing: Fraction, seconds: float, *, finer: bool
) -> tuple[float, list[Fraction]]:
    """What it costs to lay notes on a pulse in so many parts, and where they come to lie."""
    spread = min(_OFF_SECONDS, _OFF_PULSES * seconds)
    cost = _FINER if finer else 0.0
    places: list[Fraction] = []
    for index, onset in enumerate(inside):
        off, place = min((abs(heard - onset), written) for written, heard in _places(cut, swing))
        cost += (off * seconds / spread) ** 2 / 2
        if index and places[-1] == place:
            apart = (onset - inside[index - 1]) * seconds
            cost += _CROWDED if apart > TOGETHER_SECONDS else 0.0
        places.append(place)
    return cost, places
