"""Which way the pick or the bow goes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from theorykit.notation.bar import WrittenBar
from theorykit.notation.value import QUARTER, Ladder
from theorykit.score.score import ScoreNote

Strokes = Literal["pick", "bow"]

#: Articulations that sound a note with no stroke of its own.
SLURRED = ("hammer-on", "pull-off")


def strokes_of(
    bars: Sequence[WrittenBar], notes: Sequence[ScoreNote], rungs: Ladder, kind: Strokes
) -> dict[int, str]:
    """``"down"`` or ``"up"`` for each struck note, by its place in the part.

    A pick goes down on what is strong: on the beat and, where a beat is divided further, on every
    second part of it; in triplets and in the meters of three eighths to a beat it goes down, up,
    down for each beat, as in jigs. A bow goes to and fro, so that the first bar begins with a
    down-bow and a pick-up with what leads there; after a rest it begins anew.
    (Common practice of method books.)
    """
    if kind == "bow":
        return _bowed(bars, notes)
    found: dict[int, str] = {}
    for bar in bars:
        beat = rungs.beat if rungs.compound else QUARTER
        finest: dict[int, int] = {}
        for piece in bar.pieces:
            key = piece.start // beat
            finest[key] = min(finest.get(key, beat), piece.length)
        for piece in bar.pieces:
            if not piece.notes or piece.tied_from or _slurred(notes, piece.notes):
                continue
            within = piece.start % beat
            if piece.tuplet is not None:
                part = beat // (piece.tuplet.count if piece.tuplet.count < 10 else 1)
            else:
                parts = (3, 6, 12) if rungs.compound else (2, 4, 8, 16)
                shortest = finest[piece.start // beat]
                part = next((beat // many for many in parts if beat // many <= shortest), 1)
            down = round(within / part) % 2 == 0
            for index in piece.notes:
                found[index] = "down" if down else "up"
    return found


def _bowed(bars: Sequence[WrittenBar], notes: Sequence[ScoreNote]) -> dict[int, str]:
    runs: list[list[tuple[int, ...]]] = [[]]
    firsts: list[bool] = []
    lead = 0
    for bar in bars:
        for piece in bar.pieces or ():
            if not piece.notes:
                if runs[-1]:
                    runs.append([])
            elif not piece.tied_from and not _slurred(notes, piece.notes):
                if not runs[-1]:
                    firsts.append(bar.number == 0)
                runs[-1].append(piece.notes)
                lead += bar.number == 0
        if not bar.pieces and runs[-1]:
            runs.append([])
    found: dict[int, str] = {}
    for run, in_pickup in zip([run for run in runs if run], firsts, strict=True):
        # The pick-up's last bow is an up-bow, so that the first bar gets a down-bow.
        turn = lead % 2 if in_pickup else 0
        for place, struck in enumerate(run):
            for index in struck:
                found[index] = "up" if (place + turn) % 2 else "down"
    return found


def _slurred(notes: Sequence[ScoreNote], places: Sequence[int]) -> bool:
    return all(notes[place].articulation in SLURRED for place in places)
