"""How many notes of a take are heard, for each voice and in noise, and how fast; prints, asserts nothing.

Run it from the project's folder: ``python tests/benchmarks/listening.py [TAKES] [SOUNDFONT]``. Each row is a
voice of this project, or a preset of a SoundFont, by default Debian's fluid-soundfont-gm; takes are lines of
levels 1 to 3 at 80 to 140 beats a minute, up to 30 cents out of tune. F is mir_eval's of onsets (50 ms) and
pitches (50 cents), in the mean and in the worst take; the time is CPU time for one minute of sound.
"""

from __future__ import annotations

import os

os.environ["OMP_NUM_THREADS"] = os.environ["OPENBLAS_NUM_THREADS"] = "1"

import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent.parent))

from takes import RATE, Played, f_measure, line_score, noise, played

from theorykit.listening.hearing import hear

SOUNDFONT = "/usr/share/sounds/sf2/FluidR3_GM.sf2"

PLANS = (
    ("mandolin", "mandolin"),
    ("guitar", "guitar"),
    ("banjo", "banjo"),
    ("fiddle", "fiddle"),
    ("mandolin", "organ"),
    ("guitar", "piano"),
)
NOISES = ((None, "white"), (20, "white"), (20, "pink"), (10, "white"), (10, "pink"))
CENTS = (0, 30, -30, 12, -12)


def noisy(take: Played, snr_db: float | None, kind: str) -> Played:
    if snr_db is None:
        return take
    power = float(np.mean(take.sound**2)) / 10 ** (snr_db / 10)
    return replace(take, sound=take.sound + np.sqrt(power) * noise(kind, len(take.sound), 1))


def main() -> None:
    takes = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    font = Path(sys.argv[2] if len(sys.argv) > 2 else SOUNDFONT)
    fonts = [None, font] if font.is_file() else [None]
    hear(np.zeros(RATE), sample_rate=RATE)  # what is loaded once is no part of any run
    heads = ["clean", *(f"{snr} dB {kind}" for snr, kind in NOISES[1:])]
    print(f"{takes} takes each: F, mean/worst")
    print(f"{'':22}", *(f"{head:>12}" for head in heads), f"{'s a minute':>11}")
    for soundfont in fonts:
        for instrument, voice in PLANS:
            found: list[list[float]] = [[] for _ in NOISES]
            used = minutes = 0.0
            for number in range(takes):
                score = line_score(
                    7 * number + len(voice),
                    instrument,
                    level=number % 3 + 1,
                    tempo=80 + number * 23 % 61,
                    voice=voice,
                )
                take = played(score, cents=CENTS[number % 5], soundfont=soundfont)
                for row, (snr, kind) in zip(found, NOISES, strict=True):
                    mixed = noisy(take, snr, kind)
                    start = time.process_time()
                    heard = hear(mixed.sound, sample_rate=mixed.rate, instrument=instrument)
                    used += time.process_time() - start
                    minutes += heard.seconds / 60
                    row.append(f_measure(mixed, heard))
            name = f"{voice}, {'SoundFont' if soundfont else 'own'}"
            cells = [f"{np.mean(row):.3f}/{min(row):.2f}" for row in found]
            print(
                f"{name:22}",
                *(f"{cell:>12}" for cell in cells),
                f"{used / minutes:11.2f}",
                flush=True,
            )


if __name__ == "__main__":
    main()
