"""Reading ABC: a tune's notes, chords, meter, key and repeats, by the ABC standard 2.1 (2011)."""

from __future__ import annotations

import re
from fractions import Fraction

from theorykit.errors import TuneError
from theorykit.notation.abc_book import abc_said, find_tune
from theorykit.notation.abc_fields import (
    AbcKey,
    read_abc_meter,
    read_key,
    read_tempo,
    read_unit,
    usual_unit,
)
from theorykit.notation.abc_music import AbcMusic
from theorykit.notation.tune import Tune, tune_score
from theorykit.score.score import Score

_FIELD = re.compile(r"([A-Za-z]):(?![|:])(.*)", re.DOTALL)
_COMMENT = re.compile(r"(?<!\\)%.*")

#: A voice's name ends where its settings begin.
_VOICE = re.compile(r"\s*(\S+)")


def read_abc(
    data: str | bytes, *, number: int | None = None, voice: str | None = None, repeats: bool = True
) -> Score:
    r"""A tune as a score with the one part ``line``.

    Grace notes are left out, and so is all but one voice. An accidental holds to the end of the
    bar, in every octave.

    Parameters
    ----------
    data : str or bytes
    number : int, optional
        The ``X:`` of the tune; the first one if not given.
    voice : str, optional
        Which voice, by its name; the first one that has music if not given.
    repeats : bool
        True to play repeats and jumps out; False for each bar once, as it stands.

    Raises
    ------
    TuneError
        If there is no such tune, or it can't be read.

    Examples
    --------
    >>> tune = read_abc("X:1\nT:Steps\nM:4/4\nL:1/4\nK:G\nD|G A B c|d2 d|]")
    >>> [str(note.pitch) for note in tune.part("line").notes]
    ['D4', 'G4', 'A4', 'B4', 'C5', 'D5', 'D5']
    >>> str(tune.pickup), str(tune.key)
    ('1', 'G major')
    """
    found = find_tune(data, number)
    reader = _Reader(voice)
    for line, text in enumerate(found.lines, start=found.first_line):
        reader.line(text, line)
    return tune_score(reader.finished(found.title), repeats=repeats)


class _Reader:
    """A tune's lines, one after another: fields here, music in `AbcMusic`."""

    def __init__(self, wanted: str | None) -> None:
        self.wanted = wanted
        self.voice: str | None = None
        self.tune = Tune()
        self.music: AbcMusic | None = None
        self.meter: str | None = "4/4"
        self.unit: Fraction | None = None
        self.tempo = ""

    def line(self, text: str, line: int) -> None:
        if text.startswith("%"):
            return
        text = _COMMENT.sub("", text).rstrip()
        match = _FIELD.fullmatch(text)
        if match is not None:
            self.field(match[1], match[2], line)
        elif self.music is not None and self.heard:
            self.music.read(text, line, self.field)

    @property
    def heard(self) -> bool:
        """Whether the voice that is being written is the one that is wanted."""
        return self.wanted is None or self.voice is None or self.voice == self.wanted

    def field(self, name: str, text: str, line: int) -> None:
        """A field, on a line of its own or in brackets among the notes."""
        if name == "V":
            match = _VOICE.match(text)
            self.voice = match[1] if match is not None else None
            if self.wanted is None and self.music is not None:
                self.wanted = self.voice
        elif name == "K":
            self.key(text, line)
        elif name == "M":
            self.meter = read_abc_meter(text, line)
            if self.music is not None and self.heard:
                self.music.set_meter(self.meter)
        elif name == "L":
            self.unit = read_unit(text, line)
            if self.music is not None and self.heard:
                self.music.unit = self.unit
        elif name == "Q":
            self.tempo = self.tempo or text
        elif name == "P" and self.music is not None and self.heard:
            self.music.set_section(abc_said(text))
        elif name == "w" and self.music is not None and self.heard:
            self.music.words(text)

    def key(self, text: str, line: int) -> None:
        key = read_key(text, line)
        if self.music is None:
            unit = self.unit or usual_unit(self.meter)
            self.music = AbcMusic(self.tune, self.meter, unit, key or AbcKey(None))
            # The voice of the body's first line is the one to be read.
            self.voice = None
        elif key is not None and self.heard:
            self.music.set_key(key)

    def finished(self, title: str) -> Tune:
        if self.music is None:
            raise TuneError("has no key: a tune's header ends with a line K:")
        self.music.finish()
        self.tune.title = title
        tempo = read_tempo(self.tempo, self.unit or usual_unit(self.meter)) if self.tempo else None
        if tempo is not None:
            self.tune.quarters_a_minute = tempo
        return self.tune
