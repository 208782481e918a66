"""Example solos over a progression, by level, in which every note can be asked why it is there."""

from __future__ import annotations

import random

from theorykit.analysis.style import Style, find_style
from theorykit.errors import BadInput
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.instrument import Instrument
from theorykit.practice.line_chart import line_chart
from theorykit.practice.line_compass import playable_notes
from theorykit.practice.line_finish import finished
from theorykit.practice.line_layout import found_pitches, gritty_bars, laid_out
from theorykit.practice.line_level import find_level
from theorykit.practice.line_model import DEFAULT_STYLE, Line, Phrase
from theorykit.score.score import check_tempo
from theorykit.theory.form import find_progression
from theorykit.theory.key import Key
from theorykit.theory.progression import Progression

__all__ = ["Line", "Phrase", "line_over"]

MOST_CHORUSES = 20


def line_over(
    progression: Progression | str,
    key: Key | str,
    *,
    level: int = 2,
    grit: float = 0.3,
    style: Style | str | None = None,
    instrument: Instrument | str | None = None,
    lowest: int | None = None,
    highest: int | None = None,
    seed: int = 0,
    tempo: float = 100.0,
    choruses: int = 1,
    closed: bool = False,
) -> Line:
    """A solo over a progression.

    Parameters
    ----------
    progression : Progression or str
        A chart, or the name of a form. Repeats and jumps are played out.
    key : Key or str
    level : int
        1 to 4; see ``line_level.LEVELS`` for what each promises.
    grit : float
        At level 4, from 0, plain, to 1, the blues scale in every bar.
    style : Style or str, optional
        Whose taste decides what rubs; bluegrass if not given.
    instrument : Instrument or str, optional
        What it is fingered for. One that is played with a bar gives its range only.
    lowest, highest : int, optional
        MIDI numbers of the compass, within the instrument's.
    seed : int
        The same number gives the same line.
    tempo : float
    choruses : int
    closed : bool
        True to use no open string, except for a note that is nowhere else.

    Raises
    ------
    BadInput
        If anything is out of range, or the compass leaves no way.

    Examples
    --------
    >>> line = line_over("I-IV-V vamp", "G", level=1, instrument="mandolin", seed=3)
    >>> line.score.part("line").notes == line_over(
    ...     "I-IV-V vamp", "G", level=1, instrument="mandolin", seed=3
    ... ).notes
    True
    >>> line.why(len(line.notes) - 1).endswith("the line is at rest.")
    True
    """
    kind = find_level(level)
    if isinstance(grit, bool) or not isinstance(grit, (int, float)) or not 0 <= grit <= 1:
        raise BadInput("grit", grit, "out of range", accepted="0 (plain) to 1 (gritty)")
    check_tempo(tempo)
    if not isinstance(choruses, int) or not 1 <= choruses <= MOST_CHORUSES:
        raise BadInput("choruses", choruses, "out of range", accepted=f"1 to {MOST_CHORUSES}")
    chart = progression if isinstance(progression, Progression) else find_progression(progression)
    home = key if isinstance(key, Key) else Key.parse(key)
    taste = style if isinstance(style, Style) else find_style(style or DEFAULT_STYLE)
    neck = find_instrument(instrument) if isinstance(instrument, str) else instrument
    compass = playable_notes(neck, lowest, highest)
    chords = line_chart(chart, home, taste, choruses=choruses)
    chance = random.Random(f"line {seed}")
    gritty = gritty_bars(chords, grit if kind.blue else 0.0, chance)
    spots, phrases = laid_out(chords, kind, gritty, compass, choruses, chance)
    midis = found_pitches(spots, phrases, kind, compass, chance)
    return finished(
        chords,
        spots,
        midis,
        phrases,
        gritty,
        kind,
        neck,
        tempo=tempo,
        closed=closed,
    )
