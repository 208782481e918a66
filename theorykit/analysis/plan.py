"""A plan for a whole form: which scale to hold over each chord, with no pointless switching.

Advice looks at one chord at a time. A plan weighs the whole form: what a scale costs over each
chord against what it costs to change. It is the cheapest of all plans, found as a shortest path.

The cost of a chord, in beats, is stipulated:

* *rub*: its length times one minus the score of the scale over it;
* *unwanted*: its length times ``UNWANTED_COST`` for each note that has to be left out;
* *away*: its length times ``AWAY_COST`` where another scale is held though the player's own would
  do: it was chosen for its sound;
* *change*: ``CHANGE_COST`` where the scale is not the one before. The form starts and ends on the
  scale that the player holds, so a visit to another scale costs two changes.

With these figures a visit to V's own scale pays for a chord of two beats and not for one of one
beat, as the advice has it; between two visits one comes back for a whole bar and not for half.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from theorykit.analysis.advice import candidates, sounded
from theorykit.analysis.classification import Harmony
from theorykit.analysis.fit import Fit, Placement, home_of
from theorykit.analysis.shortest_path import Cost, cheapest_path
from theorykit.analysis.style import Style
from theorykit.analysis.tonality import TuneMode
from theorykit.analysis.wording import (
    chord_words,
    listed,
    note_words,
    rub_words,
    scale_words,
    told,
)
from theorykit.theory.degree import Degree
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.progression import Progression
from theorykit.theory.scale import ScaleFormula
from theorykit.theory.table import html_table

#: Beats that a change of scale is worth (stipulated).
CHANGE_COST = 0.6
#: Beats that each note to leave out costs, for each beat that the chord lasts (stipulated).
UNWANTED_COST = 0.5
#: Beats that each beat on another scale costs where the held one would do (stipulated).
AWAY_COST = 0.4

_TONIC = Degree(1)
_BILLION = 1_000_000_000

#: A scale that can be held: its tonic, or None for the key's own or the one that the chord moves.
Option = tuple[Degree | None, ScaleFormula]


@dataclass(frozen=True, slots=True)
class PlanEntry:
    """What the plan has for one chord.

    Parameters
    ----------
    bar : int
        1 for the first.
    numeral : Numeral
        The chord as it sounds.
    beats : Fraction
    scale_tonic, scale : Degree, ScaleFormula
        What to hold.
    fit : Fit
        That scale over the chord.
    changes : bool
        True if the scale is not the one before.
    rub, unwanted, away, change : float
        The parts of the cost, in beats.
    reason : str
        One plain sentence, its notes as degree tokens; see ``wording.fill``.
    """

    bar: int
    numeral: Numeral
    beats: Fraction
    scale_tonic: Degree
    scale: ScaleFormula
    fit: Fit
    changes: bool
    rub: float
    unwanted: float
    away: float
    change: float
    reason: str

    @property
    def cost(self) -> float:
        """All parts together."""
        return self.rub + self.unwanted + self.away + self.change


@dataclass(frozen=True, slots=True)
class Plan:
    """A scale for every chord of a form.

    Parameters
    ----------
    held : ScaleFormula
        The scale that the player holds, on the key's tonic.
    style : Style
    mode : {"major", "minor", "Mixolydian", "Dorian"}
    entries : tuple of PlanEntry
        One for each chord.
    returns : bool
        True if the form ends on another scale, so that going round again takes one more change.
    """

    held: ScaleFormula
    style: Style
    mode: TuneMode
    entries: tuple[PlanEntry, ...]
    returns: bool

    @property
    def changes(self) -> int:
        """How often the scale changes, the way back at the end counted in."""
        return sum(entry.changes for entry in self.entries) + self.returns

    @property
    def cost(self) -> float:
        """What the whole plan costs, in beats, the way back at the end counted in."""
        parts = sum(entry.rub + entry.unwanted + entry.away for entry in self.entries)
        return parts + CHANGE_COST * self.changes

    def bars(self) -> tuple[tuple[PlanEntry, ...], ...]:
        """The entries bar by bar."""
        found: dict[int, list[PlanEntry]] = {}
        for entry in self.entries:
            found.setdefault(entry.bar, []).append(entry)
        return tuple(tuple(entries) for entries in found.values())

    def records(self) -> list[dict[str, object]]:
        """A plain record for each chord, names as degree tokens."""
        return [
            {
                "bar": entry.bar,
                "chord": chord_words(entry.numeral),
                "beats": float(entry.beats),
                "scale": scale_words(entry.scale, entry.scale_tonic, entry.numeral),
                "changes": entry.changes,
                "cost": round(entry.cost, 4),
                "reason": entry.reason,
            }
            for entry in self.entries
        ]

    def html(self, tonic: Note | None = None) -> str:
        """The plan as an HTML table, in a key or, where none is given, in degrees."""
        rows = [
            (
                str(entry.bar),
                told(chord_words(entry.numeral), tonic),
                told(scale_words(entry.scale, entry.scale_tonic, entry.numeral), tonic),
                told(entry.reason, tonic),
            )
            for entry in self.entries
        ]
        caption = f"{self.held.name}, {self.style.name} style: a plan with {self.changes} changes"
        return html_table(caption, ("bar", "chord", "scale", "why"), rows)

    def _repr_html_(self) -> str:
        return self.html()


def plan_progression(
    progression: Progression,
    scale: ScaleFormula,
    style: Style,
    mode: TuneMode | None = None,
    *,
    thirds: bool = True,
) -> Plan:
    """The cheapest plan for a form.

    Parameters
    ----------
    progression : Progression
    scale : ScaleFormula
        On the key's tonic.
    style : Style
    mode : {"major", "minor", "Mixolydian", "Dorian"}, optional
        The tune's; major or minor as the progression tells it if not given.
    thirds : bool
        False to leave the third out of every chord.

    Returns
    -------
    Plan
        Of plans that cost the same, the one with the fewest changes.

    Examples
    --------
    >>> from theorykit.analysis.style import find_style
    >>> from theorykit.theory.scale import find_scale
    >>> form = Progression.parse("| I | IV | V | I |")
    >>> plan = plan_progression(form, find_scale("minor pentatonic"), find_style("bluegrass"))
    >>> [f"{entry.scale_tonic} {entry.scale.name}" for entry in plan.entries]
    ['1 minor pentatonic', '1 minor pentatonic', '5 minor pentatonic', '1 minor pentatonic']
    >>> plan.changes
    2
    """
    mode = mode or progression.mode
    home: Option = (None, scale)
    slots = [
        (bar, Harmony.of(sounded(chord.numeral, thirds=thirds), mode), chord.beats)
        for bar, chords in enumerate(progression.bars, start=1)
        for chord in chords
    ]
    options = plan_options(scale, (harmony for _, harmony, _ in slots))
    layers = [_layer(options, harmony, style, beats) for _, harmony, beats in slots]
    entries: list[PlanEntry] = []
    before = home
    _, steps = cheapest_path(layers, _move(home))
    for (bar, harmony, beats), layer, step in zip(slots, layers, steps, strict=True):
        changes = step.option != before
        before = step.option
        entry = PlanEntry(
            bar,
            harmony.numeral,
            beats,
            step.fit.placement.tonic,
            step.fit.placement.scale,
            step.fit,
            changes,
            step.rub,
            step.unwanted,
            step.away,
            CHANGE_COST if changes else 0.0,
            _reason(step, layer[0], changes=changes),
        )
        entries.append(entry)
    return Plan(scale, style, mode, tuple(entries), before != home)


def plan_options(scale: ScaleFormula, harmonies: Iterable[Harmony]) -> tuple[Option, ...]:
    """The scales that a plan may use: the held one, and what advice would change to anywhere."""
    found: dict[Option, None] = {(None, scale): None}
    for harmony in harmonies:
        for tonic, other in candidates(scale, harmony.numeral, harmony.mode):
            at_home = other == scale and (tonic == _TONIC or scale.follows_chord)
            if not at_home:
                found[(tonic, other)] = None
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Step:
    """An option over a chord, with the parts of its cost."""

    option: Option
    fit: Fit
    rub: float
    unwanted: float
    away: float

    @property
    def billionths(self) -> int:
        """The cost as a whole number, so that sums of it can be compared exactly."""
        return round((self.rub + self.unwanted + self.away) * _BILLION)


def _layer(
    options: Sequence[Option], harmony: Harmony, style: Style, beats: Fraction
) -> list[_Step]:
    """Every option over one chord, the held scale first."""
    length = float(beats)
    steps: list[_Step] = []
    for tonic, scale in options:
        fit = Fit(Placement(scale, tonic or home_of(scale, harmony.numeral), harmony), style)
        unwanted = UNWANTED_COST * len(fit.unwanted_places) * length
        home_would_do = bool(steps) and not steps[0].unwanted
        away = AWAY_COST * length if home_would_do else 0.0
        steps.append(_Step((tonic, scale), fit, (1.0 - fit.score) * length, unwanted, away))
    return steps


def _move(home: Option) -> Callable[[_Step | None, _Step | None], Cost]:
    """What it costs to go from one step to the next: beats, then changes."""
    change = round(CHANGE_COST * _BILLION)

    def move(before: _Step | None, after: _Step | None) -> Cost:
        changes = (before.option if before else home) != (after.option if after else home)
        return (change * changes + (after.billionths if after else 0), int(changes))

    return move


def _reason(step: _Step, home: _Step, *, changes: bool) -> str:
    """Why the plan has this scale over this chord."""
    placement = step.fit.placement
    chord = chord_words(placement.numeral)
    name = scale_words(placement.scale, placement.tonic, placement.numeral)
    if step.option != home.option:
        verb = "change to" if changes else "keep"
        why = _rubs(home.fit) or "coming back here would cost more than it gains"
    elif changes:
        verb, why = "come back to", "it is the scale that you hold"
    elif step.fit.has_unwanted:
        verb, why = "stay on", f"a change would cost more than leaving out {_unwanted(step.fit)}"
    else:
        verb, why = "stay on", "nothing of it has to be left out"
    return f"Over {chord}, {verb} {name}: {why}."


def _unwanted(fit: Fit) -> str:
    return listed([note_words(fit.placement, place) for place in fit.unwanted_places])


def _rubs(fit: Fit) -> str:
    placement = fit.placement
    return "; ".join(
        f"{note_words(placement, place)} lies {rub_words(placement, place)}"
        for place in fit.unwanted_places
    )
