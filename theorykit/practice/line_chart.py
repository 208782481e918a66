"""What a line is played over: every chord at its place, with what each note is worth there."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from typing import Literal

from theorykit.analysis import style as styles
from theorykit.analysis.classification import Harmony
from theorykit.analysis.fit import NoteFit
from theorykit.analysis.plan import PlanEntry, plan_progression
from theorykit.analysis.resolution import resolve
from theorykit.analysis.style import CARE_AT, CLASSES, SWITCH_AT, NoteClass, Style
from theorykit.analysis.tonality import TuneMode, tune_mode
from theorykit.score.score import PlacedChord, ScoreBar
from theorykit.theory.chord import Chord
from theorykit.theory.degree import Degree
from theorykit.theory.key import MINOR_TONICS, Key, usual_tonic
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.progression import Progression
from theorykit.theory.scale import SCALES, ScaleFormula

#: How a line may use a note: rest on it, join with it, dwell on it as a blue note, pass it briefly,
#: slur it to a neighbour a half step off, pass it with care, lead up from it.
Treatment = Literal["rest", "join", "blue", "brief", "slur", "watch", "lead"]

#: The scale that a plain line holds, on the key's tonic (common practice).
PLAIN_SCALES: dict[TuneMode, str] = {
    "major": "major",
    "minor": "natural minor",
    "Mixolydian": "Mixolydian",
    "Dorian": "Dorian",
}
GRITTY_SCALE = "blues"

_FLAT_SEVENTH = Degree(7, -1)


@dataclass(frozen=True, slots=True)
class Tone:
    """A note over a chord.

    Parameters
    ----------
    degree : Degree
        Above the tonic.
    member : Degree
        Above the chord's root.
    kind : NoteClass
    role : str
        As views draw it.
    treatment : str
    goals : tuple of int
        The steps that take it to a chord member, in half steps, the best first.
    rubs : Degree or None
        The chord member a half step off, above the chord's root.
    rising : Degree or None
        How it is written on the way up, above the tonic, if not as ``degree``.
    """

    degree: Degree
    member: Degree
    kind: NoteClass
    role: str
    treatment: Treatment
    goals: tuple[int, ...]
    rubs: Degree | None = None
    rising: Degree | None = None


#: For each half step above the tonic what a line may do there; None to leave it out.
Palette = tuple[Tone | None, ...]


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


@lru_cache(maxsize=4096)
def palette(
    numeral: Numeral, mode: TuneMode, style: Style, scale: ScaleFormula, tonic: Degree
) -> Palette:
    """What a line may do with each of the twelve notes over a chord.

    The chord's own notes are all there, and put the scale's notes of their letters aside.

    Parameters
    ----------
    numeral : Numeral
    mode : {"major", "minor", "Mixolydian", "Dorian"}
    style : Style
    scale : ScaleFormula
        The one that is held, on ``tonic``, a degree of the key.
    tonic : Degree

    Examples
    --------
    >>> from theorykit.analysis.style import find_style
    >>> five, jazz = Numeral.parse("V7"), find_style("jazz")
    >>> notes = palette(five, "major", jazz, SCALES["Mixolydian"], Degree(1))
    >>> [str(tone.degree) for tone in notes if tone and tone.treatment != "lead"]
    ['1', '2', '3', '4', '5', '6', '7']
    """
    harmony = Harmony.of(numeral, mode)
    gritty = scale.name == GRITTY_SCALE
    members = {degree.semitones % 12: degree for degree in numeral.members}
    letters = {degree.number for degree in numeral.members}
    held = [tonic.plus(degree) for degree in scale.degrees]
    passed = {tonic.plus(degree).semitones % 12 for degree in scale.ornaments}
    names = {
        degree.semitones % 12: degree for degree in held if gritty or degree.number not in letters
    }
    second = {
        held[place].semitones % 12: tonic.plus(alternate)
        for place, alternate in enumerate(scale.alternates)
        if alternate is not None
    }
    found: list[Tone | None] = []
    for step in range(12):
        kind, severity = CLASSES[harmony.codes[step]], style.severities[harmony.codes[step]]
        if step in members:
            degree = members[step]
            member = degree.minus(numeral.root)
            role = "root" if member == Degree(1) else "chord tone"
            found.append(Tone(degree, member, kind, role, "rest", ()))
            continue
        leads = kind in {styles.APPROACH, styles.BLUE}
        if severity >= SWITCH_AT or (step not in names and not leads):
            found.append(None)
            continue
        name = names.get(step)
        note = NoteFit(
            name if name is not None else _neighbour(members[(step + 1) % 12], numeral),
            None,
            kind,
            severity,
            harmony.members[step],
        )
        goals = tuple(way.half_steps for way in resolve(note, numeral))
        treatment = _treatment(kind, severity, known=name is not None, ornament=step in passed)
        found.append(
            Tone(
                note.degree,
                note.degree.minus(numeral.root),
                kind,
                kind.role,
                treatment,
                goals if treatment != "lead" else (1,),
                harmony.members[step],
                second.get(step),
            )
        )
    return tuple(found)


def _treatment(kind: NoteClass, severity: float, *, known: bool, ornament: bool) -> Treatment:
    if not known:
        return "lead"
    if kind.role == "avoid" or severity >= CARE_AT:
        return "watch"
    if ornament:
        return "slur"
    if kind in {styles.PASSING, styles.APPROACH}:
        return "brief"
    return "blue" if kind is styles.BLUE else "join"


def _neighbour(goal: Degree, numeral: Numeral) -> Degree:
    """How a half step below a chord member is written: on the letter below, but a lowered third."""
    if goal.minus(numeral.root) == Degree(3):
        return Degree(goal.number, goal.alter - 1)
    number = (goal.number - 2) % 7 + 1
    surplus = goal.semitones - 1 - Degree(number).semitones
    return Degree(number, (surplus + 6) % 12 - 6)
