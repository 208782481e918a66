"""Where the lines of a sheet end: how many bars fit side by side."""

from __future__ import annotations

from collections.abc import Sequence

from theorykit.notation.fold import FoldedBar
from theorykit.notation.place import key_at
from theorykit.notation.sheet import Sheet

#: Pixels that the engraver gives each sign at its usual scale, the space beside bar lines among
#: them; the last one for all that is shorter (measured, and rounded up).
_SIGN_WIDTHS = {1: 77.0, 2: 48.0, 4: 31.0, 8: 19.5, 16: 13.8}
_SHORTEST_SIGN = 13.0

#: Pixels of a dot, of an accidental, of a letter of a degree, of one of a chord symbol.
_DOT, _ACCIDENTAL, _DEGREE_LETTER, _SYMBOL_LETTER = 5.0, 7.0, 7.0, 9.5

#: Pixels of a repeat sign, of brace and clef, of each sign of the key, of the meter, of margins.
_REPEAT, _CLEF, _SIGNATURE, _METER, MARGINS = 8.0, 50.0, 8.0, 30.0, 24.0


def line_starts(sheet: Sheet, pixels: float) -> frozenset[int]:
    """The bars that begin a line, by their place, the first one not among them.

    As many bars stand in a line as the sheet asks for. Where those are too wide, half of them do,
    or a third, so that phrases stay together.

    Parameters
    ----------
    sheet : Sheet
    pixels : float
        The width of the page at the engraver's usual scale.
    """
    bars = sheet.bars
    asked = sheet.bars_a_line
    room = pixels - MARGINS - _CLEF
    room -= _SIGNATURE * (abs(sheet.key.fifths) if sheet.key is not None else 0)
    widths = [_bar_width(sheet, bar) for bar in bars]
    pickups = sum(not bar.bar.number for bar in bars)
    found: set[int] = set()
    for block in range(pickups, len(bars), asked):
        places = range(block, min(block + asked, len(bars)))
        # The first line has the meter and the pick-up too.
        first = _METER + sum(widths[:pickups]) if block == pickups else 0.0
        for many in _divisors(asked):
            lines = [places[at : at + many] for at in range(0, len(places), many)]
            used = [sum(widths[place] for place in line) for line in lines]
            used[0] += first
            if max(used) <= room or many == 1:
                found.update(line[0] for line in lines)
                break
    return frozenset(found - {pickups})


def _divisors(number: int) -> Sequence[int]:
    return [many for many in range(number, 0, -1) if number % many == 0]


def _bar_width(sheet: Sheet, folded: FoldedBar) -> float:
    bar = folded.bar
    key = key_at(sheet.score, bar.start)
    signature = {} if key is None else {note.letter: note.alter for note in key.signature}
    wide = _REPEAT * (folded.opens + folded.closes)
    for piece in bar.pieces:
        sign = _SIGN_WIDTHS.get(piece.value, _SHORTEST_SIGN) + _DOT * piece.dots
        if not piece.notes or piece.tied_from:
            wide += sign
            continue
        heads = [sheet.notes[index] for index in piece.notes]
        for note in heads:
            pitch = note.pitch
            if pitch is not None and pitch.note.alter != signature.get(pitch.note.letter, 0):
                # Long notes have room enough beside them.
                sign += _ACCIDENTAL if piece.value > 8 else _ACCIDENTAL / 4
        if sheet.degrees and len(heads) == 1 and heads[0].degree is not None:
            sign = max(sign, _DEGREE_LETTER * (len(str(heads[0].degree)) + 0.7))
        wide += sign
    symbols = 0.0
    for placed in sheet.score.chords:
        if bar.start <= placed.start < bar.end and placed.chord is not None:
            texts = [str(placed.chord) if sheet.chords else ""]
            texts += [str(placed.numeral)] if sheet.numerals and placed.numeral is not None else []
            symbols += _SYMBOL_LETTER * (max(len(text) for text in texts) + 1)
    return max(wide, symbols, 60.0)
