"""What a survey counts, as bars in a Bokeh figure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from bokeh.models import ColumnDataSource, FactorRange, Range1d
from bokeh.plotting import figure

from theorykit.analysis.palette import INK, OUTLINE, SKY, WHITE, YELLOW
from theorykit.errors import BadInput, nearest
from theorykit.plots.axes import plain_axes
from theorykit.plots.mark import LABEL_FONT
from theorykit.survey.survey import Survey

#: What can be drawn, and what is said of it.
TABLES = {
    "scales": ("scale", "Scales that cover the tunes best"),
    "keys": ("key", "Keys"),
    "meters": ("meter", "Meters"),
    "outside": ("degree", "Degrees outside the scale"),
    "progressions": ("chords", "Runs of chords"),
    "instruments": ("instrument", "What lies under the hand"),
}

#: So many rows are drawn.
MOST_BARS = 12
_ROW_PIXELS, _FRAME_PIXELS = 30, 90

#: The parts of an instrument's bar: fill and hatch tell them apart without colour too.
_PARTS = (
    ("first position", SKY, " "),
    ("in another octave", WHITE, "/"),
    ("elsewhere on the neck", YELLOW, "."),
)


@dataclass(frozen=True, slots=True)
class Bars:
    """One table of a survey, to be drawn.

    Parameters
    ----------
    title : str
    names : tuple of str
        The commonest first.
    parts : tuple of (str, tuple of int)
        How many tunes, for each name; several parts stand on one another.
    """

    title: str
    names: tuple[str, ...]
    parts: tuple[tuple[str, tuple[int, ...]], ...]

    @property
    def words(self) -> str:
        """The same in words, for those who can't see it."""
        if not self.names:
            return f"{self.title}: nothing was found."
        told = []
        for at, name in enumerate(self.names):
            counts = [f"{counts[at]} {part}".strip() for part, counts in self.parts]
            told.append(f"{name}: {', '.join(counts)}")
        return f"{self.title}, in tunes: {'; '.join(told)}."


def survey_bars(survey: Survey, table: str) -> Bars:
    """One table of a survey, cut to what can be read.

    Raises
    ------
    BadInput
        If there is no such table.
    """
    if table not in TABLES:
        close = nearest(table, TABLES) if isinstance(table, str) else None
        raise BadInput("table", table, "unknown", accepted=", ".join(TABLES), nearest=close)
    column, title = TABLES[table]
    rows = survey.summary()[table][:MOST_BARS]
    names = tuple(str(row[column]) for row in rows)
    if table == "instruments":
        parts = tuple((part, _counts(rows, part)) for part, _, _ in _PARTS)
    else:
        parts = (("", _counts(rows, "tunes")),)
    return Bars(title, names, parts)


def _counts(rows: Sequence[dict[str, Any]], column: str) -> tuple[int, ...]:
    return tuple(int(row[column]) for row in rows)


def survey_figure(bars: Bars) -> Any:
    """Bars to the right, the commonest on top, each with its number.

    Parameters
    ----------
    bars : Bars

    Returns
    -------
    bokeh.plotting.figure
    """
    totals = [sum(counts) for counts in zip(*(each for _, each in bars.parts), strict=True)]
    plot = figure(
        name="survey",
        title=bars.title,
        height=_FRAME_PIXELS + _ROW_PIXELS * max(len(bars.names), 1),
        sizing_mode="stretch_width",
        y_range=FactorRange(*reversed(bars.names)),
        x_range=Range1d(0, max(totals, default=1) * 1.12 or 1),
        toolbar_location=None,
        tools="",
        outline_line_color=None,
        tags=[bars.words],
    )
    left = [0] * len(bars.names)
    for (part, counts), (_, fill, hatch) in zip(bars.parts, _PARTS, strict=False):
        right = [start + count for start, count in zip(left, counts, strict=True)]
        source = ColumnDataSource({"name": list(bars.names), "left": left, "right": right})
        plot.hbar(
            y="name",
            left="left",
            right="right",
            height=0.7,
            source=source,
            fill_color=fill,
            line_color=OUTLINE,
            hatch_pattern=hatch,
            hatch_color=OUTLINE,
            hatch_alpha=0.6,
            **({"legend_label": part} if part else {}),
        )
        left = right
    plot.text(
        x="x",
        y="name",
        text="text",
        source=ColumnDataSource(
            {"x": totals, "name": list(bars.names), "text": list(map(str, totals))}
        ),
        x_offset=6,
        text_baseline="middle",
        text_color=INK,
        text_font=LABEL_FONT,
        text_font_size="12px",
    )
    plot.xaxis.axis_label = "tunes"
    plain_axes(plot, grid="x")
    return plot
