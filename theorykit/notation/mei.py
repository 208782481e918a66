"""A sheet as MEI, the encoding that the engraver reads.

Music Encoding Initiative 5: https://music-encoding.org/guidelines/v5. Only what is drawn is
written; accidentals are worked out here, bar by bar.
"""

from __future__ import annotations

import html
from collections.abc import Collection, Sequence
from fractions import Fraction
from functools import lru_cache

from theorykit.notation.bar import Piece, Tuplet, WrittenBar
from theorykit.notation.clef import clef_of
from theorykit.notation.fold import FoldedBar
from theorykit.notation.picking import SLURRED
from theorykit.notation.place import key_at
from theorykit.notation.sheet import Sheet
from theorykit.score.score import Glide, ScoreNote
from theorykit.theory.key import Key
from theorykit.theory.pitch import Pitch

_ACCIDENTALS = {-2: "ff", -1: "f", 0: "n", 1: "s", 2: "x"}

#: No alteration of a note, so that its sign is drawn whatever it is.
_UNSURE = 99

_ARTICULATIONS = {"staccato": "stacc", "tenuto": "ten", "accent": "acc"}

_STROKES = {"down": "dnbow", "up": "upbow"}

#: How far a bent note rises, as players write it: a whole step is a full bend (common practice).
_BENDS = {0.5: "¼", 1.0: "½", 1.5: "¾", 2.0: "full"}

_BEATS = {Fraction(1): "♩", Fraction(3, 2): "♩.", Fraction(1, 2): "♪", Fraction(2): "half note"}

_HEAD = (
    '<?xml version="1.0" encoding="UTF-8"?>'
    '<mei xmlns="http://www.music-encoding.org/ns/mei" meiversion="5.1"><meiHead><fileDesc>'
    "<titleStmt><title>{title}</title></titleStmt><pubStmt/></fileDesc></meiHead>"
    "<music><body><mdiv><score>"
)


def mei(sheet: Sheet, prefix: str, line_starts: Collection[int] = (), *, letters: int = 100) -> str:
    """The sheet as an MEI document.

    Parameters
    ----------
    sheet : Sheet
    prefix : str
        What the ids of the notes begin with: ``<prefix>-n3`` is the part's fourth note on the
        staff, ``<prefix>-t3`` on the tablature; what is tied to it is ``<prefix>-n3-1`` and so on.
    line_starts : collection of int
        The bars that begin a new line, by their place.
    letters : int
        How many fit side by side above the first bar.

    Returns
    -------
    str
    """
    return _Writer(sheet, prefix, letters).text(line_starts)


@lru_cache(maxsize=512)
def plain(text: str) -> str:
    """A text as XML holds it."""
    return html.escape("".join(letter for letter in text if letter.isprintable()), quote=True)


def bend_text(glide: Glide) -> str:
    """How a bend is marked: ``"¼"``, ``"½"``, ``"full"``."""
    first = glide.points[0][1]
    furthest = max((rise for _, rise in glide.points), key=lambda rise: abs(rise - first))
    size = abs(furthest - min(first, 0.0))
    return _BENDS[min(_BENDS, key=lambda known: abs(known - size))]


def head_texts(sheet: Sheet, letters: int) -> tuple[str, str]:
    """What stands above the first bar: tempo and swing at the left, the instrument at the right.

    ``letters`` is how many fit beside one another; what does not fit is told more briefly.
    """
    score, neck = sheet.score, sheet.instrument
    beat = _BEATS.get(score.signature.beat_quarters, "beat")
    tempo = f"{beat} = {score.tempo:g}" + (", swing" if sheet.swung else "")
    how = " (♫ = ♩♪ in a triplet)" if sheet.swung else ""
    name = neck.name if neck is not None else ""
    # An instrument of one's own has its tuning for a name.
    full = f"{name} ({neck.tuning})" if neck is not None and neck.tuning not in name else name
    for left, right in ((tempo + how, full), (tempo, full), (tempo, name)):
        if len(left) + len(right) < letters:
            return left, right
    return tempo, ""


class _Writer:
    def __init__(self, sheet: Sheet, prefix: str, letters: int) -> None:
        self.sheet, self.prefix, self.letters = sheet, prefix, letters
        self.score, self.notes = sheet.score, sheet.notes
        self.out: list[str] = []
        self.quarters = self.score.signature.beat_quarters
        self.unit = int(self.score.meter.partition("/")[2])
        self.shown: dict[tuple[str, int], int] = {}
        # How many further signs each tied note has so far.
        self.tied: dict[str, int] = {}
        self.signature: dict[str, int] = {}

    def text(self, line_starts: Collection[int]) -> str:
        """The document."""
        sheet = self.sheet
        self.out.append(_HEAD.format(title=plain(self.score.title)))
        self._score_def()
        self.out.append("<section>")
        ending = 0
        key = sheet.key
        for place, folded in enumerate(sheet.bars):
            bar = folded.bar
            if folded.ending != ending and ending:
                self.out.append("</ending>")
            if place in line_starts:
                self.out.append("<sb/>")
            here = key_at(self.score, bar.start)
            if place and here != key and here is not None:
                self.out.append(f'<scoreDef keysig="{_key_signature(here)}"/>')
                key = here
            if folded.ending and folded.ending != ending:
                self.out.append(f'<ending n="{folded.ending}" label="{folded.ending}.">')
            ending = folded.ending
            self._bar(folded, last=place == len(sheet.bars) - 1, key=here)
        if ending:
            self.out.append("</ending>")
        self.out.append("</section></score></mdiv></body></music></mei>")
        return "".join(self.out)

    def _score_def(self) -> None:
        sheet, out = self.sheet, self.out
        count, _, unit = self.score.meter.partition("/")
        out.append(f'<scoreDef meter.count="{count}" meter.unit="{unit}">')
        out.append('<pgHead func="first">')
        if self.score.title:
            out.append(
                '<rend halign="center" valign="middle" fontsize="16pt">'
                f"{plain(self.score.title)}</rend>"
            )
        for side, text in zip(("left", "right"), head_texts(sheet, self.letters), strict=True):
            if text:
                out.append(
                    f'<rend halign="{side}" valign="bottom" fontsize="10pt">{plain(text)}</rend>'
                )
        out.append("</pgHead>")
        shape, line, octave = clef_of(sheet.instrument, [note.midi for note in self.notes])
        clef = f'clef.shape="{shape}" clef.line="{line}"'
        if octave:
            clef += ' clef.dis="8" clef.dis.place="below"'
        bracket = 'symbol="bracket" ' if sheet.tablature else ""
        out.append(f'<staffGrp {bracket}bar.thru="true">')
        signature = _key_signature(sheet.key) if sheet.key is not None else "0"
        out.append(f'<staffDef n="1" lines="5" keysig="{signature}" {clef}/>')
        if sheet.tablature and sheet.instrument is not None:
            strings = sheet.instrument.strings
            out.append(f'<staffDef n="2" notationtype="tab.guitar" lines="{len(strings)}">')
            out.append('<clef shape="TAB"/><tuning>')
            for number, string in enumerate(strings, start=1):
                note = string.open.note
                out.append(
                    f'<course n="{number}" pname="{note.letter.lower()}" oct="{string.open.octave}"'
                    f' accid="{_ACCIDENTALS[note.alter]}"/>'
                )
            out.append('</tuning><meterSig visible="false"/></staffDef>')
        out.append("</staffGrp></scoreDef>")

    def _bar(self, folded: FoldedBar, *, last: bool, key: Key | None) -> None:
        bar, out = folded.bar, self.out
        self.signature = {} if key is None else {n.letter: n.alter for n in key.signature}
        self.shown = {}
        sides = ' left="rptstart"' if folded.opens else ""
        if folded.closes:
            sides += ' right="rptend"'
        elif last:
            sides += ' right="end"'
        upbeat = ' metcon="false"' if bar.number == 0 else ""
        out.append(f'<measure n="{folded.number}"{sides}{upbeat}>')
        out.append('<staff n="1"><layer n="1">')
        self._layer(bar.pieces, tab=False)
        out.append("</layer></staff>")
        if self.sheet.tablature:
            out.append('<staff n="2"><layer n="1">')
            self._layer(bar.pieces, tab=True)
            out.append("</layer></staff>")
        self._above(bar)
        for piece in bar.pieces:
            self._marks(piece)
        out.append("</measure>")

    def _layer(self, pieces: Sequence[Piece], *, tab: bool) -> None:
        out = self.out
        if not pieces:
            out.append("<mSpace/>" if tab else "<mRest/>")
            return
        group = beam = 0
        for piece in pieces:
            if beam and piece.beam != beam:
                out.append("</beam>")
                beam = 0
            if group and piece.group != group:
                out.append("</tuplet>")
                group = 0
            if piece.tuplet is not None and piece.group != group:
                out.append(_tuplet_start(piece.tuplet, hidden=tab))
                group = piece.group
            if not tab and piece.beam and piece.beam != beam:
                out.append("<beam>")
                beam = piece.beam
            if tab:
                self._tab(piece)
            else:
                self._sign(piece)
        if beam:
            out.append("</beam>")
        if group:
            out.append("</tuplet>")

    def _sign(self, piece: Piece) -> None:
        out, notes = self.out, piece.notes
        length = f'dur="{piece.value}"' + (f' dots="{piece.dots}"' if piece.dots else "")
        if not notes:
            out.append(f"<rest {length}/>")
            return
        if len(notes) == 1:
            self._note(piece, notes[0], length + " ", alone=True)
            return
        out.append(f"<chord {length}>")
        for index in sorted(notes, key=lambda at: self.notes[at].midi):
            self._note(piece, index, "", alone=False)
        if not piece.tied_from:
            self._artics(notes)
        out.append("</chord>")

    def _note(self, piece: Piece, index: int, length: str, *, alone: bool) -> None:
        note = self.notes[index]
        pitch = note.pitch
        assert pitch is not None
        tie = ""
        if piece.tied_from or piece.tied_on:
            place = "m" if piece.tied_from and piece.tied_on else "t" if piece.tied_from else "i"
            tie = f' tie="{place}"'
        name = self._id("n", index, piece)
        head = ' head.mod="paren"' if note.articulation == "ghost" else ""
        self.out.append(
            f'<note xml:id="{name}" {length}pname="{pitch.note.letter.lower()}" '
            f'oct="{pitch.octave}"{self._accidental(pitch, tied=piece.tied_from)}{tie}{head}>'
        )
        if not piece.tied_from:
            if alone:
                self._artics((index,))
            if self.sheet.degrees and alone and note.degree is not None:
                self.out.append(f'<verse n="1"><syl>{note.degree.pretty}</syl></verse>')
        self.out.append("</note>")

    def _artics(self, notes: Sequence[int]) -> None:
        for index in notes[:1]:
            mark = _ARTICULATIONS.get(self.notes[index].articulation)
            if mark is not None:
                self.out.append(f'<artic artic="{mark}"/>')
            stroke = self.sheet.strokes.get(index)
            if stroke is not None:
                self.out.append(f'<artic artic="{_STROKES[stroke]}" place="above"/>')

    def _accidental(self, pitch: Pitch, *, tied: bool) -> str:
        """The accidental, drawn where the key and the bar so far do not say it already."""
        place, alter = (pitch.note.letter, pitch.octave), pitch.note.alter
        if tied and place not in self.shown:
            # Tied over a bar line, it needs no sign, and whatever follows does.
            if alter != self.signature.get(pitch.note.letter, 0):
                self.shown[place] = _UNSURE
            return f' accid.ges="{_ACCIDENTALS[alter]}"' if alter else ""
        if self.shown.get(place, self.signature.get(pitch.note.letter, 0)) == alter:
            return f' accid.ges="{_ACCIDENTALS[alter]}"' if alter else ""
        self.shown[place] = alter
        return f' accid="{_ACCIDENTALS[alter]}"'

    def _tab(self, piece: Piece) -> None:
        out = self.out
        length = f'dur="{piece.value}"' + (f' dots="{piece.dots}"' if piece.dots else "")
        if not piece.notes or piece.tied_from:
            out.append(f"<space {length}/>")
            return
        out.append(f"<tabGrp {length}>")
        for index in piece.notes:
            note = self.notes[index]
            fret = self._fret(note)
            out.append(
                f'<note xml:id="{self._id("t", index, piece)}" tab.course="{note.string}" '
                f'tab.fret="{fret}"/>'
            )
        out.append("</tabGrp>")

    def _fret(self, note: ScoreNote) -> str:
        instrument = self.sheet.instrument
        assert instrument is not None
        assert note.fret is not None
        return instrument.fret_name(note.fret)

    def _id(self, kind: str, index: int, piece: Piece) -> str:
        name = f"{self.prefix}-{kind}{index}"
        if not piece.tied_from:
            return name
        # The next sign of the same note; a note's signs are written in order.
        number = self.tied.get(name, 0) + 1
        self.tied[name] = number
        return f"{name}-{number}"

    def _above(self, bar: WrittenBar) -> None:
        out, sheet = self.out, self.sheet
        if bar.section:
            out.append(f'<reh staff="1" tstamp="1">{plain(bar.section)}</reh>')
        if not (sheet.chords or sheet.numerals):
            return
        for placed in bar.chords:
            at = f'staff="1" place="above" tstamp="{self._stamp(placed.start - bar.start)}"'
            if sheet.chords:
                symbol = placed.chord.pretty if placed.chord is not None else "N.C."
                out.append(f'<harm {at} type="symbol">{plain(symbol)}</harm>')
            if sheet.numerals and placed.numeral is not None and placed.chord is not None:
                out.append(
                    f'<dir {at} vgrp="70" type="numeral"><rend fontstyle="normal" fontsize="80%">'
                    f"{plain(placed.numeral.pretty)}</rend></dir>"
                )

    def _stamp(self, beats: Fraction) -> str:
        stamp = beats * self.quarters * self.unit / 4 + 1
        return f"{float(stamp):.5g}"

    def _marks(self, piece: Piece) -> None:
        if not piece.notes or piece.tied_from:
            return
        out, sheet = self.out, self.sheet
        for index in piece.notes:
            note = self.notes[index]
            name = f"{self.prefix}-n{index}"
            if sheet.fingering and note.finger is not None:
                out.append(f'<fing startid="#{name}" place="above">{note.finger}</fing>')
            if note.articulation in SLURRED and index and not self._goes_on(index):
                self._slur(index)
            if note.glide is not None and note.glide.kind == "bend":
                self._bend(index, note.glide)
            if note.glide is not None and note.glide.kind == "slide" and self._follows(index):
                self._slide(index)

    def _goes_on(self, index: int) -> bool:
        """Whether the note after this one is slurred too."""
        return index + 1 < len(self.notes) and self.notes[index + 1].articulation in SLURRED

    def _follows(self, index: int) -> bool:
        if index + 1 >= len(self.notes):
            return False
        note = self.notes[index]
        return self.notes[index + 1].start == note.start + note.beats

    def _slur(self, last: int) -> None:
        """One slur over a row of notes of which the first alone is struck."""
        first = last
        while first and self.notes[first].articulation in SLURRED:
            first -= 1
        # What stands above the notes is in the way of a slur there.
        crowded = self.sheet.fingering or bool(self.sheet.strokes)
        self._curve("n", first, last, ' curvedir="below"' if crowded else "")
        if self.sheet.tablature:
            self._curve("t", first, last, ' curvedir="above"')

    def _slide(self, first: int) -> None:
        """A line on the staff; on the tablature, where both frets lie on one line, a curve."""
        self.out.append(
            f'<gliss startid="#{self.prefix}-n{first}" endid="#{self.prefix}-n{first + 1}"/>'
        )
        if self.sheet.tablature:
            self._curve("t", first, first + 1, ' curvedir="above"')

    def _curve(self, kind: str, first: int, last: int, side: str) -> None:
        self.out.append(
            f'<slur startid="#{self.prefix}-{kind}{first}" '
            f'endid="#{self.prefix}-{kind}{last}"{side}/>'
        )

    def _bend(self, index: int, glide: Glide) -> None:
        """What a bend is worth; over a tablature, the picture adds the curve that leads there."""
        if self.sheet.tablature:
            at, size, text = f'staff="2" startid="#{self.prefix}-t{index}"', 55, bend_text(glide)
        else:
            at, size = f'staff="1" startid="#{self.prefix}-n{index}"', 80
            text = f"{bend_text(glide)} ↗"
        self.out.append(
            f'<dir xml:id="{self.prefix}-b{index}" {at} place="above" type="bend">'
            f'<rend fontstyle="normal" fontsize="{size}%">{text}</rend></dir>'
        )


def _key_signature(key: Key) -> str:
    if not key.fifths:
        return "0"
    return f"{abs(key.fifths)}{'s' if key.fifths > 0 else 'f'}"


def _tuplet_start(tuplet: Tuplet, *, hidden: bool) -> str:
    hide = ' num.visible="false" bracket.visible="false"' if hidden else ""
    return f'<tuplet num="{tuplet.count}" numbase="{tuplet.time_of}"{hide}>'
