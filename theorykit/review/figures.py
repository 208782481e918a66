"""The plain figures of a take, for the record."""

from __future__ import annotations

from typing import TYPE_CHECKING

from theorykit.review.places import bar_words, counted
from theorykit.review.role import JudgedNote
from theorykit.review.timing import rounded
from theorykit.theory.pitch import note_at_midi

if TYPE_CHECKING:
    from theorykit.review.review import Review

#: A swing ratio below this is heard as even, one above as a shuffle (stipulated; a triplet is 2).
_EVEN, _TRIPLET = 1.15, 1.75
#: Of more scales than these, one that is met in a single bar is not worth its words.
_MOST_SCALES = 3


def figures(review: Review) -> list[str]:
    """The plain figures, a line each."""
    return [
        # Against the wrong key they say nothing.
        *([] if review.take.moved else _of_chords(review)),
        *_of_shape(review),
        *([] if review.take.moved else _of_scales(review)),
        *_of_time(review),
    ]


def _of_chords(review: Review) -> list[str]:
    found = []
    if review.strong_share is not None:
        found.append(f"notes of the chord on strong beats: {review.strong_share:.0%}")
    if review.hit_share is not None:
        found.append(
            f"changes met by a note of the new chord: {review.hit_share:.0%}, "
            f"by its third or seventh: {review.guided_share or 0:.0%}"
        )
    return found


def _of_shape(review: Review) -> list[str]:
    outline = review.shape
    low = min(review.notes, key=lambda note: note.note.midi)
    high = max(review.notes, key=lambda note: note.note.midi)
    bar_beats = float(review.chart.bars[0].beats)
    longest = max(round(float(outline.longest) / bar_beats * 2) / 2, 0.5)
    width = outline.highest - outline.lowest
    reach = f"{_pitch(low)} to {_pitch(high)}, {_width(width)}" if width else f"{_pitch(low)} only"
    rests = f"{outline.rest_share:.0%} of the form"
    return [
        f"range: {reach}",
        f"rests: {rests}; the longest stretch without one: {counted(longest, 'bar')}",
    ]


def _of_scales(review: Review) -> list[str]:
    by_scale = []
    # A wrong note makes a scale of its own, which nobody meant.
    rubbed = {finding.bar for finding in review.findings if finding.kind == "avoid"}
    bars_of: dict[str, list[int]] = {}
    for bar in review.bars:
        if bar.scale and bar.bar not in rubbed:
            bars_of.setdefault(bar.scale, []).append(bar.bar)
    for scale, bars in bars_of.items():
        if len(bars) < 2 and len(bars_of) > _MOST_SCALES:
            continue
        # Through many choruses the list would be too long to read.
        once = review.take.choruses == 1
        where = bar_words(bars, review) if once else counted(len(bars), "bar")
        name = "notes of the chord alone" if scale == "chord tones" else scale
        by_scale.append(f"{name} in {where}")
    return [f"drawn on: {'; '.join(by_scale)}"] if by_scale else []


def _of_time(review: Review) -> list[str]:
    time = review.timing
    if time is None:
        return []
    mean, spread = rounded(time.mean), max(rounded(time.deviation), 5)
    where = f"{mean} ms {'late' if time.mean > 0 else 'early'}" if mean else "on the click"
    where = f"{where} on average, " if review.take.pace == 1 else ""
    found = [f"time: {where}give or take {spread} ms (1000 ms are a second)"]
    if time.swing is not None:
        feel = "even eighths"
        if time.swing >= _EVEN:
            kind = "light" if time.swing < _TRIPLET else "a shuffle"
            feel = f"{kind}, the first of two eighths {time.swing:.1f} times as long as the second"
        found.append(f"swing: {feel}")
    return found


def _width(half_steps: int) -> str:
    octaves, steps = divmod(half_steps, 12)
    if not octaves:
        return counted(steps, "half step")
    words = "an octave" if octaves == 1 else f"{octaves} octaves"
    return f"{words} and {counted(steps, 'half step')}" if steps else words


def _pitch(note: JudgedNote) -> str:
    return note_at_midi(note.name, note.note.midi).pretty
