"""A notebook to begin a lesson with: the parts that each lesson has, and a tune's chart in it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from theorykit.errors import BadInput
from theorykit.files import whole_file
from theorykit.scene.selection import Selection

#: The parts of a lesson, in their order.
SECTIONS = (
    "Aim",
    "What you hear",
    "How it lies on your instrument",
    "Over the changes",
    "Practise it",
    "Check yourself",
    "Take it home",
)

_CARE = """\
**Take care.** Start quiet and rest often. Ringing ears, pain, tingling or numbness mean \
stop; for what stays, see a clinician. Your teacher knows your hands: what they say goes before \
this page."""

_QUESTION = """Answer aloud, then open.

<details>
<summary>1. Which notes does the first chord have?</summary>
<p>Write the answer here.</p>
</details>"""


def starter_notebook(
    title: str,
    *,
    key: str = "A",
    scale: str = "major pentatonic",
    progression: str = "| I | IV | V | I |",
    instrument: str = "mandolin",
) -> dict[str, Any]:
    r"""A lesson's first draft, as a notebook holds it.

    Parameters
    ----------
    title : str
    key, scale, progression, instrument : str
        What its pictures open with.

    Raises
    ------
    BadInput
        If there is no title, or with the choice that can't be used.

    Examples
    --------
    >>> cells = starter_notebook("Thirds in D", key="D")["cells"]
    >>> cells[0]["metadata"]["tags"], cells[1]["source"][0]
    (['parameters'], '# Thirds in D\n')
    """
    name = " ".join(title.split()) if isinstance(title, str) else ""
    if not name:
        raise BadInput("title", title, "there is none", accepted="a few words")
    found = Selection.of(key=key, scale=scale, progression=progression, instrument=instrument)
    chosen = {"key": found.key, "instrument": found.instrument, "level": 1, "left_handed": False}
    remark = "# What every picture opens with; a command can set these without a change here."
    parameters = "\n".join([remark, *(f"{name} = {_quoted(chosen[name])}" for name in chosen)])
    aim, hear, lies, over, practise, check, home = (f"## {section}\n" for section in SECTIONS)
    study = "key=key, instrument=instrument, left_handed=left_handed, level=level"
    what = f"scale={_quoted(found.scale)}, progression={_quoted(found.progression)}"
    scale_item = f'tk.RoutineItem("scale", {_quoted(found.scale)})'
    tune_item = f'tk.RoutineItem("progression", {_quoted(found.progression)})'
    cells = [
        _code("choices", parameters, tags=["parameters"]),
        _words("title", f"# {name}\n\nWho is there, and why this lesson?"),
        _code("setup", f"import theorykit as tk\n\nstudy = tk.Study({study})"),
        _words("aim", f"{aim}\nBy the end of the lesson you can\n\n- ...\n- ..."),
        _words("hear", f"{hear}\nWhat is new in it, and what to listen for."),
        _code("scale", f"tk.ScaleExplorer(study, {what})"),
        _words("lies", f"{lies}\nA hint for each instrument, and a common mistake."),
        _code("positions", 'tk.PositionExplorer(study, labels="degrees")'),
        _words("changes", f"{over}\nTap a bar: what to do there, and why?"),
        _code("chart", "tk.ProgressionExplorer(study)"),
        _words("practise", f"{practise}\nWhat to do at each step.\n\n{_CARE}"),
        _code("plan", f"items = [{scale_item}, {tune_item}]\n{_PLAN}"),
        _words("check", f"{check}\n{_QUESTION}"),
        _words("home", f"{home}\nWhat to bring next time."),
    ]
    kernel = {"display_name": "Python 3", "language": "python", "name": "python3"}
    metadata = {"kernelspec": kernel, "language_info": {"name": "python"}}
    return {"cells": cells, "metadata": metadata, "nbformat": 4, "nbformat_minor": 5}


_PLAN = "print(tk.routine(items, minutes=15, start=key, count=1).checklist())"


def write_starter(path: Path, notebook: dict[str, Any], *, force: bool = False) -> None:
    """Write a notebook whole, and over another one only if that is asked for.

    Raises
    ------
    BadInput
        If the file is there already, or can't be written.
    """
    if path.suffix != ".ipynb":
        raise BadInput("output", path, "not a notebook", accepted="a name that ends in .ipynb")
    if path.exists() and not force:
        raise BadInput("output", path, "is there already", accepted="a new name, or --force")
    text = json.dumps(notebook, ensure_ascii=False, indent=1) + "\n"
    with whole_file(path) as file:
        file.write(text.encode())


def _quoted(value: object) -> str:
    """A value as Python has it, texts in double quotes."""
    return json.dumps(value, ensure_ascii=False) if isinstance(value, str) else repr(value)


def _words(cell_id: str, text: str) -> dict[str, Any]:
    lines = text.splitlines(keepends=True)
    return {"cell_type": "markdown", "id": cell_id, "metadata": {}, "source": lines}


def _code(cell_id: str, text: str, *, tags: list[str] | None = None) -> dict[str, Any]:
    return {
        "cell_type": "code",
        "execution_count": None,
        "id": cell_id,
        "metadata": {"tags": tags} if tags else {},
        "outputs": [],
        "source": text.splitlines(keepends=True),
    }
