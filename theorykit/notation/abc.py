"""ABC of a part: a tune as text, by the ABC standard 2.1 (2011)."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path

from theorykit.files import whole_file
from theorykit.notation.beaming import BEGIN, CONTINUE
from theorykit.notation.measures import Measure, Sign, measures
from theorykit.notation.musicxml_note import joins_of
from theorykit.score.score import Score, ScoreNote
from theorykit.score.signature import Signature, spelled_in
from theorykit.theory.pitch import Pitch

#: Bars to a line.
LINE_BARS = 4

_ACCIDENTALS = {-2: "__", -1: "_", 0: "=", 1: "^", 2: "^^"}
_MODES = {
    "minor": "m",
    "dorian": "Dor",
    "phrygian": "Phr",
    "lydian": "Lyd",
    "mixolydian": "Mix",
    "locrian": "Loc",
}
_ARTICULATIONS = {"staccato": ".", "accent": "!accent!", "tenuto": "!tenuto!"}

# Eighths are the unit: most tunes then need few figures.
_UNIT = Fraction(1, 2)

_SPECIAL = re.compile(r"([\\%&])")


def abc_text(
    score: Score,
    *,
    part: str = "line",
    lyrics: bool = False,
    fingering: bool = False,
    title: str = "",
    number: int = 1,
) -> str:
    """A part of a score in ABC.

    ABC has no strings and frets, and no swing: the notes are as they are written.

    Parameters
    ----------
    score : Score
    part : str
    lyrics : bool
        Degrees below the notes.
    fingering : bool
        The finger of each note that has one.
    title : str
        The score's own if empty.
    number : int
        The tune's, in a book of tunes.

    Raises
    ------
    BadInput
        If there is no such part, or it has a rhythm that can't be written.

    Examples
    --------
    >>> from theorykit.score.score import Part
    >>> notes = tuple(ScoreNote(Fraction(at), Fraction(1), 69 + at) for at in range(4))
    >>> print(abc_text(Score((Part("line", notes, "guitar"),), title="Steps")))
    %abc-2.1
    X:1
    T:Steps
    M:4/4
    L:1/8
    Q:1/4=100
    K:C
    A2 _B2 =B2 c2 |]
    <BLANKLINE>
    """
    chosen = score.part(part)
    bars = measures(score, chosen, cut_at_chords=True)
    meter = score.signature
    writer = _Writer(joins_of(bars), fingering=fingering)
    lines = [
        "%abc-2.1",
        f"X:{number}",
        f"T:{_said(title or score.title) or 'Untitled'}",
        f"M:{meter.name}",
        "L:1/8",
        f"Q:{meter.beat_quarters / 4}={score.tempo:.6g}",
        f"K:{_key(writer.signature_of(bars[0]))}",
    ]
    for first in range(0, len(bars), LINE_BARS):
        row = bars[first : first + LINE_BARS]
        texts = [writer.bar(bar, first=first + index == 0) for index, bar in enumerate(row)]
        last = first + LINE_BARS >= len(bars)
        lines.append(" | ".join(texts) + (" |]" if last else " |"))
        if lyrics and any(len(bar.voices) > 1 for bar in row) is False:
            words = " | ".join(_words(bar) for bar in row)
            lines.append(f"w: {words} |")
    return "\n".join(lines) + "\n"


def write_abc(
    score: Score,
    path: str | Path,
    *,
    part: str = "line",
    lyrics: bool = False,
    fingering: bool = False,
    title: str = "",
    number: int = 1,
) -> None:
    """Write a part as an ABC file, whole or not at all; the options are those of `abc_text`.

    Raises
    ------
    BadInput
        As `abc_text`, or if the file can't be written.
    """
    text = abc_text(
        score, part=part, lyrics=lyrics, fingering=fingering, title=title, number=number
    )
    with whole_file(Path(path)) as file:
        file.write(text.encode("utf-8"))


def _said(text: str) -> str:
    """A text as a field may hold it: one line, its special signs marked as plain ones."""
    line = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    return _SPECIAL.sub(r"\\\1", line)


def _key(signature: Signature) -> str:
    return f"{signature.key.tonic}{_MODES.get(signature.mode or signature.key.mode, '')}"


def _words(bar: Measure) -> str:
    words = [
        str(sign.notes[-1].degree)
        if not sign.tied_from and sign.notes[-1].degree is not None
        else "*"
        for sign in bar.voices[0]
        if sign.notes
    ]
    return " ".join(words)


def _length(quarters: Fraction) -> str:
    units = quarters / _UNIT
    if units == 1:
        return ""
    if units.denominator == 1:
        return str(units.numerator)
    return f"{units.numerator if units.numerator > 1 else ''}/{units.denominator}"


class _Writer:
    """Bars as text, with what earlier ones leave to be said."""

    def __init__(self, joins: dict[int, list[tuple[str, str]]], *, fingering: bool) -> None:
        self._joins = joins
        self._fingering = fingering
        self._signature: Signature | None = None
        # What stands for a letter, in its own octave and in any: writers differ in which of the
        # two an accidental holds for, so one is written wherever either would be wrong.
        self._standing: dict[tuple[str, int], int] = {}
        self._anywhere: dict[str, int] = {}

    def signature_of(self, bar: Measure) -> Signature:
        """The signature of a bar, which the first one always tells."""
        self._signature = bar.signature or self._signature
        assert self._signature is not None
        return self._signature

    def bar(self, bar: Measure, *, first: bool) -> str:
        signature = self.signature_of(bar)
        fields = ""
        if bar.meter is not None:
            fields += "" if first else f"[M:{bar.meter.name}]"
        if bar.signature is not None and not first:
            fields += f"[K:{_key(bar.signature)}]"
        if bar.section:
            fields += f"[P:{_said(bar.section).replace(']', ')')}]"
        self._standing, self._anywhere = {}, {}
        chords = {
            at: str(placed.chord) if placed.chord is not None else "N.C."
            for at, placed in bar.chords
        }
        voices = [
            self._voice(voice, signature, chords if index == 0 else {})
            for index, voice in enumerate(bar.voices)
        ]
        return fields + " & ".join(voices)

    def _voice(
        self,
        voice: Sequence[Sign],
        signature: Signature,
        chords: dict[Fraction, str],
    ) -> str:
        parts: list[str] = []
        for index, sign in enumerate(voice):
            if sign.offset in chords:
                parts.append(f'"{chords[sign.offset]}"')
            if sign.opens and sign.tuplet is not None:
                stop = next(at for at in range(index, len(voice)) if voice[at].closes)
                count, actual, normal = stop - index + 1, sign.tuplet.actual, sign.tuplet.normal
                plain = (actual, normal, count) == (3, 2, 3)
                parts.append("(3" if plain else f"({actual}:{normal}:{count}")
            parts.append(self._sign(sign, signature))
            if not sign.beams or sign.beams[0] not in (BEGIN, CONTINUE):
                parts.append(" ")
        return "".join(parts).rstrip()

    def _sign(self, sign: Sign, signature: Signature) -> str:
        length = _length(sign.base * (2 - Fraction(1, 2**sign.dots)))
        if not sign.notes:
            return f"z{length}"
        tie = "-" if sign.tied_to else ""
        notes = [self._note(note, signature) for note in sign.notes]
        body = (
            f"{notes[0]}{length}{tie}"
            if len(notes) == 1
            else (f"[{''.join(note + tie for note in notes)}]{length}")
        )
        note = sign.notes[-1]
        ends = [
            end
            for kind, end in self._joins.get(id(note), [])
            if kind != "slide" and not (sign.tied_to if end == "start" else sign.tied_from)
        ]
        before = ""
        if not sign.tied_from:
            if self._fingering and note.finger:
                before += f"!{note.finger}!"
            before += _ARTICULATIONS.get(note.articulation, "")
        opening, closing = "(" * ends.count("start"), ")" * ends.count("stop")
        return f"{opening}{before}{body}{closing}"

    def _note(self, note: ScoreNote, signature: Signature) -> str:
        pitch = note.pitch or spelled_in(round(note.midi), signature.fifths)
        letter, alter = pitch.note.letter, pitch.note.alter
        usual = signature.alters.get(letter, 0)
        here = self._standing.get((letter, pitch.octave), usual)
        anywhere = self._anywhere.get(letter, usual)
        self._standing[letter, pitch.octave] = self._anywhere[letter] = alter
        sign = "" if here == alter == anywhere else _ACCIDENTALS[alter]
        return sign + _letter(pitch)


def _letter(pitch: Pitch) -> str:
    """The letter of a pitch: capitals from middle C up, small ones an octave above (ABC 2.1)."""
    if pitch.octave <= 4:
        return pitch.note.letter + "," * (4 - pitch.octave)
    return pitch.note.letter.lower() + "'" * (pitch.octave - 5)
