"""The piano roll of a checked take: a picture of some bars, in rows, as plain data.

Time runs along x, in beats from the first bar line of a row; rows lie below one another, each as
high as the take's compass. The half steps of a row are counted up from its lowest one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from itertools import pairwise
from typing import Any

from theorykit.analysis.palette import INK, WHITE
from theorykit.practice.line_chart import Slot
from theorykit.review.review import Review
from theorykit.review.role import JudgedNote
from theorykit.scene.codes import CODES, LEGENDS, Code
from theorykit.theory.pitch import Note, note_at_midi

#: Sizes of the marks: smaller than on a neck, with room for two letters.
_SIZES = {
    "root": 21,
    "chord tone": 18,
    "colour": 20,
    "passing": 18,
    "blue": 30,
    "avoid": 32,
}
#: The dashes of a small triangle may not reach its letters.
_AVOID_LINE = 2.0
#: Bars in a row, and in one where many notes stand close together; how close, in beats.
_ROW_BARS, _DENSE_ROW_BARS, _DENSE_BEATS = 4, 2, 0.3
#: Rows in a picture: a longer form is cut up, a shorter one goes round within it.
_MOST_ROWS = 4
#: Half steps left free above and below the notes, and for the chord names above.
_AROUND, _HEAD = 2, 3.4
#: Pixels of a half step at most, and of a row's compass at least and at most.
_HALF_STEP, _LOWEST_ROW, _HIGHEST_ROW = 9.0, 110.0, 190.0
#: Beats left of the first bar line for the names of pitches, and right of the last.
_LEFT, _RIGHT = 0.95, 0.3
#: Where the names of pitches end, clear of a mark on the bar line.
_NAMES_END = 0.32

_ROOT_SHADE, _TONE_SHADE = "#c9dbe6", "#e9f1f6"
_BAR_LINE, _BEAT_LINE = "#5a5a5a", "#d3d3d3"

#: Before and after the form.
OUTSIDE = "outside the form"

#: The looks of the marks, by role: those of the neck, smaller.
ROLL_CODES: dict[str, Code] = {
    **{role: replace(CODES[role], size=_SIZES[role]) for role in LEGENDS["chord"]},
    "avoid": replace(CODES["avoid"], size=_SIZES["avoid"], line_width=_AVOID_LINE),
    OUTSIDE: Code("before or after the form", "circle", 15, WHITE, "#7d868c", INK, 1.0, "dotted"),
}


@dataclass(frozen=True, slots=True)
class _Layout:
    """How the rows of a take lie.

    Parameters
    ----------
    low, high : int
        The lowest and the highest half step of a row.
    bars, row_bars : int
        Of the whole take, and of a row.
    bar_beats : float
    early : float
        Beats before the first bar line that a pick-up takes.
    """

    low: int
    high: int
    bars: int
    row_bars: int
    bar_beats: float
    early: float

    @property
    def left(self) -> float:
        """Beats before the first bar line."""
        return self.early + _LEFT

    @property
    def row_steps(self) -> float:
        """Half steps from row to row."""
        return self.high - self.low + 1 + _HEAD

    @property
    def half_step(self) -> float:
        """Pixels of a half step."""
        compass = self.high - self.low + 1
        height = min(max(compass * _HALF_STEP, _LOWEST_ROW), _HIGHEST_ROW)
        return height / compass

    def height_of(self, row: int, midi: float) -> float:
        """Where a key lies in a row."""
        return round(midi - self.low - row * self.row_steps, 2)


def roll_pages(review: Review, rows: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    """The pictures of a take, one after another.

    Parameters
    ----------
    review : Review
    rows : sequence of dict
        The notes, as ``note_rows`` gives them.

    Returns
    -------
    list of dict
        Each ``first`` and ``last`` bar (counted from 1), ``height`` in pixels and ``window`` in
        data units, ``rows`` (each ``first`` bar and its ``bottom`` and ``top``), ``row_beats``,
        and columns for ``shades``, ``lines``, ``words``, ``lengths``, ``places`` (where a note
        that is off belongs), ``offs`` (by how much) and ``marks``, each of which has the number of
        its ``note``; ``alt`` is the text alternative.
    """
    layout = _layout(review)
    size = _page_bars(review, layout.row_bars)
    return [
        _page(review, rows, layout, first, min(first + size, layout.bars))
        for first in range(0, layout.bars, size)
    ]


def _layout(review: Review) -> _Layout:
    midis = [judged.note.midi for judged in review.notes]
    onsets = sorted(float(judged.note.onset) for judged in review.notes)
    gaps = sorted(after - before for before, after in pairwise(onsets))
    dense = bool(gaps) and gaps[len(gaps) // 10] < _DENSE_BEATS
    bar_beats = float(review.chart.bars[0].beats)
    pickup = min(max(-onsets[0], 0.0), bar_beats)
    return _Layout(
        min(midis) - _AROUND,
        max(midis) + _AROUND,
        len(review.chart.bars),
        _DENSE_ROW_BARS if dense else _ROW_BARS,
        bar_beats,
        pickup if pickup > _NAMES_END / 2 else 0.0,
    )


def _page_bars(review: Review, row_bars: int) -> int:
    most = _MOST_ROWS * row_bars
    form = len(review.chart.bars) // review.take.choruses
    if form <= most:
        return form * (most // form)
    # In even shares, where that does not make them small: a 12-bar form in two of six bars.
    shares = [size for size in range(most, most // 2, -1) if form % size == 0]
    return shares[0] if shares else most


def _page(
    review: Review, notes: Sequence[dict[str, Any]], layout: _Layout, first: int, end: int
) -> dict[str, Any]:
    count = -(-(end - first) // layout.row_bars)
    wide = min(layout.row_bars, end - first) * layout.bar_beats
    here = [at for at, note in enumerate(notes) if _row_of(note, layout, first, end) is not None]
    bottom = layout.height_of(count - 1, layout.low) - 0.8
    top = layout.height_of(0, layout.high + 1) + _HEAD
    columns = _note_columns(notes, here, layout, first, end)
    right = max([wide, *(mark["x"] for mark in columns["marks"])]) + _RIGHT
    page = {
        "first": first + 1,
        "last": end,
        "height": round((top - bottom) * layout.half_step),
        "window": [-layout.left, round(right, 4), round(bottom, 2), round(top, 2)],
        "row_beats": layout.row_bars * layout.bar_beats,
        "rows": [
            {
                "first": first + row * layout.row_bars + 1,
                "bottom": layout.height_of(row, layout.low),
                "top": layout.height_of(row, layout.high + 1),
            }
            for row in range(count)
        ],
        "shades": _shades(review, layout, first, end),
        "lines": _lines(layout, first, end),
        "words": _words(review, layout, first, end),
        "alt": _alt(review, notes, here, first, end),
    }
    return page | columns


def _row_of(
    note: dict[str, Any], layout: _Layout, first: int, end: int
) -> tuple[int, float] | None:
    """The row that a note stands in, and where in it; None if on another page."""
    bar = max(note["bar"], 1) - 1
    if bar == layout.bars:
        # A last note on the bar line after the form.
        bar -= 1
    if not first <= bar < end:
        return None
    row = (bar - first) // layout.row_bars
    return row, round(note["onset"] - (first + row * layout.row_bars) * layout.bar_beats, 4)


def _columns(names: str, rows: Sequence[Sequence[Any]]) -> dict[str, list[Any]]:
    keys = names.split()
    return {key: [row[at] for row in rows] for at, key in enumerate(keys)}


def _slots(review: Review, layout: _Layout, first: int, end: int) -> list[tuple[int, float, Slot]]:
    """Row, beat in it, and chord, for each chord of a page."""
    found = []
    for slot in review.chart.slots:
        if first <= slot.bar < end:
            row = (slot.bar - first) // layout.row_bars
            start = float(slot.start) - (first + row * layout.row_bars) * layout.bar_beats
            found.append((row, start, slot))
    return found


def _shades(review: Review, layout: _Layout, first: int, end: int) -> dict[str, list[Any]]:
    rows = []
    for row, start, slot in _slots(review, layout, first, end):
        if slot.silent:
            continue
        tones = {note.pitch_class for note in slot.chord.notes}
        for midi in range(layout.low, layout.high + 1):
            if midi % 12 in tones:
                height = layout.height_of(row, midi)
                root = midi % 12 == slot.chord.root.pitch_class
                shade = _ROOT_SHADE if root else _TONE_SHADE
                stop = start + float(slot.end - slot.start)
                rows.append((start, stop, height, height + 1, shade))
    return _columns("left right bottom top color", rows)


def _lines(layout: _Layout, first: int, end: int) -> dict[str, list[Any]]:
    rows = []
    for bar in range(first, end):
        row, at = divmod(bar - first, layout.row_bars)
        low, high = layout.height_of(row, layout.low), layout.height_of(row, layout.high + 1)
        start = at * layout.bar_beats
        beats = round(layout.bar_beats)
        for beat in range(1, beats):
            rows.append((start + beat, low, start + beat, high, _BEAT_LINE, 1.0))
        rows.append((start, low, start, high + _HEAD * 0.8, _BAR_LINE, 1.5))
        if at == layout.row_bars - 1 or bar == end - 1:
            right = start + layout.bar_beats
            rows.append((right, low, right, high, _BAR_LINE, 1.5))
    return _columns("x0 y0 x1 y1 color width", rows)


def _words(review: Review, layout: _Layout, first: int, end: int) -> dict[str, list[Any]]:
    """Chord names, numbers of bars, and at the left the pitches of the first chord of each row."""
    rows: list[tuple[float, float, str, str, str, str]] = []
    named: set[int] = set()
    for row, start, slot in _slots(review, layout, first, end):
        above = layout.height_of(row, layout.high + 1)
        beat = float(slot.start) % layout.bar_beats
        if not beat:
            rows.append((start + 0.06, above + 2.3, str(slot.bar + 1), "left", "10px", "#555555"))
        inset = 0.06 if beat else 0.36
        name = "N.C." if slot.silent else slot.chord.pretty
        rows.append((start + inset, above + 1.4, name, "left", "14px", INK))
        if row not in named and not slot.silent:
            named.add(row)
            for midi, note in _tone_names(slot, layout):
                height = layout.height_of(row, midi) + 0.5
                rows.append((-_NAMES_END - layout.early, height, note, "right", "10px", "#444444"))
    return _columns("x y text align size color", rows)


def _tone_names(slot: Slot, layout: _Layout) -> list[tuple[int, str]]:
    spelled: dict[int, Note] = {note.pitch_class: note for note in slot.chord.notes}
    return [
        (midi, note_at_midi(spelled[midi % 12], midi).pretty)
        for midi in range(layout.low, layout.high + 1)
        if midi % 12 in spelled
    ]


def _note_columns(
    notes: Sequence[dict[str, Any]], here: Sequence[int], layout: _Layout, first: int, end: int
) -> dict[str, Any]:
    marks, lengths, places, offs = [], [], [], []
    for at in here:
        note = notes[at]
        found = _row_of(note, layout, first, end)
        assert found is not None
        row, x = found
        y = layout.height_of(row, note["midi"]) + 0.5
        marks.append({"note": at, "x": x, "y": y, "role": note["role"]})
        # Up to the end of the row: what is held over it is seen in the staff.
        stop = min(x + note["beats"], layout.row_bars * layout.bar_beats + _RIGHT)
        lengths.append((x, max(stop, x), y - 0.22, y + 0.22))
        if note["off"]:
            belongs = round(note["meant"] - note["onset"] + x, 4)
            high = 1.5 * _HALF_STEP / layout.half_step
            places.append((belongs, y - high, belongs, y + high))
            sign = "+" if note["off"] == "late" else "−"
            offs.append((x, y - high - 0.2, f"{sign}{abs(note['late'])}"))
    return {
        "marks": marks,
        "lengths": _columns("left right bottom top", lengths),
        "places": _columns("x0 y0 x1 y1", places),
        "offs": _columns("x y text", offs),
    }


def _alt(
    review: Review, notes: Sequence[dict[str, Any]], here: Sequence[int], first: int, end: int
) -> str:
    names = []
    for _, _, slot in _slots(review, _layout(review), first, end):
        chord = "no chord" if slot.silent else slot.chord.pretty
        names.append(f"{slot.bar + 1} {chord}")
    if not here:
        return (
            f"Piano roll, bars {first + 1} to {end}: no notes. Chords by bar: {', '.join(names)}."
        )
    judged: list[JudgedNote] = [review.notes[at] for at in here]
    low, high = (pick(judged, key=lambda one: one.note.midi) for pick in (min, max))
    pitches = [note_at_midi(one.name, one.note.midi).pretty for one in (low, high)]
    told = [f"{len(here)} notes from {pitches[0]} to {pitches[1]}"]
    for words, number in (
        ("on chord tones", sum(one.in_chord for one in judged)),
        ("to avoid", sum(one.role == "avoid" for one in judged)),
        ("late", sum(notes[at]["off"] == "late" for at in here)),
        ("early", sum(notes[at]["off"] == "early" for at in here)),
    ):
        if number:
            told.append(f"{number} {words}")
    return (
        f"Piano roll, bars {first + 1} to {end}: {', '.join(told)}. "
        f"Chords by bar: {', '.join(names)}."
    )


def roll_codes() -> dict[str, dict[str, object]]:
    """The looks of the marks as plain data."""
    return {role: asdict(code) for role, code in ROLL_CODES.items()}


#: The ink of where a note belongs and of how far off it is, and the fill of its length.
OFF_INK, LENGTH_FILL = "#8a3c00", "#4a4a4a"
