"""What a capo does: to some strings of a neck, and to the names of keys and chords."""

from __future__ import annotations

from dataclasses import replace

from theorykit.errors import BadInput
from theorykit.instruments.instrument import Instrument
from theorykit.theory.chord import Chord
from theorykit.theory.interval import Interval
from theorykit.theory.key import MAJOR_TONICS, MINOR_TONICS, Key
from theorykit.theory.pitch import Pitch

#: The highest fret that a capo goes to.
LAST_CAPO = 11


def partly_capoed(instrument: Instrument, fret: int, strings: tuple[int, ...]) -> Instrument:
    """The instrument with a capo that closes some strings only.

    Such a capo leaves the nut where it is, so each closed string is a short one, like a banjo's
    fifth: open, it sounds at the capo, and its stopped notes still count from the nut.

    Parameters
    ----------
    instrument : Instrument
    fret : int
    strings : tuple of int
        Their numbers, 1 for the first string.

    Raises
    ------
    BadInput
        If the neck has no such string or place, or a string begins at or above the capo.

    Examples
    --------
    >>> from theorykit.instruments.catalogue import find_instrument
    >>> partly_capoed(find_instrument("guitar"), 2, (3, 4, 5)).tuning
    'E2 B2 E3 A3 B3 E4'
    """
    if not 1 <= fret <= LAST_CAPO or not instrument.has_fret(fret):
        raise BadInput("capo", fret, "not a place for a capo", accepted=f"1 to {LAST_CAPO}")
    if not strings or len(set(strings)) != len(strings):
        raise BadInput("strings", " ".join(map(str, strings)), "not some strings, each once")
    closed = list(instrument.strings)
    for number in strings:
        string = instrument.string(number)
        if string.start_fret >= fret:
            reason = f"string {number} starts at fret {string.start_fret}"
            raise BadInput("capo", fret, reason, accepted=f"{string.start_fret + 1} or higher")
        up = fret - string.start_fret
        closed[number - 1] = replace(string, open=_raised(string.open, up), start_fret=fret)
    said = " ".join(map(str, sorted(strings)))
    return replace(
        instrument,
        name=f"{instrument.name}, capo {fret} on strings {said}",
        strings=tuple(closed),
        aliases=(),
    )


def _raised(pitch: Pitch, semitones: int) -> Pitch:
    raised = _INTERVALS[semitones]
    moved = pitch.shifted(raised.steps, raised.semitones)
    plain = moved.note.simplified()
    if plain == moved.note:
        return moved
    return next(
        Pitch(plain, octave)
        for octave in (moved.octave - 1, moved.octave, moved.octave + 1)
        if Pitch(plain, octave).midi == moved.midi
    )


#: The interval that players name for so many half steps (any theory handbook; A4 for the tritone).
_INTERVALS = tuple(
    map(
        Interval.parse,
        ("P1", "m2", "M2", "m3", "M3", "P4", "A4", "P5", "m6", "M6", "m7", "M7"),
    )
)


def shape_key(key: Key, capo: int) -> Key:
    """The key whose shapes a player holds above a capo, for a key that sounds.

    Raises
    ------
    BadInput
        If there is no such place for a capo.

    Examples
    --------
    >>> str(shape_key(Key.parse("Bb"), 3)), str(shape_key(Key.parse("F#m"), 2))
    ('G major', 'E minor')
    """
    return _moved_key(key, -_capo_place(capo))


def sounding_key(shape: Key, capo: int) -> Key:
    """The key that sounds when a player holds the shapes of another one above a capo.

    >>> str(sounding_key(Key.parse("G"), 3))
    'Bb major'
    """
    return _moved_key(shape, _capo_place(capo))


def shape_chord(chord: Chord, key: Key, capo: int) -> Chord:
    """The chord that a player holds above a capo, spelled in the shapes' key.

    Parameters
    ----------
    chord : Chord
        As it sounds.
    key : Key
        The key that sounds; it decides the spelling.
    capo : int

    Examples
    --------
    >>> str(shape_chord(Chord.parse("Eb7/G"), Key.parse("Bb"), 3))
    'C7/E'
    """
    home = shape_key(key, capo).tonic
    return chord.transposed(Interval.between(key.tonic, home))


def _capo_place(capo: int) -> int:
    if isinstance(capo, bool) or not isinstance(capo, int) or not 0 <= capo <= LAST_CAPO:
        raise BadInput("capo", capo, "not a place for a capo", accepted=f"0 to {LAST_CAPO}")
    return capo


def _moved_key(key: Key, semitones: int) -> Key:
    """The key so many half steps away that has the fewest signs; a tie goes as the key itself."""
    if not semitones % 12:
        return key
    tonics = MINOR_TONICS if key.mode == "minor" else MAJOR_TONICS
    wanted = (key.tonic.pitch_class + semitones) % 12
    choices = [Key(tonic, key.mode) for tonic in tonics if tonic.pitch_class == wanted]
    return min(choices, key=lambda each: (abs(each.fifths), each.fifths * key.fifths < 0))
