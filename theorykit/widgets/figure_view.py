"""A Bokeh figure as a view: live, and in a page with no kernel."""

from __future__ import annotations

from typing import Any

from bokeh.embed import json_item
from ipywidgets import VBox
from traitlets import Unicode

from theorykit.errors import BadInput
from theorykit.log.practice_log import PracticeLog
from theorykit.plots.progress import progress, progress_figure
from theorykit.plots.shelf import survey_bars, survey_figure
from theorykit.survey.survey import Survey
from theorykit.widgets.host import HostView
from theorykit.widgets.static_view import static_view


class _FigureHost(HostView):
    """The drawn part."""

    words = Unicode().tag(sync=True)


class FigureView(VBox):
    """A Bokeh figure with its text alternative.

    Parameters
    ----------
    figure : bokeh.plotting.figure
    words : str
        What it shows, for those who can't see it.
    """

    def __init__(self, figure: Any, words: str) -> None:
        self.figure, self.words = figure, words
        self._item = json_item(figure)
        super().__init__([_FigureHost(kind="figure", figures={"figure": self._item}, words=words)])

    def _repr_mimebundle_(self, **kwargs: Any) -> Any:
        bundle = super()._repr_mimebundle_(**kwargs)
        data = {"figures": {"figure": self._item}, "words": self.words}
        bundle["text/html"] = static_view("figure", self.words, [self.words], data)
        return bundle


class ProgressPlot(FigureView):
    """Points by take over the days, with the minutes practised.

    Parameters
    ----------
    log : PracticeLog

    Attributes
    ----------
    figure : bokeh.plotting.figure
    words : str
        The text alternative.
    """

    def __init__(self, log: PracticeLog) -> None:
        if not isinstance(log, PracticeLog):
            raise BadInput("log", log, "is no practice log", accepted="a PracticeLog")
        found = progress(log)
        super().__init__(progress_figure(found), found.words)


def progress_plot(log: PracticeLog) -> ProgressPlot:
    """Points by take over the days, with the minutes practised, from a practice log.

    ``progress_plot(PracticeLog("mine.sqlite3"))`` of three takes on three days::

        points
        80 ┤                       ● 79
        70 ┤            ● 72
        60 ┤ ● 61
           └─┬──────────┬──────────┬────
             02 Mar     05 Mar     08 Mar
             15 min     20 min     25 min

    Raises
    ------
    BadInput
        If it is no log.

    Examples
    --------
    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     progress_plot(PracticeLog(f"{folder}/mine.sqlite3")).words
    'Progress: nothing is in the log yet.'
    """
    return ProgressPlot(log)


def survey_plot(survey: Survey, table: str = "scales") -> FigureView:
    """One table of a survey as bars: how many tunes each of its rows has.

    ``survey_plot(survey_folder("tunes"), "keys")`` of six tunes::

        Keys
        G major ████████████████████████ 3
        D major ████████████████ 2
        A major ████████ 1

    Parameters
    ----------
    survey : Survey
    table : {"scales", "keys", "meters", "outside", "progressions", "instruments"}

    Raises
    ------
    BadInput
        If it is no survey, or there is no such table.

    Examples
    --------
    >>> survey_plot(Survey((), ()), "keys").words
    'Keys: nothing was found.'
    """
    if not isinstance(survey, Survey):
        raise BadInput("survey", survey, "is no survey", accepted="what survey_folder gives")
    bars = survey_bars(survey, table)
    return FigureView(survey_figure(bars), bars.words)
