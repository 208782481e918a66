"""A score as a file, read by others and by us: every reader must find the same notes."""

from __future__ import annotations

import io
from fractions import Fraction
from pathlib import Path

from written import (
    by_abc2midi,
    by_music21,
    by_partitura,
    ours,
    placed_chords,
    played_alike,
    schema_errors,
    spelled,
)

from theorykit.notation.abc import abc_text
from theorykit.notation.abc_reader import read_abc
from theorykit.notation.midi_reader import read_midi
from theorykit.notation.musicxml import musicxml_text
from theorykit.notation.musicxml_reader import read_musicxml
from theorykit.score.midi import midi_file
from theorykit.score.score import Score


def _lead(score: Score) -> Fraction:
    return score.pickup * score.signature.beat_quarters


def _check_again(score: Score, again: Score, part: str) -> None:
    assert ours(again) == ours(score, part)
    if part == "line":
        assert spelled(again) == spelled(score)
    assert placed_chords(again) == placed_chords(score)
    assert (again.meter, again.tempo, again.key) == (score.meter, score.tempo, score.key)
    assert again.pickup == score.pickup


def check_musicxml(score: Score, folder: Path, *, part: str = "line", **options: object) -> None:
    """The file is valid, and music21, partitura and our own reader find the notes in it."""
    text = musicxml_text(score, part=part, **options)  # type: ignore[arg-type]
    assert schema_errors(text) == []
    expected, lead = ours(score, part), _lead(score)
    assert by_music21(text, "musicxml", lead=lead) == expected
    # partitura ties notes by pitch and time, whatever their staff: it is given the notes alone.
    path = folder / "score.musicxml"
    alone = musicxml_text(score, part=part, **options | {"tablature": False})  # type: ignore[arg-type]
    path.write_text(alone, encoding="utf-8")
    assert by_partitura(path, lead=lead) == expected
    _check_again(score, read_musicxml(text), part)


def check_abc(score: Score, folder: Path, *, part: str = "line", by_other: bool = True) -> None:
    """abc2midi, music21 and our own reader find the notes; ``by_other`` False leaves music21 out."""
    text = abc_text(score, part=part)
    expected = ours(score, part)
    _check_again(score, read_abc(text), part)
    assert played_alike(by_abc2midi(text, folder), expected)
    if by_other:
        assert by_music21(text, "abc", lead=_lead(score)) == expected


def check_midi(score: Score) -> None:
    """What our own reader finds in the MIDI file is what was written."""
    target = io.BytesIO()
    midi_file(score).save(file=target)
    again = read_midi(target.getvalue(), pickup=score.pickup)
    assert ours(again) == ours(score)
    assert placed_chords(again) == placed_chords(score)
    assert (again.meter, again.tempo, again.pickup) == (score.meter, score.tempo, score.pickup)
    assert [key for _, key in again.keys] == [key for _, key in score.keys]
