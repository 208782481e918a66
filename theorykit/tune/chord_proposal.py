"""Chords for a tune that has none: the cheapest way through what each stretch of melody allows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby, pairwise
from typing import Literal

from theorykit.errors import BadInput, nearest
from theorykit.score.score import PlacedChord, Score
from theorykit.theory.chart import ChartChord
from theorykit.theory.key import Key
from theorykit.theory.meter import METERS, Meter
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.progression import Progression
from theorykit.tune.harmony import (
    BEGIN_AWAY,
    CADENCE,
    END_AWAY,
    STRAIN_AWAY,
    Choice,
    choices,
    move_cost,
    note_costs,
)
from theorykit.tune.key_proposal import PROFILES, propose_key
from theorykit.tune.weights import bars_of, weighed

#: How many chords to a bar may be asked for.
PER_BAR = (1, 2, "auto")

# How many bars a strain of a dance tune or a song has where nothing says so (common practice).
_STRAIN = 8

# Alternatives that cost more than this are not told.
_FAR = 3.0


@dataclass(frozen=True, slots=True)
class Alternative:
    """A chord that could stand there, and how much more the whole way would cost with it."""

    numeral: Numeral
    extra: float


@dataclass(frozen=True, slots=True)
class ProposedChord:
    """A chord at its place.

    Parameters
    ----------
    bar : int
        Counted from 1.
    start, beats : Fraction
    numeral : Numeral
    alternatives : tuple of Alternative
        The others, the nearest first; the proposal itself is not among them.
    sure : bool
        Whether the nearest alternative is well behind.
    """

    bar: int
    start: Fraction
    beats: Fraction
    numeral: Numeral
    alternatives: tuple[Alternative, ...]

    @property
    def sure(self) -> bool:
        """Whether the nearest alternative is well behind."""
        return not self.alternatives or self.alternatives[0].extra >= 1


@dataclass(frozen=True, slots=True)
class ChordProposal:
    """Chords that are proposed for a tune: nobody has said that they are the tune's own.

    Parameters
    ----------
    key : Key
    mode : str
    chords : tuple of ProposedChord
    meter : str
    title : str
    """

    key: Key
    mode: str
    chords: tuple[ProposedChord, ...]
    meter: str
    title: str = ""

    @property
    def remark(self) -> str:
        """What is to be known of it."""
        unsure = len({chord.bar for chord in self.chords if not chord.sure})
        return f"Proposed chords in {self.key.tonic} {self.mode}; {unsure} bars could go otherwise."

    @property
    def progression(self) -> Progression:
        """The chart, in numerals."""
        meter = chart_meter(self.meter)
        bars = []
        for _, group in groupby(self.chords, key=lambda chord: chord.bar):
            row = list(group)
            whole = sum((chord.beats for chord in row), Fraction(0))
            joined: list[ChartChord] = []
            for chord in row:
                beats = chord.beats / whole * meter.beats
                if joined and joined[-1].numeral == chord.numeral:
                    joined[-1] = replace(joined[-1], beats=joined[-1].beats + beats)
                else:
                    joined.append(ChartChord(chord.numeral, beats))
            bars.append(tuple(joined))
        return Progression(tuple(bars), meter.name, self.title, key=self.key)

    def score_with_chords(self, score: Score) -> Score:
        """The tune with these chords over it."""
        placed: list[PlacedChord] = []
        for chord in self.chords:
            before = placed[-1] if placed else None
            if before is not None and before.numeral == chord.numeral:
                placed[-1] = replace(before, beats=before.beats + chord.beats)
                continue
            symbol = chord.numeral.chord(self.key.tonic)
            placed.append(PlacedChord(chord.start, chord.beats, symbol, chord.numeral))
        return replace(score, chords=tuple(placed))

    def with_chord(self, bar: int, numeral: Numeral | str) -> ChordProposal:
        """The same with one chord of the player's own in a bar.

        Raises
        ------
        BadInput
            If there is no such bar, or it is no numeral.
        """
        own = numeral if isinstance(numeral, Numeral) else Numeral.parse(numeral)
        if bar not in {chord.bar for chord in self.chords}:
            raise BadInput("bar", bar, "not in this tune", accepted=f"1 to {self.chords[-1].bar}")
        changed = tuple(
            replace(chord, numeral=own, alternatives=()) if chord.bar == bar else chord
            for chord in self.chords
        )
        return replace(self, chords=changed)


def propose_chords(
    score: Score,
    key: Key | str | None = None,
    *,
    mode: str | None = None,
    chords_a_bar: Literal[1, 2, "auto"] = "auto",
) -> ChordProposal:
    r"""Chords for a tune, chosen for its melody; chords that it has already are not looked at.

    Parameters
    ----------
    score : Score
    key : Key or str, optional
        Proposed from the tune if not given.
    mode : str, optional
        ``"major"``, ``"minor"``, ``"mixolydian"`` or ``"dorian"``; the key's own, if not given.
    chords_a_bar : int or str
        1, 2, or ``"auto"``: a second chord where the melody clearly asks for it.

    Raises
    ------
    BadInput
        If the score has no notes, or a value is none of these.

    Examples
    --------
    >>> from theorykit.tune.reading import read_tune
    >>> tune = read_tune(b"X:1\nM:4/4\nL:1/4\nK:G\nGBdB|ceg e|f d A d|G4|]")
    >>> str(propose_chords(tune).progression)
    'key: G major | I | IV | V | I |'
    """
    if chords_a_bar not in PER_BAR or isinstance(chords_a_bar, bool):
        raise BadInput("chords a bar", chords_a_bar, "not offered", accepted="1, 2 or auto")
    home, kind = _key_and_mode(score, key, mode)
    slots = _slots(score, chords_a_bar)
    offered = choices(kind)
    felt = _felt(score, slots, offered, home.tonic)
    return ChordProposal(
        home, kind, _chosen(slots, offered, felt, chords_a_bar), score.meter, score.title
    )


def _key_and_mode(score: Score, key: Key | str | None, mode: str | None) -> tuple[Key, str]:
    if mode is not None and mode not in PROFILES:
        close = nearest(mode, PROFILES) if isinstance(mode, str) else None
        raise BadInput("mode", mode, "unknown", accepted=", ".join(PROFILES), nearest=close)
    if key is not None:
        home = key if isinstance(key, Key) else Key.parse(key)
        return home, mode or home.mode
    found = [each for each in propose_key(score) if mode in {None, each.mode}]
    return found[0].key, found[0].mode


@dataclass(frozen=True, slots=True)
class _Slot:
    bar: int
    start: Fraction
    beats: Fraction
    opens: bool
    #: The stretch before a strain's last bar, where a chord that leads home may come in late.
    leads: bool = False
    #: Whether it opens a strain's last bar.
    rests: bool = False


def _strain_ends(score: Score) -> set[int]:
    """The last bar of each strain, counted from 1: where a section ends, or every eighth."""
    bars = bars_of(score)
    ends = {
        number
        for number, (bar, following) in enumerate(pairwise(bars), start=1)
        if (bar.section, bar.chorus) != (following.section, following.chorus)
    }
    if not ends and len(bars) % _STRAIN == 0:
        ends = set(range(_STRAIN, len(bars), _STRAIN))
    return ends | {len(bars)}


def _slots(score: Score, a_bar: int | str) -> list[_Slot]:
    found = []
    ends = _strain_ends(score)
    for number, bar in enumerate(bars_of(score), start=1):
        beats = bar.beats
        halves = a_bar != 1 and beats.denominator == 1 and beats % 2 == 0
        share = beats / 2 if halves else beats
        leads, rests = number + 1 in ends, number in ends
        found.append(_Slot(number, bar.start, share, opens=True, leads=leads, rests=rests))
        if halves:
            found.append(_Slot(number, bar.start + share, share, opens=False, leads=leads))
    return found


def _felt(
    score: Score, slots: Sequence[_Slot], offered: Sequence[Choice], tonic: Note
) -> list[list[float]]:
    """What each chord costs in each slot by the melody alone; a slot's weight is one beat scaled.

    A slot of many beats counts for more than one of few, but less than in proportion.
    """
    quarters = float(score.signature.beat_quarters)
    home = tonic.pitch_class
    rows = [note_costs(choice) for choice in offered]
    sums = [[0.0] * 12 for _ in slots]
    notes = weighed(score)
    at = 0
    for note in notes:
        while at > 0 and slots[at].start > note.start:
            at -= 1
        while at + 1 < len(slots) and slots[at].start + slots[at].beats <= note.start:
            at += 1
        place = at
        while place < len(slots) and slots[place].start < note.end:
            slot = slots[place]
            overlap = min(note.end, slot.start + slot.beats) - max(note.start, slot.start)
            if overlap > 0:
                share = float(overlap) / float(note.end - note.start)
                sums[place][(note.pitch_class - home) % 12] += note.weight * share
            place += 1
    found = []
    for classes in sums:
        weights = [weight * quarters for weight in classes]
        found.append(
            [sum(weight * cost for weight, cost in zip(weights, row, strict=True)) for row in rows]
        )
    return found


def _chosen(
    slots: Sequence[_Slot],
    offered: Sequence[Choice],
    felt: Sequence[Sequence[float]],
    a_bar: int | str,
) -> tuple[ProposedChord, ...]:
    """The cheapest way, and for every other chord the cheapest way through it."""
    size = range(len(offered))
    easy, hard = ([[move_cost(one, two, at_bar=at_bar) for two in offered] for one in offered]
                  for at_bar in (True, False))  # fmt: skip
    home = [[cost - CADENCE * (one.function == "D" and at == 0) for at, cost in enumerate(row)]
            for one, row in zip(offered, easy, strict=True)]  # fmt: skip

    def moves(slot: _Slot) -> list[list[float]]:
        if slot.rests:
            return home
        return easy if slot.opens or slot.leads or a_bar == 2 else hard

    own = [
        [
            choice.cost * (0.6 if slot.opens else 0.3)
            + costs[at]
            + STRAIN_AWAY * (slot.rests and at > 0 and choice.function != "D")
            for at, choice in enumerate(offered)
        ]
        for slot, costs in zip(slots, felt, strict=True)
    ]
    ahead = [[cost + (BEGIN_AWAY if at else 0.0) for at, cost in enumerate(own[0])]]
    for slot, costs in zip(slots[1:], own[1:], strict=True):
        row, move = ahead[-1], moves(slot)
        ahead.append([min(row[a] + move[a][b] for a in size) + costs[b] for b in size])
    behind = [[END_AWAY if at else 0.0 for at in size]]
    for place in range(len(slots) - 1, 0, -1):
        row, move, costs = behind[-1], moves(slots[place]), own[place]
        behind.append([min(move[a][b] + costs[b] + row[b] for b in size) for a in size])
    behind.reverse()
    found: list[ProposedChord] = []
    last = 0
    for place, slot in enumerate(slots):
        through = [ahead[place][at] + behind[place][at] for at in size]
        order = sorted(size, key=through.__getitem__)
        if place:
            # Ways that cost the same must not be mixed: go on from the chord before.
            step = moves(slot)[last]
            ways = [step[at] + own[place][at] + behind[place][at] for at in size]
            best = min(size, key=ways.__getitem__)
        else:
            best = order[0]
        last = best
        low = through[best]
        others = tuple(
            Alternative(offered[at].numeral, round(max(0.0, through[at] - low), 3))
            for at in order
            if at != best and through[at] - low <= _FAR
        )
        found.append(ProposedChord(slot.bar, slot.start, slot.beats, offered[best].numeral, others))
    return tuple(found)


def chart_meter(name: str) -> Meter:
    """The meter that a chart may have; for others, one of as many beats."""
    if name in METERS:
        return METERS[name]
    beats = Score((), meter=name).signature.beats
    same = [meter for meter in METERS.values() if meter.beats == beats]
    return same[0] if same else METERS["4/4"]
