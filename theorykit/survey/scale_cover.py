"""Which scales cover a tune: the share of its notes and of its time that lies in each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from theorykit.score.score import MODES, Score, ScoreNote
from theorykit.score.signature import Signature
from theorykit.theory.pitch import LETTER_SEMITONES, Note
from theorykit.theory.scale import Scale, ScaleFormula, every_scale

#: What the ranking weighs against a share of the time that lies outside of a scale (stipulated: a
#: note of the scale that the tune never has weighs as much as one fiftieth of its time outside; a
#: scale of more than seven notes is one of seven with notes to pass through).
UNUSED, BEYOND_SEVEN = 0.02, 0.05

#: And a note that the signature has not got (stipulated: accidentals are notes in passing
#: until a good part of the tune has them; a minor key's raised sixth and seventh are its own).
FOREIGN = 0.03

_SEVEN = 7
_EVERY = frozenset(range(12))


@dataclass(frozen=True, slots=True)
class Cover:
    """How far a scale covers a tune.

    Parameters
    ----------
    scale : Scale
    notes, time : float
        Shares from 0 to 1: of the notes, and of the beats that they are written for.
    unused : int
        Notes of the scale that the tune never has.
    size : int
        Notes of the scale, both ways.
    foreign : int
        Notes of the scale that the signature has not got.
    """

    scale: Scale
    notes: float
    time: float
    unused: int
    size: int
    foreign: int = 0

    @property
    def cost(self) -> float:
        """What the ranking goes by: less is better."""
        beyond = max(self.size - _SEVEN, 0)
        strange = UNUSED * self.unused + FOREIGN * self.foreign
        return 1 - self.time + strange + BEYOND_SEVEN * beyond


def covers(
    notes: Sequence[ScoreNote],
    tonics: Sequence[Note],
    *,
    signature: frozenset[int] = _EVERY,
) -> list[Cover]:
    r"""The scales on some tonics, the one that covers a tune most closely first.

    Sounds are compared. A scale that has another form on its way down has the notes of both.
    Among equals the earlier tonic comes first, then the order of the catalogue.

    Parameters
    ----------
    notes : sequence of ScoreNote
        At least one.
    tonics : sequence of Note
    signature : frozenset of int
        The pitch classes that need no accidental; all of them if nobody says.

    Examples
    --------
    >>> from theorykit.notation.abc_reader import read_abc
    >>> tune = read_abc("X:1\nT:Steps\nM:4/4\nL:1/4\nK:G\nG A B d|e d B A|G4|]")
    >>> best = covers(tune.part("line").notes, [Note.parse("G")])[0]
    >>> str(best.scale), best.notes, best.time
    ('G major pentatonic', 1.0, 1.0)
    """
    count, time = [0] * 12, [0.0] * 12
    for note in notes:
        sound = round(note.midi) % 12
        count[sound] += 1
        time[sound] += float(note.beats)
    found = []
    for tonic in tonics:
        root = tonic.pitch_class
        for formula, steps in _sounds():
            classes = [(root + step) % 12 for step in steps]
            held = sum(time[sound] for sound in classes) / sum(time)
            found.append(
                Cover(
                    Scale(tonic, formula),
                    sum(count[sound] for sound in classes) / len(notes),
                    min(held, 1.0),
                    sum(not count[sound] for sound in classes),
                    len(classes),
                    sum(sound not in signature for sound in classes),
                )
            )
    return sorted(found, key=lambda cover: round(cover.cost, 9))


def likely_tonics(score: Score, notes: Sequence[ScoreNote]) -> tuple[list[Note], str]:
    """The notes on which a tune's scale may start, the likeliest first, and who says so.

    What the file says comes first, ``"file"``. Then the last note, on which most tunes end at
    home (common practice); where the file says nothing it stands alone, ``"last note"``.
    """
    last = max(notes, key=lambda note: (note.start, -note.midi))
    ending = last.pitch.note if last.pitch is not None else _named(round(last.midi))
    if score.key is None:
        return [ending], "last note"
    tonic = score.key.tonic
    same = ending.pitch_class == tonic.pitch_class
    return [tonic] if same else [tonic, ending], "file"


def written_mode(score: Score) -> str:
    """The mode that a file gives its tune: one of ``MODES``, major or minor; empty if none."""
    if score.key is None:
        return ""
    mode = score.modes[0][1] if score.modes else ""
    return mode if mode in MODES else score.key.mode


def own_sounds(score: Score) -> frozenset[int]:
    """The pitch classes that need no accidental in a score's first key; all where it has none."""
    if score.key is None:
        return _EVERY
    mode = score.modes[0][1] if score.modes else ""
    alters = Signature(score.key, mode).alters
    found = {(at + alters.get(letter, 0)) % 12 for letter, at in LETTER_SEMITONES.items()}
    if score.key.mode == "minor" and not mode:
        found |= {(score.key.tonic.pitch_class + step) % 12 for step in (9, 11)}
    return frozenset(found)


def _named(midi: int) -> Note:
    return Note.parse(("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")[midi % 12])


@lru_cache(maxsize=1)
def _sounds() -> tuple[tuple[ScaleFormula, tuple[int, ...]], ...]:
    """The scales that a tune can be in, each with its half steps both ways."""
    return tuple(
        (formula, tuple(sorted({*formula.semitones, *(d.semitones for d in formula.descending)})))
        for formula in every_scale()
        if 0 < len(formula.degrees) < 12
    )
