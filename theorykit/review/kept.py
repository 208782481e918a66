"""Reviews that a practice log keeps: compared with one another, followed over many takes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from statistics import median
from typing import Any

from theorykit.errors import BadInput
from theorykit.log.practice_log import PracticeLog
from theorykit.review.comparison import Comparison, compare_figures
from theorykit.theory.table import html_table

#: What a kept review has beside its figures; see ``Review.kept``.
_WORDS = frozenset({"chart", "key", "findings", "report"})
#: A trend is told from so many takes on (stipulated).
_FEWEST_TAKES = 4
#: And from so many points on (stipulated).
_LEAST_POINTS = 3.0


@dataclass(frozen=True, slots=True)
class KeptReview:
    """What the log has of a take.

    Parameters
    ----------
    number : int
        The record's.
    at : datetime
    title : str
    figures : dict
        As in ``Review.summary``.
    findings : tuple of dict
        As in ``Review.finding_records``.
    """

    number: int
    at: datetime
    title: str
    figures: dict[str, float | None]
    findings: tuple[dict[str, Any], ...]

    @property
    def score(self) -> int:
        """0 to 100."""
        return round(self.figures.get("score") or 0)


def kept_reviews(
    log: PracticeLog,
    title: str | None = None,
    *,
    since: date | datetime | None = None,
    until: date | datetime | None = None,
) -> tuple[KeptReview, ...]:
    """The reviews that were kept, the oldest first.

    Takes that were kept by other means, with no figures, are passed over.

    Parameters
    ----------
    log : PracticeLog
    title : str, optional
        Those of one title; all if not given.
    since, until : date or datetime, optional
    """
    found = []
    for row in log.records("takes", since=since, until=until):
        if title is not None and row["title"] != title:
            continue
        review = row["review"]
        if not _is_number(review.get("score")):
            continue
        figures = {
            name: float(value) if _is_number(value) else None
            for name, value in review.items()
            if name not in _WORDS
        }
        findings = tuple(review.get("findings", ()))
        found.append(KeptReview(row["id"], row["at"], row["title"], figures, findings))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Trend:
    """Many takes of one solo, the oldest first.

    Parameters
    ----------
    title : str
    takes : tuple of KeptReview
    """

    title: str
    takes: tuple[KeptReview, ...]

    def comparison(self, old: int = -2, new: int = -1) -> Comparison:
        """One take beside another: the last beside the one before if not given.

        Parameters
        ----------
        old, new : int
            Places in ``takes``, from the end where below 0.

        Raises
        ------
        BadInput
            If there is no such take.
        """
        for place in (old, new):
            if not -len(self.takes) <= place < len(self.takes):
                accepted = f"{-len(self.takes)} to {len(self.takes) - 1}"
                raise BadInput("take", place, "was not kept", accepted=accepted)
        return compare_figures(self.takes[old].figures, self.takes[new].figures)

    @property
    def gain(self) -> float | None:
        """Points from the first half of the takes to the second; None if there are too few."""
        if len(self.takes) < _FEWEST_TAKES:
            return None
        scores = [take.score for take in self.takes]
        half = len(scores) // 2
        return float(median(scores[-half:]) - median(scores[:half]))

    def records(self) -> list[dict[str, object]]:
        """One plain row for each take: when, and its figures."""
        return [
            {"take": number, "at": take.at, **take.figures}
            for number, take in enumerate(self.takes, start=1)
        ]

    @property
    def text(self) -> str:
        """How it goes, in plain words."""
        scores = [take.score for take in self.takes]
        title = f"{self.title}: " if self.title else ""
        if len(scores) == 1:
            return f"{title}one take, {scores[0]} of 100. Keep another to see how it goes."
        best = max(scores)
        text = f"{title}{len(scores)} takes, from {scores[0]} to {scores[-1]} of 100"
        text += ", the last one the best so far." if scores[-1] == best else f"; the best {best}."
        if self.gain is not None:
            way = "much the same as the earlier ones"
            if abs(self.gain) >= _LEAST_POINTS:
                way = f"{abs(self.gain):.0f} points {'above' if self.gain > 0 else 'below'} the"
                way += " earlier ones"
            text += f" The later takes are {way}."
        return text

    def _repr_html_(self) -> str:
        rows = [
            (str(number), f"{take.at:%Y-%m-%d %H:%M}", str(take.score))
            for number, take in enumerate(self.takes, start=1)
        ]
        return html_table(self.text, ("take", "when", "of 100"), rows)


def review_trend(
    log: PracticeLog,
    title: str | None = None,
    *,
    since: date | datetime | None = None,
    until: date | datetime | None = None,
) -> Trend:
    """How one solo goes from take to take.

    Parameters
    ----------
    log : PracticeLog
    title : str, optional
        As it was kept; that of the last take if not given.
    since, until : date or datetime, optional

    Raises
    ------
    BadInput
        If no take of it was kept.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> from theorykit.practice.line import line_over
    >>> from theorykit.review.solo import check_solo
    >>> line = line_over("I-IV-V vamp", "G", level=1, instrument="mandolin", seed=3)
    >>> review = check_solo(line.score, "I-IV-V vamp", "G")
    >>> with TemporaryDirectory() as folder:
    ...     log = PracticeLog(f"{folder}/mine.sqlite3")
    ...     first, second = review.keep(log), review.keep(log)
    ...     print(review_trend(log).text)
    I-IV-V vamp in G major: 2 takes, from 100 to 100 of 100, the last one the best so far.
    """
    every = kept_reviews(log, since=since, until=until)
    if title is None and every:
        title = every[-1].title
    takes = tuple(take for take in every if take.title == title)
    if not takes:
        titles = dict.fromkeys(take.title for take in every)
        accepted = ", ".join(titles) if titles else "the title of a take that was kept"
        raise BadInput("title", title or "", "no take of it was kept", accepted=accepted)
    return Trend(title or "", takes)


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)
