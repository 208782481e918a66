"""The progressions of a tune: its chords as numerals, and the runs of them that come back."""

from __future__ import annotations

from collections import Counter
from itertools import groupby

from theorykit.score.score import Score
from theorykit.theory.chord import Chord, ChordType
from theorykit.theory.degree import Degree
from theorykit.theory.key import Key
from theorykit.theory.numeral import Numeral

#: How many chords a run may have.
SHORTEST, LONGEST = 2, 4

#: What a tune's row keeps at most (stipulated: past any song).
MOST_RUNS = 200

_MAJOR, _MINOR = ChordType.parse(""), ChordType.parse("m")
_DIMINISHED, _AUGMENTED = ChordType.parse("dim"), ChordType.parse("aug")

_LOWERED_FIFTH = Degree.parse("b5")


def plain_numerals(score: Score) -> list[str]:
    r"""The chords of a score as numerals, one for each change; an empty one where none sounds.

    Sevenths, further notes and bass notes are left out, as books of tunes differ about them
    (stipulated). Each counts from the tonic of the key that holds there.

    Examples
    --------
    >>> from theorykit.notation.abc_reader import read_abc
    >>> tune = read_abc('X:1\nT:Turn\nM:4/4\nL:1/1\nK:G\n"G"G|"Em7"G|"Am"A|"D7/A"A|"G"G|]')
    >>> plain_numerals(tune)
    ['I', 'vi', 'ii', 'V', 'I']
    """
    changes = sorted(score.keys, key=lambda change: change[0])
    found = []
    for placed in score.chords:
        key = score.key
        for beat, there in changes:
            if beat <= placed.start:
                key = there
        found.append("" if placed.chord is None or key is None else _plain(placed.chord, key))
    return [numeral for numeral, _ in groupby(found)]


def chord_runs(numerals: list[str]) -> dict[str, int]:
    """Every run of two to four chords and how often it comes, the commonest first.

    >>> chord_runs(["I", "V", "I", "V"])
    {'I V': 2, 'V I': 1, 'I V I': 1, 'V I V': 1, 'I V I V': 1}
    """
    counted: Counter[str] = Counter()
    for length in range(SHORTEST, LONGEST + 1):
        for start in range(len(numerals) - length + 1):
            run = numerals[start : start + length]
            if all(run):
                counted[" ".join(run)] += 1
    return dict(counted.most_common(MOST_RUNS))


def _plain(chord: Chord, key: Key) -> str:
    kind = _AUGMENTED if chord.type.triad == "augmented" else _MAJOR
    third = chord.type.third
    if third is not None and third.alter < 0:
        kind = _DIMINISHED if _LOWERED_FIFTH in chord.type.degrees else _MINOR
    return str(Numeral(Degree.between(key.tonic, chord.root), kind))
