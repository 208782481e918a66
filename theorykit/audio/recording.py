"""Sound that can be heard in a notebook, measured, and written to a file."""

from __future__ import annotations

import base64
import html
import io
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

import numpy as np
import soundfile

from theorykit.audio.loudness import integrated_loudness
from theorykit.audio.modes import Samples
from theorykit.errors import BadInput, nearest
from theorykit.files import whole_file

#: What a sound file may be, by the end of its name: container and coding.
FORMATS: dict[str, tuple[str, str]] = {
    ".wav": ("WAV", "PCM_16"),
    ".flac": ("FLAC", "PCM_16"),
    ".mp3": ("MP3", "MPEG_LAYER_III"),
    ".opus": ("OGG", "OPUS"),
    ".ogg": ("OGG", "VORBIS"),
}

#: The rates that a coding takes, where not all.
_RATES: dict[str, tuple[int, ...]] = {
    "OPUS": (24000, 48000),
    "MPEG_LAYER_III": (22050, 24000, 32000, 44100, 48000),
}

# A longer write at once overflows the coder's stack.
_WRITTEN_FRAMES = 16_384


@dataclass(frozen=True, slots=True, eq=False)
class Recording:
    """Sound in stereo.

    Parameters
    ----------
    samples : array
        A row for each frame, left and right; 1 is full scale.
    sample_rate : int
    title : str
    """

    samples: Samples
    sample_rate: int
    title: str = ""

    @property
    def seconds(self) -> float:
        """How long it lasts."""
        return len(self.samples) / self.sample_rate

    @property
    def loudness(self) -> float:
        """Integrated loudness in LUFS (ITU-R BS.1770)."""
        return integrated_loudness(self.samples, self.sample_rate)

    @property
    def peak_db(self) -> float:
        """The highest sample, in dB below full scale."""
        peak = float(np.max(np.abs(self.samples), initial=0))
        return float(20 * np.log10(peak)) if peak else float("-inf")

    def write(self, path: str | Path, *, told: Callable[[float], None] | None = None) -> None:
        """Write a sound file: WAV, FLAC, MP3, Opus or Vorbis, by the end of its name.

        It is written whole or not at all.

        Parameters
        ----------
        path : str or Path
        told : function, optional
            Called with the share that is done, up to 1.

        Raises
        ------
        BadInput
            If the name's end says no format, the format can't hold this sample rate, or the file
            can't be written.
        """
        target = Path(path)
        container, coding = file_format(target)
        rates = _RATES.get(coding)
        if rates is not None and self.sample_rate not in rates:
            accepted = ", ".join(map(str, rates))
            raise BadInput("sample rate", self.sample_rate, f"not in {coding}", accepted=accepted)
        with whole_file(target) as file:
            self._encode(file, container, coding, told)

    def encoded(self, suffix: str) -> bytes:
        """The bytes of a sound file, e.g. of ``".mp3"``."""
        buffer = io.BytesIO()
        self._encode(buffer, *file_format(Path(f"sound{suffix}")))
        return buffer.getvalue()

    def _encode(
        self,
        file: BinaryIO,
        container: str,
        coding: str,
        told: Callable[[float], None] | None = None,
    ) -> None:
        with soundfile.SoundFile(
            file, "w", self.sample_rate, 2, subtype=coding, format=container
        ) as sound:
            if self.title and container != "WAV":
                sound.title = self.title
            for first in range(0, len(self.samples), _WRITTEN_FRAMES):
                sound.write(self.samples[first : first + _WRITTEN_FRAMES])
                if told is not None:
                    told(min(first + _WRITTEN_FRAMES, len(self.samples)) / len(self.samples))

    def _repr_html_(self) -> str:
        """A player for the notebook, with the sound inside."""
        data = base64.b64encode(self.encoded(".mp3")).decode("ascii")
        label = html.escape(self.title or "recording", quote=True)
        return f'<audio controls aria-label="{label}" src="data:audio/mpeg;base64,{data}"></audio>'


def file_format(path: Path) -> tuple[str, str]:
    """Container and coding of a sound file, by the end of its name.

    Raises
    ------
    BadInput
        If it says none.

    Examples
    --------
    >>> file_format(Path("blues.flac"))
    ('FLAC', 'PCM_16')
    """
    suffix = path.suffix.casefold()
    if suffix in FORMATS:
        return FORMATS[suffix]
    raise BadInput(
        "file",
        path.name,
        "no sound format has that ending",
        accepted=", ".join(FORMATS),
        nearest=nearest(suffix, FORMATS),
    )
