"""The parts of a handout that say what is played: the chart with its advice, and the notes."""

from __future__ import annotations

from theorykit.analysis.advice import Advice
from theorykit.analysis.omission import Omission, compare_without
from theorykit.analysis.wording import fill
from theorykit.handouts.block import (
    Bar,
    Block,
    ChartBars,
    ChordCell,
    Part,
    Picture,
    Pictures,
    Points,
    Table,
    Words,
)
from theorykit.handouts.mark_picture import lone_mark
from theorykit.handouts.setting import Setting
from theorykit.scene.captions import NO_CHORD
from theorykit.scene.codes import CODES
from theorykit.scene.harmony import Harmony
from theorykit.scene.scene import scene

#: What each verdict means, for those who see a chart for the first time.
VERDICT_WORDS = {
    "stay": "stay: every note of the scale may be rested on",
    "pass": "pass through: touch the note and move on",
    "leave": "leave out: go round the note while this chord lasts",
    "switch": "switch to: another scale fits this chord better (grey bars)",
}


def chart_part(setting: Setting) -> Part:
    """The chart, and why it says what it says."""
    selection = setting.selection
    sections = {mark.bar: mark.value for mark in selection.chart.marks if mark.kind == "section"}
    bars = []
    for number, chords in enumerate(scene(selection, "progression")["chart"]):
        cells = tuple(
            ChordCell(
                each["chord"] or NO_CHORD,
                each["numeral"] if each["chord"] else "",
                each["verdict"],
                each["short"],
            )
            for each in chords
        )
        bars.append(Bar(number + 1, sections.get(number, ""), cells))
    columns = 2 if setting.sheet.large else 4
    blocks: list[Block] = [ChartBars(tuple(bars), columns)]
    reasons = dict.fromkeys(
        fill(harmony.advice.reason, harmony.tonic, pretty=True)
        for _, harmony, silent in setting.harmonies
        if harmony.advice is not None and harmony.advice.verdict != "stay" and not silent
    )
    if reasons:
        blocks.append(Points(tuple(reasons)))
    elif selection.formula.follows_chord:
        blocks.append(Words("Play each chord's own notes: any of them may be rested on."))
    else:
        blocks.append(Words(f"{setting.scales[0].name} serves over every chord."))
    if not selection.thirds:
        blocks.append(Words("The chords are played without their thirds."))
    return Part("The chart", tuple(blocks))


def thirdless(setting: Setting, harmony: Harmony) -> Omission | None:
    """What leaving the third out does over a chord, or None where nothing much comes of it.

    It is worth a shape where fewer notes are to be watched then, or where one stays on the scale
    and a note of it stops rubbing against the third for good, as the blue third does.
    """
    selection = setting.selection
    if harmony.advice is None or selection.formula.follows_chord or not selection.thirds:
        return None
    found = compare_without(
        selection.formula, harmony.numeral, selection.taste, harmony.mode, harmony.advice.beats
    )
    for omission in found:
        if omission.member == "third":
            whole, without = _watched(omission.whole), _watched(omission.without)
            clears = any(note.kind.role in ("blue", "avoid") for note in omission.freed)
            stays = omission.whole.verdict != "switch"
            if without < whole or (without == whole and clears and stays):
                return omission
    return None


def _watched(advice: Advice) -> frozenset[str]:
    return frozenset(str(note.degree) for note in advice.watch)


def reference_part(setting: Setting) -> Part:
    """The notes of scales and chords, the marks, and what the words of the chart mean."""
    scales = () if setting.selection.formula.follows_chord else setting.scales
    rows = [
        (
            shown.name,
            "  ".join(note.pretty for note in shown.scale.notes),
            "  ".join(degree.pretty for degree in shown.scale.degrees),
        )
        for shown in scales
    ]
    for chord in setting.chords:
        members = chord.type.degrees
        rows.append(
            (
                f"{chord.pretty} chord",
                "  ".join(degree.at(chord.root).pretty for degree in members),
                "  ".join(degree.pretty for degree in members),
            )
        )
    blocks: list[Block] = [Table(("", "notes", "from its own root"), tuple(rows), 1)]
    there = {mark["role"] for shown in setting.scales for mark in shown.scene["marks"] if mark}
    roles = [role for role in CODES if role in there]
    width = 30.0 if setting.sheet.large else 20.0
    blocks.append(
        Pictures(
            tuple(
                Picture(lone_mark(role), CODES[role].words, width, CODES[role].words)
                for role in roles
            )
        )
    )
    verdicts = {
        harmony.advice.verdict for _, harmony, silent in setting.harmonies if harmony.advice
    }
    blocks.append(
        Points(tuple(words for verdict, words in VERDICT_WORDS.items() if verdict in verdicts))
    )
    blocks.append(
        Words(
            "The advice is a convention of styles, put into numbers "
            f"(here: {setting.selection.style}). An ear in the room outranks it.",
            small=True,
        )
    )
    return Part("To look up", tuple(blocks))
