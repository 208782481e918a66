"""A part cut into bars, voices and written signs: what every writer of notation starts from."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from theorykit.errors import BadInput
from theorykit.notation.rhythm import Piece, strokes
from theorykit.notation.stroke import Tuplet
from theorykit.score.score import Part, PlacedChord, Score, ScoreBar, ScoreNote
from theorykit.score.signature import Signature, signature_changes
from theorykit.theory.meter import Meter, read_meter

#: Voices that may sound together in a part.
MOST_VOICES = 8


@dataclass(frozen=True, slots=True)
class Sign:
    """A written note, chord or rest.

    Parameters
    ----------
    offset, quarters : Fraction
        Where in the bar, and how long it lasts, in quarters.
    base, dots : Fraction, int
        What is written: the undotted value in quarters, and its dots.
    notes : tuple of ScoreNote
        From the lowest up; empty for a rest.
    tied_from, tied_to : bool
        Whether it continues the sign before, and goes on in the one behind.
    tuplet : Tuplet, optional
    opens, closes : bool
        Whether it is the first and the last of its tuplet.
    beams : tuple of str
        What each line of the beam does at it, the outermost first.
    """

    offset: Fraction
    quarters: Fraction
    base: Fraction
    dots: int
    notes: tuple[ScoreNote, ...]
    tied_from: bool = False
    tied_to: bool = False
    tuplet: Tuplet | None = None
    opens: bool = False
    closes: bool = False
    beams: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Measure:
    """A bar as it is written.

    Parameters
    ----------
    start : Fraction
        Its beat in the score.
    quarters : Fraction
        How long it is.
    full : bool
        False where it is shorter than its meter says.
    meter, signature : optional
        Where they change, the first bar included.
    section : str
        Where it begins.
    chords : tuple of (Fraction, PlacedChord)
        Those that begin in the bar, with their offset in quarters.
    voices : tuple of tuple of Sign
        Each fills the bar; the first one is always there.
    """

    start: Fraction
    quarters: Fraction
    full: bool
    meter: Meter | None
    signature: Signature | None
    section: str
    chords: tuple[tuple[Fraction, PlacedChord], ...]
    voices: tuple[tuple[Sign, ...], ...]


@dataclass(frozen=True, slots=True)
class _Chord:
    """Notes that begin and end together, in ticks after beat 0."""

    start: int
    end: int
    notes: tuple[ScoreNote, ...]


def measures(
    score: Score, part: Part | str = "line", *, cut_at_chords: bool = False
) -> list[Measure]:
    """The bars of a part.

    Parameters
    ----------
    score : Score
    part : Part or str
    cut_at_chords : bool
        True to split a note in two where a chord comes in under it.

    Raises
    ------
    BadInput
        If there is no such part, or it has a rhythm that can't be written.

    Examples
    --------
    >>> tune = Score((Part("line", (ScoreNote(Fraction(3), Fraction(3), 69),), "guitar"),))
    >>> [[len(sign.notes) for sign in bar.voices[0]] for bar in measures(tune)]
    [[0, 1], [1, 0]]
    """
    if isinstance(part, str):
        part = score.part(part)
    quarter = score.signature.beat_quarters
    written = [note for note in part.notes if note.start >= -score.pickup]
    bars = _bars(score, written)
    ticks = _ticks(score, written, bars)
    per_beat = int(ticks * quarter)
    edges = [(_tick(bar.start, per_beat), _tick(bar.start + bar.beats, per_beat)) for bar in bars]
    lanes = [_by_bar(lane, edges) for lane in _lanes(written, per_beat)]
    signatures = signature_changes(score)
    chords = sorted(score.chords, key=lambda placed: placed.start)
    found: list[Measure] = []
    meter_name, told_signature, told_section = "", None, ""
    for index, bar in enumerate(bars):
        end = bar.start + bar.beats
        name = bar.meter or score.meter
        meter = read_meter(name)
        held = [signature for beat, signature in signatures if beat <= max(bar.start, Fraction(0))]
        signature = held[-1] if held else signatures[0][1]
        here = tuple(
            ((placed.start - bar.start) * quarter, placed)
            for placed in chords
            if bar.start <= placed.start < end
        )
        cuts = [_tick(placed.start, per_beat) for at, placed in here if at] if cut_at_chords else []
        length = bar.beats * quarter
        # A pick-up's places count back from the bar line.
        full = meter.beats * meter.beat_quarters
        lead = full - length if bar.start < 0 and length < full else Fraction(0)
        voices = [_signs(lane[index], edges[index], cuts, ticks, meter, lead) for lane in lanes]
        sounding = [voice for voice in voices if any(sign.notes for sign in voice)]
        found.append(
            Measure(
                bar.start,
                length,
                length == full,
                meter if name != meter_name else None,
                signature if signature != told_signature else None,
                bar.section if bar.section != told_section else "",
                here,
                tuple(sounding or voices[:1]),
            )
        )
        meter_name, told_signature, told_section = name, signature, bar.section
    return found


def _bars(score: Score, notes: Sequence[ScoreNote]) -> list[ScoreBar]:
    """Bars from the pick-up to the last note, whether or not the score has them all."""
    bars = sorted(score.bars, key=lambda bar: bar.start)
    each = Fraction(score.signature.beats)
    at = bars[-1].start + bars[-1].beats if bars else Fraction(0)
    end = max((note.start + note.beats for note in notes), default=each if not bars else at)
    while at < end:
        bars.append(ScoreBar(at, each))
        at += each
    if score.pickup and bars[0].start == 0:
        bars.insert(0, ScoreBar(-score.pickup, score.pickup))
    return bars


def _ticks(score: Score, notes: Sequence[ScoreNote], bars: Sequence[ScoreBar]) -> int:
    """Ticks to a quarter that all places are whole numbers of."""
    quarter = score.signature.beat_quarters
    lowers = {note.start.denominator for note in notes}
    lowers |= {note.beats.denominator for note in notes}
    lowers |= {(bar.start + bar.beats).denominator for bar in bars} | {bars[0].start.denominator}
    lowers |= {placed.start.denominator for placed in score.chords}
    # A whole number of ticks to the beat is one to the quarter too, if it is to the beat's parts.
    return math.lcm(*lowers) * quarter.denominator * quarter.numerator


def _tick(beat: Fraction, per_beat: int) -> int:
    return beat.numerator * per_beat // beat.denominator


def _lanes(notes: Sequence[ScoreNote], per_beat: int) -> list[list[_Chord]]:
    """Chords, notes that start and end together, in as few voices as keep them apart."""
    groups: dict[tuple[int, int], list[ScoreNote]] = {}
    for note in notes:
        start = _tick(note.start, per_beat)
        groups.setdefault((start, start + _tick(note.beats, per_beat)), []).append(note)
    lanes: list[list[_Chord]] = [[]]
    # Of those that start together the higher has the first voice.
    order = sorted(groups, key=lambda place: (place[0], -max(n.midi for n in groups[place])))
    for start, end in order:
        chord = _Chord(start, end, tuple(sorted(groups[start, end], key=lambda each: each.midi)))
        for lane in lanes:
            if not lane or lane[-1].end <= start:
                break
        else:
            lane = []
            lanes.append(lane)
        if len(lanes) > MOST_VOICES:
            at = f"at beat {Fraction(start, per_beat)}"
            raise BadInput("part", at, f"more than {MOST_VOICES} voices at once")
        lane.append(chord)
    return lanes


def _by_bar(lane: Sequence[_Chord], edges: Sequence[tuple[int, int]]) -> list[list[_Chord]]:
    """What of a voice sounds in each bar."""
    found: list[list[_Chord]] = []
    first = 0
    for start, end in edges:
        while first < len(lane) and lane[first].end <= start:
            first += 1
        here: list[_Chord] = []
        for chord in lane[first:]:
            if chord.start >= end:
                break
            here.append(chord)
        found.append(here)
    return found


def _signs(
    chords: Sequence[_Chord],
    edge: tuple[int, int],
    cuts: Sequence[int],
    ticks: int,
    meter: Meter,
    lead: Fraction,
) -> tuple[Sign, ...]:
    """A voice's bar: its notes, and rests where it has none, split at the cuts."""
    start, end = edge
    places: list[tuple[int, int, _Chord | None]] = []
    at = start
    for chord in chords:
        first, last = max(start, chord.start), min(end, chord.end)
        if first > at:
            places.append((at, first, None))
        places.append((first, last, chord))
        at = last
    if at < end:
        places.append((at, end, None))
    for cut in cuts:
        places = [part for place in places for part in _cut(place, cut)]
    pieces: tuple[Piece, ...] = tuple(
        (first - start, last - start, chord is not None) for first, last, chord in places
    )
    found: list[Sign] = []
    for stroke in strokes(pieces, ticks, meter, lead):
        first, last, sounding = places[stroke.piece]
        found.append(
            Sign(
                stroke.offset,
                stroke.quarters,
                stroke.base,
                stroke.dots,
                () if sounding is None else sounding.notes,
                sounding is not None and (not stroke.first or first > sounding.start),
                sounding is not None and (not stroke.last or last < sounding.end),
                stroke.tuplet,
                stroke.opens,
                stroke.closes,
                stroke.beams,
            )
        )
    return tuple(found)


def _cut(place: tuple[int, int, _Chord | None], at: int) -> list[tuple[int, int, _Chord | None]]:
    first, last, chord = place
    return [(first, at, chord), (at, last, chord)] if first < at < last else [place]
