"""A checked solo in a notebook: a file is dropped, and what it does over its chords is shown."""

from __future__ import annotations

import html
from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

from ipywidgets import HTML, Box, FileUpload, Layout, VBox
from traitlets import Dict, Int

from theorykit.errors import BadInput, TheoryKitError
from theorykit.instruments.catalogue import find_instrument
from theorykit.listening.take_file import TAKE_SUFFIXES, read_take
from theorykit.review.review import Review
from theorykit.review.solo import check_solo
from theorykit.scene.solo_scene import Earlier, solo_scene
from theorykit.score.score import Score
from theorykit.widgets.figures import roll_item
from theorykit.widgets.host import HostView
from theorykit.widgets.selectors import alert, menu_rows
from theorykit.widgets.static_view import static_view
from theorykit.widgets.study import Study

#: The menus that a take is checked under.
SOLO_MENUS = ("key", "progression", "style", "feel", "instrument")
#: With another one of these the take is another solo, or judged by another's taste.
_JUDGED_BY = ("key", "progression", "style")
#: The band behind a take: from this swing on, to 1, a shuffle (stipulated).
_STRAIGHT, _SWINGING, _SWUNG = "bluegrass", "shuffle", 1.4


class _SoloHost(HostView):
    """The drawn part."""

    solo = Dict().tag(sync=True)
    note = Int(-1).tag(sync=True)
    step = Int(0).tag(sync=True)
    tempo = Int(96).tag(sync=True)


class SoloExplorer(VBox):
    """A take checked against its chords: report, staff, piano roll and the band to play it with.

    The take of the example below as a piano roll, each note with its degree in the chord::

        I-IV-V vamp in G major, 4 bars: 100 of 100.
            │ G          │ C          │ D          │ G          │
        E5  │            │ 3          │            │            │
        D5  │ 5        5 │            │            │            │
        C5  │            │    1     1 │            │            │
        B4  │       3    │            │            │ 3──────────│
        A4  │            │            │ 5        5 │            │
        G4  │    1       │       5    │            │            │
        F♯4 │            │            │    3  3    │            │

    Parameters
    ----------
    take : str, Path or Score, optional
        A file of MIDI, MusicXML or ABC, or the recording of one player. Without one, a file is
        chosen in the notebook.
    progression : str
        The name of a form, or a chart.
    key, style, instrument, feel : str
    earlier : Review or sequence of Review, optional
        Earlier takes of the same solo, the oldest first; of a take in a practice log, its
        ``"review"``. A take that is replaced by another one
        joins them.
    tempo, count_in, choruses : optional
        As ``check_solo`` takes them.
    study : Study, optional
        A study to share with other explorers; its choices are then those that are not given.

    Attributes
    ----------
    review : Review or None
    scene : dict
        What is shown, as plain data; empty without a take.

    Raises
    ------
    BadInput
        With the choice that can't be used, or if the take has no notes.
    TuneError
        If the file can't be read.

    Examples
    --------
    >>> from theorykit.practice.line import line_over
    >>> line = line_over("I-IV-V vamp", "G", level=1, instrument="mandolin", seed=3)
    >>> shown = SoloExplorer(line.score, "I-IV-V vamp", key="G")
    >>> shown.review.score
    100
    """

    def __init__(
        self,
        take: str | Path | Score | None = None,
        progression: str | None = None,
        *,
        key: str | None = None,
        style: str | None = None,
        instrument: str | None = None,
        feel: str | None = None,
        earlier: Earlier | Sequence[Earlier] | None = None,
        tempo: float | None = None,
        count_in: Fraction | int | None = None,
        choruses: int | None = None,
        study: Study | None = None,
    ) -> None:
        given = {
            "key": key,
            "progression": progression,
            "style": style,
            "instrument": instrument,
            "feel": feel,
        }
        choices = {name: value for name, value in given.items() if value is not None}
        self.study = Study(**choices) if study is None else study
        if study is not None:
            for name, value in choices.items():
                setattr(study, name, value)
        self._options: dict[str, Any] = {
            "tempo": tempo,
            "count_in": count_in,
            "choruses": choruses,
        }
        # Until somebody chooses one, the band is one that swings if the player does.
        self._own_feel = feel is not None or study is not None
        self._earlier = _reviews(earlier)
        self._suiting = False
        self._score: Score | None = None
        self._title = ""
        self._heard = ""
        self.review: Review | None = None
        self._view = _SoloHost(kind="solo", figures=roll_item())
        self._message = HTML()
        self._upload = FileUpload(
            accept=",".join(TAKE_SUFFIXES),
            multiple=False,
            description="Choose a take",
            layout=Layout(width="11em"),
        )
        self._upload.tooltip = "Choose the file of a take"
        if take is not None:
            self._take(*self._read(take))
        self._upload.observe(self._uploaded, "value")
        self.study.observe(self._chosen, list(SOLO_MENUS))
        kinds = HTML("MIDI, MusicXML, ABC, or a recording of one player (WAV, FLAC, MP3)")
        chooser = Box([self._upload, kinds], layout=Layout(margin="2px 2px 6px", grid_gap="10px"))
        self._tell_heard()
        super().__init__([chooser, menu_rows(self.study, SOLO_MENUS), self._message, self._view])

    @property
    def scene(self) -> dict[str, Any]:
        """What is shown, as plain data; empty without a take."""
        return dict(self._view.solo)

    def _uploaded(self, change: Any) -> None:
        if not change["new"]:
            return
        (file,) = change["new"]
        name, data = str(file["name"]), bytes(file["content"])

        def take() -> None:
            self._take(self._read_file(data, name), name)

        self._try(take, name)

    def _read(self, take: object) -> tuple[Score, str]:
        """A take and what it is called."""
        if isinstance(take, Score):
            return take, take.title
        if isinstance(take, (str, Path)):
            return self._read_file(take), Path(take).name
        raise BadInput("take", take, "is no take", accepted="the path of a file, or a Score")

    def _read_file(self, source: str | Path | bytes, name: str | None = None) -> Score:
        """The notes of a file; of a recording, what was heard is told above the report."""
        choices = self.study.selection
        score, self._heard = read_take(
            source,
            name=name,
            tempo=self._options["tempo"],
            instrument=choices.neck,
            meter=choices.chart.meter,
            key=choices.key,
        )
        return score

    def _chosen(self, change: Any) -> None:
        if change["name"] == "feel":
            self._own_feel = self._own_feel or not self._suiting
        if self._score is None or self._suiting:
            return
        if change["name"] in _JUDGED_BY:
            # Takes are compared over one chart.
            self._try(self._check_again, self._title)
        else:
            self._try(self._paint, self._title)

    def _check_again(self) -> None:
        assert self._score is not None
        self._take(self._score, self._title, again=True)

    def _take(self, score: Score, title: str, *, again: bool = False) -> None:
        """Check a take, and show it; whatever fails leaves the last good view as it is."""
        choices = self.study.selection
        review = check_solo(score, choices.chart, choices.key, style=choices.taste, **self._options)
        earlier = self._earlier
        if again:
            earlier = tuple(each for each in earlier if _comparable(each, review))
        elif self.review is not None and _comparable(self.review, review):
            earlier = (*earlier, self.review)
        if not self._own_feel and not again:
            self._suit_band(review)
        scene = self._scene(review, earlier, title)
        self._score, self._title = score, title
        self.review, self._earlier = review, earlier
        with self._view.hold_sync():
            self._view.note = -1
            if not again:
                self._view.step = 0
                self._view.tempo = scene["tempo"]
            self._view.step = min(self._view.step, len(scene["band"]["chords"]) - 1)
            self._view.solo = scene

    def _suit_band(self, review: Review) -> None:
        swing = review.timing.swing if review.timing is not None else None
        self._suiting = True
        self.study.feel = _SWINGING if swing is not None and swing >= _SWUNG else _STRAIGHT
        self._suiting = False

    def _paint(self) -> None:
        assert self.review is not None
        self._view.solo = self._scene(self.review, self._earlier, self._title)

    def _scene(self, review: Review, earlier: Sequence[Earlier], title: str) -> dict[str, Any]:
        instrument = find_instrument(self.study.instrument)
        return solo_scene(review, instrument, feel=self.study.feel, earlier=earlier, title=title)

    def _try(self, action: Any, name: str) -> None:
        """Do it, or say in the notebook why not: an error in a callback would not be seen."""
        try:
            action()
        except TheoryKitError as error:
            self._message.value = alert(f"{name}: {error}" if name else str(error))
        else:
            self._tell_heard()

    def _tell_heard(self) -> None:
        said = f"<p role='status' style='margin:2px 0'>{html.escape(self._heard)}</p>"
        self._message.value = said if self._heard else ""

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        bundle = super()._repr_mimebundle_(**kwargs)
        bundle["text/html"] = self._static()
        return bundle

    def _static(self) -> str:
        scene = self.scene
        title = scene.get("heading", "A solo, checked")
        words = ["No take was chosen: open the notebook and choose a file."]
        if scene:
            words = [*scene["report"]["praise"], *scene["report"]["tasks"]]
        state = {"solo": scene, "note": -1, "step": 0, "tempo": self._view.tempo}
        return static_view("solo", title, words, state)


def _reviews(earlier: Earlier | Sequence[Earlier] | None) -> tuple[Earlier, ...]:
    if earlier is None:
        return ()
    given = (earlier,) if isinstance(earlier, (Review, Mapping)) else tuple(earlier)
    for each in given:
        if not (isinstance(each, Review) or (isinstance(each, Mapping) and "score" in each)):
            raise BadInput("earlier take", each, "is no review", accepted="what check_solo gives")
    return given


def _comparable(one: Earlier, other: Review) -> bool:
    """Whether two takes are of one solo: over the same chords, once or more often."""
    if not isinstance(one, Review):
        return (one.get("chart"), one.get("key")) == (other.chart.title, str(other.chart.key))
    charts = [
        replace(each.chart, slots=(), bars=(), chords=(), keys=(), title="")
        for each in (one, other)
    ]
    rounds = [
        each.chart.chords[: len(each.chart.chords) // each.take.choruses] for each in (one, other)
    ]
    return charts[0] == charts[1] and rounds[0] == rounds[1]
