"""The keyboard's layout."""

from __future__ import annotations

import pytest

from theorykit.instruments.keyboard import piano_keys


def test_seven_white_and_five_black_keys_an_octave() -> None:
    keys = piano_keys(60, 71)
    assert [key.midi for key in keys if not key.black] == [60, 62, 64, 65, 67, 69, 71]
    assert [key.midi for key in keys if key.black] == [61, 63, 66, 68, 70]


def test_white_keys_touch_and_black_keys_straddle_the_gaps() -> None:
    keys = piano_keys()
    white = [key for key in keys if not key.black]
    assert [key.left for key in white] == [float(i) for i in range(len(white))]
    lefts = {key.midi: key.left for key in white}
    for key in keys:
        if key.black:
            assert key.left + key.width / 2 == pytest.approx(lefts[key.midi + 1])
