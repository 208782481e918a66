"""What a survey counts, drawn as bars."""

from __future__ import annotations

from pathlib import Path

import pytest
from bokeh.models import HBar

from theorykit.errors import BadInput
from theorykit.plots.shelf import TABLES, survey_bars, survey_figure
from theorykit.survey.corpus import corpus_folder
from theorykit.survey.survey import Survey, survey_folder
from theorykit.widgets.figure_view import survey_plot

# Made up: two tunes in G, one in D, one that goes below a mandolin's lowest string.
TUNES = (
    "X:1\nT:One\nM:4/4\nL:1/4\nK:G\nG A B d|e d B A|G4|]\n",
    "X:2\nT:Two\nM:3/4\nL:1/4\nK:G\nG B d|c A F|G3|]\n",
    "X:3\nT:Three\nM:4/4\nL:1/4\nK:D\nD,, F,, A,, D,|A,, F,, D,,2|]\n",
)


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Survey:
    folder = tmp_path_factory.mktemp("shelf")
    for number, text in enumerate(TUNES):
        (folder / f"{number}.abc").write_text(text, encoding="utf-8")
    return survey_folder(folder, jobs=1, instruments=("mandolin", "bass"))


def test_bars_have_the_counts(shelf: Survey) -> None:
    bars = survey_bars(shelf, "keys")
    assert (bars.names, bars.parts) == (("G major", "D major"), (("", (2, 1)),))
    assert bars.words == "Keys, in tunes: G major: 2; D major: 1."
    meters = survey_bars(shelf, "meters")
    assert dict(zip(meters.names, meters.parts[0][1], strict=True)) == {"4/4": 2, "3/4": 1}
    hands = survey_bars(shelf, "instruments")
    assert hands.names == ("mandolin", "bass")
    counts = {part: numbers[0] for part, numbers in hands.parts}
    # A mandolin has G4 to E5 of the first two in its first position; the third is two octaves down.
    assert counts["first position"] == 2


@pytest.mark.parametrize("table", TABLES)
def test_every_table_is_drawn(shelf: Survey, table: str) -> None:
    bars = survey_bars(shelf, table)
    plot = survey_figure(bars)
    drawn = [each for each in plot.renderers if isinstance(each.glyph, HBar)]
    assert len(drawn) == len(bars.parts)
    for renderer, (_, counts) in zip(drawn, bars.parts, strict=True):
        data = renderer.data_source.data
        widths = [right - left for left, right in zip(data["left"], data["right"], strict=True)]
        assert widths == list(counts)
    assert survey_plot(shelf, table).words == bars.words


def test_wrong_input(shelf: Survey) -> None:
    with pytest.raises(BadInput, match="did you mean 'scales'"):
        survey_plot(shelf, "scale")
    with pytest.raises(BadInput, match="is no survey"):
        survey_plot(shelf.rows)  # type: ignore[arg-type]


def test_the_corpus_is_found() -> None:
    folder = corpus_folder("ryansMammoth")
    # A collection of 1059 tunes (its preface; the files are counted where they lie).
    assert len(list(Path(folder).glob("*.abc"))) == 1059
    with pytest.raises(BadInput, match="did you mean 'ryansMammoth'"):
        corpus_folder("ryansmammoth")
