"""Progressions: bars of chords with no key, and the chart text that they are read from."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction

from theorykit.errors import BadInput
from theorykit.theory.chord import Chord
from theorykit.theory.key import Key, Mode
from theorykit.theory.numeral import Numeral

#: Meters that a chart may have, by the text before its first bar line.
METERS = ("4/4", "3/4")

_METER = re.compile(r"\s*([0-9]+/[0-9]+)\s*:?\s*(?=\|)")
_CHORD_SYMBOL = re.compile(r"[A-G]")
_MOST_BARS = 512


@dataclass(frozen=True, slots=True)
class ChartChord:
    """A chord in a bar.

    Parameters
    ----------
    numeral : Numeral
    beats : Fraction
        How long it lasts.
    """

    numeral: Numeral
    beats: Fraction


@dataclass(frozen=True, slots=True)
class Progression:
    """A chart with no key.

    Parameters
    ----------
    bars : tuple of tuple of ChartChord
    meter : str
        One of ``METERS``.
    name : str
        The form's name, or the chart text for one that a user typed.

    Examples
    --------
    >>> changes = Progression.parse("| I | IV V | I | % |")
    >>> str(changes)
    '| I | IV V | I | I |'
    >>> [str(chord.numeral.chord(Key.parse("D").tonic)) for chord in changes.chords]
    ['D', 'G', 'A', 'D', 'D']
    """

    bars: tuple[tuple[ChartChord, ...], ...]
    meter: str = "4/4"
    name: str = field(default="", compare=False)

    @classmethod
    def parse(
        cls, text: str, *, key: Key | None = None, meter: str = "4/4", name: str = ""
    ) -> Progression:
        """Read a chart: numerals, number-system figures or chord symbols.

        ``|`` ends a bar, ``%`` repeats the bar before, and the chords of a bar share it equally;
        a ``.`` gives the chord before it one more share. With no bar lines each chord is a bar. The
        text may begin with its meter: ``3/4 | I | V |``.

        Parameters
        ----------
        text : str
        key : Key, optional
            Needed where the text has chord symbols.
        meter : str
            The meter where the text does not begin with one.
        name : str
            What to call it; the chart itself if empty.

        Raises
        ------
        BadInput
            With the bar in which the trouble is.
        """
        if not isinstance(text, str) or not text.strip():
            raise BadInput(
                "progression", text, "has no chords", accepted="bars such as | I | IV | V | I |"
            )
        leading = _METER.match(text)
        if leading is not None:
            meter, body = leading[1], text[leading.end() :]
        else:
            body = text
        if meter not in METERS:
            raise BadInput("meter", meter, "not a meter of charts", accepted=", ".join(METERS))
        bars = _split_bars(body)
        if len(bars) > _MOST_BARS:
            raise BadInput("progression", text, f"has more than {_MOST_BARS} bars")
        read: list[tuple[ChartChord, ...]] = []
        for number, tokens in enumerate(bars, start=1):
            if tokens == ["%"]:
                if not read:
                    raise BadInput("progression", text, "bar 1 repeats a bar, but none is before")
                read.append(read[-1])
            else:
                read.append(_read_bar(text, number, tokens, key, meter))
        progression = cls(tuple(read), meter)
        return cls(progression.bars, meter, name or str(progression))

    @property
    def beats_per_bar(self) -> int:
        """The upper figure of the meter."""
        return int(self.meter.partition("/")[0])

    @property
    def chords(self) -> tuple[ChartChord, ...]:
        """Every chord in order, bar lines left out."""
        return tuple(chord for bar in self.bars for chord in bar)

    @property
    def mode(self) -> Mode:
        """Minor when the first chord on the tonic (or else the first chord) is minor."""
        numerals = [chord.numeral for chord in self.chords]
        tonics = [numeral for numeral in numerals if numeral.root.semitones % 12 == 0]
        third = (tonics or numerals)[0].type.third
        return "minor" if tonics and third is not None and third.alter < 0 else "major"

    def __str__(self) -> str:
        bars = []
        for bar in self.bars:
            share = min(chord.beats for chord in bar)
            tokens: list[str] = []
            for chord in bar:
                shares = int(chord.beats / share)
                tokens += [str(chord.numeral), *["."] * (shares - 1)]
            bars.append(" ".join(tokens))
        meter = f"{self.meter} " if self.meter != "4/4" else ""
        return f"{meter}| {' | '.join(bars)} |"


def _split_bars(body: str) -> list[list[str]]:
    if "|" not in body:
        return [[token] for token in body.replace(",", " ").split()]
    bars = [part.split() for part in body.split("|")]
    # A line may begin and end with a bar line, and one may end a line of text and begin the next.
    return [tokens for tokens in bars if tokens]


def _read_bar(
    text: str, number: int, tokens: list[str], key: Key | None, meter: str
) -> tuple[ChartChord, ...]:
    beats = int(meter.partition("/")[0])
    if beats % len(tokens) and not (len(tokens) > beats and len(tokens) % beats == 0):
        raise BadInput(
            "progression",
            text,
            f"bar {number}: {len(tokens)} chords do not share {beats} beats evenly",
            accepted="a '.' after a chord for each further share, as in I . . V",
        )
    share = Fraction(beats, len(tokens))
    chords: list[ChartChord] = []
    for token in tokens:
        if token == ".":
            if not chords:
                raise BadInput("progression", text, f"bar {number}: starts with '.'")
            chords[-1] = ChartChord(chords[-1].numeral, chords[-1].beats + share)
            continue
        if token == "%":
            raise BadInput("progression", text, f"bar {number}: '%' must stand alone in its bar")
        chords.append(ChartChord(_read_chord(text, number, token, key), share))
    return tuple(chords)


def _read_chord(text: str, number: int, token: str, key: Key | None) -> Numeral:
    try:
        if not _CHORD_SYMBOL.match(token):
            return Numeral.parse(token)
        chord = Chord.parse(token)
    except BadInput as error:
        raise BadInput(
            "progression",
            text,
            f"bar {number}: {error.kind} '{token}': {error.reason}",
            accepted=error.accepted,
            nearest=error.nearest,
        ) from None
    if key is None:
        raise BadInput(
            "progression",
            text,
            f"bar {number}: '{token}' is a chord symbol, which needs a key",
            accepted="numerals, or chord symbols with a key",
        )
    return Numeral.from_chord(chord, key.tonic)
