"""The class of a note over a chord: the rules, in the order in which they are tried."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

from theorykit.analysis import style as styles
from theorykit.analysis.style import CLASSES, NoteClass
from theorykit.analysis.tonality import DIATONIC, TuneMode, dominant_target
from theorykit.theory.degree import Degree
from theorykit.theory.numeral import Numeral

#: The key's lowered third, fifth and seventh (common practice).
BLUE_DEGREES = frozenset({3, 6, 10})

#: How much of a chord's sound each member carries (stipulated; the third tells major from minor).
MEMBER_WEIGHTS = {"root": 1.0, "third": 1.0, "seventh": 0.75}
OTHER_MEMBER_WEIGHT = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class Harmony:
    """A chord in a tune, with the class of every note over it.

    Make one with ``Harmony.of``, which gives the same object for the same chord.

    Parameters
    ----------
    numeral : Numeral
        The chord as it sounds.
    mode : {"major", "minor", "Mixolydian", "Dorian"}
        The tune's.
    codes : tuple of int
        For each of the twelve notes above the tonic, the place of its class in ``CLASSES``.
    members : tuple of (Degree or None)
        For each of them, the chord member that decides its class.
    weights : tuple of (int, float)
        For each chord member a bit, shifted by its half steps above the tonic, and the share of
        the sound that it carries; the shares add up to 1.
    words : dict
        What has been said of the chord already, for ``wording``.
    """

    numeral: Numeral
    mode: TuneMode
    codes: tuple[int, ...]
    members: tuple[Degree | None, ...]
    weights: tuple[tuple[int, float], ...]
    words: dict[object, str] = field(default_factory=dict, repr=False)

    @classmethod
    def of(cls, numeral: Numeral, mode: TuneMode) -> Harmony:
        """The harmony of a chord in a tune of that mode."""
        return _harmony(numeral, mode)

    def cover(self, step_bits: int) -> float:
        """How much of the chord's sound some notes have, 0 to 1.

        Parameters
        ----------
        step_bits : int
            The notes: a bit for each half step above the tonic.
        """
        return sum([weight for bit, weight in self.weights if step_bits & bit])


@lru_cache(maxsize=4096)
def _harmony(numeral: Numeral, mode: TuneMode) -> Harmony:
    table = classes(numeral, mode)
    root = numeral.root.semitones
    members = numeral.type.degrees
    weights = [MEMBER_WEIGHTS.get(member.ordinal, OTHER_MEMBER_WEIGHT) for member in members]
    return Harmony(
        numeral,
        mode,
        tuple(CLASSES.index(kind) for kind, _ in table),
        tuple(member for _, member in table),
        tuple(
            (1 << (root + member.semitones) % 12, weight / sum(weights))
            for member, weight in zip(members, weights, strict=True)
        ),
    )


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
