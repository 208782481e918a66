"""What went well in a take."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from theorykit.analysis.wording import listed
from theorykit.review.places import bar_words
from theorykit.review.role import JudgedNote
from theorykit.review.timing import LEAST_BIAS, LEAST_DRIFT, MOST_SCATTER, rounded

if TYPE_CHECKING:
    from theorykit.review.review import Review

MOST_PRAISE = 3
#: Fewer notes show neither time nor taste (stipulated).
FEWEST_NOTES = 12
#: From here a share is worth praise, and from here it is worth it that thirds and sevenths are
#: sought out (stipulated).
_MANY, GUIDED = 0.75, 0.5
#: So many blue notes colour a solo; where more of its notes are blue, or more than so many rub,
#: they are no colour (stipulated).
_COLOURED, _RUBBING = 1 / 3, 1 / 10
_PARTS = {"a tenth": 0.1, "a fifth": 0.2, "a quarter": 0.25, "a third": 1 / 3, "two fifths": 0.4}


def praise(review: Review) -> list[str]:
    """Up to three things that went well, the ones that matter most first; at least one."""
    found = [
        *([] if review.take.moved else _harmony(review)),
        *_time(review),
        *([] if review.take.moved else _line(review)),
        *_shape(review),
    ]
    if not found:
        # Something is always right: the bars in which nothing was found.
        faulty = {finding.bar for finding in review.findings}
        clean = [bar.bar for bar in review.bars if bar.scale and bar.bar not in faulty]
        if clean and not review.take.moved:
            found.append(f"Nothing is amiss in {bar_words(clean, review)}: build on these.")
        else:
            found.append("You got through the form; that is where every solo starts.")
    return found[:MOST_PRAISE]


def _harmony(review: Review) -> list[str]:
    hits, guided = review.hit_share, review.guided_share
    met = [change for change in review.changes if change.target is not None]
    if hits is None or hits < _MANY or len(met) < 2:
        return []
    both = "both" if len(met) == 2 else f"all {len(met)}"
    every = both if hits == 1 else f"{sum(change.hit for change in met)} of {len(met)}"
    text = f"You follow the chords: at {every} changes you land on a note of the new chord"
    told = sum(change.guided for change in met)
    if guided is not None and guided >= GUIDED and told > 1:
        often = "each time" if told == len(met) else f"{told} times"
        text += f", {often} on its third or seventh, which tell it best"
    return [f"{text}."]


def _time(review: Review) -> list[str]:
    time = review.timing
    if time is None or len(review.notes) < FEWEST_NOTES:
        return []
    if time.deviation >= MOST_SCATTER or abs(time.drift) >= LEAST_DRIFT:
        return []
    few = "Apart from a few notes your" if _has(review, "late", "early") else "Your"
    clicked = abs(time.mean) < LEAST_BIAS and review.take.pace == 1
    spread = f"{max(rounded(time.deviation), 5)} thousandths of a second"
    of_what = "the click" if clicked else "one another"
    return [f"{few} time is steady: most notes lie within {spread} of {of_what}."]


def _line(review: Review) -> list[str]:
    strong = review.strong_share
    if strong is None or strong < _MANY or len(review.notes) < FEWEST_NOTES:
        return []
    many = "Every strong beat has" if strong == 1 else f"{_tens(strong)} strong beats have"
    return [f"{many} a note of the chord, so that one can hear the chords in your line alone."]


def _shape(review: Review) -> list[str]:
    found = []
    if review.motifs:
        longest = review.motifs[0]
        bars = sorted({max(review.notes[at].bar, 1) for at in longest.places})
        where = f"in {bar_words(bars, review)}"
        found.append(
            f"An idea of {longest.notes} notes comes back {where}: that holds a solo together."
        )
    if not review.take.moved and not _has(review, "avoid", "hanging"):
        found.append("No note rubs against its chord.")
    if 0.1 <= review.shape.rest_share <= 0.4 and not _has(review, "no breath"):
        found.append(
            f"You leave room: about {_part(review.shape.rest_share)} of the form is silence."
        )
    blue = [note for note in review.notes if note.role == "blue"]
    rubbing = sum(finding.kind == "avoid" for finding in review.findings)
    few = len(blue) <= _COLOURED * len(review.notes)
    if len(blue) > 1 and few and rubbing < _RUBBING * len(review.notes):
        found.append(f"Blue notes give it colour: {_names(blue)}.")
    return found


def _tens(share: float) -> str:
    """A share as a person says it: ``9 in 10``."""
    return f"{min(round(share * 10), 9)} in 10"


def _part(share: float) -> str:
    names = (
        (0.1, "a tenth"),
        (0.2, "a fifth"),
        (0.25, "a quarter"),
        (1 / 3, "a third"),
        (0.4, "two fifths"),
    )
    return min(names, key=lambda name: abs(name[0] - share))[1]


def _names(notes: Sequence[JudgedNote]) -> str:
    return listed(list(dict.fromkeys(note.name.pretty for note in notes)))


def _has(review: Review, *kinds: str) -> bool:
    return any(finding.kind in kinds for finding in review.findings)
