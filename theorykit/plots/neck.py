"""A neck with real fret spacing, seen as the player sees it: the lowest string at the bottom."""

from __future__ import annotations

from typing import Any

from bokeh.models import ColumnDataSource

from theorykit.plots.mark import LABEL_FONT, add_marks, add_rings, bare_figure
from theorykit.scene.geometry import neck_geometry
from theorykit.scene.scene import Kind, scene
from theorykit.scene.selection import Selection

WOOD, FRET, INLAY, STRING, NUT = "#f6f1e7", "#b9ac93", "#e2d8c4", "#6d6d6d", "#2b2b2b"

#: How far before its fret a capo lies, as a share of the distance of an open string's mark.
CAPO_SHARE = 0.3


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

    def source(name: str) -> ColumnDataSource:
        return ColumnDataSource(board[name], name=f"neck-{name}")

    plot.quad("left", "right", "top", "bottom", source=source("wood"), color=WOOD)
    plot.scatter("x", "y", source=source("inlays"), size=12, color=INLAY, line_color=None)
    plot.segment("x", "top", "x", "bottom", source=source("frets"), color=FRET, line_width=2)
    plot.segment("x0", "y", "x1", "y", source=source("strings"), color=STRING, line_width="width")
    bars = ColumnDataSource(bar_columns(neck, selection.capo), name="neck-bars")
    plot.segment(
        "x", "top", "x", "bottom", source=bars, color=NUT, line_width="width", line_cap="butt"
    )
    for name, size in (("numbers", "11px"), ("names", "13px")):
        plot.text(
            "x",
            "y",
            text="text",
            source=source(name),
            text_align="center",
            text_baseline="middle",
            text_color="#444444",
            text_font=LABEL_FONT,
            text_font_size=size,
        )
    add_marks(plot, "neck-marks", picture["neck"])
    add_rings(plot, "neck-sound")
    add_rings(plot, "neck-cursor")
    return plot


def bar_columns(neck: dict[str, Any], capo: int) -> dict[str, list[float]]:
    """The nut, and the capo where there is one."""
    wood = neck["board"]["wood"]
    places = [0.0]
    if capo:
        places.append(neck["fret_x"][capo] - CAPO_SHARE * neck["open_offset"])
    return {
        "x": places,
        "top": wood["top"] * len(places),
        "bottom": wood["bottom"] * len(places),
        "width": [6, 9][: len(places)],
    }
