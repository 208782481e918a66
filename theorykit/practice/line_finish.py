"""A line made into a score: spelled, fingered, its blue thirds pushed, with its reasons."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from theorykit.instruments.fingering import finger_line
from theorykit.instruments.instrument import Instrument
from theorykit.practice.line_chart import LineChart
from theorykit.practice.line_level import Level
from theorykit.practice.line_model import Line, Phrase
from theorykit.practice.line_reason import reason, spelled_tone
from theorykit.practice.line_spot import Spot
from theorykit.score.score import Glide, Part, Score, ScoreNote
from theorykit.theory.pitch import Pitch, note_at_midi

#: A blue third is pushed up by a quarter tone (common practice), if it is this long, in quarters.
_PUSH, _LEAST_PUSHED = 0.5, Fraction(1, 2)


def finished(
    chart: LineChart,
    spots: Sequence[Spot],
    midis: Sequence[int],
    phrases: Sequence[Phrase],
    gritty: Sequence[bool],
    level: Level,
    neck: Instrument | None,
    *,
    tempo: float,
    closed: bool,
    given: Sequence[Pitch | None] = (),
) -> Line:
    """The line as a score: spelled, fingered and with its reasons.

    Parameters
    ----------
    given : sequence of (Pitch or None)
        The spelling of pinned notes, where it is known.
    """
    pitches: list[Pitch] = []
    notes: list[ScoreNote] = []
    for index, (spot, midi) in enumerate(zip(spots, midis, strict=True)):
        tone = spot.tone_at(midi)
        known = given[index] if given else None
        if tone is None or (known is not None and spot.pinned is not None):
            assert known is not None
            pitch, degree = known, None
            role = tone.role if tone is not None else "passing"
            if tone is not None:
                degree = tone.member
        else:
            rises = index + 1 < len(midis) and midis[index + 1] > midi
            note, degree = spelled_tone(spot, midi, rises=rises)
            pitch, role = note_at_midi(note, midi), tone.role
        if spot.slot.silent and tone is not None:
            degree = tone.degree
        pitches.append(pitch)
        notes.append(ScoreNote(spot.start, spot.beats, midi, pitch, degree=degree, role=role))
    reasons = []
    for phrase in phrases:
        for index in range(phrase.first, phrase.beyond):
            before = pitches[index - 1] if index > phrase.first else None
            following = pitches[index + 1] if index + 1 < phrase.beyond else None
            pickup = spots[index].start < phrase.start
            reasons.append(reason(spots[index], pitches[index], before, following, pickup=pickup))
    if neck is not None and neck.frets_a_finger:
        notes = _fingered(notes, pitches, neck, tempo, closed=closed)
    if level.blue:
        notes = _pushed(notes, spots, neck)
    part = Part("line", tuple(notes), neck.voice if neck is not None else "guitar")
    score = Score(
        (part,),
        chords=chart.chords,
        bars=chart.bars,
        meter=chart.meter,
        tempo=tempo,
        key=chart.key,
        keys=chart.keys,
        title=chart.title,
    )
    return Line(score, tuple(reasons), tuple(phrases), tuple(gritty), level.number)


def _fingered(
    notes: Sequence[ScoreNote],
    pitches: Sequence[Pitch],
    neck: Instrument,
    tempo: float,
    *,
    closed: bool,
) -> list[ScoreNote]:
    starts = [note.start for note in notes[1:]]
    lengths = [float(after - note.start) for note, after in zip(notes, starts, strict=False)] + [
        1.0
    ]
    fingering = finger_line(neck, pitches, closed=closed, beats=lengths, beats_a_second=tempo / 60)
    return [
        replace(note, string=place.string, fret=place.fret, finger=place.finger)
        for note, place in zip(notes, fingering.notes, strict=True)
    ]


def _pushed(
    notes: Sequence[ScoreNote],
    spots: Sequence[Spot],
    neck: Instrument | None,
) -> list[ScoreNote]:
    """Blue thirds bent up a quarter tone, where a single string is stopped."""
    found = []
    for note, spot in zip(notes, spots, strict=True):
        third = spot.slot.plan.numeral.root.semitones
        above = (int(note.midi) - spot.slot.tonic.pitch_class) % 12
        blue = note.role == "blue" and spot.gritty and above in {3, (third + 3) % 12}
        double = neck is not None and any(string.strands > 1 for string in neck.strings)
        stopped = note.fret != 0 and not double
        if blue and stopped and spot.quarters >= _LEAST_PUSHED and spot.pinned is None:
            glide = Glide("bend", ((Fraction(0), 0.0), (note.beats / 2, _PUSH)))
            note = replace(note, glide=glide)
        found.append(note)
    return found
