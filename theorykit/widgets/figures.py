"""The figures of an explorer as Bokeh's own JSON, and the BokehJS that draws them."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import Any

import bokeh
from bokeh.embed import json_item

from theorykit.plots.keyboard import keyboard_figure
from theorykit.plots.neck import neck_figure
from theorykit.plots.roll import roll_figure
from theorykit.plots.ruler import ruler_figure
from theorykit.scene.selection import Selection

BOKEH_VERSION: str = bokeh.__version__


@cache
def explorer_figures() -> dict[str, Any]:
    """Bokeh's JSON items of ``neck``, ``keyboard`` and ``ruler``.

    They serve every study: the module that hosts them paints the study's own scene at once.
    """
    makers = {"neck": neck_figure, "keyboard": keyboard_figure, "ruler": ruler_figure}
    return {name: json_item(make(Selection())) for name, make in makers.items()}


@cache
def roll_item() -> dict[str, Any]:
    """Bokeh's JSON item of ``roll``, for every take: the module paints it."""
    return {"roll": json_item(roll_figure())}


@cache
def bokeh_source() -> str:
    """The text of ``bokeh.min.js`` as the installed package carries it."""
    path = files("bokeh") / "server" / "static" / "js" / "bokeh.min.js"
    return path.read_text(encoding="utf-8")
