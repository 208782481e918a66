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

from dataclasses import dataclass
from fractions import Fraction

from theorykit.analysis.advice import sounded
from theorykit.analysis.classification import Harmony
from theorykit.analysis.fit import Fit
from theorykit.analysis.plan_cost import (
    CHANGE_COST,
    Option,
    Step,
    moves_from,
    plan_options,
    steps_over,
)
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
from theorykit.theory.shortest_path import cheapest_path
from theorykit.theory.table import html_table


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
        Its bars are taken as they are written; pass ``progression.unfolded()`` for repeats played
        out. Where no chord sounds, nothing costs anything but a change.
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
        (bar, Harmony.of(sounded(chord.numeral, thirds=thirds), mode), chord)
        for bar, chords in enumerate(progression.bars, start=1)
        for chord in chords
    ]
    options = plan_options(scale, (harmony for _, harmony, _ in slots))
    layers = [
        steps_over(options, harmony, style, 0.0 if chord.silent else float(chord.beats))
        for _, harmony, chord in slots
    ]
    entries: list[PlanEntry] = []
    before = home
    _, steps = cheapest_path(layers, moves_from(home))
    for (bar, harmony, chord), layer, step in zip(slots, layers, steps, strict=True):
        changes = step.option != before
        before = step.option
        entry = PlanEntry(
            bar,
            harmony.numeral,
            chord.beats,
            step.fit.placement.tonic,
            step.fit.placement.scale,
            step.fit,
            changes,
            step.rub,
            step.unwanted,
            step.away,
            CHANGE_COST if changes else 0.0,
            _reason(step, layer[0], changes=changes, silent=chord.silent),
        )
        entries.append(entry)
    return Plan(scale, style, mode, tuple(entries), before != home)


def _reason(step: Step, home: Step, *, changes: bool, silent: bool) -> str:
    """Why the plan has this scale over this chord."""
    placement = step.fit.placement
    chord = chord_words(placement.numeral)
    name = scale_words(placement.scale, placement.tonic, placement.numeral)
    if silent:
        return f"No chord sounds: {'change to' if changes else 'stay on'} {name}."
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
