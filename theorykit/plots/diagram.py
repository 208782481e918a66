"""A chord diagram as a Bokeh figure; for print see ``theorykit.scene.diagram``."""

from __future__ import annotations

from typing import Any

from bokeh.plotting import figure

from theorykit.plots.mark import LABEL_FONT
from theorykit.scene.diagram import DOT, STYLES, Diagram

INK = "#111111"


def diagram_figure(diagram: Diagram, *, scale: float = 1.4) -> Any:
    """A chord diagram with finger numbers.

    Parameters
    ----------
    diagram : Diagram
    scale : float
        Screen pixels for a point.

    Returns
    -------
    bokeh.plotting.figure
    """
    plot = figure(
        name="diagram",
        width=round(diagram.width * scale),
        height=round(diagram.height * scale),
        x_range=(0, diagram.width),
        y_range=(diagram.height, 0),
        x_axis_type=None,
        y_axis_type=None,
        toolbar_location=None,
        tools="",
        min_border=0,
        outline_line_color=None,
        tags=[diagram.spoken],
    )
    starts, ends, widths = zip(*diagram.lines, strict=True)
    plot.segment(
        [x for x, _ in starts],
        [y for _, y in starts],
        [x for x, _ in ends],
        [y for _, y in ends],
        line_color=INK,
        line_width=[width * scale for width in widths],
        name="lines",
    )
    if diagram.barres:
        plot.segment(
            [x for (x, _), _ in diagram.barres],
            [y for (_, y), _ in diagram.barres],
            [x for _, (x, _) in diagram.barres],
            [y for _, (_, y) in diagram.barres],
            line_color=INK,
            line_width=2 * DOT * scale,
            line_cap="round",
            name="barres",
        )
    for is_root, marker in ((False, "circle"), (True, "hex")):
        dots = [dot for dot in diagram.dots if dot.is_root is is_root]
        plot.scatter(
            [dot.x for dot in dots],
            [dot.y for dot in dots],
            marker=marker,
            size=2 * DOT * scale * (1.2 if is_root else 1),
            color=INK,
            name=marker,
        )
    held = [dot for dot in diagram.dots if dot.finger]
    texts = [(dot.x, dot.y, str(dot.finger), "finger") for dot in held]
    texts += [(label.x, label.y - 4, label.text, label.kind) for label in diagram.labels]
    for kind, (size, weight, anchor) in STYLES.items():
        mine = [text for text in texts if text[3] == kind]
        plot.text(
            [x for x, _, _, _ in mine],
            [y for _, y, _, _ in mine],
            text=[text for _, _, text, _ in mine],
            text_align={"middle": "center", "end": "right"}[anchor],
            text_baseline="middle",
            text_color="#ffffff" if kind == "finger" else INK,
            text_font=LABEL_FONT,
            text_font_size=f"{size * scale:g}px",
            text_font_style=weight,
            name=kind,
        )
    return plot
