"""The notes that belong to a tune, and the chords that lead to others in it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from theorykit.theory.degree import Degree
from theorykit.theory.numeral import Numeral
from theorykit.theory.progression import Progression

#: A key's two modes, and the two others in which string-band tunes are (common practice).
TuneMode = Literal["major", "minor", "Mixolydian", "Dorian"]

#: Half steps above the tonic that belong to the tune. Minor has its raised leading note too (any
#: handbook of the major-minor system; from memory).
DIATONIC: dict[TuneMode, frozenset[int]] = {
    "major": frozenset({0, 2, 4, 5, 7, 9, 11}),
    "minor": frozenset({0, 2, 3, 5, 7, 8, 10, 11}),
    "Mixolydian": frozenset({0, 2, 4, 5, 7, 9, 10}),
    "Dorian": frozenset({0, 2, 3, 5, 7, 9, 10}),
}

#: Roots on which a major chord is a dominant with nothing said: V, and those whose major third is
#: foreign to the key and leads on to the next degree (any handbook; from memory). Any other
#: applied dominant has its target written: ``V7/IV``.
_DOMINANT_ROOTS: dict[TuneMode, tuple[int, ...]] = {
    "major": (7, 2, 4, 9, 11),
    "minor": (7, 2),
    "Mixolydian": (7, 2, 4, 9),
    "Dorian": (7, 2),
}

_LOWERED_THIRD, _FOURTH_UP, _FIFTH_UP = 3, 5, 7


@dataclass(frozen=True, slots=True)
class Target:
    """Where a dominant leads.

    Parameters
    ----------
    root : Degree
        Above the tonic.
    minor : bool
        True when what it leads to is minor, or is the dominant of a minor key.
    """

    root: Degree
    minor: bool


def has_minor_third(mode: TuneMode) -> bool:
    """True for the modes on whose tonic a minor chord stands."""
    return _LOWERED_THIRD in DIATONIC[mode]


def dominant_target(numeral: Numeral, mode: TuneMode) -> Target | None:
    """Where a dominant leads, or None for a chord that is no dominant.

    The key's V leads to the tonic, an applied chord to the target that is written with it, and a
    plain II, III, VI or VII with a major third to the degree a fourth above. A chord whose third
    is left out leads nowhere, for it has no leading note.

    Parameters
    ----------
    numeral : Numeral
        The chord as it sounds.
    mode : {"major", "minor", "Mixolydian", "Dorian"}

    Examples
    --------
    >>> str(dominant_target(Numeral.parse("V7/ii"), "major").root)
    '2'
    >>> dominant_target(Numeral.parse("III7"), "major").minor
    True
    >>> dominant_target(Numeral.parse("IV7"), "major") is None
    True
    """
    if numeral.type.third != Degree(3):
        return None
    if numeral.target is not None:
        if numeral.degree != Degree(5):
            return None
        goal = numeral.target
        third = goal.type.third
        minor = third is not None and third.alter < 0
        return Target(goal.root, minor or _is_minor_dominant(goal.root.semitones % 12, mode))
    root = numeral.root.semitones % 12
    if root not in _DOMINANT_ROOTS[mode]:
        return None
    goal_root = (root + _FOURTH_UP) % 12
    # The key's own third on that degree; where minor has two, on V, both lead to a minor key.
    minor = (goal_root + _LOWERED_THIRD) % 12 in DIATONIC[mode]
    return Target(numeral.root.plus(Degree(4)), minor)


def _is_minor_dominant(root: int, mode: TuneMode) -> bool:
    return root == _FIFTH_UP and has_minor_third(mode)


def tune_mode(progression: Progression) -> TuneMode:
    """The mode of a tune as its chords tell it (stipulated).

    A minor tune whose chords have the sixth degree raised and never lowered is Dorian. A major
    tune with a chord on the lowered seventh degree and the leading note in no chord is Mixolydian.

    Examples
    --------
    >>> tune_mode(Progression.parse("| I | bVII | IV | I |"))
    'Mixolydian'
    >>> tune_mode(Progression.parse("| i | IV | i | v |"))
    'Dorian'
    """
    numerals = [chord.numeral for chord in progression.chords]
    sounding = {degree.semitones % 12 for numeral in numerals for degree in numeral.members}
    if progression.mode == "minor":
        return "Dorian" if 9 in sounding and 8 not in sounding else "minor"
    roots = {numeral.root.semitones % 12 for numeral in numerals}
    return "Mixolydian" if 10 in roots and 11 not in sounding else "major"
