"""A handout set in type as PDF. Every word goes in as data: none of it is ever read as markup."""

from __future__ import annotations

import json
from collections.abc import Sequence
from functools import lru_cache
from importlib.resources import as_file, files
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from theorykit.errors import TheoryKitError
from theorykit.handouts.block import Part
from theorykit.handouts.paper import MARGIN, Sheet

#: Letters from here on are not in the handout's own fonts; they are looked for on the machine.
_FAR_LETTERS = "\u2e80"


def typeset(
    title: str, subtitle: str, parts: Sequence[Part], sheet: Sheet, *, named: bool
) -> bytes:
    """The PDF.

    Raises
    ------
    TheoryKitError
        If the typesetter or its fonts are missing, or it fails.
    """
    try:
        import typst
    except ModuleNotFoundError as error:
        raise TheoryKitError("a PDF needs the package typst: pip install typst") from error
    content = {
        "title": title,
        "subtitle": subtitle,
        "named": named,
        "paper": {"width": sheet.size[0], "height": sheet.size[1], "margin": MARGIN},
        "text": sheet.text,
        "large": sheet.large,
        "parts": [part.as_data() for part in parts],
    }
    words = json.dumps(content, ensure_ascii=False)
    template = files("theorykit.handouts") / "templates" / "handout.typ"
    # Its own types ask for a file to write, and give none for the bytes that it returns.
    compiled: Any = typst.compile
    try:
        with as_file(template) as path:
            made = compiled(
                str(path),
                root=str(path.parent),
                font_paths=[str(fonts())],
                # What a machine has must not change what is printed, unless nothing else can
                # print it.
                ignore_system_fonts=max(words) < _FAR_LETTERS,
                sys_inputs={"handout": words},
            )
    except RuntimeError as error:
        raise TheoryKitError(f"the typesetter failed: {str(error).splitlines()[0]}") from error
    assert isinstance(made, bytes)
    return made


@lru_cache(maxsize=1)
def fonts() -> Path:
    """The folder of the DejaVu fonts, which matplotlib carries; it is found without loading it.

    Raises
    ------
    TheoryKitError
        If it is not there.
    """
    spec = find_spec("matplotlib")
    for place in (spec.submodule_search_locations or ()) if spec is not None else ():
        folder = Path(place) / "mpl-data" / "fonts" / "ttf"
        if (folder / "DejaVuSans.ttf").is_file():
            return folder
    raise TheoryKitError("the fonts of handouts are missing: pip install matplotlib")
