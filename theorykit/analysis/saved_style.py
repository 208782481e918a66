"""Styles as plain data, and in files: what a user has edited can be kept and passed on."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from theorykit.analysis.style import CLASSES, STYLES, Style, find_style
from theorykit.errors import BadInput, nearest
from theorykit.files import small_text, strict_json, whole_file

#: A style's file is a few hundred bytes; a longer one is something else (stipulated).
MOST_BYTES = 10_000
#: A name has to fit in a menu (stipulated).
LONGEST_NAME = 40

_FIELDS = ("name", "severities")
_CLASS_NAMES = tuple(kind.name for kind in CLASSES)


def style_to_dict(style: Style) -> dict[str, Any]:
    """The style as plain data: its name, and a severity for each class of note by name.

    >>> from theorykit.analysis.style import find_style
    >>> style_to_dict(find_style("blues"))["severities"]["blue"]
    0.1
    """
    return {
        "name": style.name,
        "severities": dict(zip(_CLASS_NAMES, style.severities, strict=True)),
    }


def style_from_dict(data: object) -> Style:
    """The style that some plain data hold; every class of note must be there, and nothing else.

    Parameters
    ----------
    data : mapping
        As ``style_to_dict`` makes it.

    Raises
    ------
    BadInput
        With the part that can't be used. The name of a built-in style goes only with that style's
        own severities.

    Examples
    --------
    >>> from theorykit.analysis.style import BLUE, find_style
    >>> mine = find_style("blues").edited("mine", {BLUE: 0.2})
    >>> style_from_dict(style_to_dict(mine)) == mine
    True
    """
    fields = _checked_keys("style", data, _FIELDS)
    name = fields["name"]
    if not isinstance(name, str) or not name.strip() or name != name.strip():
        raise BadInput(
            "style name", name, "not a name", accepted="a text with no space at its ends"
        )
    if len(name) > LONGEST_NAME or not name.isprintable():
        raise BadInput(
            "style name", name, "does not fit a menu", accepted=f"{LONGEST_NAME} letters or fewer"
        )
    severities = _checked_keys("severities", fields["severities"], _CLASS_NAMES)
    style = Style(name, tuple(_severity(kind, severities[kind]) for kind in _CLASS_NAMES))
    built_in = STYLES.get(name.casefold())
    if built_in is None:
        return style
    if built_in.severities != style.severities:
        raise BadInput("style name", name, "is a built-in style's", accepted="any other name")
    return built_in


def style_to_json(style: Style) -> str:
    """The style as JSON text."""
    return json.dumps(style_to_dict(style), indent=2, ensure_ascii=False) + "\n"


def style_from_json(text: str) -> Style:
    """The style that a JSON text holds.

    Raises
    ------
    BadInput
        If the text is not JSON, names a thing twice, or holds anything but a style.
    """
    return style_from_dict(strict_json("style", text))


def save_style(style: Style, path: str | Path) -> None:
    """Write the style to a file.

    Raises
    ------
    BadInput
        If ``load_style`` would not take it back, or the file can't be written.
    """
    checked = style_from_dict(style_to_dict(style))
    with whole_file(Path(path)) as file:
        file.write(style_to_json(checked).encode())


def load_style(path: str | Path) -> Style:
    """Read a style from a file.

    Raises
    ------
    BadInput
        If the file can't be read, is far too long for a style, or holds anything else.
    """
    return style_from_json(small_text("style", path, MOST_BYTES))


def read_style(text: str) -> Style:
    """A style by name, or the one that a file holds whose name ends in ``.json``.

    Raises
    ------
    BadInput
        If there is none of that name, or the file holds no style.

    Examples
    --------
    >>> read_style("Jazz").name
    'jazz'
    """
    if isinstance(text, str) and text.strip().casefold().endswith(".json"):
        return load_style(text.strip())
    return find_style(text)


def _checked_keys(kind: str, data: object, names: tuple[str, ...]) -> Mapping[str, Any]:
    if not isinstance(data, Mapping):
        raise BadInput(kind, data, "not a table of names and values", accepted=", ".join(names))
    for key in data:
        if key not in names:
            close = nearest(key, names) if isinstance(key, str) else None
            raise BadInput(kind, key, "no such entry", accepted=", ".join(names), nearest=close)
    for name in names:
        if name not in data:
            raise BadInput(kind, name, "missing", accepted=", ".join(names))
    return data


def _severity(kind: str, value: object) -> float:
    if isinstance(value, int | float) and not isinstance(value, bool) and 0.0 <= value <= 1.0:
        return float(value)
    raise BadInput("severity", value, f"of {kind}", accepted="0 to 1")
