"""A review in plain words: what went well first, then three things to work on."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from theorykit.review.figures import figures
from theorykit.review.finding import Finding
from theorykit.review.places import bar_words, counted, place_words
from theorykit.review.praise import FEWEST_NOTES, GUIDED, praise

if TYPE_CHECKING:
    from theorykit.review.review import Review

#: So many things can be worked on at once (common practice of teachers).
MOST_TASKS = 3
#: More silence than this is hardly a solo (stipulated).
_MOST_SILENCE = 0.6
#: Where more of the notes than this share a place with another, they are finer than what a beat is
#: cut into here (stipulated).
_CROWDED = 0.1


def report(review: Review) -> str:
    """The whole report, a paragraph for each part."""
    lines = [_opening(review), "", "What went well"]
    lines += [f"- {text}" for text in praise(review)]
    lines += ["", "What to work on"]
    tasks = work(review)
    lines += [f"{number}. {text}" for number, text in enumerate(tasks, start=1)]
    if not tasks:
        lines.append(_nothing(review))
    lines += ["", "For the record", *(f"- {text}" for text in figures(review))]
    return "\n".join(lines)


def _opening(review: Review) -> str:
    # A chart that has no name is named by its chords, which are too long to be read here.
    title = review.chart.title
    title = "Your solo" if not title or "|" in title else title
    form = len(review.chart.bars) // review.take.choruses
    rounds = review.take.choruses
    bars, key = counted(form, "bar"), review.chart.key
    bars = bars if rounds == 1 else f"{rounds} times round {bars}"
    marked = f"{review.score} of 100"
    if review.take.moved:
        marked = "no points as long as the key is not sure"
    elif _little(review):
        marked = "too little yet to give points for"
    first = f"{title} in {key.tonic.pretty} {key.mode}, {bars}: {marked}."
    # Nobody counts smaller parts than half a beat before he comes in.
    lead = round(review.offset * 2) / 2
    if lead > 0:
        first += f" Bar 1 comes after the first {counted(lead, 'beat')} of the recording."
    elif lead < 0:
        first += f" The recording starts {counted(-lead, 'beat')} into the form."
    notes = review.notes
    crowded = sum(note.note.start == after.note.start for note, after in pairwise(notes))
    if crowded > _CROWDED * len(notes):
        first += " Many notes are too quick to tell apart: what is said of them is a guess."
    return first


def _little(review: Review) -> bool:
    return len(review.notes) < FEWEST_NOTES or review.shape.rest_share > _MOST_SILENCE


def work(review: Review) -> list[str]:
    """Up to three things to work on, the one that costs most points first."""
    order = sorted(review.lost, key=lambda kind: -review.lost[kind])
    mislaid = [finding for finding in review.findings if finding.kind.startswith("other")]
    told = [f"{finding.words} {finding.suggestion}" for finding in mislaid]
    if review.take.moved:
        # All else would be told against the wrong chords.
        return told
    for kind in order:
        same = [finding for finding in review.findings if finding.kind == kind]
        if kind == "change not met":
            told.append(_not_met(review))
        elif kind == "missed change":
            told.append(_missed(same, review))
        elif kind in ("late", "early"):
            told.append(_off_time(kind, same, review))
        elif kind in ("avoid", "hanging"):
            told.append(_rubs(kind, same, review))
        elif kind == "no breath":
            one = same[0]
            told.append(
                f"Breathe. From {bar_words([one.bar], review)} on: {one.words} {one.suggestion}"
            )
        else:
            told.append(f"{same[0].words} {same[0].suggestion}")
    return _explained(told[:MOST_TASKS])


def _missed(same: Sequence[Finding], review: Review) -> str:
    bars = [finding.bar for finding in same]
    if len(same) == 1:
        where = bar_words(bars, review)
        return f"Go with the chord in {where}. {same[0].words} {same[0].suggestion}"
    return (
        f"Go with the chords in {bar_words(bars, review)}, where your notes stay on the chord "
        f"before. {_first(same, review)} Loop these two bars slowly until your hand goes there by "
        "itself; then do the same in the other places."
    )


def _rubs(kind: str, same: Sequence[Finding], review: Review) -> str:
    worst = sorted(same, key=lambda finding: (-finding.severity, finding.bar))
    one, many = {
        "avoid": ("A note rubs", "Notes rub"),
        "hanging": ("A passing note is left hanging", "Passing notes are left hanging"),
    }[kind]
    if len(same) == 1:
        where = place_words(same[0], review)
        return f"{one} in {where}. {same[0].words} {same[0].suggestion}"
    bars = bar_words([finding.bar for finding in same], review)
    return f"{many} in {bars}. {_first(worst, review)}"


def _first(same: Sequence[Finding], review: Review) -> str:
    one = same[0]
    return f"Start with {place_words(one, review)}. {one.words} {one.suggestion}"


def _off_time(kind: str, same: Sequence[Finding], review: Review) -> str:
    worst = max(same, key=lambda finding: finding.severity)
    if len(same) == 1:
        return f"In {place_words(worst, review)}, {worst.words} {worst.suggestion}"
    bars = bar_words([finding.bar for finding in same], review)
    return (
        f"{_number(len(same))} notes come {kind}, in {bars}. The one to start with is in "
        f"{place_words(worst, review)}: {worst.words} {worst.suggestion}"
    )


def _explained(tasks: Sequence[str]) -> list[str]:
    """Milliseconds are explained where they first come."""
    told = list(tasks)
    for at, text in enumerate(told):
        if " ms " in text:
            told[at] = text.replace(" ms ", " ms (thousandths of a second) ", 1)
            break
    return told


def _not_met(review: Review) -> str:
    missed = [
        change
        for change in review.changes
        if change.target is not None and not change.hit and not change.missed
    ]
    bars = [change.bar for change in missed]
    one = missed[0]
    third = next(
        (tone for tone in one.slot.numeral.type.degrees if tone.ordinal == "third"),
        one.slot.numeral.type.degrees[0],
    )
    goal = third.at(one.slot.chord.root).pretty
    return (
        f"Land on a note of the chord where it changes, in {bar_words(bars, review)}. In "
        f"{bar_words([one.bar], review)} find {goal} first, the {third.ordinal} of "
        f"{one.slot.chord.pretty}, and make your way there from the bar before."
    )


def _nothing(review: Review) -> str:
    if _little(review):
        return "There is little here to judge yet: play on through the whole form, and check again."
    if review.guided_share is not None and review.guided_share < GUIDED:
        return (
            "Nothing needs mending. To go further, meet more of the changes with the third or "
            "the seventh of the new chord: they tell it best."
        )
    if not review.motifs:
        return (
            "Nothing needs mending. To go further, take one idea of four notes and bring it back "
            "over another chord."
        )
    return "Nothing needs mending. To go further, play it in another key, or a little faster."


def _number(count: int) -> str:
    """How many, to begin a sentence with."""
    words = ("Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine")
    return words[count - 2] if 2 <= count < 10 else str(count)
