"""Selectors: ordinary ipywidgets, linked to a study in the browser, so that they need no kernel."""

from __future__ import annotations

import html
from collections.abc import Callable
from typing import Any

from ipywidgets import HTML, BoundedIntText, Box, Dropdown, Layout, Text, VBox, jslink

from theorykit.errors import BadInput
from theorykit.scene.harmony import Kind
from theorykit.scene.menus import CAPO_KINDS, MENU_WORDS, MENUS, option_words
from theorykit.widgets.study import Study

_WIDTHS = {
    "key": "6em",
    "root": "6em",
    "scale": "13em",
    "compare": "13em",
    "progression": "15em",
    "pattern": "11em",
    "quality": "8em",
    "omit": "8em",
    "place": "11em",
    "style": "9em",
    "feel": "9em",
    "figure": "12em",
    "direction": "10em",
    "rhythm": "10em",
    "level": "14em",
    "grit": "9em",
    "instrument": "9em",
    "labels": "8em",
}
HIGHEST_CAPO = 7


def selectors(study: Study, kind: Kind = "progression") -> VBox:
    """The selectors of a study: menus, capo, and fields for what is not in the menus.

    Parameters
    ----------
    study : Study
    kind : {"progression", "scale", "positions", "shapes", "sequences", "lines"}
    """
    boxes = [labelled(MENU_WORDS[name], _menu(study, name)) for name in MENUS[kind]]
    if kind in CAPO_KINDS:
        capo = BoundedIntText(min=0, max=HIGHEST_CAPO, value=study.capo, layout=Layout(width="5em"))
        jslink((capo, "value"), (study, "capo"))
        boxes.append(labelled("Capo", capo))
    message = HTML()
    if "scale" in MENUS[kind]:
        boxes.append(_own(study, "scale", "Own scale", "1 b3 4 5 b7", message))
    if "progression" in MENUS[kind]:
        boxes.append(_own(study, "progression", "Own chart", "| I | IV | V | I |", message))
    if "quality" in MENUS[kind]:
        boxes.append(_own(study, "quality", "Own chord, after the root", "7b9", message))
    if "instrument" in MENUS[kind]:
        example = "G2 D3 A3 E4, 20 frets, 352 mm"
        boxes.append(_own(study, "instrument", "Own tuning", example, message))
    row = Box(boxes, layout=Layout(display="flex", flex_flow="row wrap", grid_gap="4px 14px"))
    return VBox([row, message])


def labelled(words: str, widget: Any) -> VBox:
    """A control with its words above it."""
    # ipywidgets' own descriptions stand beside a control and are cut off at a fixed width.
    widget.tooltip = words
    label = HTML(
        f'<span style="font-size:12px">{html.escape(words)}</span>',
        layout=Layout(height="24px", margin="0 2px"),
    )
    return VBox([label, widget], layout=Layout(overflow="visible"))


def _menu(study: Study, name: str) -> Dropdown:
    menu = Dropdown(
        options=_shown_options(study, name),
        index=getattr(study, f"{name}_index"),
        layout=Layout(width=_WIDTHS[name]),
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
    return option_words(name, study.options(name))


def _own(study: Study, name: str, words: str, example: str, message: HTML) -> VBox:
    field = Text(placeholder=example, continuous_update=False, layout=Layout(width="13em"))
    field.add_class(f"tk-own-{name}")

    def take(change: Any) -> None:
        if change["new"].strip():
            _try(lambda: setattr(study, name, change["new"]), message)

    field.observe(take, "value")
    return labelled(words, field)


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
