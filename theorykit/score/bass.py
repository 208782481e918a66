"""Bass lines: root and fifth, or a walk, that lead into the next chord.

A line is the cheapest path through the strokes of a chorus: steps cost less than leaps, members of
the chord less than other notes on its strong beats, and a note a step away from the next root least
of all before it (common practice; the weights are stipulated). All weights are whole numbers: the
browser finds the same path.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.score.feel import Stroke
from theorykit.score.harmony import Span

#: From E2, the lowest note of a guitar, below which small speakers have little, to A3.
LOWEST, HIGHEST = 40, 57

#: What a move of so many half steps costs within a walk, and onto the root of a new chord.
_MOVES = {0: 9, 1: 1, 2: 0, 3: 2, 4: 2, 5: 3, 7: 4, 12: 6}
_ARRIVALS = {0: 9, 1: 0, 2: 0, 3: 5, 4: 5, 5: 3, 7: 3}
_FAR = 8
_TURN = 2
_HIGH_ROOT = 1

_ROOT_AGAIN, _WEAK_MEMBER, _STRONG_PASSING, _FOREIGN, _APPROACH, _BARRED = 3, 1, 5, 12, 3, 30


@dataclass(frozen=True, slots=True)
class BassStroke:
    """A stroke that sounds: when and for how long, how loud, and what may sound there."""

    start: Fraction
    beats: Fraction
    level: float
    what: str
    span: Span
    #: Place among the strokes of its chord, 0 for the first.
    index: int
    #: True for the last stroke before another chord.
    last: bool


def bass_strokes(
    spans: Sequence[Span], strokes: Sequence[tuple[Fraction, Stroke]], bar_beats: Fraction
) -> list[BassStroke]:
    """The strokes that sound over a chorus: each chord has one at its start, leads only lead.

    Parameters
    ----------
    spans : sequence of Span
        The chords of the chorus; the first follows the last.
    strokes : sequence of (Fraction, Stroke)
        Every stroke of the feel with its beat.
    bar_beats : Fraction
    """
    found: list[BassStroke] = []
    for span, following in zip(spans, [*spans[1:], *spans[:1]], strict=True):
        if span.silent:
            continue
        inside = [(at, stroke) for at, stroke in strokes if span.start <= at < span.end]
        changes = not following.silent and following.bass != span.bass
        inside = _with_leads(span, inside, bar_beats) if changes else _without_leads(inside)
        if not inside or inside[0][0] != span.start:
            until = inside[0][0] if inside else span.end
            opening = Stroke(span.start, min(until - span.start, Fraction(1)), "root", 1.0)
            inside.insert(0, (span.start, opening))
        ends = [*(at for at, _ in inside[1:]), span.end]
        for index, ((at, stroke), end) in enumerate(zip(inside, ends, strict=True)):
            last = changes and index == len(inside) - 1
            beats = min(stroke.beats, end - at)
            found.append(BassStroke(at, beats, stroke.level, stroke.what, span, index, last))
    return found


def _without_leads(inside: list[tuple[Fraction, Stroke]]) -> list[tuple[Fraction, Stroke]]:
    return [(at, stroke) for at, stroke in inside if stroke.what != "lead"]


def _with_leads(
    span: Span, inside: list[tuple[Fraction, Stroke]], bar_beats: Fraction
) -> list[tuple[Fraction, Stroke]]:
    """A chord of two bars or more ends in all leads of its last bar, one of a bar in the last."""
    leads = [
        at
        for at, stroke in inside
        if stroke.what == "lead" and at > span.start and at >= span.end - bar_beats
    ]
    if span.beats < 2 * bar_beats:
        leads = leads[-1:] if span.beats >= bar_beats else []
    if not leads:
        return _without_leads(inside)
    return [
        (at, stroke)
        for at, stroke in inside
        if (at in leads if stroke.what == "lead" else at < leads[0])
    ]


def bass_line(strokes: Iterable[BassStroke], *, thirds: bool = True) -> list[int]:
    """The pitch of each stroke, as MIDI key numbers.

    Examples
    --------
    G for two bars leads up to C:

    >>> from theorykit.score.feel import find_feel
    >>> from theorykit.score.harmony import chord_span
    >>> from theorykit.theory.chord import Chord
    >>> from theorykit.theory.key import Key
    >>> pattern = find_feel("bluegrass").patterns["4/4"].bass
    >>> spans = [
    ...     chord_span(Fraction(0), Fraction(8), Chord.parse("G"), Key.parse("G")),
    ...     chord_span(Fraction(8), Fraction(4), Chord.parse("C"), Key.parse("G")),
    ... ]
    >>> placed = [(4 * bar + stroke.at, stroke) for bar in range(3) for stroke in pattern]
    >>> bass_line(bass_strokes(spans, placed, Fraction(4)))
    [43, 50, 43, 45, 47, 48, 43, 42]
    """
    path: list[dict[tuple[int, int], tuple[int, tuple[int, int] | None]]] = []
    before: BassStroke | None = None
    for stroke in strokes:
        states: dict[tuple[int, int], tuple[int, tuple[int, int] | None]] = {}
        reached = sorted(path[-1].items()) if path else []
        for midi in _candidates(stroke, before):
            cost = _cost(stroke, midi, thirds=thirds)
            if not reached:
                states[midi, 0] = (cost, None)
            for (at, heading), (so_far, _) in reached:
                if stroke.what == "same":
                    if midi != at:
                        continue
                    move, turn = 0, heading
                else:
                    move, turn = _move(before, stroke, at, midi, heading)
                known = states.get((midi, turn))
                total = so_far + cost + move
                if known is None or total < known[0]:
                    states[midi, turn] = (total, (at, heading))
        path.append(states)
        before = stroke
    if not path:
        return []
    end: tuple[int, int] | None = min(path[-1], key=lambda state: (path[-1][state][0], state))
    line: list[int] = []
    for states in reversed(path):
        assert end is not None
        line.append(end[0])
        end = states[end][1]
    return line[::-1]


def lowest_key(pitch_class: int) -> int:
    """The lowest key of the bass that sounds a pitch class."""
    return LOWEST + (pitch_class - LOWEST) % 12


def _fifth_key(span: Span) -> int:
    """The fifth under the root where the bass has it, else over it; the root without one."""
    root = lowest_key(span.bass)
    fifth = span.root if span.fifth == span.bass else span.fifth
    if fifth is None:
        return root
    below = root - (root - fifth) % 12
    return below if below >= LOWEST else below + 12


def _candidates(stroke: BassStroke, before: BassStroke | None) -> Sequence[int]:
    root = lowest_key(stroke.span.bass)
    if stroke.what == "same" and before is not None and stroke.index:
        return range(LOWEST, HIGHEST + 1)
    if stroke.index == 0:
        walks = stroke.what == "walk" and root + 12 <= HIGHEST
        return (root, root + 12) if walks else (root,)
    if stroke.what == "fifth" or (stroke.what == "alt" and stroke.index % 2):
        return (_fifth_key(stroke.span),)
    if stroke.what in {"walk", "lead"}:
        return range(LOWEST, HIGHEST + 1)
    return (root,)


def _cost(stroke: BassStroke, midi: int, *, thirds: bool) -> int:
    """What a pitch costs by itself."""
    span = stroke.span
    if stroke.index == 0:
        return 0 if midi == lowest_key(span.bass) else _HIGH_ROOT
    if stroke.what not in {"walk", "lead"}:
        return 0
    sound = midi % 12
    above = (sound - span.root) % 12
    if not thirds and above in {3, 4}:
        return _BARRED
    strong = stroke.what == "walk" and stroke.start.denominator == 1 and stroke.index % 2 == 0
    if sound == span.bass:
        return _ROOT_AGAIN if stroke.last or stroke.index % 4 else 0
    if sound in span.classes:
        return 0 if strong else _WEAK_MEMBER
    if sound in span.scale:
        return _STRONG_PASSING if strong else 0
    return _APPROACH if stroke.last else _FOREIGN


def _move(
    before: BassStroke | None, stroke: BassStroke, at: int, midi: int, heading: int
) -> tuple[int, int]:
    """What it costs to go from one pitch to the next, and the way that one heads then."""
    assert before is not None
    turn = (midi > at) - (midi < at) or heading
    free = {"walk", "lead"}
    if before.what not in free and stroke.what not in free and before.what != "same":
        return 0, turn
    if before.last and stroke.index == 0:
        return _ARRIVALS.get(abs(midi - at), _FAR), turn
    return _MOVES.get(abs(midi - at), _FAR) + (_TURN if heading * turn < 0 else 0), turn


def moved(strokes: Iterable[BassStroke], beats: Fraction) -> list[BassStroke]:
    """The same strokes ``beats`` later."""
    return [replace(stroke, start=stroke.start + beats) for stroke in strokes]
