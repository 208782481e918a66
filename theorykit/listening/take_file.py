"""One door for takes, played or written: MIDI, MusicXML, ABC, or the recording of one player."""

from __future__ import annotations

from pathlib import Path

from theorykit.instruments.instrument import Instrument
from theorykit.listening.hearing import take_from_recording
from theorykit.score.score import Score
from theorykit.theory.key import Key
from theorykit.tune.reading import SUFFIXES, read_tune

#: Recordings by their endings.
SOUND_SUFFIXES = (".wav", ".flac", ".mp3", ".ogg")

#: All that a take may be.
TAKE_SUFFIXES = (*SUFFIXES, *SOUND_SUFFIXES)


def read_take(
    source: str | Path | bytes,
    *,
    name: str | None = None,
    tempo: float | None = None,
    instrument: Instrument | str | None = None,
    meter: str = "4/4",
    key: Key | str | None = None,
) -> tuple[Score, str]:
    r"""A take from a file, and for a recording what was heard of it in words.

    Parameters
    ----------
    source : str, Path or bytes
        A path, or what is in the file.
    name : str, optional
        What the file is called, where ``source`` is bytes.
    tempo, instrument, meter, key
        Of a recording: see ``hearing.hear``.

    Raises
    ------
    TuneError
        If it can't be read, or no note was heard in it.

    Examples
    --------
    >>> score, heard = read_take(b"X:1\nL:1/4\nK:G\nG A B d|", name="take.abc")
    >>> len(score.part("line").notes), heard
    (4, '')
    """
    called = name if isinstance(source, bytes) else str(source)
    if called is not None and Path(called.replace("\0", "")).suffix.casefold() in SOUND_SUFFIXES:
        score, heard = take_from_recording(
            source, tempo=tempo, instrument=instrument, meter=meter, key=key
        )
        return score, heard.summary()
    return read_tune(source, name=name), ""
