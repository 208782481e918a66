"""A rhythm section for a chart: bass, chords, click and drone in a feel."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise
from math import sqrt

from theorykit.errors import BadInput
from theorykit.score.bass import bass_line, bass_strokes
from theorykit.score.comp import close_voicing, comp_strokes, power_voicing
from theorykit.score.feel import GROUPS, Feel, find_feel, suited_feel, swung
from theorykit.score.harmony import Span, chord_span, joined_spans
from theorykit.score.looseness import loosened
from theorykit.score.score import (
    Part,
    PlacedChord,
    Score,
    ScoreBar,
    ScoreNote,
    check_tempo,
)
from theorykit.theory.chart import ChartChord
from theorykit.theory.chord import Chord
from theorykit.theory.form import find_progression
from theorykit.theory.key import Key, usual_tonic
from theorykit.theory.meter import Meter, find_meter
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note, Pitch, note_at_midi
from theorykit.theory.progression import Progression

#: What a chord is played with: by its symbol, or what a function says; None for the usual.
Voicings = Mapping[str, Sequence[int]] | Callable[[Chord], Sequence[int] | None]

#: Key numbers of the two wood blocks (General MIDI percussion map: high 76, low 77).
HIGH_BLOCK, LOW_BLOCK = 76, 77

MOST_CHORUSES, MOST_COUNTED_BARS = 100, 2

# C3, where a drone lies under a melody and over a bass.
_DRONE_LOWEST = 48
_DRONE_BARS = 4
_DRONE_LEVEL = 0.45

_EVENEST, _MOST_SWUNG = Fraction(1), Fraction(3)


def arrange(
    progression: Progression | str,
    key: Key | str,
    *,
    feel: str = "boom-chuck",
    tempo: float = 100.0,
    choruses: int = 1,
    thirds: bool = True,
    voicings: Voicings | None = None,
    comp_voice: str | None = None,
    swing: float | Fraction | None = None,
    count_in: int = 0,
    click: bool = False,
    drone: bool = False,
    line: Iterable[ScoreNote] = (),
    line_voice: str = "guitar",
    ending: bool = True,
    seed: int | None = None,
) -> Score:
    """The score of a rhythm section that plays a chart.

    Parameters
    ----------
    progression : Progression or str
        A chart, or the name of a form. Repeats and jumps are played out.
    key : Key or str
    feel : str
        One of `feel.FEELS`; where it has no pattern for the chart's meter another one stands in,
        and the score's ``remark`` says which.
    tempo : float
        Beats a minute, the meter's beats.
    choruses : int
        How often the chart is played.
    thirds : bool
        False leaves the third out of every chord.
    voicings : dict or function, optional
        What a chord is played with: key numbers, by chord symbol or by a function of the chord. A
        chord that it does not know is played in close position.
    comp_voice : str, optional
        What sounds the chords, not as in the feel.
    swing : float, optional
        How much longer the first eighth of a quarter is than the second, not as in the feel.
    count_in : int
        Bars that are counted before the first; a pick-up lies within the last of them.
    click : bool
        A click on every beat; with False it only counts in.
    drone : bool
        Tonic and fifth throughout.
    line : iterable of ScoreNote
        A melody, beats from the first bar line; swung like the rest.
    line_voice : str
    ending : bool
        One bar more, in which the tonic chord rings out.
    seed : int, optional
        Plays as loosely as people do, the same for the same number. None plays exactly.

    Raises
    ------
    BadInput
        If anything is out of range.

    Examples
    --------
    >>> score = arrange("12-bar blues", "A", feel="shuffle", tempo=112, count_in=1)
    >>> [part.name for part in score.parts], round(score.seconds, 2)
    (['bass', 'comp', 'click'], 30.0)
    >>> [str(note.pitch) for note in score.part("bass").notes[:4]]
    ['A2', 'B2', 'C#3', 'D3']
    """
    chart = progression if isinstance(progression, Progression) else find_progression(progression)
    home = key if isinstance(key, Key) else Key.parse(key)
    check_tempo(tempo)
    _check_count("choruses", choruses, 1, MOST_CHORUSES)
    _check_count("count-in", count_in, 0, MOST_COUNTED_BARS)
    meter = find_meter(chart.meter)
    asked = find_feel(feel)
    used = suited_feel(asked, meter)
    band = _Band(chart.unfolded(), home, meter, used, thirds=thirds, voicings=voicings)
    starts = [Fraction(chorus * band.beats) for chorus in range(choruses)]
    end = choruses * band.beats

    bass = [replace(note, start=note.start + at) for at in starts for note in band.bass]
    comp = [replace(note, start=note.start + at) for at in starts for note in band.comp]
    if ending:
        bass += band.ending(end).bass
        comp += band.ending(end).comp
    counted = count_in * meter.beats
    beats = end + (meter.beats if ending else 0)
    clicks = _clicks(meter, -counted, beats if click else 0)
    parts = [
        Part("bass", tuple(bass), used.bass_voice),
        Part("comp", tuple(comp), comp_voice or used.comp_voice),
    ]
    if clicks:
        parts.append(Part("click", tuple(clicks), "woodblock"))
    if drone:
        parts.append(Part("drone", tuple(_drone(band, choruses, beats)), "organ"))
    melody = tuple(line)
    if melody:
        parts.append(Part("line", melody, line_voice))
    ratio = _swing(used, meter, swing)
    parts = [_swung(part, meter, ratio) for part in parts]
    if seed is not None:
        parts = [loosened(part, tempo, seed) for part in parts]
    return Score(
        tuple(parts),
        chords=band.placed(choruses, ending=ending),
        bars=band.bars(choruses, ending=ending),
        meter=meter.name,
        tempo=tempo,
        feel=used.name,
        key=home,
        keys=band.keys(choruses),
        pickup=sum((chord.beats for chord in band.chart.pickup), Fraction(0)),
        count_in=Fraction(counted),
        title=chart.name,
        remark=""
        if used is asked
        else f"{asked.name} is not played in {meter.name}; {used.name} is played in its place",
    )


@dataclass(frozen=True, slots=True)
class _Ending:
    bass: list[ScoreNote]
    comp: list[ScoreNote]


class _Band:
    """One chorus of a chart, played."""

    def __init__(
        self,
        chart: Progression,
        home: Key,
        meter: Meter,
        feel: Feel,
        *,
        thirds: bool,
        voicings: Voicings | None,
    ) -> None:
        self.chart, self.home, self.meter, self.feel = chart, home, meter, feel
        self.voicings, self.thirds = voicings, thirds
        self.beats = meter.beats * len(chart.bars)
        self.chords: list[tuple[PlacedChord, Key]] = []
        for number, (written, tonic) in enumerate(zip(chart.bars, chart.tonics, strict=True)):
            start = Fraction(number * meter.beats)
            here = self._key(usual_tonic(tonic.at(home.tonic)))
            for placed in written:
                self.chords.append((self._placed(placed, start), here))
                start += placed.beats
        self.spelled: dict[tuple[int, tuple[int, ...]], tuple[Chord, Key]] = {}
        spans = joined_spans(self._span(chord, here) for chord, here in self.chords)
        pattern = feel.patterns[meter.name]
        bars = range(len(chart.bars))
        low = [(bar * meter.beats + stroke.at, stroke) for bar in bars for stroke in pattern.bass]
        high = [(bar * meter.beats + stroke.at, stroke) for bar in bars for stroke in pattern.comp]
        strokes = bass_strokes(spans, low, Fraction(meter.beats))
        self.bass = [
            self._bass_note(stroke.start, stroke.beats, midi, stroke.level, stroke.span)
            for stroke, midi in zip(strokes, bass_line(strokes, thirds=thirds), strict=True)
        ]
        self.comp = [
            note
            for stroke in comp_strokes(spans, high)
            for note in self._chord_notes(
                stroke.start, stroke.beats, stroke.span, stroke.level, power=stroke.what == "power"
            )
        ]

    def _key(self, tonic: Note) -> Key:
        return Key(tonic, self.home.mode)

    def _placed(self, placed: ChartChord, start: Fraction) -> PlacedChord:
        if placed.silent:
            return PlacedChord(start, placed.beats, None)
        chord = placed.numeral.chord(self.home.tonic)
        if not self.thirds:
            chord = replace(chord, type=chord.type.without_third())
        return PlacedChord(start, placed.beats, chord, placed.numeral)

    def _span(self, placed: PlacedChord, here: Key) -> Span:
        span = chord_span(placed.start, placed.beats, placed.chord, here)
        if placed.chord is not None:
            self.spelled[span.root, span.members] = (placed.chord, here)
        return span

    def _bass_note(
        self, start: Fraction, beats: Fraction, midi: int, level: float, span: Span
    ) -> ScoreNote:
        chord, here = self.spelled[span.root, span.members]
        return ScoreNote(start, beats, midi, spelled(midi, chord, here), level=level)

    def _chord_notes(
        self, start: Fraction, beats: Fraction, span: Span, level: float, *, power: bool
    ) -> list[ScoreNote]:
        chord, here = self.spelled[span.root, span.members]
        midis = self._voicing(chord, span, power=power)
        # Chords of many notes and of few are equally loud.
        each = round(level / sqrt(len(midis)), 6)
        return [
            ScoreNote(
                start,
                beats,
                midi,
                spelled(midi, chord, here),
                level=each,
                shift=number * self.feel.strum_beats,
                # However it is struck, a chord ends as one.
                sounding=beats - number * self.feel.strum_beats if number else None,
            )
            for number, midi in enumerate(midis)
        ]

    def _voicing(self, chord: Chord, span: Span, *, power: bool) -> list[int]:
        if power:
            return power_voicing(span.root, span.fifth)
        if callable(self.voicings):
            given = self.voicings(chord)
        else:
            given = (self.voicings or {}).get(str(chord))
        return sorted(given) if given else close_voicing(span.root, span.members)

    @property
    def _final(self) -> tuple[PlacedChord, Key]:
        """The tonic chord as the chart has it, or plain."""
        for placed, _ in self.chords:
            numeral = placed.numeral
            if numeral is not None and numeral.root.semitones % 12 == 0 and numeral.bass is None:
                return placed, self.home
        plain = Numeral.parse("I" if self.home.mode == "major" else "i")
        return self._placed(ChartChord(plain, Fraction(1)), Fraction(0)), self.home

    def ending(self, start: int) -> _Ending:
        """The tonic chord, which rings for a bar."""
        placed, here = self._final
        beats = Fraction(self.meter.beats)
        span = self._span(replace(placed, start=Fraction(start), beats=beats), here)
        midi = bass_line(bass_strokes([span], [], beats))[0]
        power = all(stroke.what == "power" for stroke in self.feel.patterns[self.meter.name].comp)
        return _Ending(
            [self._bass_note(span.start, beats, midi, 1.0, span)],
            self._chord_notes(span.start, beats, span, 1.0, power=power),
        )

    def placed(self, choruses: int, *, ending: bool) -> tuple[PlacedChord, ...]:
        """Every chord of the score at its beat, the pick-up's before beat 0."""
        found: list[PlacedChord] = []
        start = -sum((chord.beats for chord in self.chart.pickup), Fraction(0))
        for placed in self.chart.pickup:
            found.append(self._placed(placed, start))
            start += placed.beats
        for chorus in range(choruses):
            shift = chorus * self.beats
            found += [replace(chord, start=chord.start + shift) for chord, _ in self.chords]
        if ending:
            start, beats = Fraction(choruses * self.beats), Fraction(self.meter.beats)
            found.append(replace(self._final[0], start=start, beats=beats))
        return tuple(found)

    def bars(self, choruses: int, *, ending: bool) -> tuple[ScoreBar, ...]:
        """Every bar of the score; the ending's belongs to no chorus."""
        beats = Fraction(self.meter.beats)
        sections = {mark.bar: mark.value for mark in self.chart.marks if mark.kind == "section"}
        found = [
            ScoreBar(chorus * self.beats + bar * beats, beats, chorus + 1, sections.get(bar, ""))
            for chorus in range(choruses)
            for bar in range(len(self.chart.bars))
        ]
        if ending:
            found.append(ScoreBar(Fraction(choruses * self.beats), beats, 0))
        return tuple(found)

    def keys(self, choruses: int) -> tuple[tuple[Fraction, Key], ...]:
        """Where each key begins."""
        found: list[tuple[Fraction, Key]] = []
        for chorus in range(choruses):
            for placed, here in self.chords:
                if not found or found[-1][1] != here:
                    found.append((placed.start + chorus * self.beats, here))
        return tuple(found)


def spelled(midi: int, chord: Chord, key: Key) -> Pitch:
    """A sound over a chord as it is written: as the chord has it, or else as the key does.

    Examples
    --------
    >>> str(spelled(42, Chord.parse("D7"), Key.parse("G")))
    'F#2'
    """
    for note in chord.notes:
        if note.pitch_class == midi % 12:
            return note_at_midi(note, midi)
    flats = key.fifths < 0
    for letter in "CDEFGAB":
        note = Note(letter)
        signed = next((sign for sign in key.signature if sign.letter == letter), note)
        if signed.pitch_class == midi % 12:
            return note_at_midi(signed, midi)
    for letter in "CDEFGAB":
        note = Note(letter, -1 if flats else 1)
        if note.pitch_class == midi % 12:
            return note_at_midi(note.simplified(), midi)
    for letter in "CDEFGAB":
        if Note(letter).pitch_class == midi % 12:
            return note_at_midi(Note(letter), midi)
    raise AssertionError(midi)


def _clicks(meter: Meter, first: int, beyond: int) -> list[ScoreNote]:
    """A click a beat, the first of a bar on the high block, the first of a group louder."""
    groups = GROUPS.get(meter.name, (0,))
    return [
        ScoreNote(
            Fraction(beat),
            Fraction(1),
            LOW_BLOCK if beat % meter.beats else HIGH_BLOCK,
            level=1.0 if beat % meter.beats in groups else 0.75,
        )
        for beat in range(first, beyond)
    ]


def _drone(band: _Band, choruses: int, beats: int) -> list[ScoreNote]:
    """Tonic and fifth, struck anew every four bars and where the key changes."""
    keys = band.keys(choruses)
    edges = {at for at, _ in keys} | {Fraction(beats)}
    edges |= {Fraction(at) for at in range(0, beats, _DRONE_BARS * band.meter.beats)}
    ordered = sorted(edges)
    notes: list[ScoreNote] = []
    for start, end in pairwise(ordered):
        here = [key for at, key in keys if at <= start][-1]
        low = _DRONE_LOWEST + (here.tonic.pitch_class - _DRONE_LOWEST) % 12
        for note, midi in ((here.tonic, low), (here.tonic.shifted(4, 7), low + 7)):
            pitch = note_at_midi(note, midi)
            notes.append(ScoreNote(start, end - start, midi, pitch, level=_DRONE_LEVEL))
    return notes


def _swing(feel: Feel, meter: Meter, asked: float | Fraction | None) -> Fraction:
    """The swing of a score; where beats fall in three, all is in its place already."""
    if asked is not None and not _EVENEST <= asked <= _MOST_SWUNG:
        raise BadInput("swing", asked, "out of range", accepted="1 (even) to 3")
    if meter.beat_parts == 3:
        return Fraction(1)
    return feel.swing if asked is None else Fraction(asked).limit_denominator(100)


def _swung(part: Part, meter: Meter, swing: Fraction) -> Part:
    if swing == 1:
        return part
    notes: list[ScoreNote] = []
    for note in part.notes:
        start, end = _heard(note.start, meter, swing), _heard(note.start + note.beats, meter, swing)
        shift = note.shift + start - note.start
        sounding = note.sounding_beats + (end - start) - note.beats
        notes.append(replace(note, shift=shift, sounding=sounding))
    return replace(part, notes=tuple(notes))


def _heard(beat: Fraction, meter: Meter, swing: Fraction) -> Fraction:
    return swung(beat * meter.beat_quarters, swing) / meter.beat_quarters


def _check_count(kind: str, value: object, least: int, most: int) -> None:
    if not isinstance(value, int) or isinstance(value, bool) or not least <= value <= most:
        raise BadInput(kind, value, "out of range", accepted=f"a number from {least} to {most}")
