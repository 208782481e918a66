"""What a line is played over: every chord at its place, with what each note is worth there."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.analysis.plan import PlanEntry, plan_progression
from theorykit.analysis.style import Style
from theorykit.analysis.tonality import TuneMode, tune_mode
from theorykit.practice.line_palette import GRITTY_SCALE, Palette, palette
from theorykit.score.score import PlacedChord, ScoreBar
from theorykit.theory.chord import Chord
from theorykit.theory.degree import Degree
from theorykit.theory.key import MINOR_TONICS, Key, usual_tonic
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.progression import Progression
from theorykit.theory.scale import SCALES

#: The scale that a plain line holds, on the key's tonic (common practice).
PLAIN_SCALES: dict[TuneMode, str] = {
    "major": "major",
    "minor": "natural minor",
    "Mixolydian": "Mixolydian",
    "Dorian": "Dorian",
}

_FLAT_SEVENTH = Degree(7, -1)


@dataclass(frozen=True, slots=True)
class Slot:
    """A chord at its place in the line.

    Parameters
    ----------
    start, end : Fraction
        In beats.
    bar : int
        Counted from 0 through all choruses.
    numeral : Numeral
        Counted from ``tonic``; where no chord sounds, the chord that is still in the ear.
    chord : Chord
    tonic : Note
    silent : bool
    changes : bool
        True where the chord before was another one.
    plain, gritty : Palette
    plan, gritty_plan : PlanEntry
        Which scale is held here.
    """

    start: Fraction
    end: Fraction
    bar: int
    numeral: Numeral
    chord: Chord
    tonic: Note
    silent: bool
    changes: bool
    plain: Palette
    gritty: Palette
    plan: PlanEntry
    gritty_plan: PlanEntry


@dataclass(frozen=True, slots=True)
class LineChart:
    """The chords of every chorus.

    Parameters
    ----------
    key : Key
    mode : {"major", "minor", "Mixolydian", "Dorian"}
        The tune's.
    meter : str
    slots : tuple of Slot
    bars : tuple of ScoreBar
    chords : tuple of PlacedChord
    keys : tuple of (Fraction, Key)
    title : str
    """

    key: Key
    mode: TuneMode
    meter: str
    slots: tuple[Slot, ...]
    bars: tuple[ScoreBar, ...]
    chords: tuple[PlacedChord, ...]
    keys: tuple[tuple[Fraction, Key], ...]
    title: str


def line_chart(progression: Progression, key: Key, style: Style, *, choruses: int = 1) -> LineChart:
    """A progression played out, with the plans and the notes for each chord.

    Parameters
    ----------
    progression : Progression
    key : Key
        Its mode is put right where the chords are in minor and it was not said.
    style : Style
    choruses : int

    Examples
    --------
    >>> from theorykit.analysis.style import find_style
    >>> chart = line_chart(Progression.parse("| I | V7 |"), Key.parse("G"), find_style("jazz"))
    >>> [str(slot.chord) for slot in chart.slots]
    ['G', 'D7']
    >>> [str(tone.degree) for tone in chart.slots[0].plain if tone and tone.treatment == "rest"]
    ['1', '3', '5']
    """
    chart = progression.unfolded()
    local = tuple(
        tuple(replace(placed, numeral=chart.local_numeral(number, placed)) for placed in written)
        for number, written in enumerate(chart.bars)
    )
    counted = Progression(local, chart.meter, chart.name)
    mode = tune_mode(counted)
    if key.mode == "major" and counted.mode == "minor" and key.tonic in MINOR_TONICS:
        key = Key(key.tonic, "minor")
    plain = plan_progression(counted, SCALES[_plain_scale(counted, mode)], style, mode)
    gritty = plan_progression(counted, SCALES[GRITTY_SCALE], style, mode)
    beats = Fraction(chart.beats_per_bar)
    sections = {mark.bar: mark.value for mark in chart.marks if mark.kind == "section"}
    slots: list[Slot] = []
    bars: list[ScoreBar] = []
    chords: list[PlacedChord] = []
    keys: list[tuple[Fraction, Key]] = []
    for chorus in range(choruses):
        entries = zip(plain.entries, gritty.entries, strict=True)
        for number, (written, tonic) in enumerate(zip(chart.bars, chart.tonics, strict=True)):
            bar = chorus * len(chart.bars) + number
            start = bar * beats
            bars.append(ScoreBar(start, beats, chorus + 1, sections.get(number, "")))
            here = Key(usual_tonic(tonic.at(key.tonic)), key.mode)
            if not keys or keys[-1][1] != here:
                keys.append((start, here))
            for placed, counted_chord in zip(written, local[number], strict=True):
                own, blues = next(entries)
                chord = placed.numeral.chord(key.tonic)
                end = start + placed.beats
                slots.append(
                    Slot(
                        start,
                        end,
                        bar,
                        counted_chord.numeral,
                        chord,
                        here.tonic,
                        placed.silent,
                        bool(slots) and slots[-1].chord != chord,
                        palette(counted_chord.numeral, mode, style, own.scale, own.scale_tonic),
                        palette(counted_chord.numeral, mode, style, blues.scale, blues.scale_tonic),
                        own,
                        blues,
                    )
                )
                chords.append(
                    PlacedChord(
                        start,
                        placed.beats,
                        None if placed.silent else chord,
                        None if placed.silent else placed.numeral,
                    )
                )
                start = end
    return LineChart(
        key,
        mode,
        chart.meter,
        tuple(slots),
        tuple(bars),
        tuple(chords),
        tuple(keys),
        progression.name,
    )


def _plain_scale(progression: Progression, mode: TuneMode) -> str:
    """The scale that is held; where the tonic chord is a dominant seventh, as in a blues, its own.

    The chord on the tonic tells the seventh better than the signature does (common practice).
    """
    for placed in progression.chords:
        if placed.numeral.root.semitones % 12 == 0:
            if mode == "major" and _FLAT_SEVENTH in placed.numeral.type.degrees:
                return "Mixolydian"
            break
    return PLAIN_SCALES[mode]
