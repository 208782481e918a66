"""Takes and minutes of a practice log as a figure."""

from __future__ import annotations

import warnings
from datetime import datetime
from pathlib import Path

import pytest
from bokeh.core.validation import check_integrity
from bokeh.models import ColumnDataSource

from theorykit.errors import BadInput
from theorykit.log.practice_log import PracticeLog
from theorykit.plots.progress import progress, progress_figure
from theorykit.widgets.figure_view import progress_plot


@pytest.fixture
def log(tmp_path: Path) -> PracticeLog:
    kept = PracticeLog(tmp_path / "log.sqlite3")
    for day, score in ((2, 61.0), (5, 75.0), (9, 70.0)):
        kept.add_take({"score": score}, title="blues", at=datetime(2026, 3, day, 18).astimezone())
    kept.add_take({"score": 90.0}, title="vamp", at=datetime(2026, 3, 5, 19).astimezone())
    # What was kept by somebody else need not have points.
    kept.add_take({"remark": "fine"}, at=datetime(2026, 3, 6, 19).astimezone())
    for day, seconds in ((2, 600.0), (2, 300.0), (9, 1200.0)):
        kept.tick("thirds", seconds=seconds, at=datetime(2026, 3, day, 20).astimezone())
    return kept


def columns(figure: object, name: str) -> dict[str, list[object]]:
    (source,) = figure.select({"type": ColumnDataSource, "name": name})  # type: ignore[attr-defined]
    return dict(source.data)


def test_every_take_and_every_day_is_drawn(log: PracticeLog) -> None:
    figure = progress_figure(progress(log))
    assert columns(figure, "progress-takes-0")["y"] == [61, 75, 70]
    assert columns(figure, "progress-takes-1")["y"] == [90]
    assert columns(figure, "progress-minutes")["top"] == [15.0, 20.0]
    # Midday of 2 March 2026, in milliseconds from 1970.
    assert columns(figure, "progress-minutes")["x"][0] == 1_772_452_800_000


def test_the_same_is_told_in_words(log: PracticeLog) -> None:
    assert progress(log).words == (
        "Progress: blues: 3 takes, from 61 to 70 of 100, the best 75; vamp: one take, 90 of 100; "
        "practised 35 minutes on 2 days."
    )


def test_bokeh_finds_nothing_wrong(log: PracticeLog, tmp_path: Path) -> None:
    for each in (log, PracticeLog(tmp_path / "empty.sqlite3")):
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            issues = check_integrity(progress_figure(progress(each)).references())
        assert (issues.error, issues.warning) == ([], [])


def test_what_is_no_log_is_refused() -> None:
    with pytest.raises(BadInput, match="no practice log"):
        progress_plot("mine.sqlite3")  # type: ignore[arg-type]
