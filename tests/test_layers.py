"""Layers import one way, and the package itself is light."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import theorykit

PACKAGE = Path(theorykit.__file__).parent

#: From the ground up; a layer imports only from itself and those before it.
LAYERS = (
    "errors",
    "files",
    "theory",
    "instruments",
    "analysis",
    "score",
    "log",
    "practice",
    "quiz",
    "notation",
    "review",
    "tune",
    "survey",
    "audio",
    "listening",
    "scene",
    "handouts",
    "plots",
    "widgets",
    "export",
    "cli",
    "__main__",
)

#: What the pure layers must never load.
HEAVY = {"bokeh", "ipywidgets", "IPython", "music21", "anywidget", "nbconvert", "matplotlib"}
PURE = (
    "errors",
    "files",
    "theory",
    "instruments",
    "analysis",
    "score",
    "log",
    "practice",
    "quiz",
    "notation",
    "review",
    "tune",
    "survey",
    "audio",
    "listening",
    "scene",
    "handouts",
)

#: The one module that may load music21, when a function of it is called.
BRIDGE = PACKAGE / "notation" / "music21_bridge.py"

MODULES = sorted(PACKAGE.rglob("*.py"))


def layer_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imported(path: Path) -> list[str]:
    """Every module that a file imports, inside functions too."""
    found = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import"
            found.append(node.module or "")
    return found


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_imports_point_down(path: Path) -> None:
    layer = layer_of(path)
    if layer == "__init__":
        return_names = [name for name in imported(path) if name.startswith("theorykit")]
        assert return_names == []
        return
    allowed = LAYERS[: LAYERS.index(layer) + 1]
    for name in imported(path):
        head, *rest = name.split(".")
        if head == "theorykit":
            assert rest, f"{path}: imports the whole package"
            assert rest[0] in allowed, f"{layer} imports {name}"
        elif layer in PURE and (path, head) != (BRIDGE, "music21"):
            assert head not in HEAVY, f"{layer} imports {name}"


def test_theory_needs_the_standard_library_alone() -> None:
    for path in (PACKAGE / "theory").glob("*.py"):
        for name in imported(path):
            head = name.partition(".")[0]
            assert head == "theorykit" or head in sys.stdlib_module_names, f"{path.name}: {name}"


def test_importing_the_package_loads_nothing_heavy() -> None:
    code = "import sys, theorykit; print(*sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = {name.partition(".")[0] for name in done.stdout.split()}
    assert not loaded & (HEAVY | {"numpy", "verovio", "mido", "soundfile"})


def test_every_public_name_resolves() -> None:
    for name in theorykit.__all__:
        assert getattr(theorykit, name) is not None
    stub = ast.parse((PACKAGE / "__init__.pyi").read_text(encoding="utf-8"))
    stubbed = {
        alias.asname
        for node in stub.body
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
    }
    assert stubbed | {"__version__"} == set(theorykit.__all__)


def test_an_unknown_name_is_an_attribute_error() -> None:
    with pytest.raises(AttributeError, match="no attribute 'Stuby'"):
        theorykit.Stuby  # noqa: B018
