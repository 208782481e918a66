"""Marks as the columns that a Bokeh source holds."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from bokeh.core.properties import value
from bokeh.models import ColumnDataSource
from bokeh.plotting import figure

from theorykit.analysis.palette import INK
from theorykit.scene.codes import CODES, LABEL_LIFT, Code

#: What changes is drawn on a canvas of its own, so that a repaint leaves what lies under it alone.
CHANGING = "overlay"

COLUMNS = (
    "x",
    "y",
    "marker",
    "size",
    "fill",
    "line",
    "line_width",
    "dash",
    "label",
    "text",
    "lift",
)

#: A ``value``, or Bokeh takes the name of a font for that of a column.
LABEL_FONT = value("Liberation Sans, Arial, sans-serif")


def mark_columns(
    marks: Sequence[dict[str, Any]], codes: Mapping[str, Code] = CODES
) -> dict[str, list[Any]]:
    """Columns from marks, each with ``x``, ``y``, ``role`` and ``label``."""
    columns: dict[str, list[Any]] = {name: [] for name in COLUMNS}
    for mark in marks:
        code = codes[mark["role"]]
        row = (
            mark["x"],
            mark["y"],
            code.marker,
            code.size,
            code.fill,
            code.line,
            code.line_width,
            code.dash,
            mark["label"],
            code.text,
            round(-LABEL_LIFT.get(code.marker, 0.0) * code.size, 2),
        )
        for name, entry in zip(COLUMNS, row, strict=True):
            columns[name].append(entry)
    return columns


def bare_figure(name: str, *, height: int, window: Sequence[float], label: str) -> Any:
    """A figure with nothing on it, as wide as its place allows.

    Parameters
    ----------
    name : str
    height : int
        Screen pixels.
    window : sequence of float
        Left, right, bottom and top in data units.
    label : str
        The text alternative.
    """
    left, right, bottom, top = window
    return figure(
        name=name,
        height=height,
        sizing_mode="stretch_width",
        x_range=(left, right),
        y_range=(bottom, top),
        x_axis_type=None,
        y_axis_type=None,
        title=None,
        toolbar_location=None,
        tools="",
        min_border=0,
        outline_line_color=None,
        background_fill_alpha=0,
        border_fill_alpha=0,
        tags=[label],
    )


def add_marks(
    plot: Any,
    name: str,
    marks: Sequence[dict[str, Any]],
    *,
    codes: Mapping[str, Code] = CODES,
    text_size: str = "12px",
) -> None:
    """Draw marks with their labels; the source is called ``name``."""
    source = ColumnDataSource(mark_columns(marks, codes), name=name)
    plot.scatter(
        "x",
        "y",
        source=source,
        marker="marker",
        size="size",
        fill_color="fill",
        line_color="line",
        line_width="line_width",
        line_dash="dash",
        level=CHANGING,
    )
    plot.text(
        "x",
        "y",
        text="label",
        source=source,
        text_color="text",
        text_align="center",
        text_baseline="middle",
        text_font=LABEL_FONT,
        text_font_size=text_size,
        text_font_style="bold",
        y_offset="lift",
        level=CHANGING,
    )


def add_rings(plot: Any, name: str, *, size: int = 36) -> None:
    """Add an empty source for rings: where a note sounds, where the next will, at the cursor."""
    source = ColumnDataSource({"x": [], "y": [], "dash": [], "width": []}, name=name)
    plot.scatter(
        "x",
        "y",
        source=source,
        marker="circle",
        size=size,
        fill_alpha=0,
        line_color=INK,
        line_width="width",
        line_dash="dash",
        level=CHANGING,
    )
