"""The explorers in a running JupyterLab under axe-core's rules."""

from __future__ import annotations

import pytest
from accessibility import violations
from hosts import Lab
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser

#: Lab's own page is its makers'; what a cell shows is ours.
OURS = ".jp-OutputArea-output"
SETUP = """import theorykit as tk
from ipywidgets import VBox
study = tk.Study(key="A", scale="blues", quality="7")
take = tk.line_over("12-bar blues", "A", level=3, instrument="mandolin").score
TUNE = b"X:1\\nT:Steps\\nM:4/4\\nL:1/4\\nK:D\\nD F A F|G B d B|A c e c|d A F D|]"
"""
VIEWS = {
    "over the changes": """VBox([tk.ProgressionExplorer(study), tk.EnsembleExplorer(study),
    tk.ScaleExplorer(study, compare="major blues")])""",
    "on the neck": """VBox([tk.PositionExplorer(study), tk.ShapeExplorer(study),
    tk.BlankNeck(instrument="guitar")])""",
    "written": """VBox([tk.SequenceExplorer(study), tk.LineExplorer(study), tk.TuneExplorer(TUNE)])""",
    "asked": """VBox([tk.QuizExplorer(study),
    tk.SoloExplorer(take, progression="12-bar blues", key="A", instrument="mandolin")])""",
}


@pytest.mark.parametrize("views", VIEWS)
def test_no_explorer_has_a_violation(page: Page, lab: Lab, views: str) -> None:
    page.set_viewport_size({"width": 1280, "height": 2400})
    name = f"axe-{views.replace(' ', '-')}.ipynb"
    lab.open(page, lab.add(name, SETUP + VIEWS[views]))
    lab.run_all(page)
    count = VIEWS[views].count("tk.")
    expect(page.locator(f"{OURS} [data-ready=true]")).to_have_count(count, timeout=120_000)
    assert violations(page, OURS) == []
    page.evaluate("() => window.jupyterapp.shell.currentWidget.sessionContext.shutdown()")
