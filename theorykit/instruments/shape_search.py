"""The search for chord shapes on any neck: window by window, string by string."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from theorykit.errors import BadInput
from theorykit.instruments.fretboard import check_frets, shown_frets, stop_distance
from theorykit.instruments.hold import FINGERS, hold
from theorykit.instruments.instrument import Instrument
from theorykit.instruments.shape import Frets, Shape
from theorykit.instruments.shape_ranking import effort
from theorykit.theory.chord import Chord
from theorykit.theory.degree import Degree
from theorykit.theory.pitch import Note

#: The widest that a hand spans between two stopped places (stipulated: four frets at a guitar's
#: nut, and the chop chord of a mandolin from fret 2 to 7).
REACH_MM = 110.0

#: The most frets from the lowest stopped to the highest, however short the scale: fingers are as
#: thick on a ukulele. By half steps a finger.
MOST_FRETS = {1: 4, 2: 5}

#: Strings between two that sound that may be muted.
INNER_MUTES = 1

#: How many strings have to sound: two tones are not yet a chord, but root and fifth alone are.
FEWEST_STRINGS = 3

#: A string that starts at this fret or above is a drone; one that starts below it lies behind a
#: capo that closes some strings only.
DRONE_START = 5

#: Which members a shape may do without, by their number, in chords of four tones and more (common
#: practice: the fifth first, then in big chords what lies between the seventh and the last).
_SPARED = {4: ("5",), 5: ("5",), 6: ("5", "9"), 7: ("5", "9", "11")}

#: The lowest string of the necks whose chords want the bass tone at the bottom sounds below this.
BASS_BELOW = 48


def find_shapes(
    instrument: Instrument,
    chord: Chord,
    *,
    omit: Sequence[str] = (),
    optional: Sequence[str] | None = None,
    closed: bool = False,
    bass: str | Note | None = None,
    lowest_fret: int = 1,
    highest_fret: int | None = None,
    lowest_pitch: int = 0,
    highest_pitch: int = 127,
    capo: int = 0,
    fingers: int = FINGERS,
    ring: bool = False,
    limit: int | None = None,
) -> list[Shape]:
    """The shapes of a chord on a neck, those first that a player takes first.

    Parameters
    ----------
    instrument : Instrument
    chord : Chord
    omit : sequence of str
        Members that must not sound, by number: ``("3",)``.
    optional : sequence of str, optional
        Members that may be missing; if not given, the fifth of a chord with four tones or more,
        and what players leave out of a ninth or thirteenth.
    closed : bool
        True for shapes with no open string, which can be moved to any key.
    bass : str or Note, optional
        What the lowest note is: a note, ``"root"`` or ``"any"``. If not given, a slash chord's own
        bass; the root on a neck that goes as low as a guitar; any member on the others.
    lowest_fret, highest_fret : int
        For what is stopped, from the capo.
    lowest_pitch, highest_pitch : int
        MIDI note numbers of the register.
    capo : int
    fingers : int
        How many there are.
    ring : bool
        True if every string has to sound.
    limit : int, optional
        How many are wanted.

    Returns
    -------
    list of Shape

    Raises
    ------
    BadInput
        If the chord has no member that is named, or the neck takes no such chord.

    Examples
    --------
    >>> from theorykit.instruments.catalogue import find_instrument
    >>> guitar, mandolin = find_instrument("guitar"), find_instrument("mandolin")
    >>> [shape.text for shape in find_shapes(guitar, Chord.parse("G"), limit=2)]
    ['320003', '320033']
    >>> find_shapes(mandolin, Chord.parse("G"), limit=1)[0].text
    '0023'
    """
    if not instrument.frets_a_finger:
        raise BadInput("instrument", instrument.name, "a bar holds no shapes: it lies straight")
    highest = shown_frets(instrument) - capo if highest_fret is None else highest_fret
    check_frets(instrument, min(max(highest + capo, 1), instrument.frets), capo)
    members = _members(chord, omit)
    spared = _spared(chord, members, optional)
    tones = {degree.at(chord.root).pitch_class: str(degree.number) for degree in reversed(members)}
    inside = sum(1 << tone for tone in tones)
    lowest = _bass(instrument, chord, "any" if bass is None and "1" in omit else bass)
    wanted = _Wanted(
        members=inside,
        required=sum(1 << tone for tone, number in tones.items() if number not in spared),
        tones=inside if lowest is None else inside | 1 << lowest,
        root=chord.root.pitch_class,
        bass=lowest,
        low=lowest_pitch,
        high=highest_pitch,
        ring=ring,
    )
    neck = _neck(instrument, capo)
    found: list[Shape] = []
    if not closed:
        places = _places(neck, wanted, (), opens=True)
        found += _held(instrument, neck, wanted, _combinations(neck, wanted, places, 0, 0), fingers)
    for index in range(max(lowest_fret, 1), highest + 1):
        if neck.has[index]:
            end = min(index + neck.most_frets, highest, neck.reach[index])
            places = _places(neck, wanted, range(index, end + 1), opens=not closed)
            chosen = _combinations(neck, wanted, places, index, fingers)
            found += _held(instrument, neck, wanted, chosen, fingers)
    found.sort(key=lambda shape: (shape.cost, [-1 if f is None else f for f in shape.frets]))
    return found if limit is None else found[:limit]


@dataclass(frozen=True, slots=True)
class _Neck:
    """What the search needs to know of a neck, with its capo."""

    open: tuple[int, ...]
    starts: tuple[int, ...]
    stops: tuple[float, ...]
    has: tuple[bool, ...]
    #: The highest fret that the little finger reaches from each.
    reach: tuple[int, ...]
    most_frets: int
    rising: bool


@dataclass(frozen=True, slots=True)
class _Wanted:
    """What has to sound: pitch classes, and sets of them as bits."""

    members: int
    required: int
    tones: int
    root: int
    bass: int | None
    low: int
    high: int
    ring: bool


@lru_cache(maxsize=64)
def _neck(instrument: Instrument, capo: int) -> _Neck:
    frets = range(instrument.frets - capo + 1)
    stops = [stop_distance(instrument, fret + capo) for fret in frets]
    return _Neck(
        open=tuple(string.open.midi + capo for string in instrument.strings),
        starts=tuple(string.start_fret for string in instrument.strings),
        stops=tuple(stops),
        has=tuple(instrument.has_fret(fret + capo) for fret in frets),
        reach=tuple(max(f for f in frets if stops[f] - start <= REACH_MM) for start in stops),
        most_frets=MOST_FRETS[min(instrument.frets_a_finger, 2)],
        rising=all(one.open.midi > other.open.midi for one, other in pairwise(instrument.strings)),
    )


def _members(chord: Chord, omit: Sequence[str]) -> list[Degree]:
    numbers = {str(degree.number) for degree in chord.type.degrees}
    for number in omit:
        if number not in numbers:
            raise BadInput(
                "left-out member", number, f"not in {chord}", accepted=", ".join(sorted(numbers))
            )
    left = [degree for degree in chord.type.degrees if str(degree.number) not in omit]
    if not left:
        raise BadInput("left-out members", ", ".join(omit), f"nothing is left of {chord}")
    return left


def _spared(chord: Chord, members: Sequence[Degree], optional: Sequence[str] | None) -> set[str]:
    if optional is not None:
        return set(optional)
    spared = set(_SPARED.get(len(members), ("5", "9", "11") if len(members) > 7 else ()))
    # A bent fifth is what the chord is called after.
    if any(degree.number == 5 and degree.semitones != 7 for degree in chord.type.degrees):
        spared.discard("5")
    return spared


def _bass(instrument: Instrument, chord: Chord, bass: str | Note | None) -> int | None:
    if isinstance(bass, Note):
        return bass.pitch_class
    if bass == "any":
        return None
    if bass == "root":
        return chord.root.pitch_class
    if bass is not None:
        return Note.parse(bass).pitch_class
    if chord.bass is not None:
        return chord.bass.pitch_class
    lowest = min(string.open.midi for string in instrument.strings)
    return chord.root.pitch_class if lowest < BASS_BELOW and len(instrument.strings) > 4 else None


#: What a string does in a shape: the fret, what it sounds, and that as a bit of its pitch class.
_Place = tuple[int | None, int, int]

_MUTED: _Place = (None, 0, 0)


def _places(
    neck: _Neck, wanted: _Wanted, window: Sequence[int], *, opens: bool
) -> list[list[_Place]]:
    """For each string, string 1 first, what it may do with fingers in a window of frets."""
    found = []
    for sounding, start in zip(neck.open, neck.starts, strict=True):
        # A short string is a drone: chord shapes leave it open (common practice).
        drone = start >= DRONE_START
        stopped = [fret for fret in window if neck.has[fret] and fret > start and not drone]
        frets = [0] * opens + stopped
        places = [] if wanted.ring and not drone else [_MUTED]
        for fret in frets:
            midi = sounding + max(fret - start, 0)
            bit = 1 << midi % 12
            if bit & wanted.tones and wanted.low <= midi <= wanted.high:
                places.append((fret, midi, bit))
        found.append(places)
    return found


def _combinations(
    neck: _Neck, wanted: _Wanted, places: list[list[_Place]], index: int, fingers: int
) -> list[tuple[_Place, ...]]:
    """A place for each string, string 1 first, in every way that sounds what it has to.

    One string at least is stopped at the ``index`` fret, unless that is 0.
    """
    bass = wanted.bass if neck.rising else None
    fewest = min(FEWEST_STRINGS, len(places))
    # The index finger lies across at most its own fret; every note above it takes a finger.
    most_above = max(fingers - 1, 0)
    found: list[tuple[_Place, ...]] = []

    def search(
        string: int,
        tail: tuple[_Place, ...],
        sounding: int,
        gaps: tuple[int, int],
        missing: int,
        above: int,
        at_index: bool,
    ) -> None:
        """Go on from the last string to the first.

        ``gaps`` has the muted strings between sounding ones, and those muted since one sounded.
        """
        if string < 0:
            if sounding >= fewest and not missing and at_index:
                found.append(tail)
            return
        inner, last = gaps
        for place in places[string]:
            fret, midi, bit = place
            if fret is None:
                # Members that are missing need a string each.
                if missing.bit_count() <= string and sounding + string >= fewest:
                    now = (inner, last + 1) if sounding else gaps
                    search(string - 1, (place, *tail), sounding, now, missing, above, at_index)
                continue
            if inner + last > INNER_MUTES:
                continue
            if not sounding and bass is not None and midi % 12 != bass:
                continue
            left = missing & ~bit
            higher = above + (fret > index)
            if left.bit_count() <= string and higher <= most_above:
                now = (inner + last, 0)
                here = at_index or fret == index
                search(string - 1, (place, *tail), sounding + 1, now, left, higher, here)

    search(len(places) - 1, (), 0, (0, 0), wanted.required, 0, not index)
    return found


def _held(
    instrument: Instrument,
    neck: _Neck,
    wanted: _Wanted,
    combinations: Iterable[tuple[_Place, ...]],
    most: int,
) -> Iterator[Shape]:
    """The shapes among the combinations that a hand can hold."""
    drones = [
        number
        for number, start in enumerate(neck.starts, start=1)
        if start >= DRONE_START and not 1 << neck.open[number - 1] % 12 & wanted.tones
    ]
    for chosen in combinations:
        frets: Frets = tuple(place[0] for place in chosen)
        hand = hold(frets, frets_a_finger=instrument.frets_a_finger, most=most)
        if hand is None:
            continue
        heard, bass, strangers = 0, 128, 0
        for fret, midi, bit in chosen:
            if fret is not None:
                heard |= bit
                bass = min(bass, midi)
                strangers += not bit & wanted.members
        # A bass that is no member of the chord sounds at the bottom alone.
        if strangers > 1 or (wanted.bass is not None and bass % 12 != wanted.bass):
            continue
        held = [fret for fret in frets if fret]
        span = neck.stops[max(held)] - neck.stops[min(held)] if held else 0.0
        cost = effort(
            frets,
            hand,
            span,
            spared=drones,
            missing=(wanted.members & ~heard).bit_count(),
            root_in_bass=bass % 12 == (wanted.root if wanted.bass is None else wanted.bass),
        )
        sounding = tuple(None if fret is None else midi for fret, midi, _ in chosen)
        yield Shape(frets, hand.fingers, hand.barres, sounding, round(span, 1), cost)
