"""Repeats: what is played twice the same is written once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from theorykit.notation.bar import Piece, WrittenBar
from theorykit.score.score import PlacedChord, ScoreNote

#: The fewest bars between repeat signs, and the most in a first ending (common practice).
_SHORTEST, _LONGEST_ENDING = 4, 2


@dataclass(frozen=True, slots=True)
class FoldedBar:
    """A bar with its repeat signs.

    Parameters
    ----------
    bar : WrittenBar
    opens, closes : bool
        A repeat begins before it, or ends after it.
    ending : int
        1 or 2 in a first or second ending, else 0.
    again : tuple of WrittenBar
        The same bar as it comes round again.
    """

    bar: WrittenBar
    opens: bool = False
    closes: bool = False
    ending: int = 0
    again: tuple[WrittenBar, ...] = ()


def folded(
    bars: Sequence[WrittenBar], notes: Sequence[ScoreNote], chords: Sequence[PlacedChord]
) -> tuple[FoldedBar, ...]:
    """The bars with each chorus or section that comes twice in a row between repeat signs.

    Where two passes differ in their last bar or two, those become first and second endings.
    Three equal passes and more are written out in pairs.
    """
    looks = [_look(bar, notes, chords) for bar in bars]
    starts = [
        place
        for place, bar in enumerate(bars)
        if bar.number and (bar.number == 1 or bar.section or bar.chorus != bars[place - 1].chorus)
    ]
    found: list[FoldedBar] = []
    at = 0
    while at < len(bars):
        length = _pass(at, looks, starts) if at in starts else 0
        if not length:
            found.append(FoldedBar(bars[at]))
            at += 1
            continue
        first, second = looks[at : at + length], looks[at + length : at + 2 * length]
        same = next((place for place in range(length) if first[place] != second[place]), length)
        for place in range(length):
            bar, again = bars[at + place], bars[at + length + place]
            ends = place >= same
            found.append(
                FoldedBar(
                    bar,
                    place == 0,
                    place == length - 1,
                    1 if ends else 0,
                    () if ends else (again,),
                )
            )
        found += [FoldedBar(bars[at + length + place], ending=2) for place in range(same, length)]
        at += 2 * length
    return tuple(found)


def _pass(at: int, looks: Sequence[object], starts: Sequence[int]) -> int:
    """The length of the longest stretch from a bar on that is followed by itself, or 0."""
    for start in reversed(starts):
        length = start - at
        if length < _SHORTEST or start + length > len(looks):
            continue
        first, second = looks[at:start], looks[start : start + length]
        if all(one == other for one, other in zip(first[:-_LONGEST_ENDING], second, strict=False)):
            return length
    return 0


def _look(
    bar: WrittenBar, notes: Sequence[ScoreNote], chords: Sequence[PlacedChord]
) -> tuple[object, ...]:
    """What a bar looks like, wherever it stands."""
    signs = tuple(_sign(piece, notes) for piece in bar.pieces)
    symbols = tuple(
        (placed.start - bar.start, placed.chord, placed.numeral)
        for placed in chords
        if bar.start <= placed.start < bar.end
    )
    return (bar.beats, bar.chorus == 0, signs, symbols)


def _sign(piece: Piece, notes: Sequence[ScoreNote]) -> tuple[object, ...]:
    heads = tuple(_head(notes[index]) for index in piece.notes)
    return (piece.start, piece.length, piece.tied_from, piece.tied_on, heads)


def _head(note: ScoreNote) -> tuple[object, ...]:
    shown: tuple[object, ...] = (note.pitch, note.midi, note.string, note.fret, note.finger)
    return (*shown, note.degree, note.role, note.articulation, note.glide, note.beats)
