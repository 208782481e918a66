"""Takes of sound solos with faults planted in them; nothing here asks how they are found."""

from __future__ import annotations

import random
from dataclasses import dataclass, field, replace
from fractions import Fraction

from theorykit.practice.line import line_over
from theorykit.score.score import Score, ScoreNote
from theorykit.theory.form import find_progression

FORMS = (
    "12-bar blues",
    "12-bar blues, plain chords",
    "8-bar blues",
    "I-IV-V vamp",
    "ii-V-I",
    "| I | vi | IV | V7 | I | vi | V7 | I |",
    "| I | I | IV | I | I | I | V7 | V7 | I | I | IV | IV | I | V7 | I | I |",
    "| i | iv | i | V7 | i | iv | V7 | i |",
    "3/4 | I | I | IV | I | I | V7 | I | I |",
)
KEYS = ("C", "D", "E", "F", "G", "A", "Bb")
#: A steady player's onsets, as standard deviation; and how late a late note is.
SCATTER_MS, LATE_MS = 8.0, 40.0

Place = tuple[int, Fraction]


@dataclass
class Planted:
    """A take, and the places of its faults by kind: bar and beat, counted from 1."""

    score: Score
    form: str
    key: str
    faults: dict[str, set[Place]] = field(default_factory=dict)
    lead: Fraction = Fraction(0)


def planted(
    seed: int, *, faults: tuple[str, ...] = ("late", "avoid", "missed change"), run: int = 3
) -> Planted:
    """A take with one fault of each kind, where its notes give room for one."""
    chance = random.Random(f"planted {seed}")
    form, key = FORMS[seed % len(FORMS)], chance.choice(KEYS)
    bars = len(find_progression(form).unfolded().bars)
    line = line_over(
        form,
        key,
        level=seed // len(FORMS) % 4 + 1,
        instrument=chance.choice(("mandolin", "guitar", "fiddle")),
        seed=seed,
        choruses=1 if bars >= 12 else 2 if bars >= 8 else 4,
        tempo=chance.choice((72, 90, 108, 126, 144, 160)),
    )
    score = line.score
    take = Planted(score, form, key)
    bar = score.bars[0].beats
    notes = list(line.notes)
    used: set[int] = set()
    if "missed change" in faults:
        notes = _stay(notes, score, take, bar, chance, used)
    if "avoid" in faults:
        notes = _rub(notes, score, take, bar, chance, used)
    late = _late(notes, take, bar, chance, run, used) if "late" in faults else set()
    take.lead = chance.choice((Fraction(0), bar, 2 * bar))
    beat_ms = 60_000 / score.tempo
    played = [
        replace(
            note,
            start=note.start + take.lead,
            shift=Fraction((chance.gauss(0, SCATTER_MS) + LATE_MS * (index in late)) / beat_ms).limit_denominator(10_000),
            pitch=None,
        )
        for index, note in enumerate(notes)
    ]  # fmt: skip
    take.score = replace(score, chords=(), bars=(), keys=()).with_part(
        replace(score.part("line"), notes=tuple(played))
    )
    return take


def _place(beat: Fraction, bar: Fraction) -> Place:
    return int(beat // bar) + 1, beat % bar + 1


def _tones(chord) -> set[int]:
    return {note.pitch_class for note in chord.notes}


def _nearest(midi: float, classes: set[int]) -> int:
    return min((m for m in range(40, 100) if m % 12 in classes), key=lambda m: (abs(m - midi), m))


def _stay(notes, score, take, bar, chance, used) -> list[ScoreNote]:
    """Over one chord the player stays on the chord before."""
    places = []
    for before, placed in zip(score.chords, score.chords[1:], strict=False):
        end = placed.start + placed.beats
        inside = [i for i, n in enumerate(notes) if placed.start <= n.start < end]
        foreign = _tones(before.chord) - _tones(placed.chord)
        if len(inside) >= 2 and foreign and notes[inside[0]].start == placed.start:
            places.append((before, placed, inside, foreign))
    if not places:
        return notes
    before, placed, inside, foreign = chance.choice(places)
    changed = list(notes)
    for number, index in enumerate(inside):
        # The notes that tell the two chords apart come first and every other time.
        among = foreign if number % 2 == 0 else _tones(before.chord)
        midi = _nearest(notes[index].midi, among)
        changed[index] = replace(notes[index], midi=midi, glide=None)
    used.update(inside)
    take.faults["missed change"] = {_place(placed.start, bar)}
    return changed


def _rub(notes, score, take, bar, chance, used) -> list[ScoreNote]:
    """A half step above the root or fifth of a chord is held for a beat or more.

    Over the dominant of a minor chord those are tensions and no fault, so that one is left alone.
    """
    minor = take.form.find("| i |") >= 0
    places = []
    for index, note in enumerate(notes[:-1]):
        chord = next(p for p in reversed(score.chords) if p.start <= note.start)
        last = chord.start + chord.beats
        dominant = str(chord.numeral).startswith("V") and minor
        if (
            note.start.denominator == 1
            and note.start + 1 <= last
            and index not in used
            and not dominant
        ):
            places.append((index, chord))
    if not places:
        return notes
    index, placed = chance.choice(places)
    note = notes[index]
    root = placed.chord.root.pitch_class
    midi = _nearest(note.midi, {(root + chance.choice((1, 8))) % 12} - _tones(placed.chord))
    held = replace(note, midi=midi, beats=max(note.beats, Fraction(1)), glide=None)
    after = [n for n in notes[index + 1 :] if n.start >= held.start + held.beats]
    dropped = len(notes) - index - 1 - len(after)
    moved = {i if i <= index else i - dropped for i in used if i <= index or i > index + dropped}
    used.clear()
    used.update(moved | {index})
    take.faults["avoid"] = {_place(note.start, bar)}
    return [*notes[:index], held, *after]


def _late(notes, take, bar, chance, run, used) -> set[int]:
    starts = [
        at
        for at in range(len(notes) - run + 1)
        if used.isdisjoint(range(at, at + run)) and notes[at].start >= 0
    ]
    if not starts:
        return set()
    at = chance.choice(starts)
    take.faults["late"] = {_place(note.start, bar) for note in notes[at : at + run]}
    return set(range(at, at + run))


def tally(takes, check) -> dict[str, list[int]]:
    """For each kind: found of those planted, missed, and found where nothing was planted."""
    counts = {kind: [0, 0, 0] for kind in ("late", "avoid", "missed change", "other")}
    for take in takes:
        review = check(take)
        found: dict[str, set[Place]] = {}
        for finding in review.findings:
            kind = "avoid" if finding.kind == "hanging" else finding.kind
            found.setdefault(kind, set()).add((finding.bar, finding.beat))
        for kind in set(found) | set(take.faults):
            got, want = found.get(kind, set()), take.faults.get(kind, set())
            row = counts[kind if kind in counts else "other"]
            row[0] += len(got & want)
            row[1] += len(want - got)
            row[2] += len(got - want)
    return counts
