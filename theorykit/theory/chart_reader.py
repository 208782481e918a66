"""The text of a chart, read into bars and marks: bar lines, chords, repeats, jumps, keys."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction

from theorykit.errors import BadInput
from theorykit.theory.chart import ChartChord
from theorykit.theory.chord import Chord, ChordType
from theorykit.theory.degree import Degree
from theorykit.theory.key import Key
from theorykit.theory.meter import METERS, find_meter
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import ACCIDENTAL_PATTERN
from theorykit.theory.quote import quoted
from theorykit.theory.roadmap import PLACES, Mark, playing_order

MOST_BARS = 512
_ACCEPTED = "bars such as | I | IV | V | I |"

# What may stand before the first bar, each once and in any order.
_HEADS = {
    "title": re.compile(r"\s*title:[ \t]*([^\n]*)(?:\n|$)"),
    "meter": re.compile(r"\s*([0-9]+/[0-9]+)\s*:?\s*(?=\||\[|key:|pickup|title:)"),
    "key": re.compile(r"\s*key:\s*([A-G][^\s|]*(?:[ \t]+(?:major|minor)\b)?)"),
    "pickup": re.compile(r"\s*pickup(?:\s+([0-9]+(?:/[0-9]+)?))?\s*:([^|]*)(?=\|)"),
}
_TOKEN = re.compile(
    r"\s*(?:"
    r"(?P<line>:?\|\|?[:\]]?)(?:x(?P<times>[2-9])(?![^\s|]))?"
    r"|key:\s*(?P<key>[^\s|:]+(?:[ \t]+(?:major|minor)\b)?)"
    r"|\[(?P<section>[^\]|\n]{1,24})\]"
    r"|(?P<ending>(?:[1-9]\.)+)(?=[\s|]|$)"
    r"|(?P<capo>D\.C\.)(?:\s+al\s+(?P<capo_to>fine|coda)\b)?"
    r"|(?P<segno_jump>D\.S\.)(?:\s+al\s+(?P<segno_to>fine|coda)\b)?"
    r"|(?P<to_coda>to\s+coda\b)|(?P<coda>coda\b|𝄌)|(?P<segno>segno\b|𝄋)|(?P<fine>fine\b)"
    r"|(?P<chord>[^\s|:\[\]]+)"
    r")",
    re.IGNORECASE,
)
_CHORD_SYMBOL = re.compile(r"[A-G]")
_KEY_NUMERAL = re.compile(f"{ACCIDENTAL_PATTERN}[IViv]+.*")
_SILENCES = {"N.C.", "NC"}
_HOME = Numeral.parse("I")


class ChartReader:
    """Reads one chart; the attributes are what it holds.

    Parameters
    ----------
    text : str
    key : Key or None
        The key of chord symbols, where the text itself names none.
    meter : str
        The meter, where the text itself names none.
    """

    def __init__(self, text: str, *, key: Key | None, meter: str) -> None:
        if not isinstance(text, str) or not text.strip():
            raise BadInput("progression", text, "has no chords", accepted=_ACCEPTED)
        self.text = text
        self.meter = find_meter(meter)
        self.title = ""
        self.key: Key | None = None
        self.bars: list[tuple[ChartChord, ...]] = []
        self.pickup: tuple[ChartChord, ...] = ()
        self.marks: list[Mark] = []
        self._symbol_key = key
        self._tonic = Degree(1)
        self._starts: list[tuple[str, str]] = []
        self._ends: list[tuple[str, str]] = []
        self._tokens: list[str] = []
        self._closed = False
        self._read()

    def _read(self) -> None:
        pickup, body = self._read_heads()
        if pickup is not None:
            self.pickup = self._read_pickup(*pickup)
        if "|" in body:
            self._read_bars(body)
        else:
            for token in body.replace(",", " ").split():
                self._tokens = [token]
                self._end_bar()
        self._name_silences()
        self.marks.sort(key=lambda mark: (mark.bar, list(PLACES).index(mark.kind)))
        try:
            playing_order(len(self.bars), self.marks)
        except BadInput as error:
            raise self._bad(error.reason) from None

    def _bad(self, reason: str, accepted: str | None = None) -> BadInput:
        return BadInput("progression", self.text, reason, accepted=accepted)

    @property
    def _here(self) -> str:
        return f"bar {len(self.bars) + 1}"

    def _read_heads(self) -> tuple[tuple[str, str] | None, str]:
        body, pickup, waiting = self.text, None, dict(_HEADS)
        while True:
            found = ((name, head.match(body)) for name, head in waiting.items())
            name, match = next(((name, match) for name, match in found if match), ("", None))
            if match is None:
                break
            del waiting[name]
            body = body[match.end() :]
            if name == "title":
                self.title = match[1].strip()
            elif name == "meter":
                self.meter = find_meter(match[1])
            elif name == "key":
                self.key = self._symbol_key = Key.parse(match[1])
            else:
                pickup = (match[1] or "", match[2])
        first = next(iter(body.split(None, 1)), "")
        if first in METERS:
            # "5/4" is also the V chord over a fourth.
            accepted = f"{first} | ... for the meter, | {first} | ... for the chord"
            raise self._bad(f"'{first}' may be a meter or a chord", accepted)
        return pickup, body

    def _read_pickup(self, beats: str, text: str) -> tuple[ChartChord, ...]:
        tokens = text.split()
        if not tokens:
            raise self._bad("its pick-up has no chords")
        if beats.endswith("/0"):
            raise self._bad("its pick-up has no length")
        whole = Fraction(beats) if beats else Fraction(len(tokens))
        if not 0 < whole < self.meter.beats:
            raise self._bad("its pick-up is not shorter than a bar")
        return self._read_chords("pick-up", tokens, whole / len(tokens))

    def _read_bars(self, body: str) -> None:
        body, position = body.rstrip(), 0
        while position < len(body):
            match = _TOKEN.match(body, position)
            if match is None:
                rest = body[position:].split()[0]
                raise self._bad(f"{self._here}: {quoted(rest)} is no part of a chart")
            position = match.end()
            written = match[0].strip()
            if match["line"]:
                self._read_line(match["line"], match["times"])
            elif match["chord"]:
                if self._ends or self._closed:
                    raise self._bad(f"{self._here}: {quoted(written)} comes after the end mark")
                self._tokens.append(match["chord"])
            else:
                self._read_mark(match, written)
        self._end_bar()
        if self._starts:
            raise self._bad(f"'{self._starts[0][0]}' stands before no bar")

    def _read_line(self, line: str, times: str | None) -> None:
        self._end_bar()
        self._closed = False
        if line.startswith(":"):
            if not self.bars:
                raise self._bad("':|' stands before the first bar")
            self.marks.append(Mark(len(self.bars) - 1, "repeat end", times or "2"))
        if times and (not line.startswith(":") or line.endswith(":")):
            raise self._bad(f"{self._here}: 'x{times}' belongs after ':|'")
        if line.endswith(":"):
            self._starts.append(("repeat start", ""))

    def _read_mark(self, match: re.Match[str], written: str) -> None:
        kind, value = self._mark(match)
        if PLACES[kind] == "start":
            if self._tokens:
                raise self._bad(f"{self._here}: {quoted(written)} stands at the start of a bar")
            self._starts.append((kind, value))
        elif self._tokens:
            self._ends.append((kind, value))
        elif self.bars:
            # After the last bar line it still belongs to the bar before.
            self.marks.append(Mark(len(self.bars) - 1, kind, value))
            self._closed = True
        else:
            raise self._bad(f"bar 1: {quoted(written)} stands at the end of a bar")

    def _mark(self, match: re.Match[str]) -> tuple[str, str]:
        if match["key"]:
            return "key", self._read_key(match["key"])
        if match["section"]:
            return "section", " ".join(match["section"].split())
        if match["ending"]:
            return "ending", match["ending"].replace(".", "")
        if match["capo"]:
            return "da capo", (match["capo_to"] or "").lower()
        if match["segno_jump"]:
            return "dal segno", (match["segno_to"] or "").lower()
        names = {"to_coda": "to coda", "coda": "coda", "segno": "segno", "fine": "fine"}
        return next((kind, "") for group, kind in names.items() if match[group])

    def _read_key(self, text: str) -> str:
        """A key in letters or as a numeral of the home key; gives the numeral."""
        try:
            if _CHORD_SYMBOL.match(text):
                key = Key.parse(text)
                if self._symbol_key is None:
                    raise BadInput("key", text, "needs the tune's own key at the beginning")
                degree = Degree.between(self._symbol_key.tonic, key.tonic)
                return str(Numeral(degree, ChordType("minor" if key.mode == "minor" else "major")))
            if not _KEY_NUMERAL.fullmatch(text):
                accepted = "a key such as D or F#m, or a numeral such as II or vi"
                raise BadInput("key", text, "not a key", accepted=accepted)
            numeral = Numeral.parse(text)
            if numeral.type.suffix not in {"", "m"} or numeral.bass or numeral.target:
                raise BadInput("key", text, "a key is a plain numeral, as in II or vi")
        except BadInput as error:
            raise self._bad(
                f"{self._here}: key {quoted(text)}: {error.reason}", error.accepted
            ) from None
        return str(numeral)

    def _end_bar(self) -> None:
        if not self._tokens:
            return
        index = len(self.bars)
        if index >= MOST_BARS:
            raise self._bad(f"has more than {MOST_BARS} bars")
        for kind, value in self._starts:
            if kind == "key":
                self._tonic = Numeral.parse(value).degree
        if self._tokens == ["%"]:
            if not self.bars:
                raise self._bad("bar 1 repeats a bar, but none is before")
            self.bars.append(self.bars[-1])
        else:
            self.bars.append(self._read_bar(self._tokens))
        self.marks += [Mark(index, *mark) for mark in (*self._starts, *self._ends)]
        self._tokens, self._starts, self._ends = [], [], []

    def _read_bar(self, tokens: list[str]) -> tuple[ChartChord, ...]:
        beats, count = self.meter.beats, len(tokens)
        if beats % count and not (count > beats and count % beats == 0):
            raise self._bad(
                f"{self._here}: {count} chords do not share {beats} beats evenly",
                "a '.' after a chord for each further share, as in I . . V",
            )
        return self._read_chords(self._here, tokens, Fraction(beats, count))

    def _read_chords(
        self, where: str, tokens: list[str], share: Fraction
    ) -> tuple[ChartChord, ...]:
        chords: list[ChartChord] = []
        for token in tokens:
            if token == ".":
                if not chords:
                    raise self._bad(f"{where}: starts with '.'")
                chords[-1] = replace(chords[-1], beats=chords[-1].beats + share)
            elif token == "%":
                raise self._bad(f"{where}: '%' must stand alone in its bar")
            elif token in _SILENCES:
                chords.append(ChartChord(_HOME, share, silent=True))
            else:
                chords.append(ChartChord(self._read_chord(where, token), share))
        return tuple(chords)

    def _read_chord(self, where: str, token: str) -> Numeral:
        try:
            if not _CHORD_SYMBOL.match(token):
                return Numeral.parse(token).shifted(self._tonic)
            chord = Chord.parse(token)
        except BadInput as error:
            raise BadInput(
                "progression",
                self.text,
                f"{where}: {error.kind} {quoted(token)}: {error.reason}",
                accepted=error.accepted,
                nearest=error.nearest,
            ) from None
        if self._symbol_key is None:
            raise self._bad(
                f"{where}: {quoted(token)} is a chord symbol, which needs a key",
                "numerals, or chord symbols with a key",
            )
        return Numeral.from_chord(chord, self._symbol_key.tonic)

    def _name_silences(self) -> None:
        every = [chord for bar in (self.pickup, *self.bars) for chord in bar]
        last = next((chord.numeral for chord in every if not chord.silent), None)
        if last is None or not self.bars:
            raise self._bad("has no chords", _ACCEPTED)

        named: list[tuple[ChartChord, ...]] = []
        for bar in (self.pickup, *self.bars):
            chords: list[ChartChord] = []
            for chord in bar:
                last = last if chord.silent else chord.numeral
                chords.append(replace(chord, numeral=last))
            named.append(tuple(chords))
        self.pickup, self.bars = named[0], named[1:]
