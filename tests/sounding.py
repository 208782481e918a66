"""The sound modules in a blank page, and what tests measure of their samples."""

from __future__ import annotations

import base64
import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import numpy as np
import numpy.typing as npt
from playwright.sync_api import Browser, Page

from theorykit.widgets.bundle import joined_modules, module_order, module_source

Samples = npt.NDArray[np.float64]

# What the tests need in the page beside the module: transfer of samples, and a player that keeps a log.
PAGE_HELPERS = """
window.toBase64 = (samples) => {
  const bytes = new Uint8Array(samples.buffer, samples.byteOffset, samples.byteLength);
  let text = "";
  for (let i = 0; i < bytes.length; i += 32768) text += String.fromCharCode(...bytes.subarray(i, i + 32768));
  return btoa(text);
};
window.loggedPlayer = (context = () => new AudioContext()) => {
  window.log = { steps: [], notes: [], states: [] };
  window.player = new sound.Player({
    context,
    onStep: (index) => log.steps.push(index),
    onNotes: (notes) => log.notes.push(notes),
    onState: (state) => log.states.push(state),
  });
  return window.player;
};
"""


def sound_module() -> str:
    """The sound modules joined into one ES module that exports what they export."""
    names = re.findall(
        r"^export (?:async )?(?:function|class|const) (\w+)",
        "\n".join(module_source(name) for name in module_order("band")),
        flags=re.MULTILINE,
    )
    return f"{joined_modules('band')}\nexport {{ {', '.join(names)} }};\n"


@contextmanager
def sound_page(browser: Browser) -> Iterator[Page]:
    """A blank page with the module as `window.sound`; an uncaught error in it fails the test."""
    page = browser.new_page()
    errors: list[str] = []
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.evaluate(
        """async (source) => {
          const url = URL.createObjectURL(new Blob([source], { type: "text/javascript" }));
          window.sound = await import(url);
        }""",
        sound_module(),
    )
    page.evaluate(PAGE_HELPERS)
    yield page
    page.close()
    assert errors == []


def decode(text: str) -> Samples:
    return np.frombuffer(base64.b64decode(text), dtype=np.float32).astype(np.float64)


def render(page: Page, score: dict[str, Any], **options: Any) -> Samples:
    return decode(
        page.evaluate(
            "async ([score, options]) => toBase64((await sound.renderScore(score, options)).getChannelData(0))",
            [score, options],
        )
    )


def equal_tempered_hz(midi: int) -> float:
    """A4 = 440 Hz (ISO 16:1975), equal temperament: f = 440 * 2^((n - 69) / 12)."""
    return float(440.0 * 2.0 ** ((midi - 69) / 12))


def fundamental_hz(samples: Samples, near_hz: float, sample_rate: int) -> float:
    """Peak of the spectrum within a semitone of `near_hz`.

    Kaiser window, zero-padded eightfold, parabola through the logarithms of the three highest bins
    (Smith & Serra 1987, from memory). The first 50 ms, where the pluck is, are left out.
    """
    body = samples[int(0.05 * sample_rate) :]
    size = 1 << int(np.ceil(np.log2(len(body) * 8)))
    spectrum = np.abs(np.fft.rfft(body * np.kaiser(len(body), 9), size))
    low = int(near_hz * 2 ** (-1 / 12) * size / sample_rate)
    high = int(near_hz * 2 ** (1 / 12) * size / sample_rate) + 1
    peak = low + int(np.argmax(spectrum[low:high]))
    left, middle, right = np.log(spectrum[peak - 1 : peak + 2])
    return float((peak + 0.5 * (left - right) / (left - 2 * middle + right)) * sample_rate / size)


def event(
    beat: float, beats: float, midi: int, *, part: str = "line", voice: str = "guitar"
) -> dict[str, Any]:
    return {"beat": beat, "beats": beats, "midi": midi, "part": part, "voice": voice, "level": 1}


def make_score(
    beats: float, events: list[dict[str, Any]], *, beats_per_bar: int = 4
) -> dict[str, Any]:
    return {"beats": beats, "beatsPerBar": beats_per_bar, "events": events, "steps": []}


def stepped_score(beats: int, *, first_index: int = 0) -> dict[str, Any]:
    """One note and one step a beat."""
    steps = [{"beat": beat, "index": first_index + beat} for beat in range(beats)]
    return make_score(beats, [event(beat, 0.8, 60 + beat) for beat in range(beats)]) | {
        "steps": steps
    }


def onsets(samples: Samples, *, quiet_frames: int, threshold: float = 1e-3) -> list[int]:
    """Samples above the threshold that follow at least `quiet_frames` below it."""
    loud = np.flatnonzero(np.abs(samples) > threshold)
    before = np.concatenate(([-quiet_frames - 1], loud[:-1]))
    return [int(frame) for frame in loud[loud - before > quiet_frames]]
