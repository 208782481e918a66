"""Progressions: bars of chords with no key, read from a chart's text and written back."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path

from theorykit.errors import BadInput
from theorykit.theory.chart import ChartChord, bar_text, chart_text, key_at
from theorykit.theory.chart_reader import ChartReader
from theorykit.theory.chord import Chord
from theorykit.theory.degree import Degree
from theorykit.theory.key import Key, Mode
from theorykit.theory.meter import METERS as METER_TABLE
from theorykit.theory.meter import find_meter
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.roadmap import Mark, playing_order
from theorykit.theory.table import html_table

__all__ = ["METERS", "ChartChord", "Mark", "Progression"]

#: Meters that a chart may have, by the text before its first bar line.
METERS = tuple(METER_TABLE)

# A chart is a page of text; what is bigger is another file.
_MOST_BYTES = 100_000


@dataclass(frozen=True, slots=True)
class Progression:
    """A chart with no key.

    Parameters
    ----------
    bars : tuple of tuple of ChartChord
        The bars as written, repeats not played out; ``unfolded`` plays them out.
    meter : str
        One of ``METERS``.
    name : str
        The form's name, or the chart text for one that a user typed.
    pickup : tuple of ChartChord
        What sounds before the first bar, shorter than a bar.
    marks : tuple of Mark
        Repeats, endings, jumps, sections and changes of key.
    key : Key or None
        The key that the chart itself names, if it does; the numerals do not depend on it.

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
    pickup: tuple[ChartChord, ...] = ()
    marks: tuple[Mark, ...] = ()
    key: Key | None = field(default=None, compare=False)

    @classmethod
    def parse(
        cls, text: str, *, key: Key | None = None, meter: str = "4/4", name: str = ""
    ) -> Progression:
        """Read a chart: numerals, number-system figures or chord symbols.

        ``|`` ends a bar, ``%`` repeats the bar before, and the chords of a bar share it equally;
        a ``.`` gives the chord before it one more share, and ``N.C.`` is a rest of the chords.
        With no bar lines each chord is a bar.

        Before the first bar line the text may name its ``title:`` (to the end of the line), its
        meter (``3/4``), its ``key:`` and its pick-up, one beat to a chord unless it says how many
        (``pickup: V``, ``pickup 1/2: V``). Repeats are ``|:`` and ``:|`` (``:|x3`` to play it three
        times), endings begin with ``1.`` and ``2.``, a section is ``[A]``. ``segno``, ``coda`` and
        ``key: D`` (``key: II`` in numerals) stand at the start of a bar; ``to coda``, ``fine``,
        ``D.C.`` and ``D.S.``, with ``al Fine`` or ``al Coda``, at its end. After a change of key,
        numerals count from the new tonic.

        Parameters
        ----------
        text : str
        key : Key, optional
            Needed where the text has chord symbols and names no key.
        meter : str
            The meter where the text does not begin with one.
        name : str
            What to call it; the title if empty, the chart itself if there is none.

        Raises
        ------
        BadInput
            With the bar in which the trouble is.

        Examples
        --------
        >>> tune = Progression.parse("|: I | IV |1. V :|2. I | key: V | I |")
        >>> str(tune.unfolded())
        '| I | IV | V | I | IV | I | key: V I |'
        """
        read = ChartReader(text, key=key, meter=meter)
        progression = cls(
            tuple(read.bars),
            read.meter.name,
            name or read.title,
            read.pickup,
            tuple(read.marks),
            read.key,
        )
        return progression if progression.name else progression.named(str(progression))

    def named(self, name: str) -> Progression:
        """The same chart under another name."""
        return Progression(self.bars, self.meter, name, self.pickup, self.marks, self.key)

    @property
    def beats_per_bar(self) -> int:
        """What is counted in a bar: two in 6/8, three in 9/8, four in 12/8, else the upper figure.

        >>> Progression.parse("6/8 | I | V |").beats_per_bar
        2
        """
        return find_meter(self.meter).beats

    @property
    def beat_quarters(self) -> Fraction:
        """How many quarter notes a beat lasts: 1, in the compound meters 3/2."""
        return find_meter(self.meter).beat_quarters

    @property
    def chords(self) -> tuple[ChartChord, ...]:
        """Every chord in order, bar lines left out and the pick-up too."""
        return tuple(chord for bar in self.bars for chord in bar)

    @property
    def mode(self) -> Mode:
        """The mode of the chart's own key; without one, minor when the tonic chord is minor.

        The tonic chord is the first on the tonic, or else the first of all.
        """
        if self.key is not None:
            return self.key.mode
        numerals = [chord.numeral for chord in self.chords]
        tonics = [numeral for numeral in numerals if numeral.root.semitones % 12 == 0]
        if not tonics:
            return "major"
        third = tonics[0].type.third
        return "minor" if third is not None and third.alter < 0 else "major"

    @property
    def playing_order(self) -> tuple[int, ...]:
        """The bars, counted from 0, in the order in which repeats and jumps play them."""
        return playing_order(len(self.bars), self.marks)

    def unfolded(self) -> Progression:
        """The chart played out: every repeat, ending and jump written as plain bars.

        Sections and changes of key stay marked where they are reached.
        """
        bars: list[tuple[ChartChord, ...]] = []
        marks: list[Mark] = []
        sections = {mark.bar: mark for mark in self.marks if mark.kind == "section"}
        tonic = "I"
        for place, bar in enumerate(self.playing_order):
            bars.append(self.bars[bar])
            if bar in sections:
                marks.append(Mark(place, "section", sections[bar].value))
            here = self.key_at(bar)
            if here != tonic:
                marks.append(Mark(place, "key", here))
                tonic = here
        name = "" if self.name == str(self) else self.name
        plain = Progression(tuple(bars), self.meter, name, self.pickup, tuple(marks), self.key)
        return plain if name else plain.named(str(plain))

    def key_at(self, bar: int) -> str:
        """The key of a written bar, counted from 0, as a numeral of the home key.

        >>> Progression.parse("| I | key: II | V | I |").key_at(2)
        'II'
        """
        return key_at(self.marks, bar)

    @property
    def tonics(self) -> tuple[Degree, ...]:
        """The tonic that each written bar counts from, as a degree of the home key.

        >>> [str(tonic) for tonic in Progression.parse("| I | key: II | I |").tonics]
        ['1', '2']
        """
        return tuple(Numeral.parse(self.key_at(bar)).degree for bar in range(len(self.bars)))

    def local_numeral(self, bar: int, chord: ChartChord) -> Numeral:
        """A chord counted from the tonic of the key that its bar is in."""
        tonic = Numeral.parse(self.key_at(bar)).degree
        return chord.numeral if tonic == Degree(1) else chord.numeral.unshifted(tonic)

    def in_key(self, tonic: Note) -> tuple[tuple[Chord | None, ...], ...]:
        """The chord symbols of each written bar with the home tonic ``tonic``; None for N.C.

        >>> chart = Progression.parse("| I | V7/V V7 |")
        >>> [[str(chord) for chord in bar] for bar in chart.in_key(Note.parse("Bb"))]
        [['Bb'], ['C7', 'F7']]
        """
        return tuple(
            tuple(None if chord.silent else chord.numeral.chord(tonic) for chord in bar)
            for bar in self.bars
        )

    def __str__(self) -> str:
        return self._text(bars_per_line=max(1, len(self.bars)), title="")

    @property
    def text(self) -> str:
        """The chart as a text file holds it: title and four bars to a line."""
        title = "" if self.name in {"", str(self)} else self.name
        return self._text(bars_per_line=4, title=title) + "\n"

    def _text(self, *, bars_per_line: int, title: str) -> str:
        body = chart_text(
            self.bars,
            meter=self.meter,
            pickup=self.pickup,
            marks=self.marks,
            key=self.key,
            bars_per_line=bars_per_line,
        )
        return f"title: {' '.join(title.split())}\n{body}" if title else body

    def write(self, path: str | Path) -> None:
        """Write the chart as a text file, which ``read`` reads back."""
        Path(path).write_text(self.text, encoding="utf-8", newline="\n")

    @classmethod
    def read(cls, path: str | Path, *, key: Key | None = None) -> Progression:
        """Read a chart from a text file.

        Raises
        ------
        BadInput
            If there is no such file, or what it holds is no chart.
        """
        try:
            with Path(path).open("rb") as file:
                data = file.read(_MOST_BYTES + 1)
            text = data.decode("utf-8-sig")
        except (OSError, UnicodeDecodeError) as error:
            reason = "is not text" if isinstance(error, UnicodeError) else "can't be read"
            raise BadInput("chart file", path, reason, accepted="a text file in UTF-8") from None
        if len(data) > _MOST_BYTES:
            raise BadInput("chart file", path, f"is longer than {_MOST_BYTES} bytes")
        return cls.parse(text, key=key)

    def records(self, tonic: Note | None = None) -> list[dict[str, object]]:
        """One plain row for each chord: bar and beat (from 1), length, numeral, symbol, silence.

        >>> Progression.parse("| I | V |").records(Note.parse("A"))[1]["chord"]
        'E'
        """
        rows: list[dict[str, object]] = []
        for number, bar in enumerate(self.bars, start=1):
            beat = Fraction(1)
            for chord in bar:
                row: dict[str, object] = {"bar": number, "beat": float(beat)}
                row |= {"beats": float(chord.beats), "numeral": str(chord.numeral)}
                if tonic is not None:
                    row["chord"] = str(chord.numeral.chord(tonic))
                row["silent"] = chord.silent
                rows.append(row)
                beat += chord.beats
        return rows

    def _repr_html_(self) -> str:
        rows = [
            [str(number), bar_text(bar, Numeral.parse(self.key_at(number - 1)).degree)]
            for number, bar in enumerate(self.bars, start=1)
        ]
        return html_table(f"{self.name} ({self.meter})", ["bar", "chords"], rows)
