"""What is put on a sheet: a part with all that is to be written about it, ready to be drawn."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.analysis.classification import classify
from theorykit.analysis.style import CHORD_TONE, ROLES
from theorykit.errors import BadInput, nearest
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.instrument import Instrument
from theorykit.notation.bar import written_bars
from theorykit.notation.fold import FoldedBar, folded
from theorykit.notation.place import key_at, placed_notes, spelled_notes
from theorykit.notation.stroke import Strokes, strokes_of
from theorykit.notation.value import Ladder, ladder
from theorykit.score.feel import FEELS, find_feel
from theorykit.score.score import PlacedChord, Score, ScoreNote
from theorykit.theory.degree import Degree
from theorykit.theory.key import Key


@dataclass(frozen=True, slots=True)
class Sheet:
    """A part, ready to be drawn.

    Parameters
    ----------
    score : Score
    notes : tuple of ScoreNote
        The part's, in its order; spelled, with degree and role, and placed if there is a neck.
    bars : tuple of FoldedBar
    instrument : Instrument or None
    tablature : bool
    strokes : dict
        ``"down"`` or ``"up"`` by the note's place in the part.
    bow : bool
        True where the strokes are a bow's.
    chords, numerals, degrees, fingering, roles : bool
        What is shown.
    bars_a_line : int
    """

    score: Score
    notes: tuple[ScoreNote, ...]
    bars: tuple[FoldedBar, ...]
    instrument: Instrument | None
    tablature: bool
    strokes: dict[int, str]
    bow: bool
    chords: bool
    numerals: bool
    degrees: bool
    fingering: bool
    roles: bool
    bars_a_line: int

    @property
    def rungs(self) -> Ladder:
        """The divisions of the meter's bar."""
        return ladder(self.score.meter)

    @property
    def key(self) -> Key | None:
        """The key at the start."""
        return key_at(self.score, Fraction(0))

    @property
    def swung(self) -> bool:
        """Whether eighths are played long and short."""
        feel = self.score.feel
        if feel in FEELS and find_feel(feel).swing != 1:
            return True
        return any(note.shift >= Fraction(1, 12) for note in self.notes)


def sheet(
    score: Score,
    *,
    instrument: Instrument | str | None = None,
    part: str = "line",
    tablature: bool | None = None,
    chords: bool = True,
    numerals: bool = True,
    degrees: bool = True,
    fingering: bool = True,
    strokes: Strokes | None = None,
    roles: bool = True,
    bars_a_line: int = 4,
    repeats: bool = True,
    capo: int = 0,
) -> Sheet:
    """A part of a score, ready to be drawn; see `engrave` for the options.

    Raises
    ------
    BadInput
        If there is no such part or option, or the instrument can't play it.
    """
    if strokes not in (None, "pick", "bow"):
        close = nearest(str(strokes), ("pick", "bow"))
        raise BadInput("strokes", strokes, "unknown", accepted="pick, bow or None", nearest=close)
    if isinstance(bars_a_line, bool) or not (
        isinstance(bars_a_line, int) and 1 <= bars_a_line <= 16
    ):
        raise BadInput("bars a line", bars_a_line, "out of range", accepted="1 to 16")
    neck = find_instrument(instrument) if isinstance(instrument, str) else instrument
    plain = spelled_notes(score, score.part(part).notes)
    if tablature is None:
        tablature = neck is not None and not neck.fretless
    if tablature and neck is None:
        raise BadInput(
            "tablature",
            "no instrument",
            "needs strings",
            accepted="an instrument, or tablature=False",
        )
    if neck is not None and (tablature or fingering) and (tablature or neck.frets_a_finger):
        placed = placed_notes(plain, neck, capo=capo, tempo=score.tempo)
    else:
        placed = plain
    chord_at = chord_finder(score)
    notes = tuple(_told(score, note, chord_at(note.start)) for note in placed)
    bars = written_bars(score, notes)
    struck = strokes_of(bars, notes, ladder(score.meter), strokes) if strokes is not None else {}
    # As they were given: two passes are the same also where the hand comes from elsewhere.
    lines = folded(bars, plain, score.chords) if repeats else tuple(FoldedBar(bar) for bar in bars)
    return Sheet(
        score,
        notes,
        lines,
        neck,
        tablature,
        struck,
        strokes == "bow",
        chords,
        numerals,
        degrees,
        fingering,
        roles,
        bars_a_line,
    )


def chord_finder(score: Score) -> Callable[[Fraction], PlacedChord | None]:
    """A function that says which chord sounds at a beat."""
    placed = sorted(score.chords, key=lambda chord: chord.start)
    starts = [chord.start for chord in placed]
    ends = [chord.start + chord.beats for chord in placed]

    def chord_at(beat: Fraction) -> PlacedChord | None:
        place = bisect_right(starts, beat) - 1
        if place < 0 or beat >= ends[place] or placed[place].chord is None:
            return None
        return placed[place]

    return chord_at


def _told(score: Score, note: ScoreNote, placed: PlacedChord | None) -> ScoreNote:
    """The note with its degree and its role, where they are not given."""
    degree, role = note.degree, note.role
    if degree is None and note.pitch is not None:
        if placed is not None and placed.chord is not None:
            degree = Degree.between(placed.chord.root, note.pitch.note)
        else:
            key = key_at(score, note.start)
            degree = Degree.between(key.tonic, note.pitch.note) if key is not None else None
    if role not in ROLES:
        role = _role(score, note, placed)
    if degree is note.degree and role == note.role:
        return note
    return replace(note, degree=degree, role=role)


def _role(score: Score, note: ScoreNote, placed: PlacedChord | None) -> str:
    key = score.key
    if placed is None or placed.numeral is None or key is None:
        return ""
    above_tonic = round(note.midi) - key.tonic.pitch_class
    kind, member = classify(above_tonic, placed.numeral, key.mode)
    return "root" if kind is CHORD_TONE and member == Degree(1) else kind.role
