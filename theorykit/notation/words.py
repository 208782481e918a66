"""A sheet in words, for those who can't see it."""

from __future__ import annotations

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
    for folded in sheet.bars:
        bar = folded.bar
        name = f"Bar {bar.number}" if bar.number else "Pick-up"
        symbols = [
            placed.chord.pretty if placed.chord is not None else "no chord"
            for placed in score.chords
            if bar.start <= placed.start < bar.end
        ]
        name += f" ({', '.join(symbols)})" if symbols and sheet.chords else ""
        notes = [_words(sheet, piece) for piece in bar.pieces if not piece.tied_from]
        signs = "Repeat from here. " if folded.opens else ""
        if folded.ending:
            signs += f"Ending {folded.ending}. "
        line = f"{signs}{name}: {', '.join(notes) if notes else 'rest'}."
        lines.append(f"{line} Repeat." if folded.closes else line)
    return " ".join(lines)


def _words(sheet: Sheet, piece: Piece) -> str:
    value = ("dotted " if piece.dots else "") + _VALUES[piece.value]
    if piece.tuplet is not None:
        value += f" in a group of {piece.tuplet.count}"
    if not piece.notes:
        return f"{value} rest"
    names = []
    for index in piece.notes:
        note = sheet.notes[index]
        name = note.pitch.pretty if note.pitch is not None else str(note.midi)
        if sheet.degrees and note.degree is not None:
            name += f" ({note.degree.pretty})"
        if sheet.tablature:
            name += f" string {note.string} fret {note.fret}"
        names.append(name)
    tied = ", tied on" if piece.tied_on else ""
    return f"{' and '.join(names)} {value}{tied}"
