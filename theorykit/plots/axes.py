"""The looks that plots of counts and points share."""

from __future__ import annotations

from typing import Any

from theorykit.analysis.palette import INK

_SANS = "Liberation Sans, Arial, sans-serif"
_LINE, _GRID = "#666666", "#e6e6e6"


def plain_axes(plot: Any, *, grid: str) -> None:
    """Plain axes, lines across one way only, and the legend in a row above.

    Parameters
    ----------
    plot : bokeh.plotting.figure
    grid : {"x", "y"}
        The axis from whose ticks lines go across.
    """
    for name in ("x", "y"):
        getattr(plot, f"{name}grid").grid_line_color = _GRID if name == grid else None
    plot.title.text_font = _SANS
    for axis in plot.axis:
        axis.axis_label_text_font = axis.major_label_text_font = _SANS
        axis.axis_label_text_font_style = "normal"
        axis.major_label_text_color = INK
        axis.axis_line_color = axis.major_tick_line_color = _LINE
        axis.minor_tick_line_color = None
    if plot.legend:
        legend = plot.legend[0]
        plot.add_layout(legend, "above")
        legend.orientation = "horizontal"
        legend.border_line_color = None
        legend.label_text_font = _SANS
        legend.label_text_font_size = "12px"
