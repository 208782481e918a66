"""The clef in which players of an instrument read."""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.instruments.instrument import Instrument


@dataclass(frozen=True, slots=True)
class Clef:
    """A clef: its sign, the line that it stands on and the octaves that it adds to its notes."""

    sign: str
    line: int
    octaves: int = 0


TREBLE, ALTO, BASS = Clef("G", 2), Clef("C", 3), Clef("F", 4)
TREBLE_DOWN, BASS_DOWN = Clef("G", 2, -1), Clef("F", 4, -1)

#: Clefs by instrument (common practice): guitar, banjo and bass are written an octave above their
#: sound, which the clef says, so that a reader that takes the notes as they stand is right.
_CLEFS: dict[str, Clef] = {
    "guitar": TREBLE_DOWN,
    "twelve-string guitar": TREBLE_DOWN,
    "resonator guitar": TREBLE_DOWN,
    "baritone ukulele": TREBLE_DOWN,
    "banjo": TREBLE_DOWN,
    "tenor banjo": TREBLE_DOWN,
    "plectrum banjo": TREBLE_DOWN,
    "octave mandolin": TREBLE_DOWN,
    "mandolin": TREBLE,
    "fiddle": TREBLE,
    "ukulele": TREBLE,
    "dulcimer": TREBLE,
    "viola": ALTO,
    "mandola": ALTO,
    "cello": BASS,
    "bass": BASS_DOWN,
    "five-string bass": BASS_DOWN,
}

#: Necks that are in no list: below these key numbers the lowest string calls for a lower clef.
_BASS_NECK, _OCTAVE_NECK = 34, 48

#: With no instrument, notes that lie below this on average are written in the bass clef.
_BASS_NOTES = 54


def clef_of(instrument: Instrument | None, midis: list[float]) -> Clef:
    """The clef for a neck, or with none the one that fits the notes.

    Examples
    --------
    >>> from theorykit.instruments.catalogue import find_instrument
    >>> clef_of(find_instrument("guitar, drop D"), [])
    Clef(sign='G', line=2, octaves=-1)
    >>> clef_of(None, [40, 45]).sign
    'F'
    """
    if instrument is None:
        low = midis and sum(midis) / len(midis) < _BASS_NOTES
        return BASS if low else TREBLE
    known = _CLEFS.get(instrument.name.partition(",")[0])
    if known is not None:
        return known
    lowest = min(string.open.midi for string in instrument.strings)
    if lowest < _BASS_NECK:
        return BASS_DOWN
    return TREBLE_DOWN if lowest < _OCTAVE_NECK else TREBLE
