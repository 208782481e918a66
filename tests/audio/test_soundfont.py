"""A SoundFont that the user names: one is made here, by the SoundFont 2.04 specification (from memory)."""

from __future__ import annotations

import struct
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from pyloudnorm import Meter
from spectrum import cents

from theorykit.audio.soundfont import render_soundfont
from theorykit.errors import BadInput
from theorykit.score.arrange import arrange
from theorykit.score.score import Part, Score, ScoreNote

RATE = 44100

#: One period of the sample, whose key is the A above it: 44100 / 100 = 441 Hz, 3.9 cents high.
PERIOD = 100
CORRECTION = -4


def chunk(name: bytes, data: bytes) -> bytes:
    return name + struct.pack("<I", len(data)) + data + b"\0" * (len(data) % 2)


def listed(name: bytes, *chunks: bytes) -> bytes:
    return chunk(b"LIST", name + b"".join(chunks))


def soundfont(path: Path) -> Path:
    """Every preset that a score may ask for is the same looped sine."""
    wave = np.sin(2 * np.pi * np.arange(20 * PERIOD) / PERIOD)
    samples = (wave * 20000).astype("<i2").tobytes() + b"\0" * 92
    presets = [*((program, 0) for program in range(128)), (0, 128)]
    header = [
        struct.pack("<20sHHHIII", b"sine", program, bank, index, 0, 0, 0)
        for index, (program, bank) in enumerate(presets)
    ]
    header.append(struct.pack("<20sHHHIII", b"EOP", 0, 0, len(presets), 0, 0, 0))
    bags = b"".join(struct.pack("<HH", index, 0) for index in range(len(presets) + 1))
    # Generators: 41 names the instrument; 54 loops, 53 names the sample.
    generators = struct.pack("<HH", 41, 0) * len(presets) + b"\0" * 4
    sample = struct.pack(
        "<20sIIIIIBbHH",
        b"sine",
        0,
        20 * PERIOD,
        4 * PERIOD,
        16 * PERIOD,
        RATE,
        69,
        CORRECTION,
        0,
        1,
    )
    data = b"".join(
        (
            listed(
                b"INFO",
                chunk(b"ifil", struct.pack("<HH", 2, 4)),
                chunk(b"isng", b"EMU8000\0"),
                chunk(b"INAM", b"Sine\0\0"),
            ),
            listed(b"sdta", chunk(b"smpl", samples)),
            listed(
                b"pdta",
                chunk(b"phdr", b"".join(header)),
                chunk(b"pbag", bags),
                chunk(b"pmod", b"\0" * 10),
                chunk(b"pgen", generators),
                chunk(
                    b"inst",
                    struct.pack("<20sH", b"sine", 0) + struct.pack("<20sH", b"EOI", 1),
                ),
                chunk(b"ibag", struct.pack("<HHHH", 0, 0, 2, 0)),
                chunk(b"imod", b"\0" * 10),
                chunk(b"igen", struct.pack("<HHHH", 54, 1, 53, 0) + b"\0" * 4),
                chunk(b"shdr", sample + struct.pack("<20sIIIIIBbHH", b"EOS", *(0,) * 9)),
            ),
        )
    )
    path.write_bytes(chunk(b"RIFF", b"sfbk" + data))
    return path


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
