"""What becomes of a shape: its members, its neighbour without one of them, the way to the next."""

from __future__ import annotations

from collections.abc import Sequence

from theorykit.errors import BadInput
from theorykit.instruments.fretboard import stop_distance
from theorykit.instruments.instrument import Instrument
from theorykit.instruments.shape import Shape
from theorykit.instruments.shape_search import find_shapes
from theorykit.theory.chord import Chord
from theorykit.theory.degree import Degree
from theorykit.theory.shortest_path import Cost, cheapest_path

#: How many shapes of each chord a sequence chooses from.
CHOICES = 24

#: Weights of a change, in the unit of a shape's own effort (stipulated): the hand's way along the
#: neck, and each finger that has to be set down anew.
WAY_MM, NEW_PLACE = 1 / 60, 0.35


def members_at(shape: Shape, chord: Chord) -> tuple[Degree | None, ...]:
    """Which member of the chord each string sounds, string 1 first; None where it is muted.

    A bass note that is no member has None too.

    >>> from theorykit.instruments.catalogue import find_instrument
    >>> g = find_shapes(find_instrument("guitar"), Chord.parse("G"), limit=1)[0]
    >>> " ".join(map(str, reversed(members_at(g, Chord.parse("G")))))
    '1 3 5 1 3 1'
    """
    by_tone = {degree.at(chord.root).pitch_class: degree for degree in chord.type.degrees}
    return tuple(None if midi is None else by_tone.get(midi % 12) for midi in shape.midis)


def places_of(shape: Shape, chord: Chord, member: str = "3") -> list[tuple[int, int]]:
    """Where a member sounds in a shape, as string and fret, the last string first.

    Parameters
    ----------
    shape : Shape
    chord : Chord
    member : str
        The number of a member.

    Examples
    --------
    The open G chord of a guitar has its third twice:

    >>> from theorykit.instruments.catalogue import find_instrument
    >>> g = find_shapes(find_instrument("guitar"), Chord.parse("G"), limit=1)[0]
    >>> places_of(g, Chord.parse("G"))
    [(5, 2), (2, 0)]
    """
    found = []
    for number, degree in enumerate(members_at(shape, chord), start=1):
        fret = shape.frets[number - 1]
        if degree is not None and fret is not None and str(degree.number) == member:
            found.append((number, fret))
    return found[::-1]


def changes(one: Shape, other: Shape) -> int:
    """How many strings do something else."""
    return sum(mine != theirs for mine, theirs in zip(one.frets, other.frets, strict=True))


def nearest_without(
    instrument: Instrument, chord: Chord, shape: Shape, member: str = "3", *, capo: int = 0
) -> Shape:
    """The shape with a member left out that has the fewest strings changed; of several the best.

    Parameters
    ----------
    instrument : Instrument
    chord : Chord
    shape : Shape
    member : str
        The number of the member to leave out.
    capo : int

    Raises
    ------
    BadInput
        If the chord has no such member, or cannot be held without it.

    Examples
    --------
    >>> from theorykit.instruments.catalogue import find_instrument
    >>> guitar, chord = find_instrument("guitar"), Chord.parse("G")
    >>> nearest_without(guitar, chord, find_shapes(guitar, chord, limit=1)[0]).text
    '3x0033'
    """
    found = find_shapes(instrument, chord, omit=(member,), capo=capo)
    if not found:
        raise BadInput("left-out member", member, f"no shape of {chord} does without it")
    return min(found, key=lambda other: (changes(shape, other), other.cost))


def shape_sequence(
    instrument: Instrument,
    chords: Sequence[Chord],
    *,
    omit: Sequence[str] = (),
    closed: bool = False,
    capo: int = 0,
) -> list[Shape]:
    """A shape for each chord in turn, so that the hand has least to do (a shortest path).

    Each shape's own effort counts, the hand's way along the neck to the next, and every finger that
    is set down where none was. A member that a chord has not got is not left out of it.

    Parameters
    ----------
    instrument : Instrument
    chords : sequence of Chord
    omit, closed, capo
        As for ``find_shapes``.

    Raises
    ------
    BadInput
        If one of the chords cannot be held.

    Examples
    --------
    >>> from theorykit.instruments.catalogue import find_instrument
    >>> chords = [Chord.parse(name) for name in ("G", "C", "D")]
    >>> [shape.text for shape in shape_sequence(find_instrument("mandolin"), chords, closed=True)]
    ['4553', '5233', '2452']
    """
    layers = []
    for chord in chords:
        numbers = {str(degree.number) for degree in chord.type.degrees}
        left_out = [member for member in omit if member in numbers]
        found = find_shapes(
            instrument, chord, omit=left_out, closed=closed, capo=capo, limit=CHOICES
        )
        if not found:
            raise BadInput("chord", str(chord), f"no such shape on a {instrument.name}")
        layers.append(found)
    if not layers:
        return []

    def move(one: Shape | None, other: Shape | None) -> Cost:
        if other is None:
            return (0,)
        cost = other.cost
        if one is not None:
            cost += _way(instrument, one, other, capo) * WAY_MM + NEW_PLACE * _new(one, other)
        return (round(cost * 1000),)

    return cheapest_path(layers, move)[1]


def _way(instrument: Instrument, one: Shape, other: Shape, capo: int) -> float:
    """How far the index finger moves, in millimetres; nothing to or from open strings alone."""
    if not one.lowest_fret or not other.lowest_fret:
        return 0.0
    here, there = (stop_distance(instrument, each.lowest_fret + capo) for each in (one, other))
    return abs(here - there)


def _new(one: Shape, other: Shape) -> int:
    """Stopped places of the second that the first has not got."""
    pairs = zip(one.frets, other.frets, strict=True)
    return sum(bool(theirs) and mine != theirs for mine, theirs in pairs)
