"""A SoundFont that the user names: one is made for the test."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from pyloudnorm import Meter
from soundfonts import soundfont
from spectrum import cents

from theorykit.audio.soundfont import render_soundfont
from theorykit.errors import BadInput
from theorykit.score.arrange import arrange
from theorykit.score.score import Part, Score, ScoreNote

RATE = 44100


@pytest.mark.parametrize("midi", [45, 60, 76])
def test_a_note_has_its_pitch(tmp_path: Path, midi: int) -> None:
    note = ScoreNote(Fraction(0), Fraction(2), midi)
    found = render_soundfont(
        Score((Part("line", (note,), "guitar"),), tempo=60), soundfont(tmp_path / "sine.sf2")
    )
    assert abs(cents(found.samples[: 2 * RATE, 0].astype(float), midi, RATE)) < 3


def test_it_is_as_loud_as_all_recordings(tmp_path: Path) -> None:
    score = arrange("12-bar blues", "A", feel="shuffle", tempo=120)
    found = render_soundfont(score, soundfont(tmp_path / "sine.sf2"))
    loudness = Meter(found.sample_rate).integrated_loudness(found.samples.astype(float))
    assert abs(loudness + 18) <= 2
    assert found.peak_db <= -1
    assert abs(found.seconds - score.seconds) < 3


def test_what_is_no_soundfont_is_told(tmp_path: Path) -> None:
    score = arrange("waltz", "A")
    with pytest.raises(BadInput, match="soundfont"):
        render_soundfont(score, tmp_path / "missing.sf2")
    (tmp_path / "text.sf2").write_text("no sounds in here")
    with pytest.raises(BadInput, match="soundfont"):
        render_soundfont(score, tmp_path / "text.sf2")
