"""The ES modules of ``js/`` joined into one, because a widget and a page each take a single module.

Joining drops the import lines and the word ``export``, so every top-level name must be unlike every
other; a test holds them to that.
"""

from __future__ import annotations

import re
from functools import cache
from importlib.resources import files

from theorykit.widgets.tables import tables_source

_IMPORT = re.compile(r'^import \{[^}]*\} from "\./([a-z]+)\.js";\n', re.MULTILINE)
#: Comments that have lines of their own: they are for who reads the sources.
_COMMENT = re.compile(r"^[ \t]*(?:/\*\*.*?\*/|//[^\n]*)\n", re.MULTILINE | re.DOTALL)
_EXPORT = re.compile(r"^export (?=(?:async )?(?:function|class|const)\b)", re.MULTILINE)

#: What the hosts add to the end of the joined modules, by the module that they start from.
_ENDINGS = {
    "live": "export default { render: renderLive };\n",
    "blank": "export default { render: renderBlank };\n",
    "page": "mountPage();\n",
}


def module_source(name: str) -> str:
    """The text of ``js/<name>.js``; that of ``tables.js`` is made from the package's own tables."""
    if name == "tables":
        return tables_source()
    return (files("theorykit.widgets") / "js" / f"{name}.js").read_text(encoding="utf-8")


def style_source() -> str:
    """The style sheet of the explorers."""
    path = files("theorykit.widgets") / "css" / "explorer.css"
    return path.read_text(encoding="utf-8")


def module_order(name: str) -> list[str]:
    """The modules that ``name`` needs, itself last, each after those that it imports."""
    ordered: list[str] = []

    def visit(module: str) -> None:
        if module in ordered:
            return
        for match in _IMPORT.finditer(module_source(module)):
            visit(match[1])
        ordered.append(module)

    visit(name)
    return ordered


@cache
def joined_modules(*names: str) -> str:
    """Everything that the named modules need, as the text of one module, with no exports."""
    ordered = dict.fromkeys(module for name in names for module in module_order(name))
    parts = (
        _COMMENT.sub("", _EXPORT.sub("", _IMPORT.sub("", module_source(module))))
        for module in ordered
    )
    return "\n".join(parts)


def host_module(host: str) -> str:
    """The whole module of a host: ``"live"`` and ``"blank"`` for widgets, ``"page"`` for a page."""
    return joined_modules(host) + _ENDINGS[host]
