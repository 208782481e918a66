"""Tables over all tunes of a survey."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

#: How many rows a table of a summary has at most.
MOST_ROWS = 50

Rows = list[dict[str, Any]]


def summary_tables(
    rows: Iterable[Mapping[str, Any]], instruments: Sequence[str]
) -> dict[str, Rows]:
    """The tables by name; `Survey.summary` says what each has.

    Examples
    --------
    >>> summary_tables([{"file": "a.abc", "error": "has no notes"}], [])["errors"]
    [{'error': 'has no notes', 'tunes': 1}]
    """
    given = list(rows)
    read = [row for row in given if not row.get("error")]
    return {
        "tunes": [{"tunes": len(given), "read": len(read), "not read": len(given) - len(read)}],
        "keys": _counted(
            "key", (f"{row['key']} {row['mode']}" if row["key"] else "" for row in read)
        ),
        "meters": _counted("meter", (row["meter"] for row in read)),
        "scales": _scales(read),
        "instruments": _instruments(read, instruments),
        "outside": _outside(read),
        "progressions": _progressions(read),
        "errors": _counted("error", (row["error"] for row in given if row.get("error"))),
    }


def _counted(name: str, values: Iterable[str]) -> Rows:
    counted = Counter(value for value in values if value)
    return [{name: value, "tunes": times} for value, times in _commonest(counted)]


def _commonest(counted: Counter[Any]) -> list[tuple[Any, int]]:
    return sorted(counted.items(), key=lambda each: (-each[1], str(each[0])))[:MOST_ROWS]


def _scales(read: Sequence[Mapping[str, Any]]) -> Rows:
    """Scales with no tonic: how many tunes each covers best, and of those how many with no rest."""
    best: Counter[str] = Counter()
    whole: Counter[str] = Counter()
    for row in read:
        name = row["scale"].partition(" ")[2]
        best[name] += 1
        whole[name] += row["scale_notes"] == 1
    return [
        {"scale": name, "tunes": times, "with every note": whole[name]}
        for name, times in _commonest(best)
    ]


def _instruments(read: Sequence[Mapping[str, Any]], instruments: Sequence[str]) -> Rows:
    found: Rows = []
    for name in instruments:
        fits = [row["fits"][name] for row in read]
        found.append(
            {
                "instrument": name,
                "first position": sum(fit["first"] for fit in fits),
                "in another octave": sum(
                    fit["octave"] is not None and not fit["first"] for fit in fits
                ),
                "elsewhere on the neck": sum(
                    fit["octave"] is None and fit["on_neck"] for fit in fits
                ),
                "tunes": len(fits),
            }
        )
    return found


def _outside(read: Sequence[Mapping[str, Any]]) -> Rows:
    tunes: Counter[str] = Counter()
    times: Counter[str] = Counter()
    uses: dict[str, Counter[str]] = {}
    for row in read:
        for each in row["outside"]:
            tunes[each["degree"]] += 1
            times[each["degree"]] += each["count"]
            uses.setdefault(each["degree"], Counter()).update(each["uses"])
    return [
        {"degree": degree, "tunes": count, "times": times[degree], **uses[degree]}
        for degree, count in _commonest(tunes)
    ]


def _progressions(read: Sequence[Mapping[str, Any]]) -> Rows:
    """Runs of chords: in how many tunes, and how often in all."""
    tunes: Counter[str] = Counter()
    times: Counter[str] = Counter()
    for row in read:
        tunes.update(row["runs"].keys())
        times.update(row["runs"])
    return [
        {"chords": run, "length": len(run.split()), "tunes": count, "times": times[run]}
        for run, count in _commonest(tunes)
    ]
