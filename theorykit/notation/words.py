"""A sheet in words, for those who can't see it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import takewhile

from theorykit.notation.bar import Piece
from theorykit.notation.sheet import Sheet

_VALUES = {
    1: "whole",
    2: "half",
    4: "quarter",
    8: "eighth",
    16: "sixteenth",
    32: "thirty-second",
    64: "sixty-fourth",
    128: "hundred-twenty-eighth",
    256: "two-hundred-fifty-sixth",
}


def words_of(sheet: Sheet) -> str:
    """Title, instrument, key, meter and tempo, then bar by bar the chords and the notes."""
    score, key = sheet.score, sheet.key
    heads = [score.title] if score.title else []
    if sheet.instrument is not None:
        heads.append(sheet.instrument.name)
    if key is not None:
        heads.append(key.pretty)
    heads += [score.meter, f"{score.tempo:g} beats a minute"]
    if sheet.swung:
        heads.append("swing")
    lines = [", ".join(heads) + "."]
    for place, folded in enumerate(sheet.bars):
        bar = folded.bar
        name = f"Bar {folded.number}" if folded.number else "Pick-up"
        symbols = [
            placed.chord.pretty if placed.chord is not None else "no chord" for placed in bar.chords
        ]
        name += f" ({', '.join(symbols)})" if symbols and sheet.chords else ""
        following = sheet.bars[place + 1].bar.pieces if place + 1 < len(sheet.bars) else ()
        notes = [
            _words(sheet, piece, [*bar.pieces[at + 1 :], *following])
            for at, piece in enumerate(bar.pieces)
            if not piece.tied_from
        ]
        signs = "Repeat from here. " if folded.opens else ""
        if folded.ending:
            signs += f"Ending {folded.ending}. "
        line = f"{signs}{name}: {', '.join(notes) if notes else 'rest'}."
        lines.append(f"{line} Repeat." if folded.closes else line)
    return " ".join(lines)


def _words(sheet: Sheet, piece: Piece, following: Sequence[Piece]) -> str:
    """A note and all that is tied to it, or a rest."""
    value = _value(piece)
    if not piece.notes:
        return f"{value} rest"
    for tied in takewhile(lambda other: other.tied_from, following):
        value += f" tied to {_value(tied)}"
    names = []
    for index in piece.notes:
        note = sheet.notes[index]
        name = note.pitch.pretty if note.pitch is not None else str(note.midi)
        if sheet.degrees and note.degree is not None:
            name += f" ({note.degree.pretty})"
        if sheet.tablature:
            name += f" string {note.string} fret {note.fret}"
        names.append(name)
    return f"{' and '.join(names)} {value}"


def _value(piece: Piece) -> str:
    value = ("dotted " if piece.dots else "") + _VALUES[piece.value]
    return value if piece.tuplet is None else f"{value} in a group of {piece.tuplet.count}"
