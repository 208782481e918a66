"""The half-step ruler: which scale note rubs against which chord member, and why.

Twelve slots from the chord's root, scale notes above, chord members below, and a link from each
note to the member that it rubs against: solid for a note to avoid, dotted for a blue note.
"""

from __future__ import annotations

from typing import Any

from bokeh.models import ColumnDataSource

from theorykit.plots.mark import CHANGING, LABEL_FONT, add_marks, bare_figure
from theorykit.scene.codes import LINKS
from theorykit.scene.geometry import ABOVE_Y, BELOW_Y
from theorykit.scene.harmony import Kind
from theorykit.scene.scene import scene
from theorykit.scene.selection import Selection

HEIGHT = 150


def ruler_figure(selection: Selection, kind: Kind = "progression") -> Any:
    """The ruler of a selection as a Bokeh figure; its sources are named ``ruler-...``.

    Parameters
    ----------
    selection : Selection
    kind : {"progression", "scale"}

    Returns
    -------
    bokeh.plotting.figure
    """
    picture = scene(selection, kind)
    ruler = picture["ruler"]
    plot = bare_figure(
        "ruler", height=HEIGHT, window=(-0.55, 11.55, -1.75, 1.75), label=picture["alt"]["ruler"]
    )
    fills = ["#e9f0f4" if slot % 2 == 0 else "#f8fafb" for slot in range(12)]
    plot.rect(list(range(12)), 0, 1, 1, fill_color=fills, line_color="#b7c4cb")
    links = ColumnDataSource(link_columns(ruler["links"]), name="ruler-links")
    plot.multi_line(
        "xs",
        "ys",
        source=links,
        line_color="color",
        line_dash="dash",
        line_width="width",
        level=CHANGING,
    )
    slots = ColumnDataSource({"x": list(range(12)), "text": ruler["slots"]}, name="ruler-slots")
    plot.text(
        "x",
        0,
        text="text",
        source=slots,
        text_align="center",
        text_baseline="middle",
        text_color="#222222",
        text_font=LABEL_FONT,
        text_font_size="12px",
        level=CHANGING,
    )
    add_marks(plot, "ruler-marks", ruler_marks(ruler))
    return plot


def ruler_marks(ruler: dict[str, Any]) -> list[dict[str, Any]]:
    """The marks above and below the slots; the root's word is too long for its mark."""
    above = [{**mark, "x": mark["slot"], "y": ABOVE_Y} for mark in ruler["above"]]
    below = [
        {
            **mark,
            "x": mark["slot"],
            "y": BELOW_Y,
            "label": "R" if mark["label"] == "root" else mark["label"],
        }
        for mark in ruler["below"]
    ]
    return above + below


def link_columns(links: list[dict[str, Any]]) -> dict[str, list[Any]]:
    """Links as curves that leave a note downwards and reach its chord member from above."""
    columns: dict[str, list[Any]] = {"xs": [], "ys": [], "color": [], "dash": [], "width": []}
    for link in links:
        start, end = link["from"], link["to"]
        # From the last slot to the root an octave up, which the ruler does not show.
        if abs(end - start) > 1:
            end = start + (1 if end < start else -1)
        xs, ys = [], []
        for point in range(13):
            share = point / 12
            ease = share * share * (3 - 2 * share)
            xs.append(round(start + (end - start) * ease, 3))
            ys.append(round(0.62 - 1.24 * share, 3))
        color, dash, width = LINKS[link["kind"]]
        columns["xs"].append(xs)
        columns["ys"].append(ys)
        columns["color"].append(color)
        columns["dash"].append(dash)
        columns["width"].append(width)
    return columns
