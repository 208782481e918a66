"""Example solos over a progression, by level, in which every note can be asked why it is there."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.analysis.style import Style, find_style
from theorykit.errors import BadInput
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.fingering import finger_line
from theorykit.instruments.hand import places
from theorykit.instruments.instrument import Instrument
from theorykit.instruments.positions import melody_strings
from theorykit.practice.line_chart import LineChart, Slot, line_chart
from theorykit.practice.line_contour import heights
from theorykit.practice.line_level import Level, find_level
from theorykit.practice.line_reason import reason, spelled_tone
from theorykit.practice.line_rhythm import (
    PhraseRhythm,
    bar_eighths,
    phrase_rhythms,
    strong_eighths,
)
from theorykit.practice.line_search import Spot, find_pitches
from theorykit.score.score import Glide, Part, Score, ScoreNote, check_tempo
from theorykit.theory.form import find_progression
from theorykit.theory.key import Key
from theorykit.theory.meter import find_meter
from theorykit.theory.pitch import Pitch, note_at_midi
from theorykit.theory.progression import Progression

#: Where a line lies if no instrument says: G3 to A5, what a treble staff shows.
LOWEST, HIGHEST = 55, 81
#: How far up the first string a line goes if not told: a fiddler's first position.
HIGHEST_FRET = 7
#: Less than an octave leaves no room to play.
LEAST_COMPASS = 12
MOST_CHORUSES = 20

DEFAULT_STYLE = "bluegrass"

#: A blue third is pushed up by a quarter tone (common practice), if it is this long, in quarters.
_PUSH, _LEAST_PUSHED = 0.5, Fraction(1, 2)


@dataclass(frozen=True, slots=True)
class Phrase:
    """A phrase of a line.

    Parameters
    ----------
    first, beyond : int
        The numbers of its first note and of the one after its last.
    start, beats : Fraction
        Its bars; a pick-up lies before them.
    answers : bool
        True where it takes up the rhythm of the phrase before.
    """

    first: int
    beyond: int
    start: Fraction
    beats: Fraction
    answers: bool


@dataclass(frozen=True, slots=True)
class Line:
    """A solo, with its reasons.

    Parameters
    ----------
    score : Score
        Its part is ``line``.
    reasons : tuple of str
        One for each note.
    phrases : tuple of Phrase
    gritty : tuple of bool
        For each bar, whether the blues scale is held there.
    level : int
    """

    score: Score
    reasons: tuple[str, ...]
    phrases: tuple[Phrase, ...]
    gritty: tuple[bool, ...]
    level: int

    @property
    def notes(self) -> tuple[ScoreNote, ...]:
        """The notes of the line."""
        return self.score.part("line").notes

    def why(self, index: int) -> str:
        """Why a note is there, counted from 0.

        Raises
        ------
        BadInput
            If the line has no such note.
        """
        if not isinstance(index, int) or not 0 <= index < len(self.reasons):
            accepted = f"0 to {len(self.reasons) - 1}"
            raise BadInput("note number", index, "not in this line", accepted=accepted)
        return self.reasons[index]

    def records(self) -> list[dict[str, object]]:
        """One plain row for each note, its bar counted from 1."""
        beats = self.score.bars[0].beats
        return [
            {
                "bar": int(note.start // beats) + 1,
                "beat": float(note.start % beats) + 1,
                "beats": float(note.beats),
                "pitch": str(note.pitch),
                "degree": str(note.degree),
                "role": note.role,
                "string": note.string,
                "fret": note.fret,
                "why": why,
            }
            for note, why in zip(self.notes, self.reasons, strict=True)
        ]


def line_over(
    progression: Progression | str,
    key: Key | str,
    *,
    level: int = 2,
    grit: float = 0.3,
    style: Style | str | None = None,
    instrument: Instrument | str | None = None,
    lowest: int | None = None,
    highest: int | None = None,
    seed: int = 0,
    tempo: float = 100.0,
    choruses: int = 1,
    closed: bool = False,
) -> Line:
    """A solo over a progression.

    Parameters
    ----------
    progression : Progression or str
        A chart, or the name of a form. Repeats and jumps are played out.
    key : Key or str
    level : int
        1 to 4; see ``line_level.LEVELS`` for what each promises.
    grit : float
        At level 4, from 0, plain, to 1, the blues scale in every bar.
    style : Style or str, optional
        Whose taste decides what rubs; bluegrass if not given.
    instrument : Instrument or str, optional
        What it is fingered for. One that is played with a bar gives its range only.
    lowest, highest : int, optional
        MIDI numbers of the compass, within the instrument's.
    seed : int
        The same number gives the same line.
    tempo : float
    choruses : int
    closed : bool
        True to use no open string, except for a note that is nowhere else.

    Raises
    ------
    BadInput
        If anything is out of range, or the compass leaves no way.

    Examples
    --------
    >>> line = line_over("I-IV-V vamp", "G", level=1, instrument="mandolin", seed=3)
    >>> line.score.part("line").notes == line_over(
    ...     "I-IV-V vamp", "G", level=1, instrument="mandolin", seed=3
    ... ).notes
    True
    >>> line.why(len(line.notes) - 1).endswith("the line is at rest.")
    True
    """
    kind = find_level(level)
    if isinstance(grit, bool) or not isinstance(grit, (int, float)) or not 0 <= grit <= 1:
        raise BadInput("grit", grit, "out of range", accepted="0 (plain) to 1 (gritty)")
    check_tempo(tempo)
    if not isinstance(choruses, int) or not 1 <= choruses <= MOST_CHORUSES:
        raise BadInput("choruses", choruses, "out of range", accepted=f"1 to {MOST_CHORUSES}")
    chart = progression if isinstance(progression, Progression) else find_progression(progression)
    home = key if isinstance(key, Key) else Key.parse(key)
    taste = style if isinstance(style, Style) else find_style(style or DEFAULT_STYLE)
    neck = find_instrument(instrument) if isinstance(instrument, str) else instrument
    compass = playable_notes(neck, lowest, highest)
    chords = line_chart(chart, home, taste, choruses=choruses)
    chance = random.Random(f"line {seed}")
    gritty = _gritty_bars(chords, grit if kind.blue else 0.0, chance)
    spots, phrases = _spots(chords, kind, gritty, compass, choruses, chance)
    midis = _pitches(spots, phrases, kind, compass, chance)
    return finished(
        chords,
        spots,
        midis,
        phrases,
        gritty,
        kind,
        neck,
        tempo=tempo,
        closed=closed,
    )


def playable_notes(
    neck: Instrument | None, lowest: int | None, highest: int | None
) -> tuple[int, ...]:
    """The MIDI numbers that a line may have, rising.

    Raises
    ------
    BadInput
        If they do not span an octave.
    """
    if neck is None:
        notes = set(range(128))
        low, high = LOWEST, HIGHEST
    else:
        strings = melody_strings(neck)
        on_neck = places(neck, 0)
        notes = {midi for midi, where in on_neck.items() if any(s in strings for s, _ in where)}
        low = min(notes)
        first = min(strings)
        high = max(
            midi
            for midi, where in on_neck.items()
            if any(string == first and fret <= HIGHEST_FRET for string, fret in where)
        )
        high = max(high, min(low + LEAST_COMPASS, max(notes)))
    low = low if lowest is None else lowest
    high = high if highest is None else highest
    compass = tuple(sorted(midi for midi in notes if low <= midi <= high))
    if not compass or compass[-1] - compass[0] < LEAST_COMPASS - 1:
        raise BadInput(
            "compass",
            f"{low} to {high}",
            "less than an octave" + (f" on a {neck.name}" if neck else ""),
            accepted="MIDI numbers an octave apart or more",
        )
    return compass


def _gritty_bars(chart: LineChart, grit: float, chance: random.Random) -> tuple[bool, ...]:
    """For each bar whether it is gritty; rarely where the blues scale has notes to leave out."""
    rubs = [False] * len(chart.bars)
    for slot in chart.slots:
        rubs[slot.bar] |= slot.gritty_plan.fit.has_unwanted
    return tuple(chance.random() < (grit * grit if rub else grit) for rub in rubs)


def _changes(chart: LineChart, eighths: Fraction) -> list[frozenset[Fraction]]:
    """For each bar where in it chords begin, in eighths."""
    found: list[set[Fraction]] = [set() for _ in chart.bars]
    for slot in chart.slots:
        found[slot.bar].add((slot.start - chart.bars[slot.bar].start) * eighths)
    return [frozenset(starts) for starts in found]


def _spots(
    chart: LineChart,
    level: Level,
    gritty: Sequence[bool],
    compass: Sequence[int],
    choruses: int,
    chance: random.Random,
) -> tuple[list[Spot], list[Phrase]]:
    """Every note that is to be found, and the phrases that they make."""
    eighths = find_meter(chart.meter).beat_quarters * 2
    changes = _changes(chart, eighths)
    per_chorus = len(chart.bars) // choruses
    rhythms: list[PhraseRhythm] = []
    for chorus in range(choruses):
        first = chorus * per_chorus
        found = phrase_rhythms(
            chart.meter,
            level.number,
            changes[first : first + per_chorus],
            chance,
            last=chorus == choruses - 1,
        )
        rhythms += [replace(rhythm, first_bar=rhythm.first_bar + first) for rhythm in found]
    spots: list[Spot] = []
    phrases: list[Phrase] = []
    contour: list[float] = []
    for number, rhythm in enumerate(rhythms):
        if not (rhythm.answers and contour and len(contour) == rhythm.bars * 4 + 1):
            contour = heights(compass, rhythm.bars * 4, level.number, chance)
        start = chart.bars[rhythm.first_bar].start
        first_spot = len(spots)
        ends = number == len(rhythms) - 1
        for index, beat in enumerate(rhythm.beats):
            last = index == len(rhythm.beats) - 1
            following = None if last else rhythm.beats[index + 1]
            at = start + beat.at / eighths
            until = at + beat.eighths / eighths
            slot = slot_at(chart.slots, at)
            # Where no figure has a note for a new chord, the old note stops there.
            until = min(until, slot.end) if slot.end < until and _changes_at(chart, slot) else until
            share = (beat.at / bar_eighths(chart.meter)) / rhythm.bars
            height = contour[min(max(round(share * rhythm.bars * 4), 0), len(contour) - 1)]
            spots.append(
                Spot(
                    at,
                    until - at,
                    (until - at) * eighths / 2,
                    slot,
                    gritty[slot.bar],
                    is_strong(chart, slot, at, eighths),
                    following is None or until < start + following.at / eighths,
                    last,
                    last and ends,
                    height,
                )
            )
        beats = rhythm.bars * chart.bars[0].beats
        phrases.append(Phrase(first_spot, len(spots), start, beats, rhythm.answers))
    return spots, phrases


def slot_at(slots: Sequence[Slot], beat: Fraction) -> Slot:
    """The chord that sounds at a beat."""
    low, high = 0, len(slots)
    while high - low > 1:
        middle = (low + high) // 2
        if slots[middle].start <= beat:
            low = middle
        else:
            high = middle
    return slots[low]


def _changes_at(chart: LineChart, slot: Slot) -> bool:
    """True where another chord follows at the slot's end."""
    after = [other for other in chart.slots if other.start == slot.end]
    return bool(after) and after[0].numeral != slot.numeral


def is_strong(chart: LineChart, slot: Slot, at: Fraction, eighths: Fraction) -> bool:
    """True on the meter's strong beats and where a chord begins."""
    inside = (at % chart.bars[0].beats) * eighths
    return inside in strong_eighths(chart.meter) or at == slot.start


def _pitches(
    spots: Sequence[Spot],
    phrases: Sequence[Phrase],
    level: Level,
    compass: Sequence[int],
    chance: random.Random,
) -> list[int]:
    midis: list[int] = []
    call: list[int] = []
    for phrase in phrases:
        wanted = list(spots[phrase.first : phrase.beyond])
        opens = next(i for i, spot in enumerate(wanted) if spot.start >= phrase.start)
        if phrase.answers and call:
            wanted = _like(wanted, call, opens)
        before = midis[-1] if midis else None
        found = find_pitches(wanted, level, compass, chance, before=before)
        if found is None:
            found = find_pitches(wanted, level, compass, chance)
        if found is None:
            raise BadInput(
                "compass",
                f"{compass[0]} to {compass[-1]}",
                f"leaves no way over {wanted[0].slot.chord}",
                accepted="more notes, or another key",
            )
        midis += found
        call = found[opens:]
    return midis


def _like(wanted: list[Spot], call: Sequence[int], opens: int) -> list[Spot]:
    """An answer's notes, the first two thirds of which move as the call's do."""
    body = len(wanted) - opens
    found = list(wanted)
    for number in range(1, min(len(call), 2 * body // 3)):
        place = opens + number
        found[place] = replace(found[place], like=call[number] - call[number - 1])
    return found


def finished(
    chart: LineChart,
    spots: Sequence[Spot],
    midis: Sequence[int],
    phrases: Sequence[Phrase],
    gritty: Sequence[bool],
    level: Level,
    neck: Instrument | None,
    *,
    tempo: float,
    closed: bool,
    given: Sequence[Pitch | None] = (),
) -> Line:
    """The line as a score: spelled, fingered and with its reasons.

    Parameters
    ----------
    given : sequence of (Pitch or None)
        The spelling of pinned notes, where it is known.
    """
    pitches: list[Pitch] = []
    notes: list[ScoreNote] = []
    for index, (spot, midi) in enumerate(zip(spots, midis, strict=True)):
        tone = spot.tone_at(midi)
        known = given[index] if given else None
        if tone is None or (known is not None and spot.pinned is not None):
            assert known is not None
            pitch, degree = known, None
            role = tone.role if tone is not None else "passing"
            if tone is not None:
                degree = tone.member
        else:
            rises = index + 1 < len(midis) and midis[index + 1] > midi
            note, degree = spelled_tone(spot, midi, rises=rises)
            pitch, role = note_at_midi(note, midi), tone.role
        if spot.slot.silent and tone is not None:
            degree = tone.degree
        pitches.append(pitch)
        notes.append(ScoreNote(spot.start, spot.beats, midi, pitch, degree=degree, role=role))
    reasons = []
    for phrase in phrases:
        for index in range(phrase.first, phrase.beyond):
            before = pitches[index - 1] if index > phrase.first else None
            following = pitches[index + 1] if index + 1 < phrase.beyond else None
            pickup = spots[index].start < phrase.start
            reasons.append(reason(spots[index], pitches[index], before, following, pickup=pickup))
    if neck is not None and neck.frets_a_finger:
        notes = _fingered(notes, pitches, neck, tempo, closed=closed)
    if level.blue:
        notes = _pushed(notes, spots, neck)
    part = Part("line", tuple(notes), neck.voice if neck is not None else "guitar")
    score = Score(
        (part,),
        chords=chart.chords,
        bars=chart.bars,
        meter=chart.meter,
        tempo=tempo,
        key=chart.key,
        keys=chart.keys,
        title=chart.title,
    )
    return Line(score, tuple(reasons), tuple(phrases), tuple(gritty), level.number)


def _fingered(
    notes: Sequence[ScoreNote],
    pitches: Sequence[Pitch],
    neck: Instrument,
    tempo: float,
    *,
    closed: bool,
) -> list[ScoreNote]:
    starts = [note.start for note in notes[1:]]
    lengths = [float(after - note.start) for note, after in zip(notes, starts, strict=False)] + [
        1.0
    ]
    fingering = finger_line(neck, pitches, closed=closed, beats=lengths, beats_a_second=tempo / 60)
    return [
        replace(note, string=place.string, fret=place.fret, finger=place.finger)
        for note, place in zip(notes, fingering.notes, strict=True)
    ]


def _pushed(
    notes: Sequence[ScoreNote],
    spots: Sequence[Spot],
    neck: Instrument | None,
) -> list[ScoreNote]:
    """Blue thirds bent up a quarter tone, where a single string is stopped."""
    found = []
    for note, spot in zip(notes, spots, strict=True):
        third = spot.slot.plan.numeral.root.semitones
        above = (int(note.midi) - spot.slot.tonic.pitch_class) % 12
        blue = note.role == "blue" and spot.gritty and above in {3, (third + 3) % 12}
        double = neck is not None and any(string.strands > 1 for string in neck.strings)
        stopped = note.fret != 0 and not double
        if blue and stopped and spot.quarters >= _LEAST_PUSHED and spot.pinned is None:
            glide = Glide("bend", ((Fraction(0), 0.0), (note.beats / 2, _PUSH)))
            note = replace(note, glide=glide)
        found.append(note)
    return found
