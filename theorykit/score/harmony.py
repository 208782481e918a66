"""Chords as bass and comp see them: sounds with no spelling, for as long as each lasts."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from theorykit.theory.chord import Chord
from theorykit.theory.key import Key

_MAJOR = (0, 2, 4, 5, 7, 9, 11)
_MINOR = (0, 2, 3, 5, 7, 8, 10)

#: Half steps above the root, only one of which a scale over the chord has.
_THIRDS, _SEVENTHS = (3, 4), (10, 11)


@dataclass(frozen=True, slots=True)
class Span:
    """A chord from its first beat to the next chord's, whatever bar lines lie between.

    Parameters
    ----------
    start, beats : Fraction
    root, bass : int
        Pitch classes.
    members : tuple of int
        Half steps above the root, stacked upwards from it.
    scale : frozenset of int
        Pitch classes to pass through: the key's, but for those that the chord puts aside.
    silent : bool
        True where no chord sounds.
    """

    start: Fraction
    beats: Fraction
    root: int
    bass: int
    members: tuple[int, ...]
    scale: frozenset[int]
    silent: bool = False

    @property
    def end(self) -> Fraction:
        """The beat at which the next chord begins."""
        return self.start + self.beats

    @property
    def classes(self) -> frozenset[int]:
        """The pitch classes of the members."""
        return frozenset((self.root + member) % 12 for member in self.members)

    @property
    def fifth(self) -> int | None:
        """The pitch class of the fifth, be it perfect or not; None where there is none."""
        for semitones in (7, 6, 8):
            if semitones in self.members:
                return (self.root + semitones) % 12
        return None


def chord_span(start: Fraction, beats: Fraction, chord: Chord | None, key: Key) -> Span:
    """The span of a chord in a key; None is a silence."""
    if chord is None:
        return Span(start, beats, 0, 0, (), frozenset(), silent=True)
    members = chord.type.semitones
    root = chord.root.pitch_class
    scale = _passing(root, members, key)
    bass = root if chord.bass is None else chord.bass.pitch_class
    return Span(start, beats, root, bass, members, scale)


def _passing(root: int, members: tuple[int, ...], key: Key) -> frozenset[int]:
    aside = {
        other
        for pair in (_THIRDS, _SEVENTHS)
        for one, other in (pair, pair[::-1])
        if one in members and other not in members
    }
    if 7 not in members and {6, 8} & {*members}:
        aside.add(7)
    steps = _MAJOR if key.mode == "major" else _MINOR
    scale = {(key.tonic.pitch_class + step) % 12 for step in steps}
    return frozenset(scale - {(root + semitones) % 12 for semitones in aside})


def joined_spans(spans: Iterable[Span]) -> list[Span]:
    """The same with a chord that comes again at once made one span."""
    joined: list[Span] = []
    for span in spans:
        last = joined[-1] if joined else None
        if last is not None and _sound(last) == _sound(span):
            joined[-1] = Span(last.start, last.beats + span.beats, *_sound(span))
        else:
            joined.append(span)
    return joined


def _sound(span: Span) -> tuple[int, int, tuple[int, ...], frozenset[int], bool]:
    return span.root, span.bass, span.members, span.scale, span.silent
