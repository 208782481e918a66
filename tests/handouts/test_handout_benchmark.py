"""How long a handout takes, from the choices to the PDF."""

from __future__ import annotations

from typing import Any

from theorykit.handouts.handout import handout
from theorykit.scene.selection import Selection


def test_a_handout(benchmark: Any) -> None:
    selection = Selection.of(key="A", scale="blues", instrument="guitar")
    handout(selection).pdf()
    assert benchmark(lambda: handout(selection).pdf()).startswith(b"%PDF-")
