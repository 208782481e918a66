"""A selection kept in a file: JSON, read strictly, since nobody vouches for a file."""

from __future__ import annotations

import json
from dataclasses import asdict, fields
from pathlib import Path

from theorykit.errors import BadInput, nearest
from theorykit.files import small_text, strict_json, whole_file
from theorykit.scene.selection import Selection

#: What the file says of itself.
FORMAT = "theorykit study"
VERSION = 1

#: A study is a page of text; what is bigger is another file.
MOST_BYTES = 200_000


def selection_to_json(selection: Selection) -> str:
    """The selection as JSON text: the format, its version, and every choice by name."""
    data = {"format": FORMAT, "version": VERSION, "choices": asdict(selection)}
    return json.dumps(data, indent=2, ensure_ascii=False) + "\n"


def selection_from_json(text: str) -> Selection:
    """The selection that a JSON text holds; what it leaves out has its default.

    Raises
    ------
    BadInput
        If the text is not JSON, names a thing twice, or holds anything but a study.

    Examples
    --------
    >>> selection_from_json(selection_to_json(Selection.of(key="Bb"))).key
    'Bb'
    """
    data = strict_json("study", text)
    heads = ("format", "version", "choices")
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        raise BadInput("study", text, "not a saved study", accepted=f'"format": "{FORMAT}"')
    for head in data:
        if head not in heads:
            raise BadInput("study", head, "no such entry", accepted=", ".join(heads))
    if isinstance(data.get("version"), bool) or data.get("version") != VERSION:
        raise BadInput("study version", data.get("version"), "unknown", accepted=str(VERSION))
    choices = data.get("choices")
    if not isinstance(choices, dict):
        raise BadInput("choices", choices, "not a table of names and values")
    kinds = {field.name: type(field.default) for field in fields(Selection)}
    for name, value in choices.items():
        if name not in kinds:
            raise BadInput(
                "choice", name, "a study has no such choice", nearest=nearest(name, kinds)
            )
        if type(value) is not kinds[name]:
            raise BadInput(name, value, "of the wrong kind", accepted=kinds[name].__name__)
    return Selection.of(**choices)


def save_selection(selection: Selection, path: str | Path) -> Path:
    """Write a selection to a file, whole or not at all.

    Raises
    ------
    BadInput
        If the file can't be written.
    """
    target = Path(path)
    with whole_file(target) as file:
        file.write(selection_to_json(selection).encode())
    return target


def load_selection(path: str | Path) -> Selection:
    """Read a selection from a file.

    Raises
    ------
    BadInput
        If the file can't be read, is far too long for a study, or holds anything else.
    """
    return selection_from_json(small_text("study", path, MOST_BYTES))
