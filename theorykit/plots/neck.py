"""A neck with real fret spacing, seen as the player sees it: the lowest string at the bottom."""

from __future__ import annotations

from typing import Any

from bokeh.models import ColumnDataSource

from theorykit.plots.mark import LABEL_FONT, add_marks, add_rings, bare_figure
from theorykit.scene.geometry import INLAY, WOOD, line_columns, neck_geometry
from theorykit.scene.harmony import Kind
from theorykit.scene.scene import scene
from theorykit.scene.selection import Selection


def neck_figure(selection: Selection, kind: Kind = "progression") -> Any:
    """The neck of a selection as a Bokeh figure.

    Its sources are named ``neck-...``, so that whoever hosts the figure can repaint it.

    Parameters
    ----------
    selection : Selection
    kind : {"progression", "scale"}
        Over the current chord of the chart, or with no chord.

    Returns
    -------
    bokeh.plotting.figure
    """
    picture = scene(selection, kind)
    neck = neck_geometry(selection.neck)
    board = neck["board"]
    plot = bare_figure(
        "neck", height=board["height"], window=board["window"], label=picture["alt"]["neck"]
    )

    def source(name: str, columns: dict[str, Any]) -> ColumnDataSource:
        return ColumnDataSource(columns, name=f"neck-{name}")

    plot.quad("left", "right", "top", "bottom", source=source("wood", board["wood"]), color=WOOD)
    inlays = source("inlays", board["inlays"])
    plot.scatter("x", "y", source=inlays, size=12, color=INLAY, line_color=None)
    lines = source("lines", line_columns(neck, selection.capo))
    plot.segment(
        "x0", "y0", "x1", "y1", source=lines, color="color", line_width="width", line_cap="butt"
    )
    plot.text(
        "x",
        "y",
        text="text",
        source=source("words", board["words"]),
        text_align="center",
        text_baseline="middle",
        text_color="#444444",
        text_font=LABEL_FONT,
        text_font_size="12px",
    )
    add_marks(plot, "neck-marks", picture["neck"])
    add_rings(plot, "neck-rings")
    return plot
