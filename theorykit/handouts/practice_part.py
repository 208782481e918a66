"""The parts of a handout that are played from: an example line, and a routine to tick off."""

from __future__ import annotations

from theorykit.handouts.block import Block, Part, Picture, Points, Step, Steps, Words
from theorykit.handouts.setting import Setting
from theorykit.handouts.systems import systems
from theorykit.notation.engrave import engrave
from theorykit.practice.line_level import LEVELS
from theorykit.practice.routine import CAUTIONS, RoutineItem, routine
from theorykit.practice.routine import Block as RoutineBlock
from theorykit.practice.routine_plan import clock
from theorykit.scene.selection import LEVEL_NAMES
from theorykit.scene.sheet import chosen_line
from theorykit.score.score import SLOWEST

#: How long the routine takes: what a student has on a weekday (stipulated).
MINUTES = 20

#: The ladder starts at this share of the study's tempo and climbs by this many beats a minute.
_SLOW_SHARE, _STEP = 0.6, 10

#: Screen pixels of an engraving as wide as the page: the more, the smaller it prints. A long chart
#: is small enough to stay on one page.
_PIXELS, _SMALL_PIXELS, _LONG_BARS = 780, 900, 24


def line_part(setting: Setting) -> Part:
    """An example solo in staff and tablature, a system to a picture."""
    selection = setting.selection
    found = chosen_line(selection, selection.number)
    level = LEVELS[LEVEL_NAMES.index(selection.level) + 1]
    if found.score is None:
        return Part("An example line", (Words(found.problem),))
    large = setting.sheet.large
    engraved = engrave(
        found.score,
        instrument=selection.neck,
        large=large,
        bars_a_line=2 if large else 4,
        width=_SMALL_PIXELS if len(selection.chart.bars) > _LONG_BARS else _PIXELS,
    )
    drawn = systems(engraved)
    pictures = [
        Picture(each, words, setting.sheet.width)
        for each, words in zip(drawn, [engraved.words, *[""] * (len(drawn) - 1)], strict=True)
    ]
    blocks: list[Block] = [Words(f"{level.promise} Say the degree of each note as you play it.")]
    blocks += pictures
    notes = "Over a note: the finger. Under it: its degree in the chord of the moment."
    if selection.capo:
        notes += " The line is written without the capo."
    blocks.append(Words(notes, small=True))
    return Part("An example line", tuple(blocks))


def routine_part(setting: Setting) -> Part:
    """Twenty minutes to tick off, with the usual cautions."""
    selection = setting.selection
    top = selection.tempo
    slow = max(round(top * _SLOW_SHARE), SLOWEST)
    items = [RoutineItem("scale", selection.scale), RoutineItem("shapes", "chord shapes")]
    if not selection.formula.follows_chord:
        items.append(RoutineItem("sequence", selection.scale, pattern=selection.figure))
    items += [
        RoutineItem("line", "example line"),
        RoutineItem("progression", selection.progression),
    ]
    plan = routine(items, minutes=MINUTES, keys=[setting.key], tempo=(slow, top, _STEP))
    steps, at = [], 0
    for block in plan.blocks:
        tempos = tuple(f"{rung.tempo:g}" for rung in block.tempos)
        steps.append(Step(clock(at), clock(block.seconds), _title(setting, block), tempos))
        at += block.seconds
    words = Words(
        f"{MINUTES} minutes. Tick a tempo (beats a minute) when it was clean three times in a row."
    )
    return Part("A practice routine", (words, Steps(tuple(steps)), Points(CAUTIONS)))


def _title(setting: Setting, block: RoutineBlock) -> str:
    """What is done in a block, in the words of this handout."""
    selection = setting.selection
    if block.item is None:
        return "Rest: put the instrument down, stand up, shake out your hands"
    scale = setting.scales[0].name
    shapeless = not selection.neck.frets_a_finger or selection.neck.fretless
    where = "" if setting.hand(setting.scales[0]) is None else " in the position"
    told = {
        "scale": f"{scale}, up and down{where}",
        "sequence": f"{scale} in {selection.figure}",
        "shapes": "The chord tones, chord by chord"
        if shapeless
        else "The chord shapes, one a bar, in the chart's order",
        "line": "The example line, two bars at a time",
        "progression": "Your own solo over the chart, with its advice",
    }[block.item.kind]
    return f"Warm-up: {told}, slowly" if block.kind == "warm-up" else told
