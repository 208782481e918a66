"""Tablature as plain text, for a letter, a chat or a printer that knows nothing else."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from theorykit.errors import BadInput
from theorykit.instruments.instrument import Instrument
from theorykit.notation.fold import FoldedBar
from theorykit.notation.sheet import Sheet, sheet
from theorykit.notation.value import QUARTER, Ladder, to_ticks
from theorykit.score.score import Score, ScoreNote

NARROWEST, WIDEST = 40, 400

#: What stands before a fret that is reached without a new stroke (common practice).
_JOINS = {"hammer-on": "h", "pull-off": "p"}

#: How the parts of a beat are counted (common practice of method books).
_HALVES = {Fraction(1, 2): "&"}
_QUARTERS = {Fraction(1, 4): "e", Fraction(1, 2): "&", Fraction(3, 4): "a"}
_THIRDS = {Fraction(1, 3): "&", Fraction(2, 3): "a"}

#: Characters between notes an eighth apart, and the most between any.
_EIGHTH_WIDE, _WIDEST_GAP = 3, 8


def tablature_text(
    score: Score,
    instrument: Instrument | str,
    *,
    part: str = "line",
    width: int = 78,
    chords: bool = True,
    count: bool = True,
    degrees: bool = False,
    repeats: bool = True,
    capo: int = 0,
) -> str:
    """A part as tablature in plain letters.

    Strings are named at the left, the one nearest the player's feet on top; of two strings of one
    name the higher one has a small letter. ``h`` and ``p`` join a note to the one before, ``/``
    slides, ``b`` bends, brackets are a ghost note.

    Parameters
    ----------
    score : Score
    instrument : Instrument or str
    part : str
    width : int
        Letters in a line. A bar is never broken, so one bar alone may be wider.
    chords : bool
        Chord symbols above.
    count : bool
        How it is counted, below: ``1 & 2 &``, ``1 e & a``; in 6/8 and its like the eighths.
    degrees : bool
        The degree of each note, below.
    repeats : bool
        What comes twice is written once.
    capo : int

    Returns
    -------
    str
        Lines that end in a line break.

    Raises
    ------
    BadInput
        If anything is out of range, or the instrument can't play the part.

    Examples
    --------
    >>> from theorykit.score.run import scale_run
    >>> from theorykit.score.score import Part
    >>> from theorykit.theory.scale import Scale
    >>> notes = scale_run(Scale.parse("G major"), 1, lowest=55, highest=70)
    >>> print(tablature_text(Score((Part("line", tuple(notes), "mandolin"),)), "mandolin"), end="")
    E|-------------------------||
    A|-------------------------||
    D|-------------0--2--4--5--||
    G|-0--2--4--5--------------||
       1  &  2  &  3  &  4  &
    """
    if isinstance(width, bool) or not (isinstance(width, int) and NARROWEST <= width <= WIDEST):
        raise BadInput("width", width, "out of range", accepted=f"{NARROWEST} to {WIDEST} letters")
    ready = sheet(
        score,
        instrument=instrument,
        part=part,
        tablature=True,
        chords=chords,
        degrees=degrees,
        repeats=repeats,
        capo=capo,
    )
    assert ready.instrument is not None
    names = string_names(ready.instrument)
    blocks = [_block(ready, folded, count=count) for folded in ready.bars]
    margin = len(names[0])
    lines: list[list[_Block]] = []
    used = 0
    for block in blocks:
        if not lines or used + block.width + 1 > width:
            lines.append([])
            used = margin + 1
        lines[-1].append(block)
        used += block.width + 1
    out: list[str] = []
    for place, row in enumerate(lines):
        out += _row(row, names, last=place == len(lines) - 1)
    # Between systems there is an empty line; none after the last.
    text = "\n".join(out).rstrip("\n")
    return f"{score.title}\n\n{text}\n" if score.title else f"{text}\n"


def string_names(instrument: Instrument) -> list[str]:
    """What the strings are called at the left of a tablature, string 1 first, equally wide.

    >>> from theorykit.instruments.catalogue import find_instrument
    >>> string_names(find_instrument("guitar")), string_names(find_instrument("banjo"))
    (['e', 'B', 'G', 'D', 'A', 'E'], ['d', 'B', 'G', 'D', 'g'])
    """
    opens = [string.open for string in instrument.strings]
    names = []
    for pitch in opens:
        same = [other for other in opens if other.note == pitch.note]
        higher = len(same) > 1 and pitch.midi == max(other.midi for other in same)
        unequal = len({other.midi for other in same}) > 1
        name = str(pitch.note)
        names.append(name[0].lower() + name[1:] if higher and unequal else name)
    wide = max(len(name) for name in names)
    return [name.ljust(wide) for name in names]


@dataclass(frozen=True, slots=True)
class _Block:
    """A bar as lines of equal width: what is above, the strings, what is below."""

    above: str
    strings: tuple[str, ...]
    below: tuple[str, ...]

    @property
    def width(self) -> int:
        return len(self.strings[0])


def _row(row: Sequence[_Block], names: Sequence[str], *, last: bool) -> list[str]:
    margin = " " * (len(names[0]) + 1)
    out = []
    above = margin + " ".join(block.above for block in row)
    if above.strip():
        out.append(above.rstrip())
    for number, name in enumerate(names):
        line = "|".join(block.strings[number] for block in row)
        # A repeat sign has its second stroke already.
        final = "|" if last and not line.endswith("|") else ""
        out.append(f"{name}|{line}|{final}")
    for number in range(len(row[0].below)):
        out.append((margin + " ".join(block.below[number] for block in row)).rstrip())
    return [*out, ""]


def _block(ready: Sheet, folded: FoldedBar, *, count: bool) -> _Block:
    bar, notes = folded.bar, ready.notes
    quarters = ready.score.signature.beat_quarters
    first, end = bar.offset, bar.offset + to_ticks(bar.beats * quarters)
    struck = {
        piece.start: piece.notes for piece in bar.pieces if piece.notes and not piece.tied_from
    }
    symbols: dict[int, str] = {}
    if ready.chords:
        for placed in ready.score.chords:
            if bar.start <= placed.start < bar.end:
                at = first + to_ticks((placed.start - bar.start) * quarters)
                symbols[at] = str(placed.chord) if placed.chord is not None else "N.C."
    counted = _counted(list(struck), first, end, ready.rungs)
    labels = {
        at: ",".join(str(notes[index].degree or "") for index in where)
        for at, where in struck.items()
    }
    columns = sorted({*struck, *symbols, *counted, first})
    frets = {
        at: {notes[index].string: _fret(ready, notes[index]) for index in where}
        for at, where in struck.items()
    }
    heads = "[1." if folded.ending == 1 else "[2." if folded.ending == 2 else ""
    places = _places(columns, end, frets, symbols, counted, labels if ready.degrees else {}, heads)
    wide = places[-1]
    at_column = dict(zip(columns, places, strict=False))
    assert ready.instrument is not None
    middle = (len(ready.instrument.strings) - 1) // 2
    strings = []
    for number in range(1, len(ready.instrument.strings) + 1):
        line = ["-"] * wide
        for at, held in frets.items():
            if number in held:
                _write(line, at_column[at], held[number])
        for at, where in struck.items():
            _join(line, at_column[at], where, number, notes)
        dots = "o" if number - 1 in (middle, middle + 1) else "-"
        strings.append(
            ("|" + dots if folded.opens else "")
            + "".join(line)
            + (dots + "|" if folded.closes else "")
        )
    inset = 2 if folded.opens else 0
    full = len(strings[0])
    above = _line(full, {at_column[at] + inset: text for at, text in symbols.items()})
    if heads:
        above = heads + above[len(heads) :]
    below = []
    if ready.degrees:
        below.append(_line(full, {at_column[at] + inset: text for at, text in labels.items()}))
    if count:
        below.append(_line(full, {at_column[at] + inset: text for at, text in counted.items()}))
    return _Block(above, tuple(strings), tuple(below))


def _fret(ready: Sheet, note: ScoreNote) -> str:
    assert ready.instrument is not None
    assert note.fret is not None
    text = ready.instrument.fret_name(note.fret)
    if note.articulation == "ghost":
        text = f"({text})"
    return f"{text}b" if note.glide is not None and note.glide.kind == "bend" else text


def _join(
    line: list[str], at: int, here: Sequence[int], number: int, notes: Sequence[ScoreNote]
) -> None:
    """The letter of a slur, or the stroke of a slide, in front of a fret."""
    for place in here:
        note = notes[place]
        if note.string != number:
            continue
        before = notes[place - 1] if place else None
        if before is None or before.string != number:
            continue
        slid = before.glide is not None and before.glide.kind == "slide"
        letter = "/" if slid else _JOINS.get(note.articulation)
        if letter is not None:
            line[at - 1] = letter


def _places(
    columns: Sequence[int],
    end: int,
    frets: dict[int, dict[int | None, str]],
    symbols: dict[int, str],
    counted: dict[int, str],
    labels: dict[int, str],
    heads: str,
) -> list[int]:
    """Where each column stands in its bar, and how wide the bar is."""
    found = [max(1, len(heads) + 1 if heads and columns[0] in symbols else 1)]
    symbol_end = 0
    for at, following in zip(columns, [*columns[1:], end], strict=True):
        texts = [*frets.get(at, {}).values(), counted.get(at, ""), labels.get(at, "")]
        least = max(len(text) for text in texts) + 1
        gap = min(round((following - at) / (QUARTER // 2) * _EIGHTH_WIDE), _WIDEST_GAP)
        place = found[-1] + max(least, gap, 2)
        if at in symbols:
            symbol_end = found[-1] + len(symbols[at]) + 1
        if following in symbols or following == end:
            place = max(place, symbol_end)
        found.append(place)
    return found


def _write(line: list[str], at: int, text: str) -> None:
    line[at : at + len(text)] = text


def _line(wide: int, texts: dict[int, str]) -> str:
    line = [" "] * wide
    for at, text in texts.items():
        _write(line, at, text)
    return "".join(line)[:wide]


def _counted(starts: Sequence[int], first: int, end: int, rungs: Ladder) -> dict[int, str]:
    """What is counted at which place of a bar."""
    found: dict[int, str] = {}
    if rungs.compound:
        eighth = QUARTER // 2
        for at in range(first - first % eighth, end, eighth):
            if at >= first:
                found[at] = str(at // eighth + 1)
            if any(at < start < at + eighth for start in starts):
                found[at + eighth // 2] = "&"
        return found
    for beat in range(first - first % rungs.beat, end, rungs.beat):
        inside = {Fraction(start - beat, rungs.beat) for start in starts} & _PARTS
        if beat >= first:
            found[beat] = str(beat // rungs.beat + 1)
        if inside & set(_THIRDS):
            parts = _THIRDS
        elif inside - set(_HALVES):
            parts = _QUARTERS
        else:
            parts = _HALVES if inside else {}
        for share, text in parts.items():
            at = beat + int(rungs.beat * share)
            if at >= first:
                found[at] = text
    return found


_PARTS = frozenset([*_QUARTERS, *_THIRDS])
