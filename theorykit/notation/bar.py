"""A part as it is written: bars of notes and rests, each with the sign that writes it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import gcd, lcm

from theorykit.notation.value import (
    BINARY,
    QUARTER,
    VALUES,
    Ladder,
    add_up,
    ladder,
    split,
    to_ticks,
)
from theorykit.score.score import Score, ScoreBar, ScoreNote

#: A gap to the next note that is shorter than a sixteenth is not written.
_SHORTEST_GAP = QUARTER // 4

#: Ends that a player would write: on 32nds, or on twelfths of a quarter.
_WRITTEN_ENDS = (QUARTER // 8, QUARTER // 12)


#: What stands for a length that no sign has: fifths, sevenths and eighths mixed in one beat.
_FINEST = (256, 0)


@dataclass(frozen=True, slots=True)
class Tuplet:
    """So many in the time of so many."""

    count: int
    time_of: int


@dataclass(frozen=True, slots=True)
class Piece:
    """A sign: a note, a chord or a rest.

    Parameters
    ----------
    start, length : int
        Ticks from where a full bar would begin, and ticks that it lasts.
    value, dots : int
        The sign: 4 is a quarter.
    notes : tuple of int
        Places in the part; none for a rest.
    tied_from, tied_on : bool
        Whether it goes on from the piece before, and whether the next one goes on from it.
    tuplet : Tuplet, optional
    group : int
        Pieces of one tuplet have one number, counted from 1; 0 outside of tuplets.
    beam : int
        Pieces under one beam have one number, counted from 1; 0 for no beam.
    """

    start: int
    length: int
    value: int
    dots: int
    notes: tuple[int, ...] = ()
    tied_from: bool = False
    tied_on: bool = False
    tuplet: Tuplet | None = None
    group: int = 0
    beam: int = 0


@dataclass(frozen=True, slots=True)
class WrittenBar:
    """A bar as it is written.

    Parameters
    ----------
    start, beats : Fraction
        In beats of the score.
    number : int
        As bars are counted: 1 for the first full one, 0 for a pick-up.
    pieces : tuple of Piece
        Empty for a bar of rest.
    offset : int
        Ticks that a pick-up leaves out of a full bar.
    chorus : int
    section : str
    """

    start: Fraction
    beats: Fraction
    number: int
    pieces: tuple[Piece, ...]
    offset: int = 0
    chorus: int = 1
    section: str = ""

    @property
    def end(self) -> Fraction:
        """The beat at which the next bar starts."""
        return self.start + self.beats


def written_bars(score: Score, notes: Sequence[ScoreNote]) -> tuple[WrittenBar, ...]:
    """The bars of a part.

    Where notes overlap, the later one ends the earlier; notes that start together are a chord.

    Parameters
    ----------
    score : Score
    notes : sequence of ScoreNote
        The part's.

    Examples
    --------
    >>> from theorykit.score.score import Part
    >>> note = ScoreNote(Fraction(3), Fraction(2), 69)
    >>> score = Score((Part("line", (note,), "guitar"),))
    >>> for bar in written_bars(score, (note,)):
    ...     print([(piece.value, piece.notes, piece.tied_on) for piece in bar.pieces])
    [(2, (), False), (4, (), False), (4, (0,), True)]
    [(4, (0,), False), (4, (), False), (2, (), False)]
    """
    rungs = ladder(score.meter)
    quarters = score.signature.beat_quarters
    frames = _frames(score, notes)
    events = _events(notes, quarters)
    found = []
    for number, frame in frames:
        start, end = (
            to_ticks(frame.start * quarters),
            to_ticks((frame.start + frame.beats) * quarters),
        )
        # A pick-up is counted as the end of a full bar.
        offset = rungs.bar - (end - start) if number == 0 else 0
        spans = _spans(events, start, end, offset)
        pieces = (
            _beamed(_pieces(spans, offset, offset + end - start, rungs), rungs) if spans else ()
        )
        found.append(
            WrittenBar(
                frame.start, frame.beats, number, tuple(pieces), offset, frame.chorus, frame.section
            )
        )
    return tuple(found)


def _frames(score: Score, notes: Sequence[ScoreNote]) -> list[tuple[int, ScoreBar]]:
    """The bars with their numbers: a pick-up, the score's own, and what notes need beyond."""
    beats = Fraction(score.signature.beats)
    frames: list[tuple[int, ScoreBar]] = []
    before = max([score.pickup, *(-note.start for note in notes)], default=Fraction(0))
    if before > 0:
        # A pick-up of more than a bar has full bars after its first one.
        full, part = divmod(before, beats)
        if part:
            frames.append((0, ScoreBar(-before, part)))
        frames += [(0, ScoreBar(-beats * (full - at), beats)) for at in range(int(full))]
    own = sorted((bar for bar in score.bars if bar.start >= 0), key=lambda bar: bar.start)
    end = max((bar.start + bar.beats for bar in own), default=Fraction(0))
    last = max((note.start + note.beats for note in notes), default=Fraction(0))
    while end < last or not (own or frames):
        own.append(ScoreBar(end, beats))
        end += beats
    return [*frames, *enumerate(own, start=1)]


@dataclass(frozen=True, slots=True)
class _Event:
    start: int
    end: int
    notes: tuple[int, ...]


def _events(notes: Sequence[ScoreNote], quarters: Fraction) -> list[_Event]:
    """Chords and notes one after the other, with ends that can be written."""
    starts: dict[int, list[int]] = {}
    for index, note in enumerate(notes):
        starts.setdefault(to_ticks(note.start * quarters), []).append(index)
    found = []
    order = sorted(starts)
    for start, following in zip(order, [*order[1:], None], strict=True):
        longest = max(notes[index].start + notes[index].beats for index in starts[start])
        end = _written_end(start, to_ticks(longest * quarters), following)
        found.append(_Event(start, end, tuple(starts[start])))
    return found


def _written_end(start: int, end: int, following: int | None) -> int:
    if not any(end % grid == 0 for grid in _WRITTEN_ENDS):
        # Played short: what is written is the nearest eighth, or else sixteenth or 32nd.
        for grid in (QUARTER // 2, QUARTER // 4, QUARTER // 8):
            nearest = round(end / grid) * grid
            if nearest > start:
                end = nearest
                break
    end = max(end, start + BINARY)
    if following is not None and (end > following or following - end < _SHORTEST_GAP):
        return following
    return end


@dataclass(frozen=True, slots=True)
class _Span:
    """Part of an event, or of a rest, that lies in a bar."""

    start: int
    end: int
    notes: tuple[int, ...]
    tied_from: bool = False
    tied_on: bool = False


def _spans(events: Iterable[_Event], start: int, end: int, offset: int) -> list[_Span]:
    """What a bar holds, without gaps; nothing for a bar of rest."""
    found: list[_Span] = []
    at = start
    shift = offset - start
    for event in events:
        if event.end <= start or event.start >= end:
            continue
        first, last = max(event.start, start), min(event.end, end)
        if first > at:
            found.append(_Span(at + shift, first + shift, ()))
        found.append(
            _Span(first + shift, last + shift, event.notes, event.start < start, event.end > end)
        )
        at = last
    if found and at < end:
        found.append(_Span(at + shift, end + shift, ()))
    return found


def _pieces(spans: list[_Span], first: int, last: int, rungs: Ladder) -> list[Piece]:
    windows = _windows(spans, first, last, rungs)
    edges = sorted({edge for window in windows for edge in window[:2]})
    pieces: list[Piece] = []
    for span in spans:
        cuts = [span.start, *(edge for edge in edges if span.start < edge < span.end), span.end]
        parts: list[tuple[int, int, int]] = []
        for start, end in pairwise(cuts):
            group = next(
                (at for at, window in enumerate(windows, 1) if window[0] <= start < window[1]), 0
            )
            if group:
                parts += [(*part, group) for part in _tuplet_parts(start, end, windows[group - 1])]
            else:
                parts += [(*part, 0) for part in split(start, end, rungs, rest=not span.notes)]
        for place, (start, end, group) in enumerate(parts):
            tuplet = windows[group - 1][2] if group else None
            sign = end - start
            if tuplet is not None:
                sign = sign * tuplet.count // tuplet.time_of
            value, dots = VALUES.get(sign, _FINEST)
            pieces.append(
                Piece(
                    start,
                    end - start,
                    value,
                    dots,
                    span.notes,
                    bool(span.notes) and (place > 0 or span.tied_from),
                    bool(span.notes) and (place < len(parts) - 1 or span.tied_on),
                    tuplet,
                    group,
                )
            )
    return pieces


_Window = tuple[int, int, Tuplet]


def _windows(spans: list[_Span], first: int, last: int, rungs: Ladder) -> list[_Window]:
    """The stretches of a bar that are written as tuplets."""
    edges = {span.start for span in spans} | {span.end for span in spans}
    found: list[_Window] = []
    at = first
    while at < last:
        wide = _wide_triplet(at, last, edges, rungs)
        if wide is not None:
            found.append(wide)
            at = wide[1]
            continue
        beyond = at + rungs.beat - at % rungs.beat
        if _odd(edges, at, beyond):
            found += _narrowed(at, beyond, edges, rungs)
        at = beyond
    return found


def _odd(edges: set[int], first: int, last: int) -> list[int]:
    """The places within a stretch that need a tuplet."""
    return [at for at in edges if first < at < last and at % BINARY]


def _wide_triplet(at: int, last: int, edges: set[int], rungs: Ladder) -> _Window | None:
    """Three quarters in the time of two beats, or three halves in the time of four."""
    if rungs.compound or at % rungs.beat or (at and at not in edges):
        return None
    for beats in (4, 2):
        end = at + beats * rungs.beat
        inside = {edge for edge in edges if at < edge < end}
        thirds = {at + (end - at) // 3, at + 2 * (end - at) // 3}
        if end <= last and end in edges and inside and inside <= thirds and _odd(edges, at, end):
            return (at, end, Tuplet(3, 2))
    return None


def _narrowed(start: int, end: int, edges: set[int], rungs: Ladder) -> list[_Window]:
    """A beat as one tuplet, or as a tuplet of one of its parts beside what is even."""
    parts = 3 if rungs.compound else 2
    part = (end - start) // parts
    cuts = [start + part * number for number in range(parts + 1)]
    odd = [cut for cut in pairwise(cuts) if _odd(edges, *cut)]
    apart = all(cut in edges for cut in cuts[1:-1])
    if part % BINARY == 0 and apart and (rungs.compound or len(odd) == 1):
        return [(*cut, _tuplet(*cut, edges, compound=False)) for cut in odd]
    return [(start, end, _tuplet(start, end, edges, compound=rungs.compound))]


def _tuplet(start: int, end: int, edges: set[int], *, compound: bool) -> Tuplet:
    whole = end - start
    inside = [at - start for at in edges if start < at < end]
    count = lcm(*(whole // gcd(whole, at) for at in inside))
    if count in (6, 12) and len(inside) < count - 1 and not compound:
        # Three in the time of two, some of them divided.
        count = 3
    base = 3 if compound else 1
    while base * 2 <= count:
        base *= 2
    return Tuplet(count, base)


def _tuplet_parts(start: int, end: int, window: _Window) -> list[tuple[int, int]]:
    tuplet = window[2]
    found = []
    for sign in add_up((end - start) * tuplet.count // tuplet.time_of):
        length = sign * tuplet.time_of // tuplet.count
        found.append((start, start + length))
        start += length
    return found


def _beamed(pieces: list[Piece], rungs: Ladder) -> list[Piece]:
    """The pieces with their beams: by the beat, or wider where a row of eighths reads better."""
    units = [_beam_unit(piece, rungs) for piece in pieces]
    for first, last in _eighth_rows(rungs):
        row = [place for place, piece in enumerate(pieces) if first <= piece.start < last]
        if len(row) * QUARTER // 2 == last - first and all(
            pieces[place].value == 8 and pieces[place].notes and not pieces[place].group
            for place in row
        ):
            for place in row:
                units[place] = (-1, first)
    found: list[Piece] = []
    beam, before = 0, None
    for place, piece in enumerate(pieces):
        flagged = piece.value >= 8 and bool(piece.notes)
        joins = flagged and before == units[place]
        follows = (
            place + 1 < len(pieces)
            and units[place + 1] == units[place]
            and pieces[place + 1].value >= 8
            and bool(pieces[place + 1].notes)
        )
        if flagged and not joins and follows:
            beam += 1
        found.append(_with_beam(piece, beam if flagged and (joins or follows) else 0))
        before = units[place] if flagged else None
    return found


def _with_beam(piece: Piece, beam: int) -> Piece:
    return Piece(
        piece.start,
        piece.length,
        piece.value,
        piece.dots,
        piece.notes,
        piece.tied_from,
        piece.tied_on,
        piece.tuplet,
        piece.group,
        beam,
    )


def _beam_unit(piece: Piece, rungs: Ladder) -> tuple[int, int]:
    if rungs.beat < QUARTER:
        return (piece.group, sum(at <= piece.start for at in rungs.edges[0]))
    # Cut time counts halves, which are beamed as the quarters in them.
    return (
        piece.group,
        piece.start // min(rungs.beat, QUARTER if not rungs.compound else rungs.beat),
    )


def _eighth_rows(rungs: Ladder) -> list[tuple[int, int]]:
    """Stretches that are beamed as one when they hold eighths alone: half bars, short bars."""
    if rungs.compound or rungs.beat < QUARTER:
        return []
    if rungs.edges[0]:
        cuts = [0, *rungs.edges[0], rungs.bar]
    elif rungs.beat > QUARTER:
        cuts = [0, *rungs.edges[1], rungs.bar]
    else:
        cuts = [0, rungs.bar]
    return list(pairwise(cuts))
