"""Neighbour notes: what a player adds to a melody that leads by step into its notes.

The melody's own notes stay on their beats. What is added takes its time from the end of the note
before, or from a rest, and every added note is a half or a whole step from the note it leads to.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from theorykit.errors import BadInput
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.hand import places
from theorykit.instruments.instrument import Instrument
from theorykit.practice.neighbour_figure import NEIGHBOURS, NeighbourFigure, find_figures
from theorykit.practice.sequence_fingers import fingered_line
from theorykit.score.score import Score, ScoreNote
from theorykit.theory.degree import Degree
from theorykit.theory.key import Key
from theorykit.theory.pitch import Pitch, note_at_midi
from theorykit.theory.scale import Scale, find_scale

__all__ = ["NEIGHBOURS", "AddedNote", "Decorated", "NeighbourFigure", "add_neighbours"]

#: A step is a half or a whole step (any handbook; from memory).
LARGEST_STEP = 2


#: What one added note lasts: the longest that leaves the note before half its length.
_EVEN_LENGTHS = (Fraction(1, 2), Fraction(1, 4), Fraction(1, 8))
_TRIPLET_LENGTHS = (Fraction(1, 3), Fraction(1, 6), Fraction(1, 12))
SHORTEST = Fraction(1, 6)


@dataclass(frozen=True, slots=True)
class AddedNote:
    """An added note and why it is there.

    Parameters
    ----------
    note, target : ScoreNote
        The target is the note of the melody that it leads to.
    figure : NeighbourFigure
    """

    note: ScoreNote
    target: ScoreNote
    figure: NeighbourFigure

    @property
    def half_steps(self) -> int:
        """From the added note to its target; negative downwards."""
        return int(self.target.midi - self.note.midi)

    @property
    def words(self) -> str:
        """Why it is there, e.g. ``"F#4 rises a half step to G4"``."""
        verb = "rises" if self.half_steps > 0 else "falls"
        step = "a half step" if abs(self.half_steps) == 1 else "a whole step"
        return f"{self.note.pitch} {verb} {step} to {self.target.pitch}"


@dataclass(frozen=True, slots=True)
class Decorated:
    """A melody with what has been added to it.

    Parameters
    ----------
    score : Score
    added : tuple of AddedNote
        In their order.
    """

    score: Score
    added: tuple[AddedNote, ...]

    def records(self) -> list[dict[str, object]]:
        """One plain row for each added note."""
        return [
            {
                "start": float(each.note.start),
                "beats": float(each.note.beats),
                "pitch": str(each.note.pitch),
                "role": each.figure.role,
                "figure": each.figure.name,
                "target": str(each.target.pitch),
                "half steps": each.half_steps,
                "words": each.words,
            }
            for each in self.added
        ]


def add_neighbours(
    melody: Score,
    *,
    amount: float = 0.5,
    seed: int = 0,
    figures: Iterable[str] | str | None = None,
    scale: Scale | str | None = None,
    shortest: Fraction = SHORTEST,
    instrument: Instrument | str | None = None,
) -> Decorated:
    """A melody with neighbour notes, approaches and enclosures led into its notes.

    Parameters
    ----------
    melody : Score
        With a part ``"line"`` whose notes are spelled.
    amount : float
        0 adds nothing, 1 all there is room for. Notes on a beat are the first to be led into. With
        the same seed, more adds to what less has.
    seed : int
        The same choices for the same number.
    figures : str or iterable of str, optional
        Names from `NEIGHBOURS`; all of them if not given.
    scale : Scale or str, optional
        Whose steps are the scale's; if not given, the key's of the score at that beat.
    shortest : Fraction
        The shortest that an added note may be, in beats.
    instrument : Instrument or str, optional
        Only what it has is added, and the whole line is fingered anew.

    Returns
    -------
    Decorated

    Raises
    ------
    BadInput
        If a name or a number can't be used.

    Examples
    --------
    >>> from theorykit.practice.sequence import sequence
    >>> tune = sequence("G major", "scale", rhythm="quarters", direction="up", bars=2,
    ...     lowest="G4", highest="G5")
    >>> busy = add_neighbours(tune, amount=1, figures="chromatic lower neighbour")
    >>> " ".join(str(note.pitch) for note in busy.score.part("line").notes)
    'G4 G#4 A4 A#4 B4 C5 F#4 G4'
    >>> busy.added[0].words
    'G#4 rises a half step to A4'
    """
    if not (isinstance(amount, (int, float)) and 0 <= amount <= 1):
        raise BadInput("amount", amount, "out of range", accepted="0 (plain) to 1 (busy)")
    if not shortest > 0:
        raise BadInput("shortest", shortest, "no length", accepted="beats above 0")
    neck = find_instrument(instrument) if isinstance(instrument, str) else instrument
    has = {*places(neck, 0)}.__contains__ if neck is not None else range(128).__contains__
    chosen = find_figures(figures)
    scale_at = _scale_at(melody, Scale.parse(scale) if isinstance(scale, str) else scale)
    part = melody.part("line")
    notes: list[ScoreNote] = []
    found: list[tuple[int, int, NeighbourFigure]] = []
    chance = random.Random(f"neighbours {seed}")
    for place, target in enumerate(part.notes):
        # Drawn for every note alike, so that another amount changes nothing but how many.
        eager, picks = _eagerness(target, chance.random()), [chance.random() for _ in chosen]
        following = part.notes[place + 1].start if place + 1 < len(part.notes) else None
        # Notes that are struck together stay as they are.
        if eager < amount and target.start != following:
            order = [figure for _, figure in sorted(zip(picks, chosen, strict=True), key=_first)]
            led = _led_into(target, notes, order, melody, scale_at(target.start), has, shortest)
            if led is not None:
                figure, inserted = led
                if notes and notes[-1].start + notes[-1].beats > inserted[0].start:
                    notes[-1] = _cut(notes[-1], inserted[0].start)
                goal = len(notes) + len(inserted)
                found += [(at, goal, figure) for at in range(len(notes), goal)]
                notes += inserted
        notes.append(target)
    if neck is not None and neck.frets_a_finger:
        notes = fingered_line(neck, notes, tempo=melody.tempo)
    return Decorated(
        melody.with_part(replace(part, notes=tuple(notes))),
        tuple(AddedNote(notes[at], notes[goal], figure) for at, goal, figure in found),
    )


def _led_into(
    target: ScoreNote,
    notes: Sequence[ScoreNote],
    order: Sequence[NeighbourFigure],
    melody: Score,
    scale: Scale | None,
    has: Callable[[int], bool],
    shortest: Fraction,
) -> tuple[NeighbourFigure, list[ScoreNote]] | None:
    """The first figure that there are notes and time for, and its notes."""
    before = notes[-1] if notes else None
    for figure in order:
        pitches = _pitches(figure, target, before, scale, has)
        length = _length(target, notes, len(pitches), melody, shortest) if pitches else None
        if length is None:
            continue
        start = target.start - length * len(pitches)
        return figure, [
            ScoreNote(
                start + number * length,
                length,
                pitch.midi,
                pitch,
                voice=target.voice,
                level=target.level,
                degree=_degree(melody, start + number * length, pitch),
                role=figure.role,
            )
            for number, pitch in enumerate(pitches)
        ]
    return None


def _first(pair: tuple[float, NeighbourFigure]) -> float:
    return pair[0]


def _eagerness(target: ScoreNote, drawn: float) -> float:
    """How much has to be asked for before a note is led into: less for one on a beat."""
    return 0.6 * drawn if target.start.denominator == 1 else 0.4 + 0.6 * drawn


def _scale_at(melody: Score, scale: Scale | None) -> Callable[[Fraction], Scale | None]:
    """The scale at a beat: the one that is given, or the key's."""

    def at(beat: Fraction) -> Scale | None:
        if scale is not None:
            return scale
        begun = [key for start, key in melody.keys if start <= beat]
        key = begun[-1] if begun else melody.key
        return None if key is None else _key_scale(key)

    return at


def _key_scale(key: Key) -> Scale:
    return Scale(key.tonic, find_scale("major" if key.mode == "major" else "natural minor"))


def _pitches(
    figure: NeighbourFigure,
    target: ScoreNote,
    before: ScoreNote | None,
    scale: Scale | None,
    has: Callable[[int], bool],
) -> list[Pitch]:
    """The added notes; none where the figure can't be played or would say a note twice."""
    if target.pitch is None or target.midi != int(target.midi):
        return []
    found: list[Pitch] = []
    for letters, half_steps in figure.ways:
        pitch = (
            _scale_step(target.pitch, letters, scale)
            if half_steps is None
            else target.pitch.shifted(letters, half_steps)
        )
        if pitch is None or not has(pitch.midi):
            return []
        found.append(pitch)
    heard = [before.midi] if before is not None else []
    midis = [*heard, *(pitch.midi for pitch in found)]
    return [] if any(one == two for one, two in pairwise(midis)) else found


def _scale_step(pitch: Pitch, letters: int, scale: Scale | None) -> Pitch | None:
    """The scale's next note above or below, if it is a step away."""
    if scale is None:
        return None
    for half_steps in range(1, LARGEST_STEP + 1):
        midi = pitch.midi + letters * half_steps
        for note in scale.notes:
            if note.pitch_class == midi % 12:
                moved = pitch.shifted(letters, letters * half_steps)
                return moved if moved.note == note else note_at_midi(note, midi)
    return None


def _length(
    target: ScoreNote, notes: Sequence[ScoreNote], count: int, melody: Score, shortest: Fraction
) -> Fraction | None:
    """How long each of the added notes is, or None where there is no time for them."""
    before = notes[-1] if notes else None
    # Before the first note there is a rest, from the first bar line or the pick-up.
    silent = -melody.pickup if before is None else before.start + before.beats
    rest = target.start - silent
    if rest < 0:
        return None
    places = [target.start, *([before.start, before.beats] if before is not None else [])]
    in_three = melody.signature.beat_parts == 3 or any(not at.denominator % 3 for at in places)
    for length in _TRIPLET_LENGTHS if in_three else _EVEN_LENGTHS:
        taken = count * length - rest
        if length < shortest or (target.start / length).denominator != 1:
            continue
        if taken <= 0:
            return length
        others = [note.start + note.beats for note in notes[-4:-1]]
        rings = any(end > target.start - count * length for end in others)
        if before is not None and taken <= before.beats / 2 and not rings:
            return length
    return None


def _cut(note: ScoreNote, end: Fraction) -> ScoreNote:
    """A note that stops earlier, struck where it was."""
    beats = end - note.start
    sounding = None if note.sounding is None else min(note.sounding, beats)
    return replace(note, beats=beats, sounding=sounding)


def _degree(melody: Score, beat: Fraction, pitch: Pitch) -> Degree | None:
    """Above the root of the chord there, or above the tonic where there is none."""
    for placed in melody.chords:
        if placed.start <= beat < placed.start + placed.beats and placed.chord is not None:
            return Degree.between(placed.chord.root, pitch.note)
    return None if melody.key is None else Degree.between(melody.key.tonic, pitch.note)
