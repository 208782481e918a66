"""A scale played up and down, for as long as the band plays."""

from __future__ import annotations

from fractions import Fraction

from theorykit.errors import BadInput
from theorykit.score.score import ScoreNote
from theorykit.theory.meter import find_meter
from theorykit.theory.pitch import note_at_midi
from theorykit.theory.scale import Scale

_MOST_OCTAVES = 2


def scale_run(
    scale: Scale,
    bars: int,
    *,
    meter: str = "4/4",
    lowest: int = 55,
    highest: int = 88,
) -> list[ScoreNote]:
    """The scale from its lowest tonic up one or two octaves, and back, over and over.

    Each beat has two notes, three in the compound meters; the last note rings on.

    Parameters
    ----------
    scale : Scale
    bars : int
    meter : str
    lowest, highest : int
        MIDI key numbers of the compass.

    Raises
    ------
    BadInput
        If the compass has no octave of the scale.

    Examples
    --------
    >>> run = scale_run(Scale.parse("A minor pentatonic"), 1, lowest=45, highest=60)
    >>> [str(note.pitch) for note in run]
    ['A2', 'C3', 'D3', 'E3', 'G3', 'A3', 'G3', 'E3']
    """
    tonic = scale.notes[0]
    low = lowest + (tonic.pitch_class - lowest) % 12
    octaves = min((highest - low) // 12, _MOST_OCTAVES)
    if octaves < 1:
        raise BadInput("compass", f"{lowest} to {highest}", f"has no octave of {scale}")
    up = [
        (low + 12 * octave + (note.pitch_class - tonic.pitch_class) % 12, note, degree)
        for octave in range(octaves)
        for note, degree in zip(scale.notes, scale.degrees, strict=True)
    ]
    up.append((low + 12 * octaves, tonic, scale.degrees[0]))
    way = [*up, *up[-2:0:-1]]
    count = find_meter(meter)
    each = Fraction(1, count.beat_parts)
    notes: list[ScoreNote] = []
    for index in range(int(bars * count.beats / each)):
        midi, note, degree = way[index % len(way)]
        notes.append(ScoreNote(index * each, each, midi, note_at_midi(note, midi), degree=degree))
    return notes
