"""A blank neck to mark on by hand, in a notebook and in a page with no kernel."""

from __future__ import annotations

import html
from collections.abc import Iterable
from typing import Any

import anywidget
from traitlets import Bool, Dict, List, Unicode, observe, validate

from theorykit.errors import BadInput, nearest
from theorykit.instruments.catalogue import find_instrument
from theorykit.scene.blank import (
    BLANK_LABELS,
    NeckMark,
    blank_board,
    blank_svg,
    blank_words,
    check_marks,
)
from theorykit.scene.selection import Selection
from theorykit.widgets.bundle import host_module, style_source
from theorykit.widgets.explorer import script_json
from theorykit.widgets.origin import origin_of


class BlankNeck(anywidget.AnyWidget):
    """A neck with nothing on it: a click or Enter puts a mark there, and takes it away again.

    JupyterLab keeps the marks in the notebook, for as long as the cell asks for the same neck. To
    have them in a cell, print the neck: its text is the call that makes it again.

    ``BlankNeck(marks=[(4, 0, "root"), (4, 2), (3, 0), (3, 2)], key="G", frets=7)``: ``[G]`` has the
    shape of a root::

           0   1   2   3   4   5   6   7
        E    ║───│───│───│───│───│───│───│
        A    ║───│───│───│───│───│───│───│
        D  D ║───│─E─│───│───│───│───│───│
        G [G]║───│─A─│───│───│───│───│───│

    Parameters
    ----------
    instrument : str
    marks : iterable, optional
        To begin with: each a ``NeckMark``, or (string, fret), or with a shape and words besides, as
        ``(4, 2, "root", "1")``.
    key : str
        What notes are called after, and degrees are counted from.
    labels : {"notes", "degrees", "numbers", "hidden"}
        Numbers are in the order of marking.
    frets : int, optional
        The highest fret that is shown.
    capo : int
        The fret that the capo closes; marks count from it.
    left_handed : bool

    Attributes
    ----------
    marks : list
        Each ``[string, fret, role, text]``, in the order of marking; to be set in any of the forms
        above.

    Raises
    ------
    BadInput
        With what can't be used; the marks stay as they were.

    Examples
    --------
    >>> neck = BlankNeck("mandolin", marks=[(4, 0, "root"), (4, 2)], key="G")
    >>> neck.marks
    [[4, 0, 'root', ''], [4, 2, 'scale', '']]
    >>> neck
    BlankNeck('mandolin', key='G', marks=[(4, 0, 'root'), (4, 2)])
    """

    _esm = host_module("blank")
    _css = style_source()
    origin = Unicode("").tag(sync=True)
    touched = Bool(False).tag(sync=True)
    board = Dict().tag(sync=True)
    marks = List().tag(sync=True)
    key = Unicode("C").tag(sync=True)
    labels = Unicode(BLANK_LABELS[0]).tag(sync=True)
    left_handed = Bool(False).tag(sync=True)

    def __init__(
        self,
        instrument: str = "mandolin",
        marks: Iterable[Any] = (),
        *,
        key: str = "C",
        labels: str = BLANK_LABELS[0],
        frets: int | None = None,
        capo: int = 0,
        left_handed: bool = False,
    ) -> None:
        neck = find_instrument(instrument)
        self._frets = frets
        board = blank_board(neck, frets=frets, capo=capo)
        checked = _as_lists(check_marks(board, marks))
        self._begun = False
        super().__init__(
            origin=origin_of((neck, checked, key, labels, frets, capo, left_handed)),
            board=board,
            marks=checked,
            key=Selection.of(key=key).key,
            labels=_one_of_labels(labels),
            left_handed=left_handed,
        )
        self._begun = True

    @property
    def instrument(self) -> str:
        """The instrument by its proper name."""
        return str(self.board["name"])

    @property
    def svg(self) -> str:
        """The picture as it stands, as an SVG."""
        return blank_svg(
            self.board,
            self._marks(),
            key=self.key,
            labels=self.labels,
            left_handed=self.left_handed,
        )

    @validate("marks")
    def _check_marks(self, proposal: Any) -> Any:
        return _as_lists(check_marks(self.board, proposal["value"]))

    @validate("key")
    def _check_key(self, proposal: Any) -> Any:
        return Selection.of(key=proposal["value"]).key

    @validate("labels")
    def _check_labels(self, proposal: Any) -> Any:
        return _one_of_labels(proposal["value"])

    @observe("marks", "key", "labels", "left_handed")
    def _touch(self, _change: Any) -> None:
        if self._begun:
            self.touched = True

    def _marks(self) -> tuple[NeckMark, ...]:
        return tuple(NeckMark.of(mark) for mark in self.marks)

    def __repr__(self) -> str:
        said = [repr(self.instrument), f"key={self.key!r}"]
        if self.labels != BLANK_LABELS[0]:
            said.append(f"labels={self.labels!r}")
        if self._frets is not None:
            said.append(f"frets={self._frets}")
        if self.board["capo"]:
            said.append(f"capo={self.board['capo']}")
        if self.left_handed:
            said.append("left_handed=True")
        if self.marks:
            said.append(f"marks={[mark.short for mark in self._marks()]}")
        return f"BlankNeck({', '.join(said)})"

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        given = super()._repr_mimebundle_(**kwargs)
        bundle, metadata = given if isinstance(given, tuple) else (given, {})
        return {**(bundle or {}), "text/html": blank_figure(self)}, metadata


def blank_figure(neck: BlankNeck) -> str:
    """What a notebook keeps of a blank neck where no kernel runs, and what a page is made from."""
    state = {
        name: getattr(neck, name) for name in ("board", "marks", "key", "labels", "left_handed")
    }
    words = blank_words(neck.board, neck._marks(), key=neck.key, labels=neck.labels)
    return (
        f'<figure class="theorykit-blank" aria-label="{html.escape(words)}">{neck.svg}'
        f'<script type="application/json">{script_json(state)}</script></figure>'
    )


def _as_lists(marks: Iterable[NeckMark]) -> list[list[Any]]:
    return [[mark.string, mark.fret, mark.role, mark.text] for mark in marks]


def _one_of_labels(value: str) -> str:
    if value not in BLANK_LABELS:
        raise BadInput(
            "labels",
            value,
            "not one of the choices",
            accepted=", ".join(BLANK_LABELS),
            nearest=nearest(str(value), BLANK_LABELS),
        )
    return value
