"""A review in plain words: what went well first, then three things to work on."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from theorykit.analysis.wording import listed
from theorykit.review.finding import Finding
from theorykit.review.role import JudgedNote
from theorykit.review.timing import LEAST_BIAS, LEAST_DRIFT, MOST_SCATTER
from theorykit.theory.pitch import note_at_midi

if TYPE_CHECKING:
    from theorykit.review.review import Review

#: So many things can be worked on at once (common practice of teachers).
MOST_TASKS, MOST_PRAISE = 3, 3
#: A bar list longer than this says less than its first bars do.
_MOST_BARS = 6
#: From here a share is worth praise (stipulated).
_MOST, _MANY = 0.9, 0.75
_GUIDED = 0.5
#: Fewer notes show neither time nor taste; more silence than this is hardly a solo (stipulated).
_FEWEST_NOTES, _MOST_SILENCE = 12, 0.6
#: A swing ratio below this is heard as even, one above as a shuffle (stipulated; a triplet is 2).
_EVEN, _TRIPLET = 1.15, 1.75


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
    bars = f"{form} bars" if rounds == 1 else f"{rounds} times round {form} bars"
    first = f"{title} in {review.chart.key}, {bars}: {review.score} of 100."
    lead = review.offset
    if lead > 0:
        first += f" The first {_count(float(lead), 'beat')} of the recording come before bar 1."
    elif lead < 0:
        first += f" The recording starts {_count(-float(lead), 'beat')} into the form."
    return first


def praise(review: Review) -> list[str]:
    """Up to three things that went well, the ones that matter most first; at least one."""
    found = []
    hits, guided, strong = review.hit_share, review.guided_share, review.strong_share
    met = [change for change in review.changes if change.target is not None]
    if hits is not None and hits >= _MANY and len(met) > 1:
        every = f"all {len(met)}" if hits == 1 else f"{sum(c.hit for c in met)} of {len(met)}"
        text = f"You follow the chords: {every} changes are met by a chord tone"
        if guided is not None and guided >= _GUIDED:
            text += f", {sum(c.guided for c in met)} of them by the third or the seventh"
        found.append(f"{text}.")
    time = review.timing
    enough = len(review.notes) >= _FEWEST_NOTES
    if (
        enough
        and time is not None
        and time.deviation < MOST_SCATTER
        and abs(time.drift) < LEAST_DRIFT
    ):
        few = "Apart from a few notes your" if _has(review, "late", "early") else "Your"
        steady = f"{few} time is steady: notes scatter by only {time.deviation:.0f} ms"
        if abs(time.mean) < LEAST_BIAS:
            steady += " and sit on the click"
        found.append(f"{steady}.")
    if enough and strong is not None and strong >= _MANY:
        many = "Every strong beat has" if strong == 1 else f"{strong:.0%} of the strong beats have"
        found.append(f"{many} a chord tone, so that the chords can be heard in your line alone.")
    if review.motifs:
        longest = review.motifs[0]
        bars = sorted({max(review.notes[at].bar, 1) for at in longest.places})
        where = f"in {bar_words(bars, review)}"
        found.append(
            f"An idea of {longest.notes} notes comes back {where}: that holds a solo together."
        )
    if not any(finding.kind in ("avoid", "hanging") for finding in review.findings):
        found.append("No note rubs against its chord.")
    if 0.1 <= review.shape.rest_share <= 0.4 and not _has(review, "no breath"):
        found.append(f"You leave room: {review.shape.rest_share:.0%} of the form is silence.")
    blue = [note for note in review.notes if note.role == "blue"]
    if len(blue) > 1 and len(found) < MOST_PRAISE:
        found.append(f"Blue notes give it colour: {_names(blue)}.")
    if not found:
        # Something is always right: the bars in which nothing was found.
        faulty = {finding.bar for finding in review.findings}
        clean = [bar.bar for bar in review.bars if bar.scale and bar.bar not in faulty]
        if clean:
            found.append(f"Nothing is amiss in {bar_words(clean, review)}: build on these.")
        else:
            found.append("You got through the form; that is where every solo starts.")
    return found[:MOST_PRAISE]


def work(review: Review) -> list[str]:
    """Up to three things to work on, the one that costs most points first."""
    order = sorted(review.lost, key=lambda kind: -review.lost[kind])
    told = []
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
    return told[:MOST_TASKS]


def _missed(same: Sequence[Finding], review: Review) -> str:
    bars = [finding.bar for finding in same]
    if len(same) == 1:
        where = bar_words(bars, review)
        return f"Go with the chord in {where}. {same[0].words} {same[0].suggestion}"
    return (
        f"Go with the chords in {bar_words(bars, review)}, where your notes stay on the chord "
        f"before. {_first(same, review)} Then do the same in the other places."
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
        f"{_number(len(same))} notes come {kind} in {bars}, the most at "
        f"{place_words(worst, review)}: {worst.words} {worst.suggestion}"
    )


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
        f"Land on a chord tone where the chord changes, in {bar_words(bars, review)}. In "
        f"{bar_words([one.bar], review)} try {goal}, the {third.ordinal} of "
        f"{one.slot.chord.pretty}, as the first note."
    )


def _nothing(review: Review) -> str:
    if len(review.notes) < _FEWEST_NOTES or review.shape.rest_share > _MOST_SILENCE:
        return "There is little here to judge yet: play on through the whole form, and check again."
    if review.guided_share is not None and review.guided_share < _GUIDED:
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


def figures(review: Review) -> list[str]:
    """The plain figures, a line each."""
    found = []
    if review.strong_share is not None:
        found.append(f"chord tones on strong beats: {review.strong_share:.0%}")
    if review.hit_share is not None:
        found.append(
            f"changes met by a chord tone: {review.hit_share:.0%}, "
            f"by a third or seventh: {review.guided_share or 0:.0%}"
        )
    outline = review.shape
    low = min(review.notes, key=lambda note: note.note.midi)
    high = max(review.notes, key=lambda note: note.note.midi)
    found.append(
        f"range: {_pitch(low)} to {_pitch(high)}, "
        f"{_count(outline.highest - outline.lowest, 'half step')}"
    )
    bar_beats = float(review.chart.bars[0].beats)
    found.append(
        f"rests: {outline.rest_share:.0%}; the longest stretch without one: "
        f"{_count(round(float(outline.longest) / bar_beats, 1), 'bar')}"
    )
    scales = dict.fromkeys(bar.scale for bar in review.bars if bar.scale)
    by_scale = []
    for scale in scales:
        bars = [bar.bar for bar in review.bars if bar.scale == scale]
        # Through many choruses the list would be too long to read.
        where = bar_words(bars, review)
        by_scale.append(
            f"{scale} in {where if review.take.choruses == 1 else _count(len(bars), 'bar')}"
        )
    if by_scale:
        found.append(f"drawn on: {'; '.join(by_scale)}")
    time = review.timing
    if time is not None:
        way = "late" if time.mean >= 0 else "early"
        found.append(
            f"time: {abs(time.mean):.0f} ms {way} on average, scatter {time.deviation:.0f} ms"
        )
        if time.swing is not None:
            feel = "even" if time.swing < _EVEN else "light" if time.swing < _TRIPLET else "shuffle"
            found.append(f"swing: {time.swing:.2f} to 1 ({feel})")
    return found


def bar_words(bars: Iterable[int], review: Review) -> str:
    """Bars as a player counts them: ``bar 5``, ``bars 3 and 7``, ``bar 2 of chorus 3``."""
    form = len(review.chart.bars) // review.take.choruses
    numbers = sorted({max(bar, 1) for bar in bars})
    if review.take.choruses == 1:
        return _bar_list(numbers)
    by_chorus: dict[int, list[int]] = {}
    for number in numbers:
        by_chorus.setdefault((number - 1) // form + 1, []).append((number - 1) % form + 1)
    return listed(
        [f"{_bar_list(inside)} of chorus {chorus}" for chorus, inside in by_chorus.items()]
    )


def place_words(finding: Finding, review: Review) -> str:
    """A finding's place: ``bar 5, beat 3``."""
    where = bar_words([finding.bar], review)
    return f"{where}, beat {_beat(float(finding.beat))}" if finding.beat else where


def _beat(beat: float) -> str:
    whole, part = int(beat), beat - int(beat)
    if part == 0:
        return str(whole)
    return f"{whole} and" if part == 0.5 else f"{beat:.3g}"


def _bar_list(numbers: Sequence[int]) -> str:
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    words: list[str] = []
    for run in runs:
        words += [f"{run[0]} to {run[-1]}"] if len(run) > 2 else [str(number) for number in run]
    if len(words) > _MOST_BARS:
        return f"bars {', '.join(words[:_MOST_BARS])} and {len(words) - _MOST_BARS} more"
    return f"bar{'' if len(numbers) == 1 else 's'} {listed(words)}"


def _count(number: float, noun: str) -> str:
    return f"{number:g} {noun}{'' if number == 1 else 's'}"


def _number(count: int) -> str:
    """How many, to begin a sentence with."""
    words = ("Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine")
    return words[count - 2] if 2 <= count < 10 else str(count)


def _pitch(note: JudgedNote) -> str:
    return note_at_midi(note.name, note.note.midi).pretty


def _names(notes: Sequence[JudgedNote]) -> str:
    return listed(list(dict.fromkeys(note.name.pretty for note in notes)))


def _has(review: Review, *kinds: str) -> bool:
    return any(finding.kind in kinds for finding in review.findings)
