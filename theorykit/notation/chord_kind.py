"""Chord types as MusicXML says them: a kind, and the degrees that differ from it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from theorykit.errors import BadInput
from theorykit.theory.chord import ChordType
from theorykit.theory.degree import Degree
from theorykit.theory.pitch import alter_to_accidental

#: The kinds of MusicXML 4.0 that are chord types of their own, with the suffix that says the same.
#: The augmented sixths, the pedal and the Tristan chord are none that a chart writes.
KINDS: dict[str, str] = {
    "major": "",
    "minor": "m",
    "diminished": "dim",
    "augmented": "aug",
    "dominant": "7",
    "major-seventh": "maj7",
    "minor-seventh": "m7",
    "diminished-seventh": "dim7",
    "half-diminished": "m7b5",
    "major-minor": "mmaj7",
    "augmented-seventh": "7#5",
    "major-sixth": "6",
    "minor-sixth": "m6",
    "dominant-ninth": "9",
    "major-ninth": "maj9",
    "minor-ninth": "m9",
    "dominant-11th": "11",
    "major-11th": "maj11",
    "minor-11th": "m11",
    "dominant-13th": "13",
    "major-13th": "maj13",
    "minor-13th": "m13",
    "suspended-second": "sus2",
    "suspended-fourth": "sus4",
    "power": "5",
}

# An added degree is counted from a dominant chord's (MusicXML 4.0, degree-alter): 7 is b7.
_DOMINANT_SEVENTH = 7

# What is written as a bent note beside a seventh or sixth; the others are added ones.
_BENT = (9, 11, 13)

# A chord with both a second and a fourth for a third goes by the fourth.
_NAMED_FOR = {"sus24": "sus4"}


@dataclass(frozen=True, slots=True)
class KindDegree:
    """A degree that a chord has, has not or has bent against its kind.

    Parameters
    ----------
    value, alter : int
        As MusicXML counts them: an added one from the dominant chord's, the others from the kind's.
    type : str
        ``"add"``, ``"alter"`` or ``"subtract"``.
    """

    value: int
    alter: int
    type: str


@dataclass(frozen=True, slots=True)
class ChordKind:
    """A kind and what differs from it.

    Examples
    --------
    >>> kind = chord_kind(ChordType.parse("7b9"))
    >>> kind.name, [(each.value, each.alter, each.type) for each in kind.degrees]
    ('dominant', [(9, -1, 'add')])
    """

    name: str
    degrees: tuple[KindDegree, ...] = ()


#: The dominant with both fifths and both ninths bent.
_ALTERED = (
    KindDegree(5, -1, "alter"),
    KindDegree(5, 1, "add"),
    KindDegree(9, -1, "add"),
    KindDegree(9, 1, "add"),
)


@lru_cache(maxsize=1024)
def chord_kind(chord: ChordType) -> ChordKind:
    """How MusicXML says a chord type: the kind that leaves least to be said."""
    if chord.altered:
        return ChordKind("dominant", _ALTERED)
    choices = [
        (_differences(chord.degrees, ChordType.parse(suffix).degrees), name)
        for name, suffix in KINDS.items()
        if ChordType.parse(suffix).triad == _NAMED_FOR.get(chord.triad, chord.triad)
    ]
    degrees, name = min(choices, key=lambda choice: len(choice[0]))
    return ChordKind(name, degrees)


def _differences(wanted: Sequence[Degree], there: Sequence[Degree]) -> tuple[KindDegree, ...]:
    found: list[KindDegree] = []
    missing = [degree for degree in wanted if degree not in there]
    for degree in there:
        if degree in wanted:
            continue
        bent = next((other for other in missing if other.number == degree.number), None)
        if bent is None:
            found.append(KindDegree(degree.number, 0, "subtract"))
        else:
            missing.remove(bent)
            found.append(KindDegree(degree.number, bent.alter - degree.alter, "alter"))
    for degree in missing:
        alter = degree.alter + (degree.number == _DOMINANT_SEVENTH)
        found.append(KindDegree(degree.number, alter, "add"))
    return tuple(sorted(found, key=lambda each: (each.value, each.alter)))


@lru_cache(maxsize=1024)
def kind_chord(kind: ChordKind) -> ChordType:
    """The chord type that a kind and its degrees say.

    Raises
    ------
    BadInput
        If it is a kind that no chart writes, or degrees that make no chord.

    Examples
    --------
    >>> str(kind_chord(ChordKind("suspended-fourth", (KindDegree(7, 0, "add"),))))
    '7sus4'
    """
    if kind.name not in KINDS:
        raise BadInput("chord kind", kind.name, "no chord of a chart", accepted=", ".join(KINDS))
    if set(kind.degrees) == set(_ALTERED):
        return ChordType.parse("7alt")
    suffix = KINDS[kind.name]
    natural = {degree.number for degree in ChordType.parse(suffix).degrees}
    head, suspended, number = suffix.partition("sus")
    tail = suspended + number
    bent, added, omitted = "", "", ""
    for each in kind.degrees:
        sign = alter_to_accidental(each.alter)
        if each.type == "subtract":
            omitted += f"no{each.value}"
        elif each.value == _DOMINANT_SEVENTH:
            head += {0: "7", 1: "maj7", -1: "7"}.get(each.alter, "7")
        elif (each.value, each.alter, tail) == (2, 0, "sus4"):
            tail = "sus24"
        elif each.value == 5 or (
            each.value in _BENT
            and sign
            and head[-1:].isdigit()
            and (each.type == "alter" or each.value not in natural)
        ):
            bent += f"{sign}{each.value}"
        else:
            added += f"add{sign}{each.value}"
    # Straight after the root, b5 would read as a flat root's power chord.
    bent = f"({bent})" if bent and not head else bent
    return ChordType.parse(head + bent + tail + added + omitted)
