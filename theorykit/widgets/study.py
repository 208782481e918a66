"""The study: the one piece of state that selectors write and views read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, fields
from pathlib import Path
from typing import Any

from ipywidgets import Widget
from traitlets import Bool, Dict, Int, Unicode, observe, validate

from theorykit.scene.atlas import ENGRAVED, Atlas, atlas_of
from theorykit.scene.harmony import Kind
from theorykit.scene.menus import MENU_WORDS, options
from theorykit.scene.scene import scene
from theorykit.scene.selection import (
    LEVEL_NAMES,
    OMISSIONS,
    PATTERNS,
    PLACES,
    WAYS,
    Offer,
    Selection,
)
from theorykit.scene.selection_file import load_selection, save_selection
from theorykit.scene.table import scene_table
from theorykit.widgets.origin import origin_of

#: Choices that a menu holds by number; the others are as they are.
_MENUS = tuple(MENU_WORDS)
_INDICES = {f"{name}_index": name for name in _MENUS}
_PLAIN = tuple(field.name for field in fields(Selection) if field.name not in _MENUS)


class _Level(Unicode[str, str]):
    """A level by its name, or by its number as people say it."""

    def validate(self, obj: Any, value: Any) -> str:
        number = isinstance(value, int) and not isinstance(value, bool)
        return super().validate(obj, str(value) if number else value)


class Study(Widget):
    """What is chosen: key, scale, progression, style, instrument and so on.

    Set any of its traits by name, in any spelling that the command line takes too; two views of
    one study stay in step. A value that can't be used raises ``BadInput``, and the study stays as
    it was.

    Parameters
    ----------
    scales, progressions, styles, instruments, qualities : sequence of str, optional
        What the menus offer; everything in the catalogue if not given. A scale may be a formula
        (``"1 b3 4 5 b7"``), a progression a chart (``"| I | IV | V | I |"``), a quality whatever a
        chord symbol has after its root (``"m7b5"``).
    **choices
        Traits to begin with.

    Attributes
    ----------
    key : str
        A tonic such as ``"Bb"``; minor comes from the progression.
    scale, compare : str
        ``compare`` is empty when nothing is compared.
    progression, instrument : str
    style : str
        A name, or a file that holds a saved style (see ``theorykit.analysis.saved_style``).
    feel : str
        How the band plays.
    labels : {"notes", "degrees", "hidden"}
    capo : int
        The fret that the capo closes.
    tempo : int
        Beats a minute, 30 to 300.
    step : int
        Which chord of the chart is current, 0 for the first.
    thirds : bool
        False to leave the thirds out of the chords.
    comp_held : bool
        True to have the chords played as the instrument holds them.
    follow : bool
        True to show the scale that is advised instead of the one that is held.
    left_handed, fingers : bool
        True to see the neck as a left-handed player does, and to write fingers on its marks.
    pattern : str
        How a scale is cut up along the neck: into positions, 2 or 3 notes a string.
    position : int
        Which position stands out, 0 for the first, -1 for none.
    root, quality : str
        The chord whose shapes are shown.
    omit : {"", "3", "5", "1"}
        The member that is left out of its shapes.
    place : str
        Where on the neck they lie.
    shape, beside : int
        Which shape is shown, and which it is compared with, -1 for none.

    figure, direction, rhythm : str
        What a sequence is made of.
    level : str
        Of a line, ``"1"`` to ``"4"``.
    grit : {"plain", "some", "half and half", "gritty"}
        How much of the blues scale a line of level 4 has.
    number, kept : int
        Which line is shown, and which was kept to compare it with, -1 for none.
    note : int
        Which of its notes is asked about, -1 for none.
    tune : str
        A tune as text of ABC; `open_tune` reads a file and sets its key and chart too.

    Examples
    --------
    >>> study = Study(key="A", scale="minor blues", progression="1 4 5")
    >>> study.scale, study.progression
    ('blues', '| I | IV | V |')
    """

    key = Unicode("G")
    scale = Unicode("minor pentatonic")
    compare = Unicode("")
    progression = Unicode("12-bar blues")
    style = Unicode("bluegrass")
    feel = Unicode("bluegrass")
    instrument = Unicode("mandolin")
    labels = Unicode("notes")
    pattern = Unicode(PATTERNS[0])
    root = Unicode("G")
    quality = Unicode("")
    omit = Unicode(OMISSIONS[0])
    place = Unicode(PLACES[0])
    figure = Unicode("threes")
    direction = Unicode(WAYS[0])
    rhythm = Unicode("eighths")
    level = _Level(LEVEL_NAMES[1])
    grit = Unicode("some")
    capo = Int(0).tag(sync=True)
    tempo = Int(96).tag(sync=True)
    step = Int(0).tag(sync=True)
    thirds = Bool(True).tag(sync=True)
    comp_held = Bool(False).tag(sync=True)
    follow = Bool(False).tag(sync=True)
    left_handed = Bool(False).tag(sync=True)
    fingers = Bool(False).tag(sync=True)
    position = Int(0).tag(sync=True)
    shape = Int(0).tag(sync=True)
    beside = Int(-1).tag(sync=True)
    number = Int(0).tag(sync=True)
    kept = Int(-1).tag(sync=True)
    note = Int(-1).tag(sync=True)
    tune = Unicode("").tag(sync=True)

    key_index = Int(0).tag(sync=True)
    scale_index = Int(0).tag(sync=True)
    compare_index = Int(0).tag(sync=True)
    progression_index = Int(0).tag(sync=True)
    style_index = Int(0).tag(sync=True)
    feel_index = Int(0).tag(sync=True)
    instrument_index = Int(0).tag(sync=True)
    labels_index = Int(0).tag(sync=True)
    pattern_index = Int(0).tag(sync=True)
    root_index = Int(0).tag(sync=True)
    quality_index = Int(0).tag(sync=True)
    omit_index = Int(0).tag(sync=True)
    place_index = Int(0).tag(sync=True)
    figure_index = Int(0).tag(sync=True)
    direction_index = Int(0).tag(sync=True)
    rhythm_index = Int(0).tag(sync=True)
    level_index = Int(0).tag(sync=True)
    grit_index = Int(0).tag(sync=True)
    #: The name by which a notebook keeps what is chosen, and whether anything was chosen since the
    #: study was made.
    origin = Unicode("").tag(sync=True)
    touched = Bool(False).tag(sync=True)
    table = Dict().tag(sync=True)
    atlas = Dict().tag(sync=True)

    def __init__(
        self,
        *,
        scales: Sequence[str] | None = None,
        progressions: Sequence[str] | None = None,
        styles: Sequence[str] | None = None,
        instruments: Sequence[str] | None = None,
        qualities: Sequence[str] | None = None,
        **choices: Any,
    ) -> None:
        given = {
            "scales": scales,
            "progressions": progressions,
            "styles": styles,
            "instruments": instruments,
            "qualities": qualities,
        }
        begun = {
            field: named[0]
            for field, named in (
                ("scale", scales),
                ("progression", progressions),
                ("style", styles),
                ("instrument", instruments),
                ("quality", qualities),
            )
            if named and field not in choices
        }
        selection = Selection.of(**begun, **choices)
        offer = Offer(
            **{
                name: _proper_names(name, values)
                for name, values in given.items()
                if values is not None
            }
        )
        self._offer = offer.including(selection)
        state = {name: getattr(selection, name) for name in (*_MENUS, *_PLAIN)}
        indices = {f"{name}_index": self.options(name).index(state[name]) for name in _MENUS}
        self._kinds: set[Kind] = set()
        self._begun = False
        origin = origin_of((selection, self._offer))
        super().__init__(table=scene_table(self._offer), origin=origin, **state, **indices)
        self._begun = True

    @property
    def selection(self) -> Selection:
        """Every choice as one frozen value."""
        return Selection(**{name: getattr(self, name) for name in (*_MENUS, *_PLAIN)})

    @property
    def offer(self) -> Offer:
        """What the menus offer."""
        return self._offer

    def save(self, path: str | Path) -> Path:
        """Keep every choice in a JSON file, written whole or not at all."""
        return save_selection(self.selection, path)

    @classmethod
    def load(cls, path: str | Path) -> Study:
        """A study that begins with the choices that ``save`` kept.

        Raises
        ------
        BadInput
            If the file can't be read or holds anything else.
        """
        return cls(**asdict(load_selection(path)))

    def scene(self, kind: Kind = "progression") -> dict[str, Any]:
        """What the views show now, as plain data; see ``theorykit.scene.scene``."""
        return scene(self.selection, kind)

    def options(self, name: str) -> tuple[str, ...]:
        """What a menu offers, by the trait that it sets; the empty text compares nothing."""
        return options(self._offer, name)

    def offer_instruments(self, names: Sequence[str]) -> None:
        """Have the table hold these necks too, by their proper names."""
        self._widen(self._offer.joined(Offer((), (), (), tuple(names), ())))

    def chart_positions_and_shapes(self, kind: Kind) -> None:
        """From now on, keep the atlas ready for what an explorer of this kind shows."""
        self._kinds.add(kind)
        self._fill_atlas()

    def _fill_atlas(self) -> None:
        found: Atlas = {}
        for kind in self._kinds:
            found |= atlas_of(self.selection, kind)
        if found.keys() - self.atlas.keys():
            # Engravings are large, and soon made again.
            kept = {
                name: codes for name, codes in self.atlas.items() if not name.startswith(ENGRAVED)
            }
            self.atlas = kept | found

    @validate(*_MENUS, *_PLAIN)
    def _check(self, proposal: Any) -> Any:
        name, value = proposal["trait"].name, proposal["value"]
        return getattr(self.selection.changed(**{name: value}), name)

    @observe(*_MENUS)
    def _follow_name(self, change: Any) -> None:
        name, value = change["name"], change["new"]
        with self.hold_sync():
            self._widen(self._offer.including(self.selection))
            setattr(self, f"{name}_index", self.options(name).index(value))
            self._fill_atlas()
            if name == "progression" and self.step >= len(self.selection.chart.chords):
                self.step = 0

    def _widen(self, offer: Offer) -> None:
        if offer != self._offer:
            self._offer = offer
            self.table = scene_table(offer)

    @observe(*_MENUS, *_PLAIN)
    def _touch(self, _change: Any) -> None:
        if self._begun:
            self.touched = True

    @observe("capo", "comp_held", "number", "kept", "tune")
    def _follow_hold(self, _change: Any) -> None:
        self._fill_atlas()

    @observe(*_INDICES)
    def _follow_index(self, change: Any) -> None:
        name, options = _INDICES[change["name"]], self.options(_INDICES[change["name"]])
        if 0 <= change["new"] < len(options):
            setattr(self, name, options[change["new"]])

    def __repr__(self) -> str:
        chosen = ", ".join(f"{name}={getattr(self, name)!r}" for name in (*_MENUS, *_PLAIN))
        return f"Study({chosen})"


def _proper_names(name: str, values: Sequence[str]) -> tuple[str, ...]:
    """The values of one menu by their proper names, each once."""
    field = "quality" if name == "qualities" else name.removesuffix("s")
    proper = (getattr(Selection.of(**{field: value}), field) for value in values)
    return tuple(dict.fromkeys(proper))
