"""A tune as a file has it, bar by bar, and the score that it makes when it is played."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import pairwise

from theorykit.errors import BadInput, TuneError
from theorykit.notation.tune_order import played
from theorykit.score.score import (
    FASTEST,
    SLOWEST,
    Articulation,
    Glide,
    Part,
    PlacedChord,
    Score,
    ScoreBar,
    ScoreNote,
    Vibrato,
)
from theorykit.score.signature import Signature
from theorykit.theory.chord import Chord
from theorykit.theory.degree import Degree
from theorykit.theory.key import Key
from theorykit.theory.meter import Meter, read_meter
from theorykit.theory.pitch import Pitch

#: What a file may hold: past any tune, and little enough that nothing runs out.
MOST_BYTES, MOST_NOTES, MOST_BARS = 8_000_000, 30_000, 8192

#: Longer than any tune's name.
MOST_TITLE = 300

#: Quarters a minute where a file says nothing.
PLAIN_TEMPO = 100.0


@dataclass(slots=True)
class TuneNote:
    """A note in a bar: its place and length in quarters, and all that is written at it.

    ``tied`` says that it goes on in the next note of its pitch on its staff, ``slide`` how far the
    hand slides at its end.
    """

    offset: Fraction
    quarters: Fraction
    pitch: Pitch
    staff: str = "1"
    tied: bool = False
    string: int | None = None
    fret: int | None = None
    finger: int | None = None
    degree: Degree | None = None
    articulation: Articulation = ""
    level: float = 1.0
    slide: float | None = None
    scoop: bool = False
    vibrato: bool = False
    bends: list[tuple[float, float, float]] = field(default_factory=list)
    bent_before: float = 0.0


@dataclass(slots=True)
class TuneBar:
    """A bar as it is written.

    Parameters
    ----------
    quarters : Fraction
    meter : str
    signature : Signature, optional
        The one that holds in it.
    section : str
        What begins there.
    repeat_start : bool
    repeat_end : int
        How often the repeat that it closes is played; 0 if it closes none.
    ending : str
        The times that the ending which begins there is for: ``"1"``, ``"13"``.
    double : bool
        Whether a double bar line stands behind it.
    jumps : list of (str, str)
        Other marks of a road map, and their values.
    """

    meter: str
    signature: Signature | None
    quarters: Fraction = Fraction(0)
    notes: list[TuneNote] = field(default_factory=list)
    chords: list[tuple[Fraction, Chord | None]] = field(default_factory=list)
    section: str = ""
    repeat_start: bool = False
    repeat_end: int = 0
    ending: str = ""
    double: bool = False
    jumps: list[tuple[str, str]] = field(default_factory=list)


@dataclass(slots=True)
class Tune:
    """A tune as a file has it.

    Parameters
    ----------
    bars : list of TuneBar
    title : str
    quarters_a_minute : float
    feel, voice : str
    """

    bars: list[TuneBar] = field(default_factory=list)
    title: str = ""
    quarters_a_minute: float = PLAIN_TEMPO
    feel: str = ""
    voice: str = "guitar"


def tune_score(tune: Tune, *, repeats: bool) -> Score:
    """The score of a tune.

    Parameters
    ----------
    tune : Tune
    repeats : bool
        True to play its repeats and jumps out. Then a bar that a repeat cuts in two, the end of
        one strain and the pick-up to the next, is whole again.

    Raises
    ------
    TuneError
        If there is nothing to play, or too much.
    """
    written = [bar for bar in tune.bars if bar.quarters > 0]
    if not any(bar.notes or bar.chords for bar in written):
        raise TuneError("has no notes")
    order, remark = played(written) if repeats else (range(len(written)), "")
    if len(order) > MOST_BARS:
        raise TuneError(f"more than {MOST_BARS} bars")
    if sum(len(written[index].notes) for index in order) > MOST_NOTES:
        raise TuneError(f"more than {MOST_NOTES} notes")
    bars = [written[index] for index in order]
    meter = read_meter(bars[0].meter)
    quarter = 1 / meter.beat_quarters
    pickup = _pickup(bars)
    starts: list[Fraction] = []
    at = -pickup
    for bar in bars:
        starts.append(at)
        at += bar.quarters
    keys, modes = _signatures(bars, starts, quarter)
    tempo = tune.quarters_a_minute * float(quarter)
    return Score(
        (Part("line", tuple(_notes(bars, starts, quarter)), tune.voice),),
        chords=tuple(_chords(bars, starts, quarter)),
        bars=tuple(_score_bars(bars, starts, meter, quarter, pickup, joined=repeats)),
        meter=meter.name,
        tempo=min(max(tempo, SLOWEST), FASTEST),
        feel=tune.feel,
        key=keys[0][1] if keys else None,
        keys=tuple(keys),
        pickup=pickup * quarter,
        title=tune.title[:MOST_TITLE],
        remark=remark,
        modes=tuple(modes),
    )


def _full(bar: TuneBar) -> Fraction:
    meter = read_meter(bar.meter)
    return meter.beats * meter.beat_quarters


def _pickup(bars: Sequence[TuneBar]) -> Fraction:
    first = bars[0]
    short = len(bars) > 1 and first.quarters < _full(first)
    return first.quarters if short else Fraction(0)


def _signatures(
    bars: Sequence[TuneBar], starts: Sequence[Fraction], quarter: Fraction
) -> tuple[list[tuple[Fraction, Key]], list[tuple[Fraction, str]]]:
    """The changes of key and of mode; a mode is told only where there are modes at all."""
    told: Signature | None = None
    found: list[tuple[Fraction, Signature]] = []
    for bar, start in zip(bars, starts, strict=True):
        if bar.signature is not None and bar.signature != told:
            found.append((max(start, Fraction(0)) * quarter, bar.signature))
            told = bar.signature
    by_beat = dict(found)
    keys: list[tuple[Fraction, Key]] = []
    modes: list[tuple[Fraction, str]] = []
    for beat, signature in by_beat.items():
        if not keys or keys[-1][1] != signature.key:
            keys.append((beat, signature.key))
        if signature.mode != (modes[-1][1] if modes else ""):
            modes.append((beat, signature.mode))
    return keys, modes


def _chords(
    bars: Sequence[TuneBar], starts: Sequence[Fraction], quarter: Fraction
) -> Iterable[PlacedChord]:
    placed: dict[Fraction, Chord | None] = {}
    for bar, start in zip(bars, starts, strict=True):
        for offset, chord in sorted(bar.chords, key=lambda each: each[0]):
            placed[start + min(offset, bar.quarters)] = chord
    end = starts[-1] + bars[-1].quarters
    beats = sorted(beat for beat in placed if beat < end)
    for beat, until in pairwise([*beats, end]):
        yield PlacedChord(beat * quarter, (until - beat) * quarter, placed[beat])


def _score_bars(
    bars: Sequence[TuneBar],
    starts: Sequence[Fraction],
    meter: Meter,
    quarter: Fraction,
    pickup: Fraction,
    *,
    joined: bool,
) -> list[ScoreBar]:
    found: list[ScoreBar] = []
    section, before = "", None
    for bar, start in zip(bars, starts, strict=True):
        section = bar.section or section
        if start < 0 and pickup:
            continue
        full = _full(bar)
        short = 0 < bar.quarters < full
        if joined and short and before is not None and before + bar.quarters == full:
            found[-1] = replace(found[-1], beats=full * quarter)
            before = None
            continue
        before = bar.quarters if short else None
        name = "" if bar.meter == meter.name else bar.meter
        found.append(ScoreBar(start * quarter, bar.quarters * quarter, section=section, meter=name))
    return found


@dataclass(slots=True)
class _Held:
    """A note with all that is tied to it."""

    note: TuneNote
    start: Fraction
    quarters: Fraction


def _notes(
    bars: Sequence[TuneBar], starts: Sequence[Fraction], quarter: Fraction
) -> list[ScoreNote]:
    """The notes as they are played, tied ones joined."""
    found: list[_Held] = []
    waiting: dict[tuple[int, str, Fraction], _Held] = {}
    for bar, start in zip(bars, starts, strict=True):
        for note in sorted(bar.notes, key=lambda each: each.offset):
            at = start + note.offset
            held = waiting.pop((note.pitch.midi, note.staff, at), None)
            if held is None:
                held = _Held(note, at, note.quarters)
                found.append(held)
            else:
                held.quarters += note.quarters
            if note.tied:
                waiting[note.pitch.midi, note.staff, held.start + held.quarters] = held
    notes = [_score_note(held, quarter) for held in found]
    return sorted(notes, key=lambda note: (note.start, note.midi))


def _score_note(held: _Held, quarter: Fraction) -> ScoreNote:
    note, beats = held.note, held.quarters * quarter
    try:
        return ScoreNote(
            held.start * quarter,
            beats,
            note.pitch.midi,
            note.pitch,
            level=note.level,
            articulation=note.articulation,
            glide=_glide(note, beats),
            vibrato=Vibrato() if note.vibrato else None,
            string=note.string,
            fret=note.fret,
            finger=note.finger,
            degree=note.degree,
        )
    except BadInput as error:
        raise TuneError(str(error)) from None


def _glide(note: TuneNote, beats: Fraction) -> Glide | None:
    if note.bends or note.bent_before:
        return _bend(note.bends, beats, note.bent_before)
    points: list[tuple[Fraction, float]] = []
    if note.scoop:
        points += [(Fraction(0), -1.0), (beats / 4, 0.0)]
    if note.slide:
        points += [(beats / 2, 0.0), (beats, note.slide)]
    return Glide("slide", tuple(points)) if points else None


def _bend(bends: Sequence[tuple[float, float, float]], beats: Fraction, start: float) -> Glide:
    """The glide of bends, each with its first and last hundredth of the note and its half steps."""
    points = [(Fraction(0), start)] if start or not bends else []
    height = start
    for first, last, change in bends:
        for place, there in ((first, height), (last, height + change)):
            at = (Fraction(place) / 100 * beats).limit_denominator(960)
            if not points or at > points[-1][0]:
                points.append((at, there))
        height += change
    return Glide("bend", tuple(points))
