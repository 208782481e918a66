"""Explorers: selectors and views over a study, live in a notebook and in a page with no kernel."""

from __future__ import annotations

import html
import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, replace
from typing import Any

from ipywidgets import VBox, Widget, widget_serialization
from traitlets import Instance, List

from theorykit.scene.ensemble import EnsembleNeck, ensemble_necks, ensemble_scene
from theorykit.scene.harmony import Kind
from theorykit.scene.menus import MENUS, OFFERED
from theorykit.widgets.figures import explorer_figures
from theorykit.widgets.host import HostView
from theorykit.widgets.selectors import selectors
from theorykit.widgets.study import Study


class _ExplorerView(HostView):
    """The drawn part of an explorer."""

    study = Instance(Widget).tag(sync=True, **widget_serialization)
    necks = List().tag(sync=True)


class _Explorer(VBox):
    """Selectors above a view: what all explorers share."""

    _kind: Kind
    #: Of an ensemble; the others show the study's own.
    _necks: tuple[EnsembleNeck, ...] = ()

    def __init__(self, study: Study | None = None, **choices: Any) -> None:
        if study is None:
            study = Study(**choices)
        else:
            for name, value in choices.items():
                setattr(study, name, value)
        self.study = study
        study.chart_positions_and_shapes(self._kind)
        view = _ExplorerView(
            study=study,
            kind=self._kind,
            necks=[asdict(neck) for neck in self._necks],
            figures=explorer_figures(),
        )
        super().__init__([selectors(study, self._kind), view])
        # What fills the window when it is presented.
        self.add_class("tk-stage")

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        bundle = super()._repr_mimebundle_(**kwargs)
        bundle["text/html"] = static_figure(self.study, self._kind, self._necks)
        return bundle


class ProgressionExplorer(_Explorer):
    """A scale over a progression, bar by bar: chart, advice, neck, ruler, keyboard and sound.

    ``ProgressionExplorer(key="A", progression="| I7 | IV7 | V7 | I7 |")``: the chart with its
    advice, and the ruler, scale above and chord below; ``[1]`` is the chord's root, ``<♭3>`` a
    blue note, ``(4)`` passes::

        │ I7   │ IV7  │ V7                           │ I7   │
        │ A7   │ D7   │ E7                           │ A7   │
        │ stay │ stay │ switch to E minor pentatonic │ stay │

        Over A7, stay on A minor pentatonic: C is a blue note, a half step below
        C♯, the third.

         [1]               <♭3>        (4)          5                 ♭7
          A     B♭    B     C     C♯    D     D♯    E     F     F♯    G     G♯
         root                     3                 5                 ♭7

    Parameters
    ----------
    study : Study, optional
        A study to share with other explorers; a new one if not given.
    **choices
        Traits of the study, e.g. ``key="A"``, ``progression="12-bar blues"``.

    Raises
    ------
    BadInput
        With the choice that can't be used.
    """

    _kind = "progression"


class EnsembleExplorer(_Explorer):
    """A scale over a progression on several necks at once, one under another.

    ``EnsembleExplorer(instruments=("mandolin", "ukulele"), key="A")``: over A7, ``[A]`` is the
    root, ``<C>`` a blue note, ``(D)`` passes::

        mandolin     0   1   2   3   4   5   6   7   8   9  10  11  12
                  E  E ║───│───│─G─│───│[A]│───│───│<C>│───│(D)│───│─E─│
                  A [A]║───│───│<C>│───│(D)│───│─E─│───│───│─G─│───│[A]│
                  D (D)║───│─E─│───│───│─G─│───│[A]│───│───│<C>│───│(D)│
                  G  G ║───│[A]│───│───│<C>│───│(D)│───│─E─│───│───│─G─│
        ukulele      0   1   2   3   4   5   6   7   8   9  10  11  12
                  A [A]║───│───│<C>│───│(D)│───│─E─│───│───│─G─│───│[A]│
                  E  E ║───│───│─G─│───│[A]│───│───│<C>│───│(D)│───│─E─│
                  C <C>║───│(D)│───│─E─│───│───│─G─│───│[A]│───│───│<C>│
                  G  G ║───│[A]│───│───│<C>│───│(D)│───│─E─│───│───│─G─│

    Parameters
    ----------
    study : Study, optional
        A study to share with other explorers; a new one if not given.
    instruments : sequence of str
        From top to bottom, six at most.
    capos : mapping, optional
        The fret of the capo by instrument, e.g. ``{"guitar": 2}``. A study's capo is not theirs.
    **choices
        Traits of the study, e.g. ``key="A"``, ``progression="12-bar blues"``. Its instrument is the
        band's; the first of the necks if neither a study nor an instrument is given.

    Raises
    ------
    BadInput
        With the choice that can't be used.

    Examples
    --------
    >>> wall = EnsembleExplorer(instruments=("mandolin", "guitar"), key="A")
    >>> wall.instruments, wall.study.instrument
    (('mandolin', 'guitar'), 'mandolin')
    """

    _kind = "ensemble"

    def __init__(
        self,
        study: Study | None = None,
        instruments: Sequence[str] = ("mandolin", "guitar", "fiddle"),
        capos: Mapping[str, int] | None = None,
        **choices: Any,
    ) -> None:
        self._necks = ensemble_necks(instruments, capos)
        if study is None:
            study = Study(**{"instrument": self._necks[0].instrument, **choices})
            choices = {}
        study.offer_instruments(self.instruments)
        super().__init__(study, **choices)

    @property
    def instruments(self) -> tuple[str, ...]:
        """The instruments by their proper names."""
        return tuple(neck.instrument for neck in self._necks)


class ScaleExplorer(_Explorer):
    """A scale, or two compared: neck, ruler, keyboard and sound.

    ``ScaleExplorer(key="A", scale="minor pentatonic")``: ``[A]`` is the tonic::

           0   1   2   3   4   5   6   7   8   9  10  11  12
        E  E ║───│───│─G─│───│[A]│───│───│─C─│───│─D─│───│─E─│
        A [A]║───│───│─C─│───│─D─│───│─E─│───│───│─G─│───│[A]│
        D  D ║───│─E─│───│───│─G─│───│[A]│───│───│─C─│───│─D─│
        G  G ║───│[A]│───│───│─C─│───│─D─│───│─E─│───│───│─G─│

         [1]                ♭3          4           5                 ♭7
          A     B♭    B     C     C♯    D     D♯    E     F     F♯    G     G♯

    Parameters
    ----------
    study : Study, optional
        A study to share with other explorers; a new one if not given.
    **choices
        Traits of the study, e.g. ``key="A"``, ``scale="minor pentatonic"``, ``compare="blues"``.

    Raises
    ------
    BadInput
        With the choice that can't be used.
    """

    _kind = "scale"


class PositionExplorer(_Explorer):
    """A scale cut up along the neck: one position stands out, the others step back.

    ``PositionExplorer(key="A", scale="minor pentatonic", position=1)``: ``[A]`` is the tonic, a dot
    a note of other positions::

        A minor pentatonic, index finger at fret 2 (2 of 5)

           0   1   2   3   4   5   6   7   8   9  10  11  12
        E  · ║───│───│─G─│───│[A]│───│───│─C─│───│─·─│───│─·─│
        A  · ║───│───│─C─│───│─D─│───│─E─│───│───│─·─│───│─·─│
        D  · ║───│─E─│───│───│─G─│───│[A]│───│───│─·─│───│─·─│
        G  · ║───│[A]│───│───│─C─│───│─D─│───│─·─│───│───│─·─│

    Parameters
    ----------
    study : Study, optional
        A study to share with other explorers; a new one if not given.
    **choices
        Traits of the study, e.g. ``key="A"``, ``scale="minor pentatonic"``, ``position=1``.

    Raises
    ------
    BadInput
        With the choice that can't be used.
    """

    _kind = "positions"


class ShapeExplorer(_Explorer):
    """The shapes of a chord on a neck: leave a member out, choose a place, hear and compare them.

    ``ShapeExplorer(root="G", quality="7", instrument="guitar")``: its first shapes, fingers where
    they stop a string, degrees below::

        320001                320031                323003
              ○  ○  ○               ○  ○                     ○  ○
        ╒══╤══╤══╤══╤══╕      ╒══╤══╤══╤══╤══╕      ╒══╤══╤══╤══╤══╕
        │  │  │  │  │  1      │  │  │  │  │  1      │  │  │  │  │  │
        ├──┼──┼──┼──┼──┤      ├──┼──┼──┼──┼──┤      ├──┼──┼──┼──┼──┤
        │  2  │  │  │  │      │  2  │  │  │  │      │  1  │  │  │  │
        ├──┼──┼──┼──┼──┤      ├──┼──┼──┼──┼──┤      ├──┼──┼──┼──┼──┤
        3  │  │  │  │  │      3  │  │  │  4  │      2  │  3  │  │  4
        └──┴──┴──┴──┴──┘      └──┴──┴──┴──┴──┘      └──┴──┴──┴──┴──┘
        1  3  5  1  3  ♭7     1  3  5  1  5  ♭7     1  3  ♭7 1  3  1

    Parameters
    ----------
    study : Study, optional
        A study to share with other explorers; a new one if not given.
    **choices
        Traits of the study, e.g. ``root="G"``, ``quality="7"``, ``omit="3"``.

    Raises
    ------
    BadInput
        With the choice that can't be used.
    """

    _kind = "shapes"


class SequenceExplorer(_Explorer):
    """A scale in a sequence: threes, thirds, broken chords, in staff and tablature and on the neck.

    ``SequenceExplorer(key="A", scale="major pentatonic", figure="thirds")`` begins so, degrees
    below::

        A major pentatonic: thirds, up and back, eighths

           A
        E|-------------------------|----------------------2--|
        A|-------------------------|----2--0--4--2--7--4-----|
        D|----------2-----4--2--7--|-4-----------------------|
        G|-2--6--4-----6-----------|-------------------------|
           1  3  2  5  3  6  5  1    6  2  1  3  2  5  3  6
           1  &  2  &  3  &  4  &    1  &  2  &  3  &  4  &

    Parameters
    ----------
    study : Study, optional
        A study to share with other explorers; a new one if not given.
    **choices
        Traits of the study, e.g. ``key="A"``, ``scale="major"``, ``figure="thirds"``,
        ``rhythm="triplets"``.

    Raises
    ------
    BadInput
        With the choice that can't be used.
    """

    _kind = "sequences"


class LineExplorer(_Explorer):
    """Example solos over a progression, by level: each note can be asked why it is there.

    ``LineExplorer(key="A", progression="| I7 | IV7 |", level="3", number=1)``, below the
    degree of each note in its chord::

        | I7 | IV7 |

           A7                        D7
        E|-------------------------|-------------------------||
        A|-0-----------0--2--4--7--|-5-----------------------||
        D|----2--4--5--------------|-------------------------||
        G|-------------------------|-------------------------||
           1  5  6  b7 1  2  3  5    1
           1  &  2  &  3  &  4  &    1     2     3     4

    Parameters
    ----------
    study : Study, optional
        A study to share with other explorers; a new one if not given.
    **choices
        Traits of the study, e.g. ``key="A"``, ``progression="12-bar blues"``, ``level="3"``,
        ``number=4``.

    Raises
    ------
    BadInput
        With the choice that can't be used.
    """

    _kind = "lines"


def static_figure(study: Study, kind: Kind, necks: Sequence[EnsembleNeck] = ()) -> str:
    """What a notebook keeps of an explorer where no kernel runs, and what a page is made from.

    The choices are kept by name, so that a notebook stays small; the export adds the table.
    """
    picture, selection, offer = study.scene(kind), study.selection, study.offer
    # A page need not carry what this explorer has no menu for.
    unused = {
        plural: (getattr(selection, name),)
        for name, plural in OFFERED.items()
        if name not in MENUS[kind]
    }
    offer = replace(offer, **unused)
    if necks:
        played = (selection.instrument, *(neck.instrument for neck in necks))
        offer = replace(offer, instruments=tuple(dict.fromkeys(played)))
        alternatives = [neck["alt"] for neck in ensemble_scene(selection, necks)["necks"]]
    else:
        alternatives = [picture["alt"]["neck"]]
    payload = {
        "study": study.model_id,
        "kind": kind,
        "necks": [asdict(neck) for neck in necks],
        "selection": asdict(selection),
        "offer": asdict(offer),
    }
    items = [picture["sentence"], *alternatives]
    items += [shape["text"] for shape in picture.get("shapes", [])]
    items += [
        f"Bar {chord['bar']}: {chord['numeral']}, {chord['chord']}: {chord['short']}"
        for bar in picture["chart"]
        for chord in bar
    ]
    rows = "".join(f"<li>{html.escape(item)}</li>" for item in items)
    return (
        f'<figure class="theorykit"><figcaption>{html.escape(picture["heading"])}</figcaption>'
        f'<ul class="tk-fallback">{rows}</ul>'
        f'<script type="application/json">{script_json(payload)}</script></figure>'
    )


def script_json(data: Any) -> str:
    """JSON that can stand inside a script element."""
    text = json.dumps(data, ensure_ascii=False, separators=(",", ":"))
    return text.replace("<", "\\u003c")
