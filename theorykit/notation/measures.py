"""A part cut into bars, voices and written signs: what every writer of notation starts from."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.errors import BadInput
from theorykit.notation.note_value import grid_units, is_dyadic, single_value, values
from theorykit.score.score import Part, PlacedChord, Score, ScoreBar, ScoreNote
from theorykit.score.signature import Signature, signature_changes
from theorykit.theory.meter import Meter, read_meter

#: Voices that may sound together in a part.
MOST_VOICES = 8


@dataclass(frozen=True, slots=True)
class Tuplet:
    """``actual`` notes in the time of ``normal`` ones."""

    actual: int
    normal: int


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
class _Piece:
    """A note or rest within a bar, not yet split into signs."""

    offset: Fraction
    quarters: Fraction
    notes: tuple[ScoreNote, ...] = ()
    tied_from: bool = False
    tied_to: bool = False

    @property
    def end(self) -> Fraction:
        return self.offset + self.quarters


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
    lanes = _lanes(written)
    bars = _bars(score, written)
    signatures = signature_changes(score)
    chords = sorted(score.chords, key=lambda placed: placed.start)
    found: list[Measure] = []
    meter_name, told_signature, told_section = "", None, ""
    for bar in bars:
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
        cuts = [at for at, _ in here if at > 0] if cut_at_chords else []
        length = bar.beats * quarter
        voices = [_signs(_pieces(lane, bar, quarter, cuts), length, meter) for lane in lanes]
        sounding = [voice for voice in voices if any(sign.notes for sign in voice)]
        found.append(
            Measure(
                bar.start,
                length,
                length == meter.beats * meter.beat_quarters,
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


def _lanes(
    notes: Sequence[ScoreNote],
) -> list[list[tuple[Fraction, Fraction, tuple[ScoreNote, ...]]]]:
    """Chords, notes that start and end together, in as few voices as keep them apart."""
    groups: dict[tuple[Fraction, Fraction], list[ScoreNote]] = {}
    for note in notes:
        groups.setdefault((note.start, note.beats), []).append(note)
    lanes: list[list[tuple[Fraction, Fraction, tuple[ScoreNote, ...]]]] = [[]]
    # Of those that start together the higher has the first voice.
    order = sorted(groups, key=lambda place: (place[0], -max(n.midi for n in groups[place])))
    for start, beats in order:
        chord = tuple(sorted(groups[start, beats], key=lambda note: note.midi))
        for lane in lanes:
            if not lane or lane[-1][1] <= start:
                break
        else:
            lane = []
            lanes.append(lane)
        if len(lanes) > MOST_VOICES:
            raise BadInput("part", f"at beat {start}", f"more than {MOST_VOICES} voices at once")
        lane.append((start, start + beats, chord))
    return lanes


def _pieces(
    lane: list[tuple[Fraction, Fraction, tuple[ScoreNote, ...]]],
    bar: ScoreBar,
    quarter: Fraction,
    cuts: Sequence[Fraction],
) -> list[_Piece]:
    """What a voice has in a bar, rests included, split at the cuts."""
    length = bar.beats * quarter
    pieces: list[_Piece] = []
    at = Fraction(0)
    for start, end, notes in lane:
        if end <= bar.start or start >= bar.start + bar.beats:
            continue
        first = max(Fraction(0), (start - bar.start) * quarter)
        last = min(length, (end - bar.start) * quarter)
        if first > at:
            pieces.append(_Piece(at, first - at))
        pieces.append(
            _Piece(first, last - first, notes, start < bar.start, end > bar.start + bar.beats)
        )
        at = last
    if at < length:
        pieces.append(_Piece(at, length - at))
    for cut in cuts:
        pieces = [part for piece in pieces for part in _cut(piece, cut)]
    return pieces


def _cut(piece: _Piece, at: Fraction) -> list[_Piece]:
    if not piece.offset < at < piece.end:
        return [piece]
    sounds = bool(piece.notes)
    return [
        replace(piece, quarters=at - piece.offset, tied_to=sounds),
        replace(piece, offset=at, quarters=piece.end - at, tied_from=sounds),
    ]


def _signs(pieces: Sequence[_Piece], length: Fraction, meter: Meter) -> tuple[Sign, ...]:
    units = grid_units(meter)
    # A pick-up's places count back from the bar line.
    lead = meter.beats * meter.beat_quarters - length
    lead = lead if lead > 0 else Fraction(0)
    found: list[Sign] = []
    index = 0
    while index < len(pieces):
        stop = index + 1
        while not is_dyadic(pieces[stop - 1].end) and stop < len(pieces):
            stop += 1
        run = pieces[index:stop]
        if len(run) == 1 and is_dyadic(run[0].quarters):
            found += _split(run[0], Fraction(1), lead, units)
        else:
            found += _tuplet(run)
        index = stop
    return tuple(found)


def _tuplet(run: Sequence[_Piece]) -> list[Sign]:
    """A run of pieces that together last a plain length, but each of which need not."""
    lower = math.lcm(*(piece.quarters.denominator for piece in run))
    actual = lower // (lower & -lower)
    normal = 1 << (actual.bit_length() - 1)
    start = run[0].offset
    units = grid_units(read_meter("4/4"))[1:]
    signs: list[Sign] = []
    for piece in run:
        moved = replace(piece, offset=piece.offset - start)
        signs += _split(moved, Fraction(actual, normal), Fraction(0), units)
    signs = [
        replace(sign, offset=sign.offset + start, tuplet=Tuplet(actual, normal)) for sign in signs
    ]
    signs[0] = replace(signs[0], opens=True)
    signs[-1] = replace(signs[-1], closes=True)
    return signs


def _split(
    piece: _Piece, stretch: Fraction, lead: Fraction, units: tuple[Fraction, ...]
) -> list[Sign]:
    """The signs of a piece whose written length is ``stretch`` times what it lasts."""
    at, lengths = piece.offset, [piece.quarters * stretch]
    inside = stretch != 1
    if not inside or single_value(lengths[0]) is None:
        start = (piece.offset + lead) * stretch
        lengths = list(values(start, lengths[0], units, rest=not piece.notes))
    signs: list[Sign] = []
    for index, length in enumerate(lengths):
        value = single_value(length)
        if value is None:
            raise BadInput("note", length, "too short to be written")
        sounds, last = bool(piece.notes), len(lengths) - 1
        signs.append(
            Sign(
                at,
                length / stretch,
                *value,
                piece.notes,
                sounds and (piece.tied_from or index > 0),
                sounds and (piece.tied_to or index < last),
            )
        )
        at += length / stretch
    return signs
