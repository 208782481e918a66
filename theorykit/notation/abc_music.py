"""The music of an ABC tune: notes, rests, chords, tuplets and bar lines, sign by sign."""

from __future__ import annotations

import re
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from fractions import Fraction

from theorykit.errors import BadInput, TuneError
from theorykit.notation.abc_fields import AbcKey
from theorykit.notation.tune import MOST_BARS, MOST_NOTES, Tune, TuneBar, TuneNote
from theorykit.theory.chord import Chord
from theorykit.theory.degree import Degree
from theorykit.theory.meter import read_meter
from theorykit.theory.pitch import Note, Pitch

_LENGTH = r"[0-9]{0,4}/{0,8}[0-9]{0,4}"
_NOTE = r"(?:\^\^|\^|__|_|=)?[A-Ga-g][,']{0,8}"

# What may stand in a line of music, most particular first. What is none of it is passed over, as
# the standard asks of programs that meet what they do not know (ABC 2.1, 8.1). Nothing in it may
# be of any length, so that a line takes no longer than its length says.
_TOKEN = re.compile(
    rf"""
      "(?P<text>[^"]{{0,400}})"
    | !(?P<mark>[^!\s|]{{1,32}})!
    | \+(?P<old_mark>[a-zA-Z.]{{1,32}}|[0-5])\+
    | \[(?P<name>[A-Za-z]):(?P<field>[^\[\]]{{0,200}})\]
    | (?P<grace>\{{[^{{}}]{{0,200}}\}})
    | (?P<bar>(?:\[\||:{{1,8}}\||:{{2,8}}|\|)[|:\]]{{0,8}})(?P<number>[1-9][0-9,\-]{{0,8}})?
    | \[(?P<ending>[1-9][0-9,\-]{{0,8}})
    | \((?P<actual>[2-9])(?::(?P<normal>[0-9]?)(?::(?P<count>[0-9]{{0,2}}))?)?
    | \[(?P<chord>[^\[\]|]{{0,400}})\](?P<chord_length>{_LENGTH})(?P<chord_tie>-?)
    | (?P<note>{_NOTE})(?P<length>{_LENGTH})(?P<tie>\s?-(?!\()|)
    | (?P<rest>[zx])(?P<rest_length>{_LENGTH})
    | (?P<bars_rest>[ZX])(?P<bars>[0-9]{{0,3}})
    | (?P<broken>>{{1,3}}|<{{1,3}})
    | (?P<over>&)
    | (?P<colon>:)
    | (?P<letter>[.~HLMOPSTuv])
    """,
    re.VERBOSE,
)
_IN_CHORD = re.compile(rf"(?P<note>{_NOTE})(?P<length>{_LENGTH})(?P<tie>-?)")
_SPLIT_NOTE = re.compile(r"(\^\^|\^|__|_|=)?([A-Ga-g])([,']*)")
_SPLIT_LENGTH = re.compile(r"([0-9]*)(/*)([0-9]*)")
_CLOSING = re.compile(r":+(?=[|\]])")
_ALTERS = {"^^": 2, "^": 1, "=": 0, "_": -1, "__": -2}

# Notes in the time of how many others (ABC 2.1, 4.13); the rest by the meter, 3 in compound ones.
_NORMAL = {2: 3, 3: 2, 4: 3, 6: 2, 8: 3}

_JUMPS = {
    "segno": ("segno", ""),
    "coda": ("coda", ""),
    "fine": ("fine", ""),
    "D.C.": ("da capo", ""),
    "D.S.": ("dal segno", ""),
    "dacapo": ("da capo", ""),
    "dacoda": ("to coda", ""),
    "D.C.alfine": ("da capo", "fine"),
    "D.S.alfine": ("dal segno", "fine"),
    "D.C.alcoda": ("da capo", "coda"),
    "D.S.alcoda": ("dal segno", "coda"),
}

_LONGEST = 256

Field = Callable[[str, str, int], None]


@dataclass(slots=True)
class _Last:
    """The note, chord or rest before: its length as it is written, and as it sounds."""

    notes: list[TuneNote] = field(default_factory=list)
    written: Fraction = Fraction(0)
    quarters: Fraction = Fraction(0)


class AbcMusic:
    """Lines of music, read into the bars of a tune.

    Parameters
    ----------
    tune : Tune
    meter : str or None
        None in free time.
    unit : Fraction
        The unit length in quarters.
    key : AbcKey
    """

    def __init__(self, tune: Tune, meter: str | None, unit: Fraction, key: AbcKey) -> None:
        self.tune = tune
        self.unit = unit
        self._meter = meter or "4/4"
        self._key = key
        self._bar = TuneBar(self._meter, key.signature)
        self._at = Fraction(0)
        self._standing: dict[str, int] = {}
        self._tied: dict[tuple[str, int], int] = {}
        self._last = _Last()
        self._broken: Fraction | None = None
        self._tuplet = (Fraction(1), 0)
        self._finger: int | None = None
        self._articulation = ""
        self._count = 0
        self._line: list[tuple[int, TuneNote]] = []

    def set_key(self, key: AbcKey) -> None:
        """Go on in another key."""
        self._key = key
        self._bar.signature = key.signature or self._bar.signature

    def set_meter(self, meter: str | None) -> None:
        """Go on in another meter."""
        if meter is not None:
            self._meter = meter
            if not self._filled():
                self._bar.meter = meter

    def set_section(self, name: str) -> None:
        """Name the section that begins."""
        if not self._filled():
            self._bar.section = name[:40]

    def read(self, text: str, line: int, on_field: Field) -> None:
        """Read a line of music; fields among the notes are handed back."""
        self._line = []
        for match in _TOKEN.finditer(text):
            try:
                self._token(match, line, on_field)
            except BadInput as error:
                raise TuneError(str(error), line=line, bar=len(self.tune.bars) + 1) from None

    def _token(self, match: re.Match[str], line: int, on_field: Field) -> None:
        if match["note"]:
            note = self._note(match["note"], match["length"], bool(match["tie"]))
            self._sound([note], note.quarters, line)
        elif match["bar"]:
            self._bar_line(match["bar"], match["number"], line)
        elif match["text"] is not None:
            self._text(match["text"])
        elif match["chord"] is not None:
            self._chord(match["chord"], match["chord_length"], bool(match["chord_tie"]), line)
        elif match["rest"]:
            self._sound([], _length(match["rest_length"]) * self.unit, line)
        elif match["broken"]:
            self._break(match["broken"])
        elif match["actual"]:
            self._begin_tuplet(match)
        elif match["ending"]:
            self._bar.ending = _times(match["ending"])
        elif match["name"]:
            on_field(match["name"], match["field"], line)
        elif match["mark"] or match["old_mark"]:
            self._mark(match["mark"] or match["old_mark"])
        elif match["bars_rest"]:
            self._rest_bars(int(match["bars"] or 1), line)
        elif match["over"]:
            self._bar.quarters = max(self._bar.quarters, self._at)
            self._at = Fraction(0)
        elif match["colon"] and not self._filled():
            # The bar line that it belongs to ends the line before.
            self._bar.repeat_start = True
        elif match["letter"]:
            self._letter(match["letter"])

    def _note(self, text: str, length: str, tied: bool) -> TuneNote:
        match = _SPLIT_NOTE.fullmatch(text)
        assert match is not None  # the token was one
        sign, letter, marks = match[1], match[2].upper(), match[3]
        octave = 4 + match[2].islower() + marks.count("'") - marks.count(",") + self._key.octaves
        if sign is not None:
            alter = _ALTERS[sign]
            self._standing[letter] = alter
        elif (letter, octave) in self._tied:
            alter = self._tied[letter, octave]
        else:
            alter = self._standing.get(letter, self._key.alters.get(letter, 0))
        pitch = Pitch(Note(letter, alter), octave)
        if not 0 <= pitch.midi <= 127:
            raise BadInput("note", text, "out of the range of hearing")
        return TuneNote(self._at, _length(length) * self.unit, pitch, tied=tied)

    def _sound(self, notes: list[TuneNote], quarters: Fraction, line: int) -> None:
        """Put a note, a chord or a rest where the last one ended."""
        written, quarters = quarters, quarters * self._mend(quarters)
        stretch, left = self._tuplet
        if left:
            quarters *= stretch
            self._tuplet = (stretch, left - 1)
        self._count += len(notes)
        if self._count > MOST_NOTES:
            raise TuneError(f"more than {MOST_NOTES} notes", line=line)
        for note in notes:
            note.offset, note.quarters = self._at, quarters
            note.finger = self._finger
            note.articulation = self._articulation  # type: ignore[assignment]
        self._finger, self._articulation = None, ""
        self._tied = {
            (note.pitch.note.letter, note.pitch.octave): note.pitch.note.alter
            for note in notes
            if note.tied
        }
        sounding = [note for note in notes if note.quarters > 0]
        self._bar.notes += sounding
        if sounding:
            self._line.append((len(self.tune.bars), sounding[-1]))
        self._at += quarters
        self._last = _Last(sounding, written, quarters)

    def _chord(self, text: str, length: str, tied: bool, line: int) -> None:
        inner = list(_IN_CHORD.finditer(text))
        if not inner:
            return
        notes = [
            self._note(match["note"], match["length"], tied or bool(match["tie"]))
            for match in inner
        ]
        # The first note says how long the chord is (ABC 2.1, 4.17).
        self._sound(notes, notes[0].quarters * _length(length), line)

    def _break(self, sign: str) -> None:
        """Dot the note before and shorten the next, or the other way round, once it is there."""
        share = Fraction(1, 2 ** len(sign))
        self._broken = 2 - share if sign[0] == ">" else share

    def _mend(self, quarters: Fraction) -> Fraction:
        """Apply a broken rhythm: what it makes of the note that comes, lengthened before it.

        Between unequal notes it has no meaning that all agree on, and is passed over.
        """
        before, self._broken = self._broken, None
        if before is None or self._last.written != quarters:
            return Fraction(1)
        for note in self._last.notes:
            note.quarters *= before
        self._at += self._last.quarters * (before - 1)
        return 2 - before

    def _begin_tuplet(self, match: re.Match[str]) -> None:
        actual = int(match["actual"])
        compound = 3 if read_meter(self._meter).beat_parts == 3 else 2
        normal = int(match["normal"] or 0) or _NORMAL.get(actual, compound)
        self._tuplet = (Fraction(normal, actual), int(match["count"] or 0) or actual)

    def _text(self, text: str) -> None:
        """A chord symbol, or a finger; other words are for the eye."""
        text = text.strip()
        if text in {"0", "1", "2", "3", "4"}:
            self._finger = int(text)
        elif text.upper().replace(" ", "") in {"N.C.", "NC"}:
            self._bar.chords.append((self._at, None))
        elif text[:1] in "ABCDEFG":
            try:
                self._bar.chords.append((self._at, Chord.parse(text)))
            except BadInput:
                return

    def _mark(self, mark: str) -> None:
        if mark in {"0", "1", "2", "3", "4"}:
            self._finger = int(mark)
        elif mark in {"accent", ">", "emphasis"}:
            self._articulation = "accent"
        elif mark == "tenuto":
            self._articulation = "tenuto"
        elif mark in _JUMPS:
            self._bar.jumps.append(_JUMPS[mark])

    def _letter(self, letter: str) -> None:
        if letter in "SO":
            self._bar.jumps.append(_JUMPS["segno" if letter == "S" else "coda"])
        elif letter in ".L":
            self._articulation = "staccato" if letter == "." else "accent"

    def _rest_bars(self, count: int, line: int) -> None:
        meter = read_meter(self._meter)
        for index in range(min(count, MOST_BARS + 1)):
            if index:
                self._close(line)
            self._sound([], meter.beats * meter.beat_quarters, line)

    def _bar_line(self, sign: str, number: str | None, line: int) -> None:
        closing = _CLOSING.search(sign)
        times = len(closing[0]) if closing is not None else 0
        starts = sign.endswith(":")
        if not sign.strip(":"):  # a bare "::"
            times = 1
        double = "||" in sign or "]" in sign or "[" in sign
        if self._filled():
            self._close(line)
        before = self.tune.bars[-1] if self.tune.bars else None
        if before is not None:
            if times:
                before.repeat_end = min(times + 1, 9)
            before.double = before.double or double
        if starts:
            self._bar.repeat_start = True
        if number:
            self._bar.ending = _times(number)

    def _filled(self) -> bool:
        return self._at > 0 or self._bar.quarters > 0

    def _close(self, line: int) -> None:
        """End the bar."""
        bar = self._bar
        bar.quarters = max(bar.quarters, self._at)
        if bar.quarters > _LONGEST:
            raise TuneError("a bar of more than 64 whole notes", line=line)
        self.tune.bars.append(bar)
        if len(self.tune.bars) > MOST_BARS:
            raise TuneError(f"more than {MOST_BARS} bars", line=line)
        self._bar = TuneBar(self._meter, self._key.signature or bar.signature)
        self._at = Fraction(0)
        self._standing = {}
        self._last = _Last()

    def words(self, text: str) -> None:
        """Degrees that stand below the notes of the last line."""
        index = 0
        for word in re.findall(r"\||[^\s|]+", text):
            if index >= len(self._line):
                return
            if word == "|":
                # On to the first note of the next bar, unless the notes are there already.
                if index and self._line[index - 1][0] == self._line[index][0]:
                    bar = self._line[index][0]
                    while index < len(self._line) and self._line[index][0] == bar:
                        index += 1
                continue
            with suppress(BadInput):
                self._line[index][1].degree = Degree.parse(word)
            index += 1

    def finish(self) -> None:
        """End the tune, which may lack its last bar line."""
        if self._filled():
            self._close(0)


def _length(text: str) -> Fraction:
    match = _SPLIT_LENGTH.fullmatch(text)
    assert match is not None  # the token was one
    over, slashes, under = match.groups()
    below = int(under) if under else 2 ** len(slashes)
    if not below or int(over or 1) > 2048:
        raise BadInput("length", text, "no note lasts so")
    return Fraction(int(over or 1), below)


def _times(text: str) -> str:
    """Which times an ending is for: ``"1,3"`` and ``"1-3"`` as digits."""
    found: set[int] = set()
    for part in text.split(","):
        first, dash, last = part.partition("-")
        if first.isdigit() and len(first) == 1:
            end = int(last) if dash and last.isdigit() and len(last) == 1 else int(first)
            found.update(range(int(first), end + 1))
    return "".join(map(str, sorted(found)))
