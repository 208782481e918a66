"""What all parts of a handout start from: the choices, the sheet, and which scales to show."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from theorykit.handouts.paper import Sheet
from theorykit.instruments.positions import Position, closed_positions, position
from theorykit.scene.harmony import HOME, Harmony, harmonies, scale_on, shown_scale
from theorykit.scene.position_scene import found_positions, is_uneven
from theorykit.scene.scene import scene
from theorykit.scene.selection import Selection
from theorykit.theory.chord import Chord
from theorykit.theory.key import Key
from theorykit.theory.scale import Scale


@dataclass(frozen=True, slots=True)
class ShownScale:
    """A scale that the chart asks for, as a scene has it over the chord where it comes first."""

    name: str
    scale: Scale
    over: str
    scene: dict[str, Any]

    @property
    def caption(self) -> str:
        """The scale and the chord, if there is one."""
        return f"{self.name} over {self.over}" if self.over else self.name


@dataclass(frozen=True)
class Setting:
    """The choices of a handout.

    Parameters
    ----------
    selection : Selection
    sheet : Sheet
    """

    selection: Selection
    sheet: Sheet

    @property
    def key(self) -> Key:
        """The key, major or minor as the chart is."""
        return Key(self.selection.tonic, self.selection.chart.mode)

    @cached_property
    def harmonies(self) -> list[tuple[int, Harmony, bool]]:
        """Bar, harmony and whether it is silent, of every chord."""
        return [(bar, each, placed.silent) for bar, each, placed in harmonies(self.selection)]

    @cached_property
    def chords(self) -> dict[Chord, int]:
        """The different chords that sound, each with the step where it comes first."""
        found: dict[Chord, int] = {}
        for step, (_, harmony, silent) in enumerate(self.harmonies):
            if not silent:
                found.setdefault(harmony.numeral.chord(harmony.tonic), step)
        return found

    @cached_property
    def home_step(self) -> int | None:
        """The first chord on the tonic, if any is."""
        for step in self.chords.values():
            if self.harmonies[step][1].numeral.root.semitones % 12 == 0:
                return step
        return None

    @cached_property
    def scales(self) -> tuple[ShownScale, ...]:
        """The scale that is held, over the home chord, then every other that is advised.

        Where no chord is at home the scale stands by itself, unless it is each chord's own.
        """
        found: dict[str, ShownScale] = {}
        plain = replace(self.selection, compare="", labels=self._labels, follow=True)
        steps = list(self.chords.values())
        if self.home_step is not None:
            steps.insert(0, self.home_step)
        elif not self.selection.formula.follows_chord or not steps:
            scale = scale_on(self.selection.formula, HOME, self.selection.tonic)
            found[scale.pretty] = ShownScale(scale.pretty, scale, "", scene(plain, "scale"))
        for place, step in enumerate(steps):
            # The first is the scale that is held, even if another is advised at home.
            held = place == 0 and self.home_step is not None
            chosen = replace(plain, step=step, follow=not held)
            harmony = self.harmonies[step][1]
            scale = shown_scale(chosen, harmony)
            over = harmony.numeral.chord(harmony.tonic).pretty
            name = f"{over} chord tones" if self.selection.formula.follows_chord else scale.pretty
            if name not in found:
                found[name] = ShownScale(name, scale, over, scene(chosen, "progression"))
        return tuple(found.values())

    @property
    def _labels(self) -> str:
        # A picture on paper can't be asked, so something is always written on its marks.
        return "notes" if self.selection.labels == "hidden" else self.selection.labels

    def hand(self, shown: ShownScale) -> Position | None:
        """What of a scale lies under the hand: where that is first chosen, the hand stays."""
        selection = self.selection
        neck = selection.neck
        if not neck.frets_a_finger or is_uneven(selection):
            return None
        first = self.scales[0]
        found = found_positions(
            selection.instrument, _laid(first.scale, selection.capo), "positions"
        )
        if not found:
            return None
        place = selection.position if 0 <= selection.position < len(found) else 0
        here = found[place]
        if shown is first:
            return here
        return _under_same_hand(selection, shown.scale, here)


def _laid(scale: Scale, capo: int) -> frozenset[int]:
    """The notes of a scale as a neck without its capo has them."""
    return frozenset((note.pitch_class - capo) % 12 for note in scale.notes)


def _under_same_hand(selection: Selection, scale: Scale, here: Position) -> Position:
    """The scale where the hand is, or as near to it as it lies without stretches."""
    neck, capo = selection.neck, selection.capo
    same = position(neck, scale, here.index, closed=here.closed, capo=capo)
    if not here.closed or not same.stretches:
        return same
    near = closed_positions(neck, scale, capo=capo)
    return min(
        (same, *near),
        key=lambda each: (abs(each.index - here.index) + len(each.stretches), each.index),
    )
