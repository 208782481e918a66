"""Two octaves of the piano, with the marks of a scene."""

from __future__ import annotations

from typing import Any

from bokeh.models import ColumnDataSource

from theorykit.plots.mark import add_marks, add_rings, bare_figure
from theorykit.scene.geometry import keyboard_geometry
from theorykit.scene.harmony import Kind
from theorykit.scene.scene import scene
from theorykit.scene.selection import Selection

HEIGHT = 150


def keyboard_figure(selection: Selection, kind: Kind = "progression") -> Any:
    """The keyboard of a selection as a Bokeh figure; its sources are named ``keyboard-...``.

    Parameters
    ----------
    selection : Selection
    kind : {"progression", "scale"}

    Returns
    -------
    bokeh.plotting.figure
    """
    picture = scene(selection, kind)
    keys = keyboard_geometry()
    right = max(key["left"] + key["width"] for key in keys)
    plot = bare_figure(
        "keyboard",
        height=HEIGHT,
        window=(-0.06, right + 0.06, -0.02, 1.02),
        label=picture["alt"]["keyboard"],
    )
    # White keys come first in the list, so that the black ones are drawn over them.
    source = ColumnDataSource(
        {
            "left": [key["left"] for key in keys],
            "right": [key["left"] + key["width"] for key in keys],
            "bottom": [key["bottom"] for key in keys],
            "fill": ["#2b2b2b" if key["black"] else "#ffffff" for key in keys],
        }
    )
    plot.quad("left", "right", 1, "bottom", source=source, fill_color="fill", line_color="#555555")
    add_marks(plot, "keyboard-marks", picture["keyboard"])
    add_rings(plot, "keyboard-rings")
    return plot
