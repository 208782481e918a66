"""Chorales that music21 ships, with the Roman-numeral analyses that were published for them.

An analysis may be in another key than its score; ``Chorale.up`` says how far it is moved.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from music21 import corpus, roman
from music21.corpus.chorales import ChoraleListRKBWV

LEAST_AGREEMENT = 0.8
VOICES = 4
NUMBERS = range(1, 21)


@dataclass(frozen=True)
class Analysed:
    """A numeral of an analysis: what it is called, its key, and the notes that music21 makes."""

    start: float
    tones: frozenset[int]
    root: int
    figure: str
    tonic: str
    minor: bool


@dataclass(frozen=True)
class Sung:
    start: float
    quarters: float
    midi: int | None


@dataclass(frozen=True)
class Chorale:
    """Beats count from 1 in the first whole bar, so a pick-up lies before ``beats``."""

    number: int
    beats: int
    beat_quarters: float
    voices: list[list[Sung]]
    chords: list[Analysed]
    up: int


def analysis(number: int, beats: int) -> list[Analysed]:
    name = f"bach/choraleAnalyses/riemenschneider{number:03d}.rntxt"
    numerals = corpus.parse(name).recurse().getElementsByClass(roman.RomanNumeral)
    chords = [
        Analysed(
            numeral.measureNumber * beats + float(numeral.beat),
            frozenset(pitch_class % 12 for pitch_class in numeral.pitchClasses),
            numeral.root().pitchClass,
            numeral.figure,
            numeral.key.tonic.name.replace("-", "b"),
            numeral.key.mode == "minor",
        )
        for numeral in numerals
    ]
    return sorted(chords, key=lambda chord: chord.start)


def read(number: int) -> Chorale:
    bwv = ChoraleListRKBWV().byRiemenschneider[number]["bwv"]
    score = corpus.parse(f"bach/bwv{bwv}")
    signature = score.recurse().getElementsByClass("TimeSignature")[0]
    beats = signature.numerator
    voices = [
        [
            Sung(
                note.measureNumber * beats + float(note.beat),
                float(note.quarterLength),
                note.pitch.midi if note.isNote else None,
            )
            for note in part.stripTies().recurse().notesAndRests
        ]
        for part in list(score.parts)[-VOICES:]
    ]
    chords = analysis(number, beats)
    _, up = transposition(voices, chords)
    return Chorale(number, beats, 4 / signature.denominator, voices, chords, up)


def chorales() -> Iterator[Chorale]:
    """Those whose analysis fits: at some transposition four fifths of the notes are chord tones."""
    for number in NUMBERS:
        chorale = read(number)
        if transposition(chorale.voices, chorale.chords)[0] >= LEAST_AGREEMENT:
            yield chorale


def chords_under(note: Sung, chords: list[Analysed], *, held: bool) -> list[Analysed]:
    """The chord under a note's start, or all of them while it is held."""
    end = note.start + note.quarters
    ends = [chord.start for chord in chords[1:]] + [float("inf")]
    found = [
        chord
        for chord, stop in zip(chords, ends, strict=True)
        if chord.start < end and note.start < stop
    ]
    return found if held else found[:1]


def transposition(voices: list[list[Sung]], chords: list[Analysed]) -> tuple[float, int]:
    """The share of chord tones at the best transposition, and that transposition."""
    pairs = [
        (note.midi, over[0].tones)
        for voice in voices
        for note in voice
        if note.midi is not None and (over := chords_under(note, chords, held=False))
    ]
    shares = [sum((midi + up) % 12 in tones for midi, tones in pairs) for up in range(12)]
    best = max(range(12), key=shares.__getitem__)
    return shares[best] / len(pairs), best
