"""The piano roll of a checked take as a Bokeh figure.

A note's mark stands where it is heard, so that one that comes late stands right of its grid line; a
short line shows where it belongs, and words by how many milliseconds it is off.
"""

from __future__ import annotations

from typing import Any

from bokeh.models import ColumnDataSource

from theorykit.analysis.palette import WHITE
from theorykit.plots.mark import CHANGING, LABEL_FONT, add_marks, add_rings, bare_figure
from theorykit.scene.solo_roll import LENGTH_FILL, OFF_INK, ROLL_CODES

#: Height of a figure that shows nothing yet.
_EMPTY_HEIGHT = 200

#: The columns of what lies under the marks, by the name of its source.
_LAYERS = {
    "shades": "left right bottom top color",
    "lines": "x0 y0 x1 y1 color width",
    "words": "x y text align size color",
    "lengths": "left right bottom top",
    "places": "x0 y0 x1 y1",
    "offs": "x y text",
}


def roll_figure(scene: dict[str, Any] | None = None, page: int = 0, *, labels: str = "name") -> Any:
    """A page of a take's piano roll; its sources are named ``roll-...``.

    Parameters
    ----------
    scene : dict, optional
        As ``solo_scene`` gives it; without one the figure is empty, for the module that paints it.
    page : int
        Counted from 0.
    labels : {"name", "degree"}
        What is written on the marks.

    Returns
    -------
    bokeh.plotting.figure
    """
    shown: dict[str, Any] = scene["pages"][page] if scene is not None else {}
    plot = bare_figure(
        "roll",
        height=shown.get("height", _EMPTY_HEIGHT),
        window=shown.get("window", (0, 1, 0, 1)),
        label=shown.get("alt", "Piano roll"),
    )

    def source(name: str) -> ColumnDataSource:
        columns = shown.get(name) or {column: [] for column in _LAYERS[name].split()}
        return ColumnDataSource(columns, name=f"roll-{name}")

    plot.quad(
        "left",
        "right",
        "top",
        "bottom",
        source=source("shades"),
        fill_color="color",
        line_color=WHITE,
        line_width=0.5,
    )
    plot.segment(
        "x0", "y0", "x1", "y1", source=source("lines"), line_color="color", line_width="width"
    )
    _add_words(plot, source("words"), color="color", align="align", size="size", style="bold")
    plot.quad(
        "left",
        "right",
        "top",
        "bottom",
        source=source("lengths"),
        fill_color=LENGTH_FILL,
        line_color=None,
        level=CHANGING,
    )
    # Under the marks, which are shorter: no letter is struck through.
    plot.segment(
        "x0",
        "y0",
        "x1",
        "y1",
        source=source("places"),
        line_color=OFF_INK,
        line_width=2,
        line_dash="dashed",
        level=CHANGING,
    )
    marks = []
    if scene is not None:
        for mark in shown["marks"]:
            marks.append({**mark, "label": scene["notes"][mark["note"]][labels]})
    add_marks(plot, "roll-marks", marks, codes=ROLL_CODES, text_size="10px")
    _add_words(
        plot,
        source("offs"),
        color=OFF_INK,
        align="center",
        size="10px",
        style="bold",
        baseline="top",
        background=WHITE,
    )
    add_rings(plot, "roll-rings", size=30)
    return plot


def _add_words(
    plot: Any,
    source: ColumnDataSource,
    *,
    color: str,
    align: str,
    size: str,
    style: str,
    baseline: str = "middle",
    background: str | None = None,
) -> None:
    plot.text(
        "x",
        "y",
        text="text",
        source=source,
        text_color=color,
        text_align=align,
        text_baseline=baseline,
        text_font=LABEL_FONT,
        text_font_size=size,
        text_font_style=style,
        background_fill_color=background,
        background_fill_alpha=0.85,
        level=CHANGING,
    )
