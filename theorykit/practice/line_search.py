"""The pitches of a phrase: the cheapest way through what is allowed, by pairs of notes.

What a level promises is a wall that no way goes through. What makes a line sing is a price: steps
cost less than leaps, a turn after every note costs, and each phrase has a contour to keep near
(common practice; the prices are stipulated). A chance share of each price, drawn from the seed,
makes lines differ.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from theorykit.practice.line_level import BLUES_STEP, LEAP, STEP, Level
from theorykit.practice.line_palette import Tone
from theorykit.practice.line_spot import FINAL_MEMBERS, Spot, allowed

#: How much of a price is left to chance.
CHANCE = 1.6
#: What each half step off the contour costs, beyond the first ones.
OFF_CONTOUR, FREE_CONTOUR = 0.22, 2.0
#: How far from the contour notes are looked for; the wider ones where there is no way otherwise.
WINDOWS = (6, 10, 60)
#: What each half step costs by which a move differs from the same move of the call.
UNLIKE_CALL = 0.5

_AGAIN, _AGAIN_CHORD_TONE = 4.0, 3.2
_ZIGZAG, _NEIGHBOUR, _TURN = 2.6, 0.9, 0.35
_MOVES = {0: 0.0, 1: 0.1, 2: 0.0, 3: 0.5, 4: 0.6, 5: 0.5, 6: 3.0, 7: 0.7, 8: 1.2, 9: 1.2, 12: 1.5}
#: Among chord tones alone a third is the step.
_CHORD_MOVES = {0: 0.0, 1: 0.0, 2: 0.0, 3: 0.2, 4: 0.2, 5: 1.4, 6: 3.5, 7: 2.0}
_FAR_MOVE = 4.0
_GUIDE, _OPEN_CLOSE, _FINAL_FIFTH, _FINAL_THIRD = 1.0, 1.2, 1.6, 0.8
_PRICES = {
    "rest": 0.0,
    "join": 0.3,
    "blue": 0.2,
    "brief": 0.5,
    "slur": 0.5,
    "watch": 0.8,
    "lead": 1.0,
}
_STRONG_BLUE = 1.2

#: How far a note goes on that does not simply join: what a blue note is a part of has gaps.
_LEAVES = {"blue": BLUES_STEP, "brief": STEP, "slur": 1}


@dataclass(frozen=True, slots=True)
class Choice:
    """A pitch for a spot, and what it costs by itself."""

    midi: int
    tone: Tone | None
    cost: float
    pinned: bool = False


def find_pitches(
    spots: Sequence[Spot],
    level: Level,
    compass: Sequence[int],
    chance: random.Random,
    *,
    before: int | None = None,
) -> list[int] | None:
    """A pitch for each spot, or None where the walls leave no way.

    Parameters
    ----------
    spots : sequence of Spot
        Of one phrase.
    level : Level
    compass : sequence of int
        The MIDI numbers that can be played, rising.
    chance : random.Random
    before : int, optional
        The last pitch of the phrase before.
    """
    for window in WINDOWS:
        layers = [_choices(spot, level, compass, window, chance) for spot in spots]
        if all(layers):
            path = _cheapest(spots, layers, level, before)
            if path is not None:
                return path
    return None


def _choices(
    spot: Spot, level: Level, compass: Sequence[int], window: int, chance: random.Random
) -> list[Choice]:
    if spot.pinned is not None:
        return [Choice(spot.pinned, spot.tone_at(spot.pinned), 0.0, pinned=True)]
    tonic, notes, height = spot.slot.tonic.pitch_class, spot.palette, spot.height
    found = []
    for midi in compass:
        away = abs(midi - height)
        if away > window:
            continue
        tone = notes[(midi - tonic) % 12]
        if tone is None or not allowed(tone, spot, level):
            continue
        cost = _PRICES[tone.treatment] + chance.random() * CHANCE
        if away > FREE_CONTOUR:
            cost += OFF_CONTOUR * (away - FREE_CONTOUR)
        number = tone.member.number
        if spot.ends:
            cost += {1: 0.0, 3: _FINAL_THIRD}.get(number, _FINAL_FIFTH)
        elif spot.closes and number not in FINAL_MEMBERS:
            cost += _OPEN_CLOSE
        elif spot.guides and tone.treatment == "rest" and number in {3, 7}:
            cost -= _GUIDE
        elif spot.strong and tone.treatment == "blue":
            cost += _STRONG_BLUE
        found.append(Choice(midi, tone, cost))
    return found


def _moves(
    here: Sequence[Choice], there: Sequence[Choice], one: Spot, other: Spot, level: Level
) -> list[list[tuple[int, int, float]]]:
    """For each choice the ones that may follow it: its number, the move, the cost."""
    same_chord = one.slot.numeral == other.slot.numeral
    prices = _MOVES if level.scale else _CHORD_MOVES
    found = []
    for choice in here:
        ways = []
        for number, following in enumerate(there):
            move = following.midi - choice.midi
            size = abs(move)
            free = choice.pinned and following.pinned
            if not free and not _may_follow(choice, following, move, one, other, level, same_chord):
                continue
            cost = following.cost + prices.get(size, _FAR_MOVE)
            if size == 0:
                settled = following.tone is not None and following.tone.treatment == "rest"
                cost += _AGAIN_CHORD_TONE if settled else _AGAIN
            if other.like is not None:
                cost += UNLIKE_CALL * min(abs(move - other.like), 5)
            ways.append((number, move, cost))
        found.append(ways)
    return found


def _may_follow(
    choice: Choice,
    following: Choice,
    move: int,
    one: Spot,
    other: Spot,
    level: Level,
    same_chord: bool,
) -> bool:
    size = abs(move)
    if size > level.widest:
        return False
    settled = following.tone is not None and following.tone.treatment == "rest"
    leaves = choice.tone.treatment if choice.tone is not None else "watch"
    if leaves in {"watch", "lead"} and not choice.pinned:
        assert choice.tone is not None
        if not (same_chord and settled and move in choice.tone.goals):
            return False
    elif leaves != "rest" and not choice.pinned and not 1 <= size <= _LEAVES.get(leaves, one.step):
        return False
    if following.pinned:
        # The tune goes on as it does, so that nothing could make a leap good.
        return not (level.scale and size >= LEAP)
    if not settled:
        if size == 0:
            return False
        most = level.steps_in if level.chromatic else other.step
        if size > max(most, other.step):
            return False
    # A phrase is not closed by a leap that nothing could make good.
    return not (other.closes and level.scale and size >= LEAP)


@lru_cache(maxsize=4096)
def turn_cost(before: int, move: int, step: int, *, chords_only: bool, settled: bool) -> float:
    """What a move costs after another; infinite where a leap is not made good.

    >>> turn_cost(7, -2, 2, chords_only=False, settled=True) < 1
    True
    >>> turn_cost(7, 2, 2, chords_only=False, settled=True)
    inf
    """
    turns = before * move < 0
    if abs(before) >= LEAP:
        if chords_only:
            if not turns and move:
                return float("inf")
        elif not (turns and abs(move) <= step):
            return float("inf")
        return 0.0
    if before == 0 and move == 0:
        return float("inf")
    if turns and before == -move:
        # Back to the same note: a neighbour if what lay between was none of the chord's.
        return _NEIGHBOUR if not settled and abs(move) <= step else _ZIGZAG
    if turns:
        return _TURN
    if abs(before) > step and abs(move) > step and before * move > 0:
        return 0.3
    return 0.0


def _cheapest(
    spots: Sequence[Spot], layers: Sequence[Sequence[Choice]], level: Level, before: int | None
) -> list[int] | None:
    # A state is a choice and the move onto it; pinned neighbours are as the tune has them.
    states: dict[tuple[int, int], float] = {}
    for number, choice in enumerate(layers[0]):
        cost = choice.cost
        if before is not None:
            away = abs(choice.midi - before)
            if away > 12 and not choice.pinned:
                continue
            cost += 0.15 * away
        states[number, 0] = cost
    if not states:
        return None
    ways: list[dict[tuple[int, int], tuple[int, int]]] = []
    infinite = float("inf")
    turns: dict[tuple[int, int, int, bool], float] = {}
    chords_only = not level.scale
    for place in range(1, len(layers)):
        here, there = layers[place - 1], layers[place]
        one, other = spots[place - 1], spots[place]
        moves = _moves(here, there, one, other, level)
        settled = [c.tone is not None and c.tone.treatment == "rest" for c in here]
        pinned = there[0].pinned and here[0].pinned
        second = place == 1
        now: dict[tuple[int, int], float] = {}
        way: dict[tuple[int, int], tuple[int, int]] = {}
        step = other.step
        for state, so_far in states.items():
            number, move_in = state
            for following, move, cost in moves[number]:
                if not second and not pinned:
                    key = (move_in, move, step, settled[number])
                    turn = turns.get(key)
                    if turn is None:
                        turn = turns[key] = turn_cost(
                            move_in, move, step, chords_only=chords_only, settled=settled[number]
                        )
                    cost += turn
                cost += so_far
                target = (following, move)
                if cost < now.get(target, infinite):
                    now[target] = cost
                    way[target] = state
        if not now:
            return None
        ways.append(way)
        states = now
    end = min(states, key=states.__getitem__)
    path = [layers[-1][end[0]].midi]
    for place in range(len(layers) - 2, -1, -1):
        end = ways[place][end]
        path.append(layers[place][end[0]].midi)
    return path[::-1]
