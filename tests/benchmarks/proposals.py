"""Prints how well proposed keys and chords agree with printed ones, simple guesses beside them.

``python tests/benchmarks/proposals.py``
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from proposal_measures import (
    DANCES,
    EXAMPLES,
    LEAD_SHEETS,
    WITH_CHORDS,
    chord_table,
    key_table,
    lines_over_forms,
    spread,
    tunes,
)


def show(title: str, table: dict[str, float]) -> None:
    print(title)
    for name, value in table.items():
        print(f"  {name:24} {value:.0f}" if value > 1 else f"  {name:24} {value:6.1%}")


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    for name, files in DANCES.items():
        show(f"key, {name}", key_table(score for _, score in spread(files, count)))
    show("chords, Nottingham reels", chord_table(score for _, score in tunes(WITH_CHORDS)))
    show("chords, abc2midi's examples", chord_table(score for _, score in tunes(EXAMPLES)))
    show("chords, lead sheets", chord_table(score for _, score in tunes(LEAD_SHEETS)))
    for level in (1, 2, 3):
        show(f"chords, lines of level {level}", chord_table(lines_over_forms((level,))))


if __name__ == "__main__":
    main()
