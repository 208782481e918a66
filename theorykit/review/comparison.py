"""A take compared with an earlier one of the same solo."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from theorykit.review.finding import KINDS
from theorykit.review.review import Review

#: Figures that are better when smaller; and those of which neither way is better.
_SMALLER = frozenset({*KINDS, "scatter in milliseconds"})
_NEUTRAL = frozenset({"rests", "swing"})
#: Those that are better the nearer they are to nothing.
_NEAR_ZERO = frozenset({"milliseconds late", "drift in milliseconds"})
#: How much a figure must change to be told (stipulated): a share, milliseconds, points, a count.
_LEAST_SHARE, _LEAST_MS, _LEAST_POINTS = 0.05, 3.0, 2.0


@dataclass(frozen=True, slots=True)
class Comparison:
    """What has changed from one take to another.

    Parameters
    ----------
    before, after : dict
        As in ``Review.summary``.
    old, new : Review or None
        None where only the figures were kept.
    """

    before: Mapping[str, float | None]
    after: Mapping[str, float | None]
    old: Review | None = None
    new: Review | None = None

    def records(self) -> list[dict[str, object]]:
        """One plain row for each figure that both takes have."""
        rows: list[dict[str, object]] = []
        for name, value in self.before.items():
            now = self.after.get(name)
            if value is None or now is None or (name in KINDS and not value and not now):
                continue
            rows.append(
                {
                    "figure": name,
                    "before": round(value, 3),
                    "now": round(now, 3),
                    "change": _change(name, value, now),
                }
            )
        return rows

    @property
    def text(self) -> str:
        """The comparison in plain words, what is better first."""
        rows = self.records()
        better = [row for row in rows if row["change"] == "better"]
        worse = [row for row in rows if row["change"] == "worse"]
        old, new = (figures.get("score") or 0 for figures in (self.before, self.after))
        lines = [f"{old:.0f} of 100 before, {new:.0f} now."]
        for title, chosen in (("Better", better), ("To watch", worse)):
            told = [row for row in chosen if row["figure"] != "score"]
            if told:
                lines += ["", title, *(f"- {_told(row)}" for row in told)]
        if not better and not worse:
            lines.append("The two takes are much alike.")
        return "\n".join(lines)


def compare_reviews(old: Review, new: Review) -> Comparison:
    """What has changed from an earlier take to a later one.

    Examples
    --------
    >>> from theorykit.practice.line import line_over
    >>> from theorykit.review.solo import check_solo
    >>> line = line_over("I-IV-V vamp", "G", level=1, instrument="mandolin", seed=3)
    >>> review = check_solo(line.score, "I-IV-V vamp", "G")
    >>> print(compare_reviews(review, review).text)
    100 of 100 before, 100 now.
    The two takes are much alike.
    """
    return Comparison(old.summary(), new.summary(), old, new)


def compare_figures(
    before: Mapping[str, float | None], after: Mapping[str, float | None]
) -> Comparison:
    """The same from the figures alone, as ``Review.summary`` gives them and a log keeps them."""
    return Comparison(before, after)


def _is_share(name: str) -> bool:
    return name.startswith(("chord", "change")) or name == "rests"


def _change(name: str, before: float, now: float) -> str:
    if name in _NEUTRAL:
        return "other" if abs(now - before) >= _LEAST_SHARE else "alike"
    gain = now - before
    if name in _SMALLER:
        gain = before - now
    elif name in _NEAR_ZERO:
        gain = abs(before) - abs(now)
    least = _LEAST_SHARE if _is_share(name) else 1.0 if name in KINDS else _LEAST_MS
    if name == "score":
        least = _LEAST_POINTS
    if abs(gain) < least:
        return "alike"
    return "better" if gain > 0 else "worse"


#: How a kind of finding is counted in a sentence.
_COUNTED = {
    "avoid": "notes that rub",
    "hanging": "passing notes left hanging",
    "missed change": "missed changes",
    "late": "late notes",
    "early": "early notes",
}


def _told(row: dict[str, object]) -> str:
    name, before, now = str(row["figure"]), row["before"], row["now"]
    assert isinstance(before, float)
    assert isinstance(now, float)
    if name in _COUNTED:
        return f"{_COUNTED[name]}: {before:.0f} before, {now:.0f} now"
    if name in KINDS:
        title = KINDS[name].lower()
        return f"{title}: no longer a matter" if now < before else f"{title}: see the new report"
    if _is_share(name):
        return f"{name}: {before:.0%} before, {now:.0%} now"
    return f"{name}: {before:.0f} before, {now:.0f} now"
