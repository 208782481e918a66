"""Selectors: ordinary ipywidgets, linked to a study in the browser, so that they need no kernel."""

from __future__ import annotations

import html
from collections.abc import Callable, Sequence
from typing import Any

from ipywidgets import HTML, Box, Dropdown, Layout, Text, VBox, jslink

from theorykit.errors import BadInput
from theorykit.instruments.fretboard import MOST_CAPO
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

#: The fields for what is not in the menus: the choice, its words, and an example.
_OWN = (
    ("scale", "Own scale", "1 b3 4 5 b7"),
    ("progression", "Own chart", "| I | IV | V | I |"),
    ("quality", "Own chord, after the root", "7b9"),
    ("instrument", "Own tuning", "G2 D3 A3 E4, 20 frets, 352 mm"),
)


def selectors(study: Study, kind: Kind = "progression") -> VBox:
    """The selectors of a study: menus, capo, and fields for what is not in the menus.

    Parameters
    ----------
    study : Study
    kind : {"progression", "scale", "positions", "shapes", "sequences", "lines"}
    """
    return menu_rows(study, MENUS[kind], capo=kind in CAPO_KINDS)


def menu_rows(study: Study, names: Sequence[str], *, capo: bool = False) -> VBox:
    """Menus by the choices that they set, with the fields for what is not in them.

    Parameters
    ----------
    study : Study
    names : sequence of str
    capo : bool
        Whether a capo can be set.
    """
    boxes = [labelled(MENU_WORDS[name], study_menu(study, name)) for name in names]
    if capo:
        boxes.append(_capo_box(study))
    message = HTML()
    for name, words, example in _OWN:
        if name in names:
            boxes.append(_own(study, name, words, example, message))
    row = Box(boxes, layout=Layout(display="flex", flex_flow="row wrap", grid_gap="4px 14px"))
    return VBox([row, message])


def _capo_box(study: Study) -> VBox:
    # A menu, because a field for numbers has no words that a screen reader would say.
    frets = [str(fret) for fret in range(MOST_CAPO + 1)]
    capo = Dropdown(options=frets, index=study.capo, layout=Layout(width="5em"))
    capo.add_class("tk-menu-capo")
    _follow(study, "capo", capo, "index")
    return labelled("Capo", capo)


def _follow(study: Study, trait: str, control: Any, value: str) -> None:
    """Keep a control and the study in step in the browser.

    The study comes first: what was chosen while the kernel was at work is newer than what a new
    control begins with.
    """
    jslink((study, trait), (control, value))


def labelled(words: str, widget: Any) -> VBox:
    """A control with its words above it."""
    # ipywidgets' own descriptions stand beside a control and are cut off at a fixed width.
    widget.tooltip = words
    label = HTML(
        f'<span style="font-size:12px">{html.escape(words)}</span>',
        layout=Layout(height="24px", margin="0 2px"),
    )
    return VBox([label, widget], layout=Layout(overflow="visible"))


def study_menu(study: Study, name: str) -> Dropdown:
    """The menu of one of a study's choices, with no words beside it."""
    menu = Dropdown(
        options=_shown_options(study, name),
        index=getattr(study, f"{name}_index"),
        layout=Layout(width=_WIDTHS[name]),
    )
    menu.add_class(f"tk-menu-{name}")
    _follow(study, f"{name}_index", menu, "index")

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
        message.value = alert(str(error))
    else:
        message.value = ""


def alert(words: str) -> str:
    """What is wrong, as it is shown in place and read aloud at once."""
    return f'<p role="alert" style="color:#8a3c00;margin:2px 0">{html.escape(words)}</p>'
