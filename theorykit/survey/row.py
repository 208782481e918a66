"""What a survey says of one tune, as plain data that JSON can hold."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from theorykit.errors import TheoryKitError, TuneError
from theorykit.instruments.instrument import Instrument
from theorykit.score.score import Score, ScoreNote
from theorykit.survey.chord_runs import chord_runs, plain_numerals
from theorykit.survey.compass import fit_of
from theorykit.survey.outside import melody, neighbours, outside_notes
from theorykit.survey.scale_cover import covers, likely_tonics, own_sounds, written_mode
from theorykit.theory.pitch import Pitch, note_at_midi
from theorykit.theory.scale import Scale
from theorykit.tune.reading import read_tune

#: Raised with every change of what a row says, so that no journal hands out rows of old.
EDITION = 1

#: How many scales a row lists.
MOST_SCALES = 5


def tune_row(score: Score, instruments: Sequence[Instrument]) -> dict[str, Any]:
    r"""The row of a tune.

    Parameters
    ----------
    score : Score
        Its part ``line`` is the tune; if there is none, its first part.
    instruments : sequence of Instrument

    Raises
    ------
    TuneError
        If it has no notes.

    Examples
    --------
    >>> from theorykit.instruments.catalogue import find_instrument
    >>> tune = read_tune(b"X:1\nT:Steps\nM:4/4\nL:1/4\nK:G\nG A B d|e d B A|G4|]")
    >>> row = tune_row(tune, [find_instrument("mandolin")])
    >>> row["scale"], row["lowest"], row["highest"], row["fits"]["mandolin"]["first"]
    ('G major pentatonic', 'G4', 'E5', True)
    """
    notes = _tune_of(score)
    if not notes:
        raise TuneError("has no notes")
    line = melody(notes)
    tonics, said_by = likely_tonics(score, line)
    ranked = covers(notes, tonics, signature=own_sounds(score))
    best = ranked[0].scale
    upper, lower = neighbours(line)
    lowest = min(notes, key=lambda note: note.midi)
    highest = max(notes, key=lambda note: note.midi)
    numerals = plain_numerals(score)
    return {
        "title": score.title,
        "key": None if score.key is None else str(score.key.tonic),
        "mode": written_mode(score),
        "tonic_from": said_by,
        "meter": score.meter,
        "bars": len(score.bars),
        "notes": len(notes),
        "beats": float(sum(note.beats for note in notes)),
        "scale": str(best),
        "scale_notes": _share(ranked[0].notes),
        "scale_time": _share(ranked[0].time),
        "scales": [
            {"scale": str(each.scale), "notes": _share(each.notes), "time": _share(each.time)}
            for each in ranked[:MOST_SCALES]
        ],
        "outside": [
            {"degree": str(each.degree), "count": each.count, "uses": dict(each.uses)}
            for each in outside_notes(line, best)
        ],
        "upper_neighbours": upper,
        "lower_neighbours": lower,
        "lowest": _name(lowest, best),
        "highest": _name(highest, best),
        "range_half_steps": round(highest.midi - lowest.midi),
        "fits": {each.name: _fit(notes, each) for each in instruments},
        "chords": [numeral for numeral in dict.fromkeys(numerals) if numeral],
        "runs": chord_runs(numerals),
    }


def surveyed(
    batch: Sequence[tuple[str, bytes | None]], instruments: Sequence[Instrument], attempt: int = 0
) -> list[dict[str, Any]]:
    """The rows of some tunes; that of one which can't be read says why.

    It runs in a process or on a machine of its own, so it takes and gives plain data, and nothing
    that a tune does to it stops the others.

    Parameters
    ----------
    batch : sequence of (str, bytes or None)
        What each file holds, in the words of `reading.SUFFIXES`, and its bytes, as `Source.content`
        gives them.
    instruments : sequence of Instrument
    attempt : int
        Tells a second try from the first, where an executor remembers what it was given.
    """
    del attempt
    return [_row_of(kind, data, instruments) for kind, data in batch]


def failed(
    reason: str, *, line: int | None = None, bar: int | None = None, again: bool = False
) -> dict[str, Any]:
    """The row of a tune that can't be read; ``again`` if the next survey should try it again."""
    return {"error": reason, "error_line": line, "error_bar": bar, "again": again}


def _row_of(kind: str, data: bytes | None, instruments: Sequence[Instrument]) -> dict[str, Any]:
    if data is None:
        return failed("has changed while the survey ran", again=True)
    try:
        return tune_row(read_tune(data, name=f".{kind}", repeats=False), instruments)
    except TuneError as error:
        return failed(error.reason, line=error.line, bar=error.bar)
    except TheoryKitError as error:
        return failed(str(error))
    except Exception as error:
        # A file that nobody vouches for may show a fault of ours; it is told, and stops no other.
        return failed(f"can't be surveyed ({type(error).__name__}: {error})", again=True)


def _tune_of(score: Score) -> Sequence[ScoreNote]:
    parts = sorted(score.parts, key=lambda part: part.name != "line")
    return next((part.notes for part in parts if part.notes), ())


def _share(value: float) -> float:
    return round(value, 4)


def _name(note: ScoreNote, scale: Scale) -> str:
    if note.pitch is not None:
        return str(note.pitch)
    midi = round(note.midi)
    named = {each.pitch_class: each for each in scale.notes}
    if midi % 12 in named:
        return str(note_at_midi(named[midi % 12], midi))
    return str(Pitch.parse(f"{_SHARP[midi % 12]}{midi // 12 - 1}"))


_SHARP = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")


def _fit(notes: Sequence[ScoreNote], instrument: Instrument) -> dict[str, Any]:
    fit = fit_of(notes, instrument)
    return {
        "first": fit.first,
        "octave": fit.octave,
        "share": _share(fit.share),
        "on_neck": fit.on_neck,
    }
