"""A scale as a ladder of pitches between two ends: what an exercise climbs on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from theorykit.instruments.instrument import Instrument
from theorykit.instruments.positions import melody_strings
from theorykit.theory.degree import Degree
from theorykit.theory.pitch import Note, Pitch, note_at_midi
from theorykit.theory.scale import Scale

#: How far up the highest string an exercise goes unless it has to go farther: the octave.
USUAL_FRETS = 12

# Where an exercise for no instrument lies: two octaves from the first tonic above G3.
_LOWEST, _OCTAVES = 55, 2


@dataclass(frozen=True, slots=True)
class Rung:
    """A note of a ladder."""

    midi: int
    note: Note
    degree: Degree

    @property
    def pitch(self) -> Pitch:
        """The note in its octave."""
        return note_at_midi(self.note, self.midi)


@dataclass(frozen=True, slots=True)
class Ladder:
    """The notes of a scale from the lowest to the highest that may be played.

    Its rungs are counted from the tonic at or above middle C, which is rung 0.

    Parameters
    ----------
    notes : tuple of (Note, Degree)
        One octave, upwards from the tonic.
    lowest, highest : int
        MIDI key numbers of the compass.
    descending : tuple of (Note, Degree)
        The way down, as long as the way up and written upwards too, where it differs.

    Examples
    --------
    >>> ladder = Ladder.of(Scale.parse("G major"), 55, 67)
    >>> [str(ladder.rung(at).pitch) for at in ladder.inside()]
    ['G3', 'A3', 'B3', 'C4', 'D4', 'E4', 'F#4', 'G4']
    >>> [str(ladder.rung(at).pitch) for at in ladder.bases((0, 2, 4))]
    ['G3', 'A3', 'B3', 'C4']
    """

    notes: tuple[tuple[Note, Degree], ...]
    lowest: int
    highest: int
    descending: tuple[tuple[Note, Degree], ...] = ()

    @classmethod
    def of(cls, scale: Scale, lowest: int, highest: int) -> Ladder:
        """The ladder of a scale in a compass."""
        up = tuple(zip(scale.notes, scale.degrees, strict=True))
        down = tuple(zip(scale.notes_descending, scale.formula.descending, strict=False))
        return cls(up, lowest, highest, down if len(down) == len(up) else ())

    @property
    def count(self) -> int:
        """How many notes the scale has in an octave."""
        return len(self.notes)

    def rung(self, at: int, *, down: bool = False) -> Rung:
        """A rung by its number, on the way up or down."""
        octave, place = divmod(at, self.count)
        row = self.descending if down and self.descending else self.notes
        note, degree = row[place]
        tonic = row[0][0].pitch_class
        above = (note.pitch_class - tonic) % 12
        return Rung(60 + tonic + 12 * octave + above, note, degree)

    def holds(self, at: int, *, down: bool = False) -> bool:
        """True for a rung within the compass."""
        return self.lowest <= self.rung(at, down=down).midi <= self.highest

    def inside(self, *, down: bool = False) -> range:
        """The rungs within the compass."""
        return _inside(self, down)

    def bases(self, offsets: Sequence[int], *, down: bool = False) -> range:
        """The rungs from which a figure stays within the compass.

        Parameters
        ----------
        offsets : sequence of int
            How many rungs each of its notes lies above the one that it is built on.
        down : bool
        """
        rungs = _inside(self, down)
        return range(rungs.start - min(offsets), rungs.stop - max(offsets))

    def __str__(self) -> str:
        inside = self.inside()
        if not inside:
            return f"{self.lowest} to {self.highest}"
        return f"{self.rung(inside[0]).pitch} to {self.rung(inside[-1]).pitch}"

    def places_of(self, degree: Degree) -> list[int]:
        """The rungs within the compass that have a degree of the scale."""
        steps = degree.semitones % 12
        return [at for at in self.inside() if self.rung(at).degree.semitones % 12 == steps]


@lru_cache(maxsize=256)
def _inside(ladder: Ladder, down: bool) -> range:
    every = range(-6 * ladder.count, 6 * ladder.count)
    rungs = [at for at in every if ladder.holds(at, down=down)]
    return range(rungs[0], rungs[-1] + 1) if rungs else range(0)


def usual_compasses(
    instrument: Instrument | None, start: Note, *, below: int = 0
) -> list[tuple[int, int]]:
    """Where an exercise may lie, the best compass first.

    Two octaves from the lowest note it can start on, or one where the neck has no more; then the
    whole neck, first no farther up than its octave.

    Parameters
    ----------
    instrument : Instrument, optional
    start : Note
    below : int
        How many half steps a figure dips under the note that it starts from.

    Examples
    --------
    >>> from theorykit.instruments.catalogue import find_instrument
    >>> usual_compasses(find_instrument("mandolin"), Note.parse("A"))[0]
    (57, 81)
    """
    if instrument is None:
        low = _LOWEST + (start.pitch_class - _LOWEST) % 12
        return [(low - below, low + 12 * _OCTAVES)]
    in_order = melody_strings(instrument)
    bottom = instrument.string(in_order[0]).open.midi
    open_top = instrument.string(in_order[-1]).open.midi
    found = []
    reaches = [open_top + min(USUAL_FRETS, instrument.frets), open_top + instrument.frets]
    low = bottom + below + (start.pitch_class - bottom - below) % 12
    for top in reaches:
        octaves = min((top - low) // 12, _OCTAVES)
        if octaves:
            found.append((low - below, low + 12 * octaves))
    return [*found, *((bottom, top) for top in reaches)]
