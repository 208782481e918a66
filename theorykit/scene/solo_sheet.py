"""A checked take as it is written: its notes where they were meant, over the chart."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.errors import BadInput
from theorykit.instruments.instrument import Instrument
from theorykit.notation.engrave import engrave
from theorykit.notation.place import placed_notes
from theorykit.review.review import Review
from theorykit.review.role import JudgedNote
from theorykit.score.score import Part, Score, ScoreNote
from theorykit.theory.meter import read_meter
from theorykit.theory.pitch import note_at_midi

#: Screen pixels of an engraving.
_WIDTH = 1100

#: A note is written up to the next one if it sounds for this share of the way, or stops less than
#: this many quarters before: how long a note is held is played more loosely than it is written.
_HELD_SHARE, _SHORT_REST = Fraction(11, 20), Fraction(3, 8)


@dataclass(frozen=True, slots=True)
class SoloSheet:
    """A take, written and engraved.

    Parameters
    ----------
    score : Score
    places : tuple of int
        For each note of the take the number of the written one; -1 where it has none.
    notes : tuple of (ScoreNote or None)
        The written note of each, with its string and fret where there is a neck.
    svg, words : str
        The picture, and what it says.
    ids : tuple of tuple of str
        Of what is drawn for each note of the take.
    problem : str
        Why there is no tablature, where there should be.
    """

    score: Score
    places: tuple[int, ...]
    notes: tuple[ScoreNote | None, ...]
    svg: str
    words: str
    ids: tuple[tuple[str, ...], ...]
    problem: str = ""


def written_take(review: Review) -> tuple[Score, tuple[int, ...]]:
    """A take as a score over its chart, and where each of its notes stands in that.

    Of two notes that were meant for one place the later one is written.

    Examples
    --------
    >>> from theorykit.practice.line import line_over
    >>> from theorykit.review.solo import check_solo
    >>> line = line_over("I-IV-V vamp", "G", level=1, instrument="mandolin", seed=3)
    >>> score, places = written_take(check_solo(line.score, "I-IV-V vamp", "G"))
    >>> len(score.part("line").notes) == len(line.notes), score.part("line").notes[0].role
    (True, 'chord tone')
    """
    chart = review.chart
    quarter = 1 / read_meter(chart.meter).beat_quarters
    starts = [judged.note.start for judged in review.notes]
    kept = sorted({start: at for at, start in enumerate(starts)}.values(), key=starts.__getitem__)
    notes = []
    for number, at in enumerate(kept):
        # The last note lasts up to the next bar line, if no other does.
        bar_end = (starts[at] // chart.bars[0].beats + 1) * chart.bars[0].beats
        following = starts[kept[number + 1]] if number + 1 < len(kept) else bar_end
        notes.append(_written(review.notes[at], following, quarter))
    numbers = {at: number for number, at in enumerate(kept)}
    first = min(note.start for note in notes)
    score = Score(
        (Part("line", tuple(notes), "guitar"),),
        chords=chart.chords,
        bars=chart.bars,
        meter=chart.meter,
        tempo=review.take.tempo,
        key=chart.key,
        keys=chart.keys,
        pickup=max(-first, Fraction(0)),
    )
    return score, tuple(numbers.get(at, -1) for at in range(len(starts)))


def _written(judged: JudgedNote, following: Fraction, quarter: Fraction) -> ScoreNote:
    note = judged.note
    beats, room = note.beats, following - note.start
    legato = beats >= room * _HELD_SHARE or room - beats < _SHORT_REST * quarter
    if legato and room <= 4 * quarter:
        beats = room
    else:
        # Up to an eighth of the pulse; a triplet's note up to the next beat.
        grid = quarter / 2 if (note.start / quarter * 2).denominator == 1 else quarter
        end = max(round(note.end / grid), int(note.start // grid) + 1) * grid
        beats = min(end - note.start, room)
    return replace(
        note.note,
        start=note.start,
        beats=beats,
        midi=note.midi,
        pitch=note_at_midi(judged.name, note.midi),
        shift=Fraction(0),
        sounding=None,
        glide=None,
        vibrato=None,
        voice="",
        degree=judged.degree,
        role=judged.role if judged.in_form else "",
    )


def solo_sheet(review: Review, instrument: Instrument) -> SoloSheet:
    """A take engraved: heads by role, and tablature where the neck has what is played."""
    score, places = written_take(review)
    written = score.part("line").notes
    problem = ""
    placed = written
    try:
        if instrument.frets_a_finger:
            placed = tuple(placed_notes(written, instrument, capo=0, tempo=score.tempo))
        drawn = engrave(score, instrument=instrument, width=_WIDTH, repeats=False)
    except BadInput as error:
        problem = f"No tablature for {instrument.name}: {error}"
        drawn = engrave(score, width=_WIDTH, repeats=False)
    return SoloSheet(
        score,
        places,
        tuple(placed[at] if at >= 0 else None for at in places),
        drawn.svg,
        drawn.words,
        tuple(drawn.note_ids[at] if at >= 0 else () for at in places),
        problem,
    )
