"""What a lesson can be exported with: the plain variables of its cell tagged ``parameters``."""

from __future__ import annotations

import ast
from collections.abc import Mapping
from typing import Any

from theorykit.errors import BadInput, nearest

#: The tag of the cell that sets them, as notebooks that are run with other values have it.
TAG = "parameters"


def parameters_of(notebook: Any) -> dict[str, object]:
    """The variables of a notebook's cell of parameters, with what they are set to.

    Parameters
    ----------
    notebook : NotebookNode
        Of nbformat 4.

    Returns
    -------
    dict
        Empty where there is no such cell. A value that is no plain one is left out.
    """
    cell = _cell(notebook)
    found: dict[str, object] = {}
    for name, value in _assignments(cell.source) if cell is not None else ():
        try:
            found[name] = ast.literal_eval(value)
        except ValueError:
            continue
    return found


def set_parameters(notebook: Any, values: Mapping[str, object]) -> None:
    """Set some of the variables in the notebook that is given; its file is not touched.

    Raises
    ------
    BadInput
        If it has no such variable, or the value is of another kind than the one in it.
    """
    known = parameters_of(notebook)
    for name, value in values.items():
        if name not in known:
            raise BadInput(
                "parameter",
                name,
                "this lesson can't be exported with it",
                accepted=", ".join(known) or "none: it has no cell tagged parameters",
                nearest=nearest(name, known),
            )
        if type(value) is not type(known[name]):
            kind = type(known[name]).__name__
            raise BadInput(name, value, "of another kind", accepted=f"{kind}, as {known[name]!r}")
    cell = _cell(notebook)
    if cell is None:
        return
    lines = cell.source.split("\n")
    # From the last to the first, so that the places of the others stay.
    for name, node in reversed(_assignments(cell.source)):
        if name in values:
            assert node.end_lineno is not None
            assert node.end_col_offset is not None
            first, last = node.lineno - 1, node.end_lineno - 1
            # Python counts the columns in bytes.
            before = lines[first].encode()[: node.col_offset].decode()
            after = lines[last].encode()[node.end_col_offset :].decode()
            lines[first : last + 1] = [f"{before}{values[name]!r}{after}"]
    cell.source = "\n".join(lines)


def _cell(notebook: Any) -> Any | None:
    for cell in notebook.cells:
        if cell.cell_type == "code" and TAG in cell.metadata.get("tags", ()):
            return cell
    return None


def _assignments(source: str) -> list[tuple[str, ast.expr]]:
    """Each ``name = value`` of the cell's own, in order; nothing where it is no Python."""
    try:
        body = ast.parse(source).body
    except SyntaxError:
        return []
    return [
        (node.targets[0].id, node.value)
        for node in body
        if isinstance(node, ast.Assign)
        and len(node.targets) == 1
        and isinstance(node.targets[0], ast.Name)
    ]
