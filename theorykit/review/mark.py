"""The figure that sums a take up, and what each part of it costs."""

from __future__ import annotations

from collections.abc import Sequence

from theorykit.review.changes import Change
from theorykit.review.finding import Finding
from theorykit.review.role import JudgedNote

#: How many of 100 points each part can cost at most (stipulated; no published scheme is followed).
#: Notes that rub lose points by how badly and how many there are among the notes; changes by the
#: share that was missed or not met by a chord tone; time by how far notes lie off; shape by
#: phrases that never end.
MOST_LOST: dict[str, float] = {"notes": 35.0, "changes": 30.0, "time": 25.0, "shape": 10.0}

#: Which part a finding belongs to; what is not here costs nothing.
PARTS: dict[str, str] = {
    "avoid": "notes",
    "hanging": "notes",
    "missed change": "changes",
    "late": "time",
    "early": "time",
    "behind": "time",
    "ahead": "time",
    "drag": "time",
    "rush": "time",
    "uneven": "time",
    "no breath": "shape",
}

#: Each of these costs a part all its points (stipulated): every seventh note rubbing with full
#: severity, half of the changes missed, every third note out of time.
_NOTES_SHARE, _CHANGES_SHARE, _TIME_SHARE = 1 / 7, 0.5, 1 / 3
#: A change that was met by a note that is not in the chord costs this much of a missed one.
_UNMET = 0.3


def lost_points(
    findings: Sequence[Finding],
    notes: Sequence[JudgedNote],
    met: Sequence[Change],
) -> dict[str, float]:
    """Points lost by the kind of finding, and for changes that no chord tone met.

    Where a take was written and not played there are no findings of time, which then costs nothing.
    """
    lost: dict[str, float] = {}
    count = max(len(notes), 1)
    for finding in findings:
        if finding.kind not in PARTS:
            continue
        part = PARTS[finding.kind]
        most = MOST_LOST[part]
        if part == "notes":
            cost = finding.severity / count / _NOTES_SHARE
        elif part == "changes":
            cost = 1 / max(len(met), 1) / _CHANGES_SHARE
        elif finding.kind in ("late", "early"):
            cost = (0.5 + finding.severity) / count / _TIME_SHARE
        else:
            cost = finding.severity * 0.6
        lost[finding.kind] = lost.get(finding.kind, 0.0) + most * cost
    unmet = [change for change in met if change.target and not change.hit and not change.missed]
    if unmet:
        share = len(unmet) / len(met) / _CHANGES_SHARE * _UNMET
        lost["change not met"] = MOST_LOST["changes"] * share
    return _capped(lost)


def _capped(lost: dict[str, float]) -> dict[str, float]:
    """No part loses more than it has."""
    found = dict(lost)
    for part, most in MOST_LOST.items():
        kinds = [kind for kind in found if PARTS.get(kind, "changes") == part]
        total = sum(found[kind] for kind in kinds)
        if total > most:
            for kind in kinds:
                found[kind] *= most / total
    return found


def mark(lost: dict[str, float]) -> int:
    """100 less what is lost."""
    return round(100 - sum(lost.values()))
