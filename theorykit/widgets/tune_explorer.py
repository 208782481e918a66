"""An explorer of a tune from a file: its key and chords proposed, for the player to change."""

from __future__ import annotations

import html
from dataclasses import replace
from pathlib import Path
from typing import Any

from ipywidgets import HTML, Box, Button, Combobox, Dropdown, FileUpload, Layout, VBox

from theorykit.errors import BadInput, TheoryKitError, TuneError
from theorykit.scene.tune_sheet import tune_text
from theorykit.score.score import Score
from theorykit.theory.key import usual_tonic
from theorykit.tune.reading import SUFFIXES, read_tune
from theorykit.tune.study import TuneStudy, tune_study
from theorykit.widgets.explorer import _Explorer
from theorykit.widgets.selectors import labelled
from theorykit.widgets.study import Study

#: The scale that a tune's mode is made of.
_SCALES = {
    "major": "major",
    "minor": "natural minor",
    "mixolydian": "Mixolydian",
    "dorian": "Dorian",
}

#: So many keys are offered.
_KEYS = 6


def open_tune(
    study: Study,
    source: str | Path | bytes | Score,
    *,
    name: str | None = None,
    key: str | None = None,
) -> TuneStudy:
    r"""Have a study take a tune, with its key, its scale, its chart and its tempo.

    Parameters
    ----------
    study : Study
    source : str, Path, bytes or Score
        A file of MusicXML, ABC or MIDI, what is in one, or a score.
    name : str, optional
        What the file is called, where ``source`` is bytes.
    key : str, optional
        Its key, if not the one that is proposed.

    Raises
    ------
    TuneError
        If it can't be read; the study stays as it was.
    BadInput
        If the key is none, or the score has no notes; the study stays as it was.

    Examples
    --------
    >>> study = Study(instrument="fiddle")
    >>> tune = open_tune(study, b"X:1\nT:Steps\nM:4/4\nL:1/4\nK:G\nG A B c|F A d c|G4|]")
    >>> study.key, study.progression, tune.keys[0].name
    ('G', '| I | V | I |', 'G major')
    """
    score = source if isinstance(source, Score) else read_tune(source, name=name)
    found = tune_study(score, key)
    take_tune(study, found)
    return found


def take_tune(study: Study, found: TuneStudy) -> None:
    """Set the traits of a study by what a tune was found to be."""
    text = tune_text(found)
    # Numerals serve every key; only where they do not tell the mode, the chart must.
    bare = replace(found.progression, key=None)
    chart = bare if bare.mode == found.progression.mode else found.progression
    tempo = min(max(round(found.tempo), 30), 300)
    with study.hold_sync():
        # The chart comes before the tune that lies over it.
        study.progression = str(chart)
        study.key = str(usual_tonic(found.key.tonic))
        study.tune = text
        study.scale = _SCALES[found.mode]
        study.tempo = tempo
        study.number, study.kept, study.note, study.step = 0, -1, -1, 0


class TuneExplorer(_Explorer):
    """A tune from a file, in any key and on any neck: chart, advice, notation, sound, variations.

    Without a kernel it shows the tune that was open last; another file needs the notebook.

    ``TuneExplorer("steps.abc", instrument="mandolin")``, above the chords that it proposes::

        Steps

           G                         G
        E|-------------------------|-------------------------||
        A|-------0-----2-----5-----|-7-----5-----2-----------||
        D|-5-----------------------|-------------------5-----||
        G|-------------------------|-------------------------||
           1     2     3     5       6     5     3     1
           1     2     3     4       1     2     3     4

    Parameters
    ----------
    source : str, Path, bytes or Score, optional
        A file of MusicXML, ABC or MIDI, what is in one, or a score. A button takes others.
    study : Study, optional
        A study to share with other explorers; a new one if not given.
    key : str, optional
        The tune's key, if you know better than what would be proposed.
    **choices
        Traits of the study, e.g. ``instrument="mandolin"``.

    Attributes
    ----------
    tune : TuneStudy or None
        What the tune was found to be: key with its evidence, chart, chords proposed or not.

    Raises
    ------
    TuneError
        If the file can't be read.
    BadInput
        With the choice that can't be used.
    """

    _kind = "tunes"

    def __init__(
        self,
        source: str | Path | bytes | Score | None = None,
        study: Study | None = None,
        *,
        key: str | None = None,
        **choices: Any,
    ) -> None:
        self.tune: TuneStudy | None = None
        study = Study(**choices) if study is None else study
        if source is not None:
            self.tune = open_tune(study, source, key=key)
        super().__init__(study, **choices)
        self.children: Any = [self._desk(), *self.children]
        self._show()

    def read(self, source: str | Path | bytes | Score, *, key: str | None = None) -> TuneStudy:
        """Another tune in the same view; see `open_tune`."""
        self.tune = open_tune(self.study, source, key=key)
        self._show()
        return self.tune

    def _desk(self) -> VBox:
        """The upload, the key and the chords: what needs a kernel."""
        self._upload = FileUpload(
            accept=",".join(SUFFIXES), multiple=False, description="Open a tune"
        )
        self._upload.add_class("tk-upload")
        self._upload.observe(self._take_upload, "value")
        self._keys = Dropdown(layout=Layout(width="13em"))
        self._keys.add_class("tk-tune-key")
        self._keys.observe(self._take_key, "value")
        self._bars = Dropdown(layout=Layout(width="6em"))
        self._bars.observe(self._show_chords, "value")
        self._chord = Combobox(layout=Layout(width="9em"), ensure_option=False)
        self._chord.add_class("tk-tune-chord")
        change = Button(description="Change the chord", layout=Layout(width="auto"))
        change.on_click(lambda _button: self._try(self._change_chord))
        self._back = Button(description="Take it back", disabled=True, layout=Layout(width="auto"))
        self._back.on_click(lambda _button: self._undo())
        self._told = HTML()
        self._message = HTML()
        self._history: list[TuneStudy] = []
        row = Box(
            [
                labelled("A file: MusicXML, ABC, MIDI", self._upload),
                labelled("The tune is in", self._keys),
                labelled("Bar", self._bars),
                labelled("Chord, as a numeral", self._chord),
                labelled(" ", change),
                labelled(" ", self._back),
            ],
            layout=Layout(display="flex", flex_flow="row wrap", grid_gap="4px 14px"),
        )
        return VBox([row, self._told, self._message])

    def _show(self) -> None:
        """Write the desk anew."""
        tune = self.tune
        self._back.disabled = not self._history
        if tune is None:
            return
        self._keys.unobserve(self._take_key, "value")
        named = {each.name: each for each in tune.keys[:_KEYS]}
        own = f"{tune.key.tonic} {tune.mode}"
        # The browser must see only the end of it: it answers new options with no choice at all.
        with self._keys.hold_sync():
            self._keys.options = [*named] if own in named else [own, *named]
            self._keys.value = own
        self._keys.observe(self._take_key, "value")
        count = len(tune.progression.bars)
        if len(self._bars.options) != count:
            with self._bars.hold_sync():
                self._bars.options = list(range(1, count + 1))
                self._bars.value = 1
        self._show_chords()
        why = named[own].why if own in named else f"{own}: as you say."
        self._told.value = (
            f"<p style='margin:2px 0'>{html.escape(why)} {html.escape(tune.remark)}</p>"
        )

    def _show_chords(self, _change: Any = None) -> None:
        """Offer what could stand in a bar, the proposal first."""
        if self.tune is None or self._bars.value is None:
            return
        bar = self._bars.value
        here = [str(placed.numeral) for placed in self.tune.progression.bars[bar - 1]]
        others: list[str] = []
        if self.tune.chords is not None:
            others = [
                str(other.numeral)
                for chord in self.tune.chords.chords
                if chord.bar == bar
                for other in chord.alternatives
            ]
        self._chord.options = tuple(dict.fromkeys([*here, *others]))
        self._chord.value = here[0]

    def _take_upload(self, _change: Any) -> None:
        if not self._upload.value:
            return
        (file,) = self._upload.value
        content, name = bytes(file["content"]), str(file["name"])
        self._try(lambda: self._take(tune_study(read_tune(content, name=name))))
        # The same file can be chosen again only if it is forgotten.
        self._upload.value = ()

    def _take_key(self, change: Any) -> None:
        tune = self.tune
        if tune is None:
            return
        chosen = next((each for each in tune.keys if each.name == change["new"]), None)
        if chosen is None:
            return
        # Chords that were proposed in the other key are not the tune's own.
        own = tune.chords is None
        self._try(
            lambda: self._take(tune_study(tune.score, chosen.key, mode=chosen.mode, own_chords=own))
        )

    def _change_chord(self) -> None:
        if self.tune is None:
            raise BadInput("tune", None, "none is open", accepted="a file")
        self._take(self.tune.with_chord(self._bars.value, self._chord.value.strip()))

    def _take(self, found: TuneStudy) -> None:
        take_tune(self.study, found)
        if self.tune is not None:
            self._history.append(self.tune)
        self.tune = found
        self._show()

    def _undo(self) -> None:
        if self._history:
            self.tune = self._history.pop()
            take_tune(self.study, self.tune)
            self._show()

    def _try(self, action: Any) -> None:
        """Do it, or say why not: what is shown stays."""
        try:
            action()
        except (TheoryKitError, TuneError) as error:
            self._message.value = (
                f'<p role="alert" style="color:#8a3c00;margin:2px 0">{html.escape(str(error))}</p>'
            )
            self._show()
        else:
            self._message.value = ""
