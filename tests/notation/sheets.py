"""Scores to engrave: six instruments, several meters, dense and sparse."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Any

from theorykit.score.arrange import arrange
from theorykit.score.run import scale_run
from theorykit.score.score import Glide, Part, PlacedChord, Score, ScoreNote
from theorykit.theory.key import Key
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Pitch
from theorykit.theory.scale import Scale

BLUE_BEND = Glide("bend", ((Fraction(0), 0.0), (Fraction(1, 2), 0.5)))


def line(
    rows: Iterable[tuple[Any, ...]],
    *,
    meter: str = "4/4",
    pickup: Fraction = Fraction(0),
    key: str = "G",
    chords: str = "",
    title: str = "By hand",
) -> Score:
    """A score from rows of pitch (None rests), beats and what else a note has.

    ``chords`` are numerals with their beats, as in ``"I:4 V7:2"``.
    """
    notes, at = [], -pickup
    for name, beats, *more in rows:
        if name is not None:
            pitch = Pitch.parse(name)
            notes.append(
                ScoreNote(at, Fraction(beats), pitch.midi, pitch, **(more[0] if more else {}))
            )
        at += Fraction(beats)
    placed, start = [], Fraction(0)
    for word in chords.split():
        text, _, beats = word.partition(":")
        numeral = Numeral.parse(text)
        placed.append(
            PlacedChord(start, Fraction(beats), numeral.chord(Key.parse(key).tonic), numeral)
        )
        start += Fraction(beats)
    return Score(
        (Part("line", tuple(notes), "guitar"),),
        chords=tuple(placed),
        meter=meter,
        pickup=pickup,
        key=Key.parse(key),
        title=title,
    )


def blues(
    key: str, scale: str, lowest: int, highest: int, *, form: str = "12-bar blues", bars: int = 12
) -> Score:
    """A scale up and down over a form."""
    run = scale_run(Scale.parse(scale), bars, lowest=lowest, highest=highest)
    return arrange(form, key, feel="shuffle", tempo=112, line=run, ending=False)


def everything() -> Score:
    """Whatever a line may have: pick-up, ties, triplets, slurs, a bend, a slide, crowded chords."""
    slide = Glide("slide", ((Fraction(0), 0.0), (Fraction(1, 2), 1.0)))
    rows = [
        ("D4", Fraction(1, 2)),
        ("F#4", Fraction(1, 2)),
        ("G4", 1),
        ("Bb4", 1, {"glide": BLUE_BEND}),
        ("B4", Fraction(1, 3)),
        ("A4", Fraction(1, 3), {"articulation": "pull-off"}),
        ("G4", Fraction(1, 3), {"articulation": "pull-off"}),
        ("D4", Fraction(3, 2)),
        ("E4", 2),
        ("G4", Fraction(3, 2), {"articulation": "ghost"}),
        (None, 1),
        ("F4", Fraction(1, 2), {"articulation": "staccato"}),
        ("F#4", 1, {"articulation": "accent"}),
        ("G4", Fraction(3, 2)),
        ("D5", Fraction(2, 3)),
        ("B4", Fraction(2, 3)),
        ("G4", Fraction(2, 3)),
        ("C#5", Fraction(1, 2), {"glide": slide}),
        ("D5", Fraction(5, 2)),
        *((name, Fraction(1, 4)) for name in ("A4", "B4", "A4", "G4")),
        ("G4", 4),
    ]
    return line(
        rows,
        pickup=Fraction(1),
        chords="I:4 IV:2 V7:2 IVmaj7:2 bVII7:1 viiø7:1 V7/V:4 I:4",
        title="Whatever a line may have",
    )


def chromatic(part: Fraction, bars: int, *, meter: str = "4/4", key: str = "Db") -> Score:
    """Every half step, with an accidental on most: the most crowded that a bar gets."""
    names = [
        "Ab4",
        "A4",
        "Bb4",
        "B4",
        "Db5",
        "D5",
        "Eb5",
        "E5",
        "F5",
        "Gb5",
        "G5",
        "F5",
        "E5",
        "Eb5",
        "D5",
        "Db5",
    ]
    many = int(bars * {"4/4": 4, "3/4": 3, "12/8": 4, "6/8": 2}[meter] / part)
    return line(
        [(names[at % len(names)], part) for at in range(many)],
        meter=meter,
        key=key,
        chords=" ".join(["Imaj7:2 bVII7:2"] * bars) if meter == "4/4" else "",
        title="Half steps",
    )


def jig() -> Score:
    """Two bars of eighths, a bar of quarters and eighths, long notes, and a pick-up, in 6/8."""
    third = Fraction(1, 3)
    names = ["D5", "B4", "G4", "B4", "G4", "D4", "G4", "A4", "B4", "C5", "A4", "F#4"]
    strain = [(name, third) for name in names]
    strain += [("G4", 2 * third), ("B4", third), ("A4", 2 * third), ("C5", third)]
    strain += [("B4", Fraction(1)), ("G4", Fraction(1))]
    return line([("D4", third), *strain, *strain], meter="6/8", pickup=third, title="Jig")


def waltz() -> Score:
    """A sparse line in 3/4."""
    half = Fraction(1, 2)
    rows = [("C4", 3), ("E4", 2), ("G4", 1), ("A4", half), ("G4", half), ("E4", 1), ("C4", 1)]
    rows += [("D4", Fraction(3, 2)), ("E4", half), ("G4", 1), ("C5", 3), ("C5", 1), (None, 2)]
    return line(rows, meter="3/4", key="C", chords="I:3 vi7:3 I:3 V7:3 I:3 I:3", title="Waltz")
