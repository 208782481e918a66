"""The advice for many scales, chords and styles at once, each thing worked out a single time."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from theorykit.analysis.advice import Advice, Alternatives, decide, sounded
from theorykit.analysis.classification import Harmony
from theorykit.analysis.fit import Placement, home_of
from theorykit.analysis.style import Style
from theorykit.analysis.tonality import TuneMode
from theorykit.theory.numeral import Numeral
from theorykit.theory.progression import Progression
from theorykit.theory.scale import ScaleFormula


@dataclass(frozen=True, slots=True)
class SoundedChord:
    """A chord as the advice asks for it: no place in a chart, no key.

    Parameters
    ----------
    numeral : Numeral
        The chord as it sounds.
    mode : {"major", "minor", "Mixolydian", "Dorian"}
        The tune's.
    beats : Fraction
    """

    numeral: Numeral
    mode: TuneMode
    beats: Fraction


def sounded_chords(
    progressions: Iterable[Progression], *, thirds: Sequence[bool] = (True, False)
) -> tuple[SoundedChord, ...]:
    """The different chords of some progressions, in the order in which they first come.

    Parameters
    ----------
    progressions : iterable of Progression
    thirds : sequence of bool
        True for the chords with their thirds, False for those without; both if not given.

    Examples
    --------
    >>> form = Progression.parse("| I | IV | I | V |")
    >>> [str(chord.numeral) for chord in sounded_chords([form])]
    ['I', 'I5', 'IV', 'IV5', 'V', 'V5']
    """
    found: dict[SoundedChord, None] = {}
    for progression in progressions:
        mode = progression.mode
        for chord in dict.fromkeys(progression.chords):
            for keep in thirds:
                numeral = sounded(chord.numeral, thirds=keep)
                found[SoundedChord(numeral, mode, chord.beats)] = None
    return tuple(found)


def advice_table(
    scales: Sequence[ScaleFormula], chords: Sequence[SoundedChord], styles: Sequence[Style]
) -> tuple[tuple[tuple[Advice, ...], ...], ...]:
    """What ``advise`` says of every scale over every chord in every style.

    Parameters
    ----------
    scales : sequence of ScaleFormula
    chords : sequence of SoundedChord
    styles : sequence of Style

    Returns
    -------
    tuple of tuple of tuple of Advice
        By scale, then chord, then style, in the orders given.

    Examples
    --------
    >>> from theorykit.analysis.style import find_style
    >>> from theorykit.theory.scale import find_scale
    >>> chords = sounded_chords([Progression.parse("| I | V |")], thirds=[True])
    >>> styles = [find_style("bluegrass"), find_style("blues")]
    >>> table = advice_table([find_scale("minor pentatonic")], chords, styles)
    >>> [[advice.verdict for advice in row] for row in table[0]]
    [['stay', 'stay'], ['switch', 'pass']]
    """
    harmonies = [Harmony.of(chord.numeral, chord.mode) for chord in chords]
    rows = []
    for scale in scales:
        row = []
        for chord, harmony in zip(chords, harmonies, strict=True):
            held = Placement(scale, home_of(scale, chord.numeral), harmony)
            others = Alternatives(held)
            row.append(tuple([decide(held, style, chord.beats, others) for style in styles]))
        rows.append(tuple(row))
    return tuple(rows)
