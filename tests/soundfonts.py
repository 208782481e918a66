"""A SoundFont made for the tests, by the SoundFont 2.04 specification (from memory)."""

from __future__ import annotations

import struct
from pathlib import Path

import numpy as np
import numpy.typing as npt

RATE = 44100
Sound = npt.NDArray[np.float64]

#: One period of the sample, whose key is the A above it: 44100 / 100 = 441 Hz, 3.9 cents high.
PERIOD = 100
CORRECTION = -4


def chunk(name: bytes, data: bytes) -> bytes:
    return name + struct.pack("<I", len(data)) + data + b"\0" * (len(data) % 2)


def listed(name: bytes, *chunks: bytes) -> bytes:
    return chunk(b"LIST", name + b"".join(chunks))


def sine() -> Sound:
    return np.sin(2 * np.pi * np.arange(20 * PERIOD) / PERIOD)


def pluck(seconds: float = 3.0) -> Sound:
    """Twelve partials that die away, the high ones sooner, with a short scratch before them."""
    time = np.arange(round(seconds * RATE)) / RATE
    numbers = np.arange(1, 13)
    fall = np.exp(-time[:, None] * (1.2 + 0.8 * numbers))
    waves = np.sin(2 * np.pi * RATE / PERIOD * time[:, None] * numbers) / numbers**1.2
    scratch = np.random.default_rng(1).standard_normal(len(time)) * np.exp(-time / 0.004)
    sound = (waves * fall).sum(axis=1) + 0.4 * scratch
    return sound / np.max(np.abs(sound))


def soundfont(path: Path, wave: Sound | None = None) -> Path:
    """Every preset that a score may ask for is the same sound: a looped sine, or a given sound once."""
    loops = wave is None
    wave = sine() if wave is None else wave
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
        len(wave),
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
                chunk(b"igen", struct.pack("<HHHH", 54, int(loops), 53, 0) + b"\0" * 4),
                chunk(b"shdr", sample + struct.pack("<20sIIIIIBbHH", b"EOS", *(0,) * 9)),
            ),
        )
    )
    path.write_bytes(chunk(b"RIFF", b"sfbk" + data))
    return path
