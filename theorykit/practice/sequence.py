"""Sequences: a scale in threes, in thirds, in broken chords, up and down a compass.

A sequence is a figure that climbs a scale, turns where the compass ends and comes home. It is
melody only; `arrange` puts a band under it.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from theorykit.errors import BadInput, nearest
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.instrument import Instrument
from theorykit.instruments.positions import Position
from theorykit.practice.rhythm import Rhythm, find_rhythm
from theorykit.practice.sequence_fingers import (
    fingered_line,
    fingered_position,
    position_of,
)
from theorykit.practice.sequence_ladder import Ladder, usual_compasses
from theorykit.practice.sequence_pattern import SEQUENCES, SequencePattern, find_pattern
from theorykit.practice.sequence_walk import Walk, placed_steps
from theorykit.score.score import Part, PlacedChord, Score, ScoreBar, ScoreNote, check_tempo
from theorykit.theory.chord import Chord, ChordType
from theorykit.theory.degree import Degree
from theorykit.theory.key import MAJOR_TONICS, MINOR_TONICS, Key, Mode
from theorykit.theory.meter import find_meter
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Pitch
from theorykit.theory.scale import Scale

__all__ = ["DIRECTIONS", "SEQUENCES", "SequencePattern", "find_pattern", "sequence"]

#: Which way a sequence goes.
DIRECTIONS = ("up and back", "up", "down", "down and back")

MOST_BARS = 200

# A compass that holds fewer figures than this is no place to practise one.
_FEWEST_FIGURES = 3


def sequence(
    scale: Scale | str,
    pattern: SequencePattern | str | Sequence[int] = "threes",
    *,
    direction: str = "up and back",
    rhythm: Rhythm | str | Sequence[Fraction | float] = "eighths",
    start: Degree | str | int = 1,
    instrument: Instrument | str | None = None,
    lowest: Pitch | str | None = None,
    highest: Pitch | str | None = None,
    position: Position | int | None = None,
    closed: bool = False,
    bars: int | None = None,
    meter: str = "4/4",
    tempo: float = 80.0,
    accents: bool = False,
) -> Score:
    """A scale in a pattern, up and down a compass.

    Each figure starts a step of the scale above the one before, or below it on the way down. Where
    the way turns, a note is not struck twice in a row. It ends on the note that it began with,
    which rings to the end of the bar; come off the beat, it is struck again where a beat follows.

    Parameters
    ----------
    scale : Scale or str
        Such as ``"C major"``. A scale with another way down, such as the melodic minor, takes it.
    pattern : SequencePattern, str or sequence of int
        One of `SEQUENCES`, or steps of the scale: ``(1, 2, 3, 5)``.
    direction : {"up and back", "up", "down", "down and back"}
        Up and back goes up from the start, down to the end of the compass and home.
    rhythm : Rhythm, str or sequence of Fraction
        One of `RHYTHMS`, or lengths in quarter notes. Figures run across the beat as they fall.
    start : Degree, str or int
        The degree of the scale on which it begins and ends.
    instrument : Instrument or str, optional
        Gives each note its string, fret and finger.
    lowest, highest : Pitch or str, optional
        The compass. If neither is given: that of the position; or else two octaves from the
        instrument's lowest start, one where the neck has no more.
    position : Position or int, optional
        What lies under one hand, or the fret of its index finger; needs an instrument.
    closed : bool
        True to use no open string.
    bars : int, optional
        Goes round until so many bars are full, the last of them for the last note. If not given it
        ends when it is home.
    meter : str
    tempo : float
    accents : bool
        True to mark the first note of each figure.

    Returns
    -------
    Score
        With one part, ``"line"``.

    Raises
    ------
    BadInput
        If the pattern does not fit the scale or the compass, or a value can't be used.

    Examples
    --------
    >>> score = sequence("C major", "threes", lowest="C4", highest="C5", direction="up")
    >>> " ".join(str(note.pitch) for note in score.part("line").notes)
    'C4 D4 E4 D4 E4 F4 E4 F4 G4 F4 G4 A4 G4 A4 B4 A4 B4 C5 C5'
    >>> score = sequence("G major", "thirds", instrument="mandolin", position=1)
    >>> [(note.string, note.fret, note.finger) for note in score.part("line").notes[:4]]
    [(4, 0, 0), (4, 4, 2), (4, 2, 1), (4, 5, 3)]
    """
    scale = scale if isinstance(scale, Scale) else Scale.parse(scale)
    figure, beat = find_pattern(pattern), find_rhythm(rhythm)
    neck = find_instrument(instrument) if isinstance(instrument, str) else instrument
    check_tempo(tempo)
    if direction not in DIRECTIONS:
        close = nearest(direction, DIRECTIONS) if isinstance(direction, str) else None
        raise BadInput(
            "direction", direction, "unknown", accepted=", ".join(DIRECTIONS), nearest=close
        )
    if bars is not None and (isinstance(bars, bool) or bars not in range(1, MOST_BARS + 1)):
        raise BadInput("bars", bars, "out of range", accepted=f"1 to {MOST_BARS}")
    signature = find_meter(meter)
    home = start_degree(scale, start)
    hand = None if position is None else position_of(neck, scale, position, closed=closed)
    ladder = _ladder(scale, figure, home, neck, hand, (lowest, highest))
    walk = Walk(ladder, figure, home)
    placed = placed_steps(walk, direction, beat, signature, bars)
    notes = [
        ScoreNote(
            at,
            length,
            step.rung.midi,
            step.rung.pitch,
            degree=step.rung.degree,
            articulation="accent" if accents and step.first else "",
        )
        for at, length, step in placed
    ]
    if hand is not None and neck is not None:
        notes = fingered_position(neck, scale, hand, notes)
    elif neck is not None and neck.frets_a_finger:
        notes = fingered_line(neck, notes, tempo=tempo, closed=closed)
    end = notes[-1].start + notes[-1].beats
    remark = "" if walk.at_home else f"no figure fits on {home} of the scale; it begins elsewhere"
    return Score(
        (Part("line", tuple(notes), neck.voice if neck is not None else "guitar"),),
        chords=(_tonic_chord(scale, end),),
        bars=tuple(
            ScoreBar(Fraction(at), Fraction(signature.beats))
            for at in range(0, int(end), signature.beats)
        ),
        meter=meter,
        tempo=tempo,
        key=scale_key(scale),
        title=f"{scale}: {figure.name}, {direction}, {beat.name}",
        remark=remark,
    )


def _ladder(
    scale: Scale,
    pattern: SequencePattern,
    home: Degree,
    instrument: Instrument | None,
    hand: Position | None,
    ends: tuple[Pitch | str | None, Pitch | str | None],
) -> Ladder:
    """The ladder that is asked for, or the first of the usual ones that has room."""
    low, high = (None if end is None else as_pitch(end).midi for end in ends)
    if hand is not None:
        midis = [place.cell.midi for place in hand.places]
        compasses = [(min(midis), max(midis))]
    else:
        whole = Ladder.of(scale, 0, 127)
        offsets = pattern.offsets(whole.count)
        first = whole.places_of(home)[4]
        dip = whole.rung(first).midi - whole.rung(first + min(0, *offsets, 0)).midi
        compasses = usual_compasses(instrument, home.at(scale.tonic), below=dip)
    tried: list[tuple[bool, Ladder]] = []
    for bottom, top in compasses:
        bottom, top = bottom if low is None else low, top if high is None else high
        if low is not None and high is None and hand is None:
            top = max(top, bottom + 12)
        ladder = Ladder.of(scale, bottom, top)
        figures = ladder.bases(pattern.offsets(ladder.count))
        at_home = any(at in figures for at in ladder.places_of(home))
        if at_home and len(figures) >= _FEWEST_FIGURES:
            return ladder
        tried.append((len(figures) >= _FEWEST_FIGURES, ladder))
    return next((ladder for roomy, ladder in tried if roomy), tried[-1][1])


def as_pitch(pitch: Pitch | str) -> Pitch:
    """A pitch, or the one that a text names."""
    return pitch if isinstance(pitch, Pitch) else Pitch.parse(pitch)


def start_degree(scale: Scale, start: Degree | str | int) -> Degree:
    """The degree of a scale on which an exercise begins.

    Raises
    ------
    BadInput
        If the scale has none that sounds so.

    Examples
    --------
    >>> str(start_degree(Scale.parse("A minor pentatonic"), "b3"))
    'b3'
    """
    if scale.formula.follows_chord:
        raise BadInput("scale", scale, "its notes are those of a chord")
    asked = start if isinstance(start, Degree) else Degree.parse(str(start))
    for degree in scale.degrees:
        if degree.semitones % 12 == asked.semitones % 12:
            return degree
    accepted = " ".join(map(str, scale.degrees))
    raise BadInput("start", start, f"not a degree of {scale}", accepted=accepted)


def scale_key(scale: Scale) -> Key | None:
    """The key in which a scale is printed: minor where its third is; None where no key has it.

    Examples
    --------
    >>> str(scale_key(Scale.parse("E blues")))
    'E minor'
    """
    thirds = {degree.semitones for degree in scale.degrees}
    mode: Mode = "minor" if 3 in thirds and 4 not in thirds else "major"
    tonics = MINOR_TONICS if mode == "minor" else MAJOR_TONICS
    return Key(scale.tonic, mode) if scale.tonic in tonics else None


def _tonic_chord(scale: Scale, beats: Fraction) -> PlacedChord:
    """The triad that the scale has on its tonic, under all of it; none if it has none."""
    steps = {degree.semitones for degree in scale.degrees}
    fifth = 7 in steps
    name = "I" if fifth and 4 in steps else "i" if fifth and 3 in steps else ""
    if not name:
        return PlacedChord(Fraction(0), beats, None)
    kind = ChordType("major" if name == "I" else "minor")
    return PlacedChord(Fraction(0), beats, Chord(scale.tonic, kind), Numeral.parse(name))
