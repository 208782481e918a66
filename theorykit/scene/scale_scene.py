"""The scene of a scale, over the chord of the moment or with no chord."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from theorykit.analysis import wording
from theorykit.analysis.fit import classes
from theorykit.analysis.style import CHORD_TONE
from theorykit.scene import captions
from theorykit.scene.geometry import keyboard_geometry, neck_cells, neck_geometry
from theorykit.scene.harmony import (
    Harmony,
    Kind,
    compared_scale,
    follows,
    harmonies,
    harmony_of,
    shown_scale,
)
from theorykit.scene.selection import Selection
from theorykit.theory.degree import Degree
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.theory.scale import Scale

#: What the twelve notes are called where neither scale nor chord names them.
CHROMATIC_TOKENS = (
    "1",
    "b2|#1",
    "2",
    "b3|#2",
    "3",
    "4",
    "#4|b5",
    "5",
    "b6|#5",
    "6",
    "b7|#6",
    "7",
)


def scale_scene(selection: Selection, kind: Kind = "progression") -> dict[str, Any]:
    """What ``scene`` gives for the kinds "progression" and "scale"."""
    harmony = harmony_of(selection, kind)
    shown = shown_scale(selection, harmony)
    marks = _marks(selection, kind, harmony, shown)
    title = _title(shown, harmony.numeral, harmony.tonic)
    if follows(selection, harmony):
        title += " (advised)"
    chord = harmony.numeral.chord(harmony.tonic)
    over = "no chord" if harmony.silent else chord.pretty
    heading = f"{title} over {over}" if kind == "progression" else title
    if selection.compare:
        heading += f", beside {_title(compared_scale(selection, harmony), chord=None)}"
    legend = "compare" if selection.compare else "scale" if kind == "scale" else "chord"
    data: dict[str, Any] = {
        "heading": heading,
        "sentence": _sentence(selection, harmony),
        "legend": legend,
        "marks": marks,
        "neck": _neck(selection, marks),
        "keyboard": _keyboard(selection, marks),
        "ruler": _ruler(kind, harmony, marks),
        "chart": _chart(selection) if kind == "progression" else [],
        "step": selection.step if kind == "progression" else 0,
    }
    data["alt"] = captions.alternatives(
        selection.instrument, heading, marks, harmony.tonic.pitch_class
    )
    return data


def _title(scale: Scale, chord: Numeral | None, tonic: Note | None = None) -> str:
    """A scale's name; the chord's tones are called after the chord."""
    if scale.formula.name == "chord tones" and chord is not None and tonic is not None:
        return f"{chord.chord(tonic).pretty} {scale.formula.name}"
    return scale.pretty


def _marks(
    selection: Selection, kind: Kind, harmony: Harmony, shown: Scale
) -> list[dict[str, str] | None]:
    """What is drawn for each of the twelve pitch classes."""
    marks: list[dict[str, str] | None] = [None] * 12
    first, second = shown, None
    if selection.compare:
        second = compared_scale(selection, harmony)
    in_first = {note.pitch_class for note in first.notes}
    in_second = {note.pitch_class for note in second.notes} if second else set()
    for scale in (second, first) if second else (first,):
        for note, degree in zip(scale.notes, scale.degrees, strict=True):
            pitch_class = note.pitch_class
            if second is not None:
                here, there = pitch_class in in_first, pitch_class in in_second
                both = "home" if pitch_class == first.tonic.pitch_class else "both"
                role = both if here and there else "first" if here else "second"
            elif kind == "scale":
                role = "tonic" if pitch_class == shown.tonic.pitch_class else "scale"
            else:
                role = _role(pitch_class, harmony)
            marks[pitch_class] = {"role": role, "name": note.pretty, "degree": degree.pretty}
    return marks


def _role(pitch_class: int, harmony: Harmony) -> str:
    semitones = (pitch_class - harmony.tonic.pitch_class) % 12
    if harmony.silent:
        return "colour"
    kind, member = classes(harmony.numeral, harmony.mode)[semitones]
    return "root" if kind is CHORD_TONE and member == Degree(1) else kind.role


def label_of(selection: Selection, mark: dict[str, str]) -> str:
    """What is written on a mark."""
    if selection.labels == "hidden":
        return ""
    return mark["name"] if selection.labels == "notes" else mark["degree"]


def _neck(selection: Selection, marks: Sequence[dict[str, str] | None]) -> list[dict[str, Any]]:
    cells = neck_cells(neck_geometry(selection.neck), selection.capo)
    return marked(selection, cells, marks)


def _keyboard(selection: Selection, marks: Sequence[dict[str, str] | None]) -> list[dict[str, Any]]:
    keys = [{"midi": key["midi"], "x": key["x"], "y": key["y"]} for key in keyboard_geometry()]
    return marked(selection, keys, marks)


def marked(
    selection: Selection,
    places: list[dict[str, Any]],
    marks: Sequence[dict[str, str] | None],
) -> list[dict[str, Any]]:
    """The places, each with ``midi``, that have a mark, with its role and label."""
    found = []
    for place in places:
        mark = marks[place["midi"] % 12]
        if mark is not None:
            found.append({**place, "role": mark["role"], "label": label_of(selection, mark)})
    return found


def _ruler(
    kind: Kind,
    harmony: Harmony,
    marks: Sequence[dict[str, str] | None],
) -> dict[str, Any]:
    """Twelve slots from the chord's root: scale above, chord below, and what rubs on what.

    With no chord, the scale that is compared lies below.
    """
    tonic, numeral = harmony.tonic, harmony.numeral
    root = numeral.root.at(tonic)
    table, sounds = classes(numeral, harmony.mode), kind == "progression" and not harmony.silent
    names = [wording.token_degree(token, tonic).at(tonic).pretty for token in CHROMATIC_TOKENS]
    members = {degree.at(root).pitch_class: degree for degree in reversed(numeral.type.degrees)}
    above, below, slots, links = [], [], [], []
    for slot in range(12):
        pitch_class = (root.pitch_class + slot) % 12
        semitones = (pitch_class - tonic.pitch_class) % 12
        mark, member = marks[pitch_class], members.get(pitch_class)
        name = names[semitones]
        if member is not None:
            name = member.at(root).pretty
        if mark is not None:
            name = mark["name"]
        slots.append(name)
        if sounds and member is not None:
            role = "root" if member.number == 1 else "chord tone"
            label = member.ordinal if member.number == 1 else member.pretty
            below.append({"slot": slot, "role": role, "label": label})
        if mark is None:
            continue
        entry = {"slot": slot, "role": mark["role"], "label": mark["degree"]}
        if kind == "scale" and mark["role"] in {"home", "both", "second"}:
            below.append(entry)
        if kind == "progression" or mark["role"] != "second":
            above.append(entry)
        rub = table[semitones][0]
        if sounds and rub.rubs_against and rub.role in {"avoid", "blue"}:
            links.append({"from": slot, "to": (slot + rub.rubs_against) % 12, "kind": rub.role})
    return {"slots": slots, "above": above, "below": below, "links": links}


def _sentence(selection: Selection, harmony: Harmony) -> str:
    tonic = harmony.tonic
    if harmony.silent:
        return captions.SILENCE
    if harmony.advice is not None:
        return wording.fill(harmony.advice.reason, tonic, pretty=True)
    return wording.fill(
        captions.scale_sentence(selection.formula, selection.compared), tonic, pretty=True
    )


def _chart(selection: Selection) -> list[list[dict[str, Any]]]:
    bars: list[list[dict[str, Any]]] = [[] for _ in selection.chart.bars]
    for step, (bar, harmony, placed) in enumerate(harmonies(selection)):
        assert harmony.advice is not None
        silent, tonic = placed.silent, harmony.tonic
        short = wording.fill(harmony.advice.short, tonic, pretty=True)
        bars[bar - 1].append(
            {
                "step": step,
                "bar": bar,
                "beats": float(placed.beats),
                "numeral": captions.NO_CHORD if silent else placed.numeral.pretty,
                "chord": "" if silent else harmony.numeral.chord(tonic).pretty,
                "verdict": "stay" if silent else harmony.advice.verdict,
                "short": captions.SILENCE_SHORT if silent else short,
            }
        )
    return bars
