"""The class of a note over a chord: the rules, in the order in which they are tried."""

from __future__ import annotations

from functools import lru_cache

from theorykit.analysis import style as styles
from theorykit.analysis.style import NoteClass
from theorykit.analysis.tonality import DIATONIC, TuneMode, dominant_target
from theorykit.theory.degree import Degree
from theorykit.theory.numeral import Numeral

#: The key's lowered third, fifth and seventh (common practice).
BLUE_DEGREES = frozenset({3, 6, 10})


def classify(semitones: int, numeral: Numeral, mode: TuneMode) -> tuple[NoteClass, Degree | None]:
    """The class of a note over a chord, and the chord member that decides it.

    Parameters
    ----------
    semitones : int
        The note, in half steps above the tonic.
    numeral : Numeral
        The chord as it sounds: a member left out of it is not counted.
    mode : {"major", "minor", "Mixolydian", "Dorian"}

    Examples
    --------
    >>> kind, member = classify(3, Numeral.parse("V"), "major")
    >>> kind.name, member.ordinal
    ('avoid, foreign to the key', 'fifth')
    """
    return classes(numeral, mode)[semitones % 12]


@lru_cache(maxsize=4096)
def classes(numeral: Numeral, mode: TuneMode) -> tuple[tuple[NoteClass, Degree | None], ...]:
    """``classify`` for all twelve notes above the tonic."""
    root = numeral.root.semitones
    belongs = DIATONIC[mode]
    target = dominant_target(numeral, mode)
    goal = target.root.semitones if target is not None and target.minor else None
    members = {degree.semitones % 12: degree for degree in reversed(numeral.type.degrees)}

    def one(semitones: int) -> tuple[NoteClass, Degree | None]:
        above_root = (semitones - root) % 12
        if above_root in members:
            return styles.CHORD_TONE, members[above_root]
        diatonic = semitones in belongs
        below, above = members.get((above_root - 1) % 12), members.get((above_root + 1) % 12)
        if below is not None:
            if below.number == 3:
                # The fourth over a major third may pass; a major third over a minor one may not.
                return (styles.PASSING if below.alter == 0 else styles.AVOID_FOREIGN), below
            in_target = goal is not None and (semitones - goal) % 12 in DIATONIC["minor"]
            if in_target and below in (Degree(1), Degree(5)):
                return styles.TENSION, below
            return (styles.AVOID_DIATONIC if diatonic else styles.AVOID_FOREIGN), below
        if above is None:
            return styles.COLOUR, None
        if target is not None and diatonic and above.number == 3:
            return styles.LEADING_CONFLICT, above
        own_minor_third = above.number == 3 and above_root == 3
        # A third foreign to the key has put the key's own note out of the chord: that one rubs.
        raised_third = own_minor_third and (semitones + 1) % 12 not in belongs
        if diatonic and not raised_third:
            return styles.COLOUR, None
        blue = semitones in BLUE_DEGREES or own_minor_third
        return (styles.BLUE if blue else styles.APPROACH), above

    return tuple(one(semitones) for semitones in range(12))
