"""The page that students take home: an executed notebook as one file that needs no kernel.

An nbconvert exporter, so that ``jupyter nbconvert --to theorykit-lesson`` and JupyterLab's menu
have it. The page asks the network for nothing; a content policy in its head holds it to that.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Mapping
from functools import partial
from importlib.resources import files
from pathlib import Path
from typing import Any

import nbformat
from nbconvert.exporters import HTMLExporter
from nbconvert.preprocessors import ExecutePreprocessor
from pygments.formatters import HtmlFormatter
from traitlets import default
from traitlets.config import Config

from theorykit.errors import BadInput, TheoryKitError
from theorykit.export.parameters import set_parameters
from theorykit.files import whole_file
from theorykit.scene.atlas import Atlas, whole_atlas
from theorykit.scene.menus import MENU_WORDS, OFFERED, options
from theorykit.scene.packing import packed_menus, packed_sheets
from theorykit.scene.quiz_data import QuizChoice, quiz_data
from theorykit.scene.selection import Offer, Selection
from theorykit.scene.table import scene_table
from theorykit.widgets.bundle import host_module, style_source
from theorykit.widgets.explorer import script_json
from theorykit.widgets.figures import BOKEH_VERSION, bokeh_source, explorer_figures, roll_item
from theorykit.widgets.static_view import packed_text

#: Nothing may be fetched; what the page needs stands in it.
POLICY = (
    "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; "
    "img-src data: blob:; media-src data: blob:; font-src data:"
)

_FIGURE = re.compile(
    r'(<figure class="theorykit">.*?<script type="application/json">)(.*?)(</script></figure>)',
    re.DOTALL,
)
_VIEW = re.compile(r'<figure class="tk-view" data-view="(\w+)">')
_QUIZ = re.compile(
    r'(<figure class="theorykit-quiz">.*?<script type="application/json">)'
    r"(.*?)(</script></figure>)",
    re.DOTALL,
)
#: The kinds of explorers that show a chart.
_WITH_CHART = ("progression", "lines", "tunes")

_HEADING = re.compile(r"^#\s+(.+?)\s*#*\s*$", re.MULTILINE)
#: A link to a notebook of the same folder; its page will lie beside this one.
_LESSON_LINK = re.compile(r"(\]\([\w-]+)\.ipynb\)")


#: Told what is being done, and how much of it: done, of how many.
Report = Callable[[str, int, int], None]


class ExportError(TheoryKitError):
    """A notebook that can't be made into a page."""


class LessonExporter(HTMLExporter):
    """Executes a notebook and writes it as one page whose explorers work with no kernel."""

    export_from_notebook = "Lesson page (works offline)"

    #: Told how far the work is.
    report: Report = staticmethod(lambda _what, _done, _of: None)

    @default("template_name")
    def _template_name(self) -> str:
        return "theorykit-lesson"

    @default("extra_template_basedirs")
    def _template_folders(self) -> list[str]:
        return [str(files("theorykit.export") / "templates")]

    @property
    def default_config(self) -> Config:
        """Execute first, keep no widget state, and let ``text/html`` come before it."""
        config = Config(
            {
                "ExecutePreprocessor": {
                    "enabled": True,
                    "store_widget_state": False,
                    # A kernel that warns of its own settings would do so for every page.
                    "extra_arguments": ["--IPKernelApp.log_level=40"],
                },
                "HTMLExporter": {"embed_images": True},
                "NbConvertBase": {
                    "display_data_priority": [
                        "text/html",
                        "image/svg+xml",
                        "image/png",
                        "image/jpeg",
                        "text/markdown",
                        "text/plain",
                    ]
                },
            }
        )
        inherited = super().default_config.copy()
        inherited.merge(config)
        return inherited

    def _init_resources(self, resources: Any) -> Any:
        # The parent looks for the requirejs and widget manager addresses, which no page here uses.
        resources = super()._init_resources(resources)
        resources.setdefault("theorykit", {})
        return resources

    def _preprocess(self, nb: Any, resources: Any) -> Any:
        count = len(nb.cells)

        def told(cell_index: int, **_event: Any) -> None:
            self.report("Running the cells", cell_index + 1, count)

        for preprocessor in self._preprocessors:
            if isinstance(preprocessor, ExecutePreprocessor):
                preprocessor.on_cell_executed = told
        nb, resources = super()._preprocess(nb, resources)
        nb.metadata.pop("widgets", None)
        for cell in nb.cells:
            if cell.cell_type == "markdown":
                cell.source = _LESSON_LINK.sub(r"\1.html)", cell.source)
        payloads, views = list(_payloads(nb)), _views(nb)
        page = {
            "policy": POLICY,
            "title": _title(nb, resources),
            "style": _style(),
            "has_code": any(cell.cell_type == "code" for cell in nb.cells),
            "data": "",
            "module": "",
        }
        if payloads or views:
            offer = Offer((), (), (), (), ())
            reach: Atlas = {}
            music: Atlas = {}
            # As in a live notebook, all views of a study show what was chosen last.
            chosen = {}
            for payload in payloads:
                offer = offer.joined(_offer(payload))
                reach |= whole_atlas(
                    _offer(payload), {payload["kind"]}, partial(self.report, "Positions and shapes")
                )
                chosen[payload["study"]] = payload["selection"]
            for payload in payloads:
                selection = Selection(**chosen[payload["study"]])
                music |= packed_sheets(
                    _offer(payload), selection, payload["kind"], partial(self.report, "Music")
                )
            _renumber(nb, offer, chosen)
            page |= {
                "data": script_json(
                    {
                        "table": packed_text(scene_table(offer) if payloads else None),
                        "atlas": packed_text(reach),
                        "music": packed_text(music),
                        "figures": (explorer_figures() if payloads else {})
                        | (roll_item() if "solo" in views else {}),
                        "bokeh_version": BOKEH_VERSION,
                    }
                ),
                "bokeh": _inline(bokeh_source()),
            }
        quizzes = _pack_quizzes(nb, partial(self.report, "Quizzes"))
        if quizzes or payloads or views or _has_blanks(nb):
            page["module"] = _inline(host_module("page"))
        resources["theorykit"] = page
        return nb, resources


def _pack_quizzes(nb: Any, report: Callable[[int, int], None]) -> int:
    """Put the questions of every quiz into its figure; how many quizzes there are."""
    outputs = [output for output in _html_outputs(nb) if _QUIZ.search(output["data"]["text/html"])]

    def packed(match: re.Match[str]) -> str:
        choice = json.loads(match[2])
        data = quiz_data(QuizChoice(**choice | {"kinds": tuple(choice["kinds"])}))
        return match[1] + script_json({"packed": packed_text(data)}) + match[3]

    for number, output in enumerate(outputs, start=1):
        output["data"]["text/html"] = _QUIZ.sub(packed, output["data"]["text/html"])
        report(number, len(outputs))
    return len(outputs)


def _style() -> str:
    lesson = (files("theorykit.export") / "templates" / "lesson.css").read_text(encoding="utf-8")
    return lesson + style_source() + HtmlFormatter(style="default").get_style_defs(".highlight")


def _inline(script: str) -> str:
    """A script that no sequence inside it can end early."""
    return script.replace("</script", "<\\/script").replace("<!--", "<\\!--")


def _title(nb: Any, resources: Any) -> str:
    if nb.metadata.get("title"):
        return str(nb.metadata["title"])
    for cell in nb.cells:
        match = _HEADING.search(cell.source) if cell.cell_type == "markdown" else None
        if match:
            return re.sub(r"[*_`]", "", match[1])
    return str(resources.get("metadata", {}).get("name", "Lesson"))


def _html_outputs(nb: Any) -> Iterable[Any]:
    for cell in nb.cells:
        for output in cell.get("outputs", []):
            if "text/html" in output.get("data", {}):
                yield output


def _payloads(nb: Any) -> Iterable[dict[str, Any]]:
    for output in _html_outputs(nb):
        for match in _FIGURE.finditer(output["data"]["text/html"]):
            yield json.loads(match[2])


def _views(nb: Any) -> set[str]:
    """The kinds of views that bring their own data."""
    return {
        match[1]
        for output in _html_outputs(nb)
        for match in _VIEW.finditer(output["data"]["text/html"])
    }


def _has_blanks(nb: Any) -> bool:
    return any(
        '<figure class="theorykit-blank"' in output["data"]["text/html"]
        for output in _html_outputs(nb)
    )


def _offer(payload: dict[str, Any]) -> Offer:
    return Offer(**{name: tuple(values) for name, values in payload["offer"].items()})


def _renumber(nb: Any, offer: Offer, chosen: dict[str, dict[str, Any]]) -> None:
    """Turn every choice by name into its number in the page's one table."""
    for output in _html_outputs(nb):

        def numbered(match: re.Match[str]) -> str:
            payload = json.loads(match[2])
            payload["selection"] = chosen[payload["study"]]
            return match[1] + script_json(_numbered(payload, offer)) + match[3]

        output["data"]["text/html"] = _FIGURE.sub(numbered, output["data"]["text/html"])


def _numbered(payload: dict[str, Any], offer: Offer) -> dict[str, Any]:
    selection = payload["selection"]
    state = {name: value for name, value in selection.items() if name not in MENU_WORDS}
    for name in MENU_WORDS:
        state[f"{name}_index"] = options(offer, name).index(selection[name])
    menus = {
        name: [getattr(offer, plural).index(value) for value in payload["offer"][plural]]
        for name, plural in OFFERED.items()
    }
    own = packed_menus(_offer(payload), Selection(**selection), payload["kind"])
    for name, values in own.items():
        menus[name] = [options(offer, name).index(value) for value in values]
    return {
        "study": payload["study"],
        "kind": payload["kind"],
        "necks": payload["necks"],
        "state": state,
        "offer": menus,
    }


def export_notebook(
    notebook: Path,
    output: Path | None = None,
    report: Report | None = None,
    *,
    parameters: Mapping[str, object] | None = None,
) -> Path:
    """Execute a notebook and write its page.

    Parameters
    ----------
    notebook : Path
        Never changed.
    output : Path, optional
        Where the page goes; beside the notebook if not given. It is written whole or not at all.
    report : function, optional
        Told what is being done, how much is done, and of how much.
    parameters : dict, optional
        Values for variables of its cell tagged ``parameters``; see ``export.parameters``.

    Returns
    -------
    Path
        The page.

    Raises
    ------
    ExportError
        If the notebook can't be read, or a cell of it fails.
    BadInput
        If it has no such parameter.
    """
    _check_notebook(notebook)
    target = output or notebook.with_suffix(".html")
    if not target.parent.is_dir():
        raise ExportError(f"output '{target}': its folder does not exist")
    exporter = LessonExporter()
    if report:
        exporter.report = report
    try:
        lesson = nbformat.read(notebook, as_version=4)
        set_parameters(lesson, parameters or {})
        # What from_filename would find out; the cells run in the notebook's own folder.
        about = {"name": notebook.stem, "path": str(notebook.parent)}
        body, _ = exporter.from_notebook_node(lesson, {"metadata": about})
    except BadInput:
        raise
    except Exception as error:
        raise ExportError(f"notebook '{notebook}': {_last_line(error)}") from error
    with whole_file(target) as file:
        file.write(body.encode())
    return target


def lesson_selection(notebook: Path) -> tuple[str, Selection]:
    """Execute a notebook; its title, and what the study of its first chart holds in the end.

    Where no explorer shows a chart, it is the first study of all.

    Parameters
    ----------
    notebook : Path
        Never changed.

    Raises
    ------
    ExportError
        If the notebook can't be read, a cell of it fails, or it has no explorer.
    """
    _check_notebook(notebook)
    try:
        nb = nbformat.read(notebook, as_version=4)
        where = {"metadata": {"path": str(notebook.parent), "name": notebook.stem}}
        nb, resources = ExecutePreprocessor(store_widget_state=False).preprocess(nb, where)
    except Exception as error:
        raise ExportError(f"notebook '{notebook}': {_last_line(error)}") from error
    payloads = list(_payloads(nb))
    if not payloads:
        raise ExportError(f"notebook '{notebook}': no explorer in it, so nothing is chosen")
    first = next((each for each in payloads if each["kind"] in _WITH_CHART), payloads[0])
    # All views of a study show what was chosen last.
    last = [each for each in payloads if each["study"] == first["study"]][-1]
    return _title(nb, resources), Selection(**last["selection"])


def _check_notebook(notebook: Path) -> None:
    if not notebook.is_file():
        raise ExportError(f"notebook '{notebook}': no such file")


def _last_line(error: Exception) -> str:
    """What went wrong in one line: an error inside a cell comes with its whole traceback."""
    plain = re.sub(r"\x1b\[[0-9;]*m", "", str(error))
    lines = [line for line in plain.splitlines() if line.strip()]
    return lines[-1].strip() if lines else type(error).__name__
