"""Selectors: ordinary ipywidgets, linked to a study in the browser, so that they need no kernel."""

from __future__ import annotations

import html
from collections.abc import Callable
from typing import Any

from ipywidgets import HTML, BoundedIntText, Box, Dropdown, Layout, Text, VBox, jslink

from theorykit.analysis.saved_style import read_style
from theorykit.errors import BadInput
from theorykit.scene.scene import Kind
from theorykit.theory.pitch import Note
from theorykit.widgets.study import Study

#: The menus in their order: trait, what stands beside it, width.
MENUS = (
    ("key", "Key", "6em"),
    ("scale", "Scale", "13em"),
    ("compare", "Compare with", "13em"),
    ("progression", "Progression", "15em"),
    ("style", "Style", "9em"),
    ("instrument", "Instrument", "9em"),
    ("labels", "Labels", "8em"),
)
_OVER_CHORDS = {"progression", "style"}
HIGHEST_CAPO = 7


def selectors(study: Study, kind: Kind = "progression") -> VBox:
    """The selectors of a study: menus, capo, and fields for a scale or chart of one's own.

    Parameters
    ----------
    study : Study
    kind : {"progression", "scale"}
        A scale's selectors leave out progression and style.
    """
    boxes = [
        _labelled(words, _menu(study, name, width))
        for name, words, width in MENUS
        if kind == "progression" or name not in _OVER_CHORDS
    ]
    capo = BoundedIntText(min=0, max=HIGHEST_CAPO, value=study.capo, layout=Layout(width="5em"))
    jslink((capo, "value"), (study, "capo"))
    boxes.append(_labelled("Capo", capo))
    message = HTML()
    boxes.append(_own(study, "scale", "Own scale", "1 b3 4 5 b7", message))
    if kind == "progression":
        boxes.append(_own(study, "progression", "Own chart", "| I | IV | V | I |", message))
    row = Box(boxes, layout=Layout(display="flex", flex_flow="row wrap", grid_gap="4px 14px"))
    return VBox([row, message])


def _labelled(words: str, widget: Any) -> VBox:
    # ipywidgets' own descriptions stand beside a control and are cut off at a fixed width.
    widget.tooltip = words
    label = HTML(
        f'<span style="font-size:12px">{html.escape(words)}</span>',
        layout=Layout(height="24px", margin="0 2px"),
    )
    return VBox([label, widget], layout=Layout(overflow="visible"))


def _menu(study: Study, name: str, width: str) -> Dropdown:
    menu = Dropdown(
        options=_shown_options(study, name),
        index=getattr(study, f"{name}_index"),
        layout=Layout(width=width),
    )
    menu.add_class(f"tk-menu-{name}")
    jslink((menu, "index"), (study, f"{name}_index"))

    def renew(_change: Any) -> None:
        options = _shown_options(study, name)
        if list(menu.options) != options:
            # New options set the index to 0 first; the browser must see only the end of it.
            with menu.hold_sync():
                menu.options = options
                menu.index = getattr(study, f"{name}_index")

    study.observe(renew, "table")
    return menu


def _shown_options(study: Study, name: str) -> list[str]:
    options = study.options(name)
    if name == "key":
        return [Note.parse(option).pretty for option in options]
    if name == "style":
        return [read_style(option).name for option in options]
    return [option or "–" for option in options]


def _own(study: Study, name: str, words: str, example: str, message: HTML) -> VBox:
    field = Text(placeholder=example, continuous_update=False, layout=Layout(width="13em"))
    field.add_class(f"tk-own-{name}")

    def take(change: Any) -> None:
        if change["new"].strip():
            _try(lambda: setattr(study, name, change["new"]), message)

    field.observe(take, "value")
    return _labelled(words, field)


def _try(action: Callable[[], None], message: HTML) -> None:
    """Do it, or say in the notebook why not: an error in a callback would not be seen."""
    try:
        action()
    except BadInput as error:
        message.value = (
            f'<p role="alert" style="color:#8a3c00;margin:2px 0">{html.escape(str(error))}</p>'
        )
    else:
        message.value = ""
