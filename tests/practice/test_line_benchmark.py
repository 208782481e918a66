"""How long a line of twelve bars takes, fingering included; nothing here fails for being slow.

Run with ``pytest --benchmark-only tests/practice/test_line_benchmark.py``. The aim is 60 ms, with
what is kept from earlier lines (plans, places on the neck) at hand.
"""

from itertools import count

import pytest

from theorykit.practice.line import line_over


@pytest.mark.parametrize("instrument", ["guitar", "mandolin", "banjo"])
def test_twelve_bars_at_level_four(benchmark, instrument):
    seeds = count(1)

    def another():
        return line_over(
            "12-bar blues", "A", level=4, grit=0.5, instrument=instrument, seed=next(seeds)
        )

    another()
    line = benchmark(another)
    assert len(line.score.bars) == 12
    assert all(note.string for note in line.notes)
