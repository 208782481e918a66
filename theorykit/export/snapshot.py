"""A vector picture as a PNG, by a browser that is there: none is needed for anything else."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import tempfile
from pathlib import Path

from theorykit.errors import BadInput
from theorykit.files import whole_file

#: What browsers of the Chromium family are called; ``CHROMIUM`` in the environment comes first.
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome")

_SECONDS = 60
_FLAGS = (
    "--headless",
    "--disable-gpu",
    "--hide-scrollbars",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-quic",
)
_SIZE = re.compile(r'<svg\b[^>]*?\bviewBox="\s*[-\d.]+\s+[-\d.]+\s+([\d.]+)\s+([\d.]+)"')
_WIDTH = re.compile(r'<svg\b[^>]*?\bwidth="([\d.]+)(?:px)?"')


def write_png(svg: str, path: Path, *, scale: float = 2.0) -> None:
    """Draw an SVG into a PNG file, on white; whole or not at all.

    Parameters
    ----------
    svg : str
        One of our own pictures, with a ``viewBox``.
    path : Path
    scale : float
        Pixels for each of the picture's units.

    Raises
    ------
    BadInput
        If there is no browser, or it fails.
    """
    browser = os.environ.get("CHROMIUM") or next(filter(None, map(shutil.which, BROWSERS)), None)
    if browser is None:
        raise BadInput("output", path, "a PNG needs a browser, and none was found", accepted=".svg")
    box = _SIZE.search(svg)
    assert box is not None, "our pictures have a viewBox"
    width, height = float(box[1]), float(box[2])
    drawn = _WIDTH.search(svg)
    if drawn is not None:
        width, height = float(drawn[1]), height * float(drawn[1]) / width
    with tempfile.TemporaryDirectory() as folder:
        page, shot = Path(folder, "picture.html"), Path(folder, "picture.png")
        page.write_text(
            "<!DOCTYPE html><meta charset='utf-8'><style>*{margin:0}svg{display:block;"
            f"width:{width}px;height:{height}px}}</style>{svg}",
            encoding="utf-8",
        )
        command = [
            browser,
            *_FLAGS,
            # A browser that is run by root has no sandbox to start.
            *(["--no-sandbox"] if hasattr(os, "geteuid") and os.geteuid() == 0 else []),
            f"--user-data-dir={folder}/profile",
            f"--force-device-scale-factor={scale}",
            f"--window-size={round(width)},{round(height)}",
            f"--screenshot={shot}",
            page.as_uri(),
        ]
        try:
            subprocess.run(command, check=True, capture_output=True, timeout=_SECONDS)
            data = shot.read_bytes()
        except (OSError, subprocess.SubprocessError) as error:
            raise BadInput("output", path, "the browser could not draw it") from error
    with whole_file(path) as file:
        file.write(data)
