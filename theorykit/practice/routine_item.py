"""What can be put into a routine, and the tempos that it climbs."""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.errors import BadInput, nearest
from theorykit.practice.sequence_pattern import find_pattern
from theorykit.score.score import FASTEST, SLOWEST, check_tempo
from theorykit.theory.form import find_progression
from theorykit.theory.meter import find_meter
from theorykit.theory.progression import Progression
from theorykit.theory.scale import find_scale

#: What can be practised, in the order in which it is (common practice: hands first, then ear and
#: head, music last, while there is still time to enjoy it).
KINDS = ("scale", "shapes", "sequence", "line", "progression")


@dataclass(frozen=True, slots=True)
class RoutineItem:
    """A thing to practise.

    Parameters
    ----------
    kind : str
        One of `KINDS`.
    name : str
        The scale's, the form's, or what a line or a set of shapes is called.
    pattern : str
        For a sequence.
    positions : tuple of int
        Frets of the index finger, which take turns from key to key.
    meter : str
    tempo : tuple of float, optional
        From, to and step, where not the routine's.
    weight : float
        How much of the time it gets against the others.

    Examples
    --------
    >>> RoutineItem("sequence", "major", pattern="threes").title
    'major in threes'
    """

    kind: str
    name: str
    pattern: str = ""
    positions: tuple[int, ...] = ()
    meter: str = "4/4"
    tempo: tuple[float, float, float] | None = None
    weight: float = 1.0

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            close = nearest(self.kind, KINDS) if isinstance(self.kind, str) else None
            raise BadInput("item", self.kind, "unknown", accepted=", ".join(KINDS), nearest=close)
        if self.kind in ("scale", "sequence"):
            find_scale(self.name)
        if self.kind == "sequence":
            find_pattern(self.pattern)
        if self.kind == "progression":
            find_progression(self.name)
        elif not self.name.strip():
            raise BadInput("item", self.name, "has no name", accepted="what to practise")
        find_meter(self.meter)
        if self.tempo is not None:
            tempo_ladder(*self.tempo)
        if not 0 < self.weight < float("inf"):
            raise BadInput("weight", self.weight, "out of range", accepted="more than 0")

    @property
    def title(self) -> str:
        """What it is, with no key."""
        if self.kind == "sequence":
            return f"{self.name} in {self.pattern}"
        return f"{self.name} scale" if self.kind == "scale" else self.name

    @property
    def form(self) -> Progression | None:
        """The chart of a progression."""
        return find_progression(self.name).unfolded() if self.kind == "progression" else None


def tempo_ladder(slowest: float, fastest: float, step: float) -> tuple[float, ...]:
    """The tempos from one to another; the last is reached even if the step does not.

    Raises
    ------
    BadInput
        If it does not rise, or has tempos that nobody can play to.

    Examples
    --------
    >>> tempo_ladder(60, 95, 10)
    (60, 70, 80, 90, 95)
    """
    for tempo in (slowest, fastest):
        check_tempo(tempo)
    if slowest > fastest or not 0 < step <= FASTEST - SLOWEST:
        shown = f"{slowest:g} to {fastest:g} by {step:g}"
        raise BadInput("tempos", shown, "do not rise", accepted="from, to and a step above 0")
    found = []
    at = slowest
    while at < fastest:
        found.append(at)
        at += step
    return (*found, fastest)
