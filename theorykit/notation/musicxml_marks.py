"""What MusicXML writes at a note besides its pitch and length."""

from __future__ import annotations

from typing import Literal
from xml.etree.ElementTree import Element

from theorykit.errors import BadInput
from theorykit.notation.musicxml_elements import number, text_of
from theorykit.notation.tune import TuneNote
from theorykit.theory.degree import Degree

_PLAIN: tuple[Literal["staccato", "tenuto", "accent"], ...] = ("staccato", "tenuto", "accent")
_JOINED: tuple[Literal["hammer-on", "pull-off"], ...] = ("hammer-on", "pull-off")

_MOST_LEVEL = 2.0
_MOST_BEND = 12


def read_marks(element: Element, note: TuneNote) -> list[tuple[str, str]]:
    """Read an element's marks into its note.

    Returns
    -------
    list of (str, str)
        The slides that start and stop at it: their number, and ``"start"`` or ``"stop"``.
    """
    ties = [
        tie.get("type") for tie in (*element.findall("tie"), *element.findall("notations/tied"))
    ]
    note.tied = "start" in ties
    level = element.get("dynamics")
    if level:
        note.level = min(max(float(number(level)) / 100, 0.0), _MOST_LEVEL)
    if any(head.get("parentheses") == "yes" for head in element.findall("notehead")):
        note.articulation = "ghost"
    for lyric in element.findall("lyric/text"):
        try:
            note.degree = Degree.parse(lyric.text or "")
        except BadInput:
            continue
        break
    sliding: list[tuple[str, str]] = []
    for notations in element.findall("notations"):
        sliding += [
            (slide.get("number") or "1", slide.get("type") or "")
            for name in ("slide", "glissando")
            for slide in notations.findall(name)
        ]
        note.vibrato = note.vibrato or notations.find("ornaments/wavy-line") is not None
        note.scoop = note.scoop or notations.find("articulations/scoop") is not None
        for name in _PLAIN:
            if notations.find(f"articulations/{name}") is not None:
                note.articulation = name
        for technical in notations.findall("technical"):
            _technical(technical, note)
    # What a note slides to is settled before where it slides on to.
    return sorted(sliding, key=lambda slide: slide[1] == "start")


def _technical(technical: Element, note: TuneNote) -> None:
    for name in ("string", "fret"):
        text = text_of(technical, name)
        if text.isascii() and text.isdigit() and len(text) < 3:
            setattr(note, name, int(text))
    fingering = text_of(technical, "fingering")
    if fingering in {"0", "1", "2", "3", "4"}:
        note.finger = int(fingering)
    for joined in _JOINED:
        if any(each.get("type") == "stop" for each in technical.findall(joined)):
            note.articulation = joined
    for bend in technical.findall("bend"):
        change = float(number(text_of(bend, "bend-alter") or "0"))
        if abs(change) > _MOST_BEND:
            continue
        if bend.find("pre-bend") is not None and not note.bends:
            note.bent_before = change
            continue
        done = note.bends[-1][1] if note.bends else 0.0
        first = _place(bend.get("first-beat"), done if note.bends else 25.0)
        last = _place(bend.get("last-beat"), 75.0)
        if done <= first <= last:
            note.bends.append((first, last, change))


def _place(text: str | None, otherwise: float) -> float:
    return min(max(float(number(text)), 0.0), 100.0) if text else otherwise
