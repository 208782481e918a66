"""A tune as it is given: its melody as one voice, and the chords under it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from theorykit.analysis.style import Style
from theorykit.errors import BadInput
from theorykit.practice.line_chart import LineChart, line_chart
from theorykit.score.score import Score, ScoreNote
from theorykit.theory.chart import ChartChord
from theorykit.theory.chord import ChordType
from theorykit.theory.degree import Degree
from theorykit.theory.key import Key
from theorykit.theory.numeral import Numeral
from theorykit.theory.progression import Mark, Progression


def melody_of(notes: Sequence[ScoreNote]) -> list[ScoreNote]:
    """The highest of the notes that begin together, none of them longer than to the next."""
    by_start: dict[Fraction, ScoreNote] = {}
    for note in notes:
        known = by_start.get(note.start)
        if known is None or note.midi > known.midi:
            by_start[note.start] = note
    found = [by_start[start] for start in sorted(by_start)]
    return [
        replace(note, beats=min(note.beats, after.start - note.start))
        for note, after in pairwise(found)
    ] + found[-1:]


def tune_chart(score: Score, progression: Progression | None, home: Key, style: Style) -> LineChart:
    """The chords under the tune, as many choruses of them as it takes."""
    if progression is None:
        return line_chart(chords_of(score, home), home, style)
    length = len(progression.unfolded().bars) * progression.beats_per_bar
    notes = score.part("line").notes
    end = max(note.start + note.beats for note in notes)
    return line_chart(progression, home, style, choruses=max(1, math.ceil(end / length)))


def chords_of(score: Score, home: Key) -> Progression:
    """The chords of a score as a chart."""
    if not any(placed.chord for placed in score.chords):
        raise BadInput(
            "tune", score.title, "has no chords", accepted="a progression for it, or a form's name"
        )
    beats = Fraction(score.signature.beats)
    notes = score.part("line").notes
    count = max(len(score.bars), math.ceil(max(n.start + n.beats for n in notes) / beats))
    heard = next(
        Numeral.from_chord(placed.chord, home.tonic) for placed in score.chords if placed.chord
    )
    bars: list[tuple[ChartChord, ...]] = []
    for bar in range(count):
        at, end = bar * beats, (bar + 1) * beats
        inside: list[ChartChord] = []
        while at < end:
            sounding = [c for c in score.chords if c.start <= at < c.start + c.beats]
            later = [c.start for c in score.chords if at < c.start < end]
            until = min([end, *later, *(c.start + c.beats for c in sounding)])
            chord = sounding[-1].chord if sounding else None
            if chord is not None:
                written = sounding[-1].numeral
                heard = written or Numeral.from_chord(chord, home.tonic)
            inside.append(ChartChord(heard, until - at, chord is None))
            at = until
        bars.append(tuple(inside))
    marks = tuple(
        Mark(int(at // beats), "key", str(Numeral(degree, ChordType())))
        for at, key in score.keys
        if (degree := Degree.between(home.tonic, key.tonic)) != Degree(1) or at > 0
    )
    return Progression(tuple(bars), score.meter, score.title, (), marks, home)
