"""Prints how far roles agree with published analyses and printed chords.

``python tests/benchmarks/agreement.py``
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from agreement_measures import chorale_table, melody_table, reels, songs
from chorales import chorales


def show(title: str, table: dict[str, float]) -> None:
    print(title)
    for name, value in table.items():
        print(f"  {name:28} {value:.0f}" if value > 1 else f"  {name:28} {value:6.1%}")


def main() -> None:
    show("chorales", chorale_table(chorales()))
    for name, scores in (("reels", reels()), ("lead sheets", songs())):
        for late in (0, 1):
            title = f"{name}{', the chords a bar late' if late else ''}"
            show(title, melody_table(scores, late=late))


if __name__ == "__main__":
    main()
