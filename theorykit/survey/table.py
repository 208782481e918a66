"""A tune's row as a line of a table: each cell a number or a short text."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

#: The columns that every table has, in their order.
COLUMNS = (
    "file", "number", "title", "error", "key", "mode", "tonic_from", "meter", "bars", "notes",
    "beats", "scale", "scale_notes", "scale_time", "scales", "outside", "upper_neighbours",
    "lower_neighbours", "lowest", "highest", "range_half_steps", "chords", "progressions",
)  # fmt: skip

#: Runs of chords that a cell lists: those that come more than once.
_MOST_RUNS = 8

# What a spreadsheet would work out rather than show, if a cell begins with it.
_FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")
_FROM_FILES = ("file", "title", "error")


def table_row(row: Mapping[str, Any], instruments: Sequence[str]) -> dict[str, Any]:
    """The cells of a row.

    Examples
    --------
    >>> row = {"file": "a.abc", "title": "=Reel", "outside": [
    ...     {"degree": "#4", "count": 3, "uses": {"neighbour": 2, "passing": 1}}]}
    >>> cells = table_row(row, [])
    >>> cells["title"], cells["outside"]
    ("'=Reel", '#4: 2 neighbour, 1 passing')
    """
    cells = {name: row.get(name) for name in COLUMNS}
    for name in _FROM_FILES:
        text = cells[name]
        if isinstance(text, str) and text.startswith(_FORMULA_SIGNS):
            cells[name] = f"'{text}"
    cells["scales"] = "; ".join(
        f"{each['scale']} {each['time']:.0%}" for each in row.get("scales", ())
    )
    cells["outside"] = "; ".join(
        f"{each['degree']}: {', '.join(f'{times} {use}' for use, times in each['uses'].items())}"
        for each in row.get("outside", ())
    )
    cells["chords"] = " ".join(row.get("chords", ()))
    cells["progressions"] = "; ".join(
        f"{run} x{times}" for run, times in list(row.get("runs", {}).items())[:_MOST_RUNS]
    )
    for name in instruments:
        fit = row.get("fits", {}).get(name)
        cells[f"{name}, first position"] = "" if fit is None else _told(fit["octave"])
        cells[f"{name}, share"] = "" if fit is None else fit["share"]
    return cells


def _told(octave: int | None) -> str:
    if octave is None:
        return "no"
    if not octave:
        return "yes"
    many = "an octave" if abs(octave) == 1 else f"{abs(octave)} octaves"
    return f"{many} {'lower' if octave < 0 else 'higher'}"
