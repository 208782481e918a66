"""The scene of a checked take: report, chart, notes, staff and piano roll as plain data."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import Any

from theorykit.instruments.instrument import Instrument
from theorykit.review.comparison import compare_figures
from theorykit.review.finding import KINDS
from theorykit.review.review import Review
from theorykit.scene import captions
from theorykit.scene.codes import LABEL_LIFT
from theorykit.scene.selection import FASTEST, SLOWEST
from theorykit.scene.solo_notes import SHORT_WORDS, finding_rows, note_rows
from theorykit.scene.solo_roll import ROLL_CODES, roll_codes, roll_pages
from theorykit.scene.solo_sheet import solo_sheet
from theorykit.score.feel import find_feel, suited_feel
from theorykit.theory.meter import read_meter

#: An earlier take: its review, or what a practice log keeps of one.
Earlier = Review | Mapping[str, Any]

#: The figures of a comparison, as they are said where neither their own name nor that of a kind
#: of findings says it.
_FIGURES = {
    "score": "points of 100",
    "rests": "silence",
    "milliseconds late": "milliseconds late, on average",
    "missed change": "chord changes missed",
    "no breath": "stretches with no rest",
}

#: What is said of a change, what is better first.
_CHANGES = {"better": "better", "alike": "alike", "worse": "to watch"}


def solo_scene(
    review: Review,
    instrument: Instrument,
    *,
    feel: str = "bluegrass",
    earlier: Sequence[Earlier] = (),
    title: str = "",
) -> dict[str, Any]:
    """What the views of a checked take show and play, as data that JSON can hold.

    Parameters
    ----------
    review : Review
    instrument : Instrument
        Whose tablature and voice.
    feel : str
        How the band plays behind it.
    earlier : sequence of (Review or dict)
        Earlier takes of the same solo, the oldest first; a dict is what a log keeps of one.
    title : str
        What the take is called, such as its file's name.

    Returns
    -------
    dict
        ``heading``, ``score``, ``report`` (``praise``, ``tasks``, ``figures``), ``findings``,
        ``chart`` (as in the other explorers, what was found in place of advice), ``notes``,
        ``sheet`` (``svg``, ``ids`` of each note, ``words``, ``problem``), ``pages`` of the piano
        roll with its ``codes``, ``band`` (chart and feel for the player), ``tempo``, ``tempos``,
        ``voice``, ``compared`` (None, or ``header``, ``rows``, ``words``), ``records``.

    Examples
    --------
    >>> from theorykit.instruments.catalogue import find_instrument
    >>> from theorykit.practice.line import line_over
    >>> from theorykit.review.solo import check_solo
    >>> line = line_over("I-IV-V vamp", "G", level=1, instrument="mandolin", seed=3)
    >>> review = check_solo(line.score, "I-IV-V vamp", "G")
    >>> scene = solo_scene(review, find_instrument("mandolin"))
    >>> scene["score"], scene["notes"][0]["sentence"]
    (100, 'Note 1 of 13, bar 1, beat 1: D5, the fifth of G; string 2 fret 5, finger 3.')
    """
    sheet = solo_sheet(review, instrument)
    notes = note_rows(review, sheet.notes)
    findings = finding_rows(review)
    present = {note["role"] for note in notes}
    opening, report = _report(review)
    return {
        "heading": opening,
        # The heading names the chart: a take of that name need not say it again.
        "title": "" if title == review.chart.title else title,
        "score": review.score,
        "report": report,
        "findings": findings,
        "chart": _chart(review, findings),
        "notes": notes,
        "sheet": {
            "svg": sheet.svg,
            "ids": [list(ids) for ids in sheet.ids],
            "words": sheet.words,
            "problem": sheet.problem,
        },
        "pages": roll_pages(review, notes),
        "codes": roll_codes(),
        "lift": dict(LABEL_LIFT),
        "legends": {"solo": [role for role in ROLL_CODES if role in present]},
        "band": _band(review, feel),
        "tempo": min(max(round(review.take.tempo), SLOWEST), FASTEST),
        "tempos": [SLOWEST, FASTEST],
        "voice": instrument.voice,
        "compared": _compared(review, earlier) if earlier else None,
        "records": _records(review),
    }


def _report(review: Review) -> tuple[str, dict[str, list[str]]]:
    """The opening of a report, and its three parts in their order."""
    opening, *parts = review.report.split("\n\n")
    told = []
    for part in parts:
        _, *lines = part.split("\n")
        told.append([_bare(line) for line in lines])
    return opening, dict(zip(("praise", "tasks", "figures"), told, strict=True))


def _bare(line: str) -> str:
    """A line of a list without what stands before it."""
    number, point, rest = line.partition(". ")
    if point and number.isdigit():
        return rest
    return line.removeprefix("- ")


def _chart(review: Review, findings: Sequence[dict[str, Any]]) -> list[list[dict[str, Any]]]:
    played = {note.bar for note in review.notes}
    found: dict[int, list[dict[str, Any]]] = {}
    for finding in findings:
        if finding["bar"]:
            found.setdefault(finding["step"], []).append(finding)
    bars = []
    numbered = enumerate(zip(review.chart.slots, review.chart.chords, strict=True))
    for bar, slots in groupby(numbered, key=lambda each: each[1][0].bar + 1):
        cells: list[dict[str, Any]] = []
        for step, (slot, placed) in slots:
            here = found.get(step, [])
            words = _short(here) or ("" if cells else "well" if bar in played else "rest")
            cells.append(
                {
                    "step": step,
                    "bar": bar,
                    "numeral": captions.NO_CHORD
                    if placed.numeral is None
                    else placed.numeral.pretty,
                    "chord": "" if slot.silent else slot.chord.pretty,
                    "verdict": _verdict(here),
                    "short": words,
                }
            )
        bars.append(cells)
    return bars


def _verdict(found: Sequence[dict[str, Any]]) -> str:
    """Which of the looks of the chart a bar has: as where a scale is to be left, or only passed."""
    if any(finding["grave"] for finding in found):
        return "switch"
    return "pass" if found else "stay"


def _short(found: Sequence[dict[str, Any]]) -> str:
    counts = {kind: sum(finding["kind"] == kind for finding in found) for kind in SHORT_WORDS}
    return ", ".join(
        f"{count} {SHORT_WORDS[kind]}" if count > 1 else SHORT_WORDS[kind]
        for kind, count in counts.items()
        if count
    )


def _band(review: Review, feel: str) -> dict[str, Any]:
    """The chart as the player's band takes it."""
    chart = review.chart
    chords = []
    for slot in chart.slots:
        root, bass = slot.chord.root, slot.chord.bass
        chords.append(
            {
                "beats": float(slot.end - slot.start),
                "silent": slot.silent,
                "root": root.pitch_class,
                "bass": (root if bass is None else bass).pitch_class,
                "members": [member.semitones % 12 for member in slot.numeral.type.degrees],
                "tonic": slot.tonic.pitch_class,
                "minor": chart.mode == "minor",
            }
        )
    meter = read_meter(chart.meter).name
    suited = suited_feel(find_feel(feel), read_meter(chart.meter))
    return {
        "meter": meter,
        "feel": suited.name,
        "chords": chords,
        "beats_per_bar": float(chart.bars[0].beats),
        "bars": [float(bar.start) for bar in chart.bars],
        "beats": float(chart.bars[-1].start + chart.bars[-1].beats),
    }


def _compared(review: Review, earlier: Sequence[Earlier]) -> dict[str, Any]:
    """What has become better since the last take, and what has not, beside those before it."""
    rows = []
    summaries = [each.summary() if isinstance(each, Review) else each for each in earlier]
    for row in compare_figures(summaries[-1], review.summary()).records():
        name = str(row["figure"])
        if row["change"] not in ("better", "worse") and name != "score":
            continue
        before = [_figure(name, summary.get(name)) for summary in summaries]
        now = _figure(name, review.summary()[name])
        rows.append([_figure_name(name), *before, now, _CHANGES[str(row["change"])]])
    rows.sort(key=lambda row: list(_CHANGES.values()).index(row[-1]))
    count = len(earlier)
    takes = ["before"] if count == 1 else [f"take {number + 1}" for number in range(count)]
    better, worse = (sum(row[-1] == word for row in rows) for word in ("better", "to watch"))
    return {
        "header": ["", *takes, "now", "since the last"],
        "rows": rows,
        "words": f"{better} better, {worse} to watch." if better or worse else "Much alike.",
    }


def _figure_name(name: str) -> str:
    words = _FIGURES.get(name) or KINDS.get(name) or name
    return words[:1].upper() + words[1:]


def _figure(name: str, value: float | None) -> str:
    if value is None:
        return "–"
    if name.startswith(("chord", "change")) or name == "rests":
        return f"{value:.0%}"
    return f"{value:.2f}" if name == "swing" else f"{value:.0f}"


#: The columns of the table of notes, with their headings.
_COLUMNS = {
    "bar": "bar",
    "beat": "beat",
    "name": "note",
    "chord": "over",
    "degree": "degree",
    "role": "role",
    "strong": "strong beat",
    "milliseconds_late": "ms late",
}


def _records(review: Review) -> dict[str, Any]:
    records = review.records()
    names = [name for name in _COLUMNS if name in records[0]]
    return {
        "header": [_COLUMNS[name] for name in names],
        "rows": [[_cell(record[name]) for name in names] for record in records],
    }


def _cell(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else ""
    return f"{value:g}" if isinstance(value, float) else str(value)
