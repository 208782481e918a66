"""The notes of a checked take with the sentence that is said of each, and what was found in it."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from theorykit.review.finding import KINDS, Finding
from theorykit.review.places import bar_words
from theorykit.review.review import Review
from theorykit.review.role import JudgedNote
from theorykit.score.score import ScoreNote
from theorykit.theory.pitch import note_at_midi

#: From so many milliseconds on a note is told to be off the click (stipulated): nearer ones are
#: what every player does.
_TOLD_MS = 10.0

#: Finer places in a beat than its half, which is an "and".
_PARTS = {
    Fraction(1, 3): "⅓",
    Fraction(2, 3): "⅔",
    Fraction(1, 4): "¼",
    Fraction(3, 4): "¾",
    Fraction(1, 6): "⅙",
    Fraction(5, 6): "⅚",
}

#: What a bar of the chart says of the findings in it, in the order in which they matter.
SHORT_WORDS = {
    "missed change": "change missed",
    "avoid": "rubs",
    "hanging": "left hanging",
    "late": "late",
    "early": "early",
    "no breath": "no rest",
}

#: Roles as they are said.
_ROLE_WORDS = {
    "root": "the root",
    "chord tone": "a chord tone",
    "colour": "a colour tone",
    "passing": "a passing note",
    "blue": "a blue note",
    "avoid": "a note to avoid",
}


def beat_words(beat: Fraction) -> str:
    """A beat as it is counted.

    >>> beat_words(Fraction(5, 2)), beat_words(Fraction(8, 3)), beat_words(Fraction(1))
    ('2 and', '2⅔', '1')
    """
    whole, part = int(beat), beat - int(beat)
    if not part:
        return str(whole)
    if part == Fraction(1, 2):
        return f"{whole} and"
    return f"{whole}{_PARTS[part]}" if part in _PARTS else f"{float(beat):.3g}"


def note_rows(review: Review, placed: Sequence[ScoreNote | None]) -> list[dict[str, Any]]:
    """One row for each note of a take.

    Parameters
    ----------
    review : Review
    placed : sequence of (ScoreNote or None)
        The same notes with string, fret and finger, where they have them.

    Returns
    -------
    list of dict
        Each ``bar`` (0 before the first), ``beat`` and ``onset`` and ``beats`` (where it is heard,
        in beats from the first bar line), ``meant`` (where it belongs, the player's swing
        counted in), ``midi``, ``role``, ``name``, ``degree``, ``late`` (milliseconds, None where
        the take was written), ``off`` (early, late or nothing: where it stands out) and
        ``sentence``.
    """
    faults: dict[int, list[Finding]] = {}
    for finding in review.findings:
        if finding.kind in ("avoid", "hanging", "late", "early"):
            faults.setdefault(note_of(finding, review), []).append(finding)
    count = len(review.notes)
    rows = []
    for index, judged in enumerate(review.notes):
        late = None if review.timing is None else review.timing.offsets[index]
        found = faults.get(index, [])
        off = next((each.kind for each in found if each.kind in ("late", "early")), "")
        onset = float(judged.note.onset)
        meant = onset if late is None else onset - late * review.take.tempo / 60_000
        rows.append(
            {
                "bar": judged.bar,
                "beat": beat_words(judged.beat),
                "onset": round(onset, 4),
                "beats": round(float(judged.note.beats), 4),
                "meant": round(meant, 4),
                "midi": judged.note.midi,
                "role": judged.role,
                "name": judged.name.pretty,
                "degree": judged.degree.pretty,
                "late": None if late is None else round(late),
                "off": off,
                "sentence": _sentence(index, count, judged, late, placed[index], found, review),
            }
        )
    return rows


def _sentence(
    index: int,
    count: int,
    judged: JudgedNote,
    late: float | None,
    placed: ScoreNote | None,
    found: Sequence[Finding],
    review: Review,
) -> str:
    where = "before bar 1"
    if judged.bar > 0:
        where = f"{_bar(judged.bar, review)}, beat {beat_words(judged.beat)}"
    words = [f"{note_at_midi(judged.name, judged.note.midi).pretty}, {_role(judged)}"]
    # Where it stands out, the finding tells by how much.
    told_off = any(each.kind in ("late", "early") for each in found)
    if late is not None and judged.in_form and not told_off:
        way = "late" if late > 0 else "early"
        told = f"{abs(late):.0f} ms {way}" if abs(late) >= _TOLD_MS else "on the click"
        words.append(told)
    if placed is not None and placed.string is not None and placed.fret is not None:
        fret = f"fret {placed.fret}" if placed.fret else "open"
        finger = f", finger {placed.finger}" if placed.finger else ""
        words.append(f"string {placed.string} {fret}{finger}")
    sentence = f"Note {index + 1} of {count}, {where}: {'; '.join(words)}."
    return " ".join([sentence, *(f"{each.words} {each.suggestion}" for each in found)])


def _role(judged: JudgedNote) -> str:
    """What a note is over its chord: ``the third of A7``."""
    if not judged.in_form:
        return "outside the form"
    chord = judged.slot.chord.pretty
    if judged.slot.silent:
        return "while no chord sounds"
    if judged.in_chord:
        return f"the {judged.degree.ordinal} of {chord}"
    return f"{judged.degree.pretty} over {chord}, {_ROLE_WORDS[judged.role]}"


def note_of(finding: Finding, review: Review) -> int:
    """The number of the note that a finding is about, or of the first one in its place.

    -1 where it concerns the whole take, or no note is left.
    """
    if finding.bar < 1 and not finding.beat:
        return -1
    place = (finding.bar, finding.beat or Fraction(1))
    after = -1
    for index, judged in enumerate(review.notes):
        if (judged.bar, judged.beat) == place:
            return index
        if after < 0 and (judged.bar, judged.beat) > place:
            after = index
    return after


def finding_rows(review: Review) -> list[dict[str, Any]]:
    """One row for each finding.

    Returns
    -------
    list of dict
        Each ``bar`` (0 where it concerns the whole take), ``step`` (the number of its chord),
        ``note`` (-1 for none), ``place``, ``kind`` with its ``title``, ``words``, ``suggestion``
        and ``grave``.
    """
    return [
        {
            "bar": max(finding.bar, 1) if finding.bar or finding.beat else 0,
            "step": _step_of(finding, review),
            "note": note_of(finding, review),
            "place": _place(finding, review),
            "kind": finding.kind,
            "title": KINDS[finding.kind],
            "words": finding.words,
            "suggestion": finding.suggestion,
            "grave": finding.severity >= 0.5,
        }
        for finding in review.findings
    ]


def _step_of(finding: Finding, review: Review) -> int:
    """The number of the chord that a finding stands at."""
    bar = max(finding.bar, 1)
    at = (bar - 1) * review.chart.bars[0].beats + max(finding.beat - 1, Fraction(0))
    slots = review.chart.slots
    return next((step for step, slot in enumerate(slots) if slot.end > at), len(slots) - 1)


def _place(finding: Finding, review: Review) -> str:
    if not finding.bar and not finding.beat:
        return "Throughout"
    words = _bar(max(finding.bar, 1), review)
    if finding.beat:
        words += f", beat {beat_words(finding.beat)}"
    return words[:1].upper() + words[1:]


def _bar(bar: int, review: Review) -> str:
    """A bar as chart, staff and roll count it, and as the report does if it goes round."""
    if bar <= len(review.chart.bars) // review.take.choruses:
        return f"bar {bar}"
    return f"bar {bar} ({bar_words([bar], review)})"
