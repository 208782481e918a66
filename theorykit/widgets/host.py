"""The drawn part of a view: a widget that brings the module, its style and BokehJS to a browser."""

from __future__ import annotations

from typing import Any

import anywidget
from ipywidgets import Widget, widget_serialization
from traitlets import Dict, Instance, Unicode

from theorykit.widgets.bundle import host_module, style_source
from theorykit.widgets.figures import BOKEH_VERSION, bokeh_source


class BokehLoader(Widget):
    """Carries BokehJS to the browser once for all views of a kernel."""

    code = Unicode().tag(sync=True)


class HostView(anywidget.AnyWidget):
    """What every view has; ``kind`` says which it is, ``figures`` holds Bokeh's JSON items."""

    _esm = host_module("live")
    _css = style_source()
    loader = Instance(Widget).tag(sync=True, **widget_serialization)
    kind = Unicode().tag(sync=True)
    figures = Dict().tag(sync=True)
    bokeh_version = Unicode(BOKEH_VERSION).tag(sync=True)

    def __init__(self, **traits: Any) -> None:
        super().__init__(loader=_loader(), **traits)


_loaders: dict[str, BokehLoader] = {}


def _loader() -> BokehLoader:
    loader = _loaders.get(BOKEH_VERSION)
    # Closing all widgets takes the comm away; a new one must be opened then.
    if loader is None or loader.comm is None:
        loader = _loaders[BOKEH_VERSION] = BokehLoader(code=bokeh_source())
    return loader
