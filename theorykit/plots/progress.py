"""How takes and minutes of practice go over the days, as a Bokeh figure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from bokeh.models import ColumnDataSource, DatetimeTickFormatter, LinearAxis, Range1d
from bokeh.plotting import figure

from theorykit.analysis.palette import BLUE, INK, OUTLINE, PURPLE, SKY, WHITE, YELLOW
from theorykit.log.practice_log import PracticeLog
from theorykit.plots.axes import plain_axes
from theorykit.plots.mark import LABEL_FONT

HEIGHT = 300

#: Takes of each title have a shape and a fill of their own; after six titles they come again.
_LOOKS = (
    ("circle", BLUE),
    ("square", WHITE),
    ("diamond", PURPLE),
    ("triangle", SKY),
    ("hex", INK),
    ("inverted_triangle", YELLOW),
)
_DASHES = ("solid", "dashed", "dotted")
_BAR_FILL = "#dbe3e8"
_DAY_MS = 86_400_000


@dataclass(frozen=True, slots=True)
class Progress:
    """What a log says of takes and minutes.

    Parameters
    ----------
    takes : tuple of (datetime, str, int)
        When, the title, and the points of 100.
    minutes : tuple of (date, float)
        Each day on which something was practised.
    """

    takes: tuple[tuple[datetime, str, int], ...]
    minutes: tuple[tuple[date, float], ...]

    @property
    def words(self) -> str:
        """The same in words, for those who can't see it."""
        if not self.takes and not self.minutes:
            return "Progress: nothing is in the log yet."
        told = []
        for title in dict.fromkeys(title for _, title, _ in self.takes):
            points = [score for _, name, score in self.takes if name == title]
            name = title or "takes without a title"
            if len(points) == 1:
                told.append(f"{name}: one take, {points[0]} of 100")
            else:
                told.append(
                    f"{name}: {len(points)} takes, from {points[0]} to {points[-1]} of 100, "
                    f"the best {max(points)}"
                )
        if self.minutes:
            total = sum(minutes for _, minutes in self.minutes)
            days = len(self.minutes)
            told.append(f"practised {total:.0f} minutes on {days} {'day' if days == 1 else 'days'}")
        return f"Progress: {'; '.join(told)}."


def progress(log: PracticeLog) -> Progress:
    """What a practice log says of takes and minutes.

    Parameters
    ----------
    log : PracticeLog

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     log = PracticeLog(f"{folder}/mine.sqlite3")
    ...     _ = log.add_take({"score": 71.0}, title="blues")
    ...     _ = log.add_take({"score": 84.0}, title="blues")
    ...     _ = log.tick("thirds", seconds=600)
    ...     progress(log).words
    'Progress: blues: 2 takes, from 71 to 84 of 100, the best 84; practised 10 minutes on 1 day.'
    """
    takes = []
    for row in log.records("takes"):
        score = _score(row["review"])
        if score is not None:
            takes.append((row["at"], str(row["title"]), score))
    minutes: dict[date, float] = {}
    for row in log.records("ticks"):
        if row["seconds"]:
            day = row["at"].date()
            minutes[day] = minutes.get(day, 0.0) + row["seconds"] / 60
    return Progress(tuple(takes), tuple(minutes.items()))


def _score(review: object) -> int | None:
    """The points of a take, if what was kept of it has them."""
    value = review.get("score") if isinstance(review, Mapping) else None
    return round(value) if isinstance(value, (int, float)) and 0 <= value <= 100 else None


def progress_figure(found: Progress) -> Any:
    """Points by take, with the minutes of each day behind them.

    Parameters
    ----------
    found : Progress

    Returns
    -------
    bokeh.plotting.figure
    """
    most = max([minutes for _, minutes in found.minutes], default=0.0)
    plot = figure(
        name="progress",
        height=HEIGHT,
        sizing_mode="stretch_width",
        x_axis_type="datetime",
        x_range=_days(found),
        y_range=Range1d(0, 104),
        toolbar_location=None,
        tools="",
        outline_line_color=None,
        tags=[found.words],
    )
    plot.extra_y_ranges = {"minutes": Range1d(0, max(most * 2, 30))}
    plot.add_layout(LinearAxis(y_range_name="minutes", axis_label="minutes practised"), "right")
    days = [_milliseconds(datetime.combine(day, datetime.min.time())) for day, _ in found.minutes]
    bars = ColumnDataSource(
        {"x": [day + _DAY_MS / 2 for day in days], "top": [each for _, each in found.minutes]},
        name="progress-minutes",
    )
    plot.vbar(
        x="x",
        top="top",
        width=_DAY_MS * 0.8,
        source=bars,
        y_range_name="minutes",
        fill_color=_BAR_FILL,
        line_color="#9aa5ab",
        legend_label="minutes practised",
    )
    for number, title in enumerate(dict.fromkeys(title for _, title, _ in found.takes)):
        _add_takes(plot, found.takes, title, number)
    plot.yaxis[0].axis_label = "points of 100"
    plot.xaxis.formatter = DatetimeTickFormatter(hours="%H:%M", days="%d %b", months="%b %Y")
    plain_axes(plot, grid="y")
    return plot


def _add_takes(
    plot: Any, takes: Sequence[tuple[datetime, str, int]], title: str, number: int
) -> None:
    marker, fill = _LOOKS[number % len(_LOOKS)]
    mine = [(at, score) for at, name, score in takes if name == title]
    source = ColumnDataSource(
        {
            "x": [_milliseconds(at) for at, _ in mine],
            "y": [score for _, score in mine],
            "text": [str(score) for _, score in mine],
        },
        name=f"progress-takes-{number}",
    )
    dash = _DASHES[number % len(_DASHES)]
    plot.line("x", "y", source=source, line_color=OUTLINE, line_width=1.5, line_dash=dash)
    plot.scatter(
        "x",
        "y",
        source=source,
        marker=marker,
        size=14,
        fill_color=fill,
        line_color=OUTLINE,
        line_width=1.5,
        legend_label=title or "takes",
    )
    plot.text(
        "x",
        "y",
        text="text",
        source=source,
        y_offset=-11,
        text_align="center",
        text_baseline="bottom",
        text_color=INK,
        text_font=LABEL_FONT,
        text_font_size="12px",
        text_font_style="bold",
    )


def _days(found: Progress) -> Range1d:
    moments = [_milliseconds(at) for at, _, _ in found.takes]
    moments += [
        _milliseconds(datetime.combine(day, datetime.min.time())) for day, _ in found.minutes
    ]
    if not moments:
        return Range1d(0, 7 * _DAY_MS)
    room = max((max(moments) - min(moments)) * 0.04, _DAY_MS * 0.6)
    return Range1d(min(moments) - room, max(moments) + room + _DAY_MS * 0.5)


def _milliseconds(at: datetime) -> float:
    """As the axis counts, which knows no zones: what the clock on the wall shows."""
    return (at.replace(tzinfo=None) - datetime(1970, 1, 1)).total_seconds() * 1000  # noqa: DTZ001
