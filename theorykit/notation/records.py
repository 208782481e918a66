"""Scores as tables: plain rows of notes and of chords, both ways."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any

from theorykit.errors import BadInput
from theorykit.score.score import PARTS, Part, PlacedChord, Score, ScoreNote
from theorykit.theory.chord import Chord
from theorykit.theory.degree import Degree
from theorykit.theory.key import Key
from theorykit.theory.pitch import Pitch

#: Beats come back from decimals as the nearest fraction with at most this below the line: it holds
#: every triplet, quintuplet and septuplet of sixteenths.
FINEST = 1680

#: The columns of a note, in their order. ``beat`` and ``beats`` are as written; how the note is
#: played from there is in `Score.records`.
NOTE_COLUMNS = (
    "part", "name", "midi", "beat", "beats", "degree", "role", "string", "fret", "finger",
    "articulation", "level",
)  # fmt: skip

CHORD_COLUMNS = ("chord", "beat", "beats")


def records(score: Score) -> list[dict[str, object]]:
    """One plain row for each note as it is written, part by part.

    Beats are decimals, and what a note has not is None.

    Examples
    --------
    >>> note = ScoreNote(Fraction(0), Fraction(1, 3), 69, Pitch.parse("A4"), string=2, fret=0)
    >>> row = records(Score((Part("line", (note,), "mandolin"),)))[0]
    >>> row["name"], row["midi"], round(row["beats"], 3), row["string"], row["fret"]
    ('A4', 69, 0.333, 2, 0)
    """
    return [
        {
            "part": part.name,
            "name": None if note.pitch is None else str(note.pitch),
            "midi": note.midi,
            "beat": float(note.start),
            "beats": float(note.beats),
            "degree": None if note.degree is None else str(note.degree),
            "role": note.role,
            "string": note.string,
            "fret": note.fret,
            "finger": note.finger,
            "articulation": note.articulation,
            "level": note.level,
        }
        for part in score.parts
        for note in part.notes
    ]


def chord_records(score: Score) -> list[dict[str, object]]:
    """One plain row for each chord; ``chord`` is None where none sounds."""
    return [
        {
            "chord": None if placed.chord is None else str(placed.chord),
            "beat": float(placed.start),
            "beats": float(placed.beats),
        }
        for placed in score.chords
    ]


def from_records(
    notes: Iterable[Mapping[str, Any]],
    chords: Iterable[Mapping[str, Any]] = (),
    *,
    meter: str = "4/4",
    tempo: float = 100.0,
    key: Key | str | None = None,
    pickup: Fraction | float = 0,
    voices: Mapping[str, str] | None = None,
    title: str = "",
) -> Score:
    """The score of such rows.

    Parameters
    ----------
    notes : iterable of dict
        As `records` gives them; ``beat``, ``beats`` and one of ``name`` and ``midi`` are needed.
    chords : iterable of dict
        As `chord_records` gives them.
    meter, tempo, key, pickup, title
        What rows don't say.
    voices : dict, optional
        What sounds each part; a guitar if not given.

    Raises
    ------
    BadInput
        With the first row that makes no note or chord.

    Examples
    --------
    >>> score = from_records([{"name": "G4", "beat": 0, "beats": 1.5}], meter="3/4")
    >>> score.part("line").notes[0].midi, str(score.part("line").notes[0].beats)
    (67, '3/2')
    """
    by_part: dict[str, list[ScoreNote]] = {}
    for index, row in enumerate(notes, start=1):
        by_part.setdefault(str(row.get("part") or "line"), []).append(_note(row, index))
    home = Key.parse(key) if isinstance(key, str) else key
    given = voices or {}
    parts = [
        Part(
            name,
            tuple(sorted(found, key=lambda note: (note.start, note.midi))),
            given.get(name, "guitar"),
        )
        for name, found in by_part.items()
    ]
    parts.sort(key=lambda part: PARTS.index(part.name))
    return Score(
        tuple(parts),
        chords=tuple(_chord(row, index) for index, row in enumerate(chords, start=1)),
        meter=meter,
        tempo=tempo,
        key=home,
        keys=((Fraction(0), home),) if home is not None else (),
        pickup=_beats(pickup, 0),
        title=title,
    )


def _beats(value: Any, row: int) -> Fraction:
    try:
        beats = Fraction(value)
    except (TypeError, ValueError, OverflowError, ZeroDivisionError):
        raise BadInput("beats", value, f"no number of beats, in row {row}") from None
    return beats.limit_denominator(FINEST)


def _given(row: Mapping[str, Any], column: str) -> Any:
    """A value, or None for one that is missing, as tables mark it by a number that is none."""
    value = row.get(column)
    missing = value is None or value == "" or value != value
    return None if missing else value


def _whole(row: Mapping[str, Any], column: str) -> int | None:
    value = _given(row, column)
    return None if value is None else int(value)


def _note(row: Mapping[str, Any], index: int) -> ScoreNote:
    name, midi = _given(row, "name"), _given(row, "midi")
    if name is None and midi is None:
        raise BadInput("row", index, "a note needs a name or a MIDI number")
    pitch = Pitch.parse(name) if name is not None else None
    degree = _given(row, "degree")
    level = _given(row, "level")
    return ScoreNote(
        _beats(_given(row, "beat"), index),
        _beats(_given(row, "beats"), index),
        midi if midi is not None else pitch.midi,  # type: ignore[union-attr]
        pitch,
        level=1.0 if level is None else float(level),
        articulation=_given(row, "articulation") or "",
        string=_whole(row, "string"),
        fret=_whole(row, "fret"),
        finger=_whole(row, "finger"),
        degree=Degree.parse(degree) if degree is not None else None,
        role=_given(row, "role") or "",
    )


def _chord(row: Mapping[str, Any], index: int) -> PlacedChord:
    symbol = _given(row, "chord")
    return PlacedChord(
        _beats(_given(row, "beat"), index),
        _beats(_given(row, "beats"), index),
        Chord.parse(symbol) if symbol is not None else None,
    )
