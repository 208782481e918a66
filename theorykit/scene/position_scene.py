"""The scene of a scale cut up along the neck: one position stands out, the others step back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Any

from theorykit.analysis.fit import scale_over
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.fretboard import shown_frets
from theorykit.instruments.instrument import Instrument
from theorykit.instruments.positions import (
    Position,
    closed_positions,
    melody_strings,
    patterns,
    position,
)
from theorykit.instruments.routes import Route, routes
from theorykit.scene.geometry import neck_cells, neck_geometry
from theorykit.scene.harmony import HOME
from theorykit.scene.phrases import phrase
from theorykit.scene.scale_scene import label_of, scale_scene
from theorykit.scene.selection import PATTERNS, Selection
from theorykit.theory.degree import Degree
from theorykit.theory.key import TONICS
from theorykit.theory.pitch import Note
from theorykit.theory.scale import Scale, ScaleFormula, find_scale

Mark = dict[str, str] | None


#: Any set of notes as a scale, whatever they are called.
_DEGREES = ("1", "b2", "2", "b3", "3", "4", "#4", "5", "b6", "6", "b7", "7")


@lru_cache(maxsize=2048)
def found_positions(
    instrument: str, pitch_classes: frozenset[int], pattern: str
) -> tuple[Position, ...]:
    """The positions of some notes as they lie with no capo, the open one first.

    Scales with the same notes, such as C major and A minor, have the same positions.

    Parameters
    ----------
    instrument : str
    pitch_classes : frozenset of int
    pattern : str
        One of ``PATTERNS``.
    """
    neck = find_instrument(instrument)
    if not neck.frets_a_finger:
        return ()
    first = min(pitch_classes)
    tonic = next(tonic for tonic in TONICS if tonic.pitch_class == first)
    degrees = tuple(Degree.parse(_DEGREES[each - first]) for each in sorted(pitch_classes))
    scale = Scale(tonic, ScaleFormula(" ".join(map(str, degrees)), degrees))
    if pattern != PATTERNS[0]:
        return tuple(patterns(neck, scale, int(pattern[0])))
    opened, closed = position(neck, scale, 1), closed_positions(neck, scale)
    if any(place.cell.fret == 0 for place in opened.places):
        return (opened, *closed)
    return tuple(closed)


def laid_notes(tonic: Note, scale: str, capo: int = 0) -> frozenset[int]:
    """The pitch classes of a scale as a neck without its capo has them.

    With a capo at fret 2, G's positions lie where F's would.
    """
    start = tonic.pitch_class - capo
    return frozenset(
        (start + semitones) % 12 for semitones in scale_over(HOME, find_scale(scale)).semitones
    )


def shown_positions(selection: Selection) -> list[Position]:
    """Those that lie on the part of the neck that is shown."""
    if is_uneven(selection):
        return []
    last = shown_frets(selection.neck) - selection.capo
    notes = laid_notes(selection.tonic, selection.scale, selection.capo)
    found = found_positions(selection.instrument, notes, selection.pattern)
    return [each for each in found if max(each.last, *_stopped(each)) <= last]


def is_uneven(selection: Selection) -> bool:
    """True where a capo does not move what lies on the neck, because frets are left out."""
    return bool(selection.capo and selection.neck.fretted)


def _stopped(found: Position) -> list[int]:
    return [place.cell.fret for place in found.places]


def position_scene(selection: Selection) -> dict[str, Any]:
    """What ``scene`` gives for the kind "positions".

    To the scene of the scale it adds ``positions`` (the names of all), ``position`` (which stands
    out, -1 for none) and ``run`` (its places as string and fret, rising); on the neck, places
    outside the position have the role ``faded``.
    """
    data = scale_scene(replace(selection, compare=""), "scale")
    found = shown_positions(selection)
    number = selection.position if selection.position < len(found) else 0
    if not found:
        number = -1
    here = found[number] if number >= 0 else None
    title = phrase("no position") if here is None else _title(selection, here)
    if here is not None:
        title = phrase("counted", what=title, number=number + 1, count=len(found))
    heading = f"{data['heading']}, {title}"
    name = selection.instrument
    neck = phrase(
        "neck", instrument=name[:1].upper() + name[1:], heading=heading, places=_words(here)
    )
    return data | {
        "heading": heading,
        "sentence": _sentence(selection, found, number),
        "legend": "positions",
        "neck": _neck(selection, here, data["marks"]),
        "positions": [_name(each) for each in found],
        "position": number,
        "run": [[place.cell.string, place.cell.fret] for place in here.places] if here else [],
        "alt": data["alt"] | {"neck": neck},
    }


def _title(selection: Selection, here: Position) -> str:
    if selection.pattern != PATTERNS[0]:
        return phrase("pattern", notes=selection.pattern, index=here.index, last=here.last)
    if here.closed:
        return phrase("closed position", index=here.index)
    return phrase("open position", index=here.index, last=here.last)


def _name(here: Position) -> str:
    return phrase("fret name", index=here.index) if here.closed else phrase("open name")


def _sentence(selection: Selection, found: list[Position], number: int) -> str:
    if is_uneven(selection):
        return phrase("uneven", instrument=selection.instrument)
    if not found and selection.neck.frets_a_finger and selection.pattern != PATTERNS[0]:
        return phrase("no pattern", notes=selection.pattern)
    if not found:
        return phrase("no positions", instrument=selection.instrument)
    if number < 0:
        return phrase("choose")
    here = found[number]
    if selection.pattern != PATTERNS[0]:
        return phrase("moved")
    fret_x = neck_geometry(selection.neck)["fret_x"]
    apart = fret_x[here.last + selection.capo] - fret_x[here.index + selection.capo]
    said = [phrase("hand", index=here.index, last=here.last, mm=int(apart + 0.5))]
    stretches = [
        phrase("stopped", string=place.cell.string, fret=place.cell.fret)
        for place in here.stretches
    ]
    if stretches:
        said.append(phrase("stretch", places=", ".join(stretches)))
    if number + 1 == len(found):
        return " ".join([*said, phrase("last")])
    way = next_route(selection.neck, here, found[number + 1])
    return " ".join([*said, _route_words(way)] if way else said)


def next_route(instrument: Instrument, here: Position, there: Position) -> Route | None:
    """The easiest way on from one position to the next."""
    return next(iter(routes(instrument, here, there)), None)


def _route_words(way: Route) -> str:
    fields = {
        "finger": way.fingers[0],
        "other": way.fingers[1],
        "string": way.string,
        "start": way.start.cell.fret,
        "end": way.end.cell.fret,
    }
    return phrase("slide" if way.fingers[0] == way.fingers[1] else "shift", **fields)


def _neck(
    selection: Selection, here: Position | None, marks: Sequence[Mark]
) -> list[dict[str, Any]]:
    under = None if here is None else {(p.cell.string, p.cell.fret) for p in here.places}
    drawn = []
    for cell in neck_cells(neck_geometry(selection.neck), selection.capo):
        mark = marks[cell["midi"] % 12]
        if mark is None:
            continue
        if under is not None and (cell["string"], cell["fret"]) not in under:
            drawn.append({**cell, "role": "faded", "label": ""})
            continue
        label = label_of(selection, mark)
        if selection.fingers and here is not None:
            label = str(here.finger(cell["fret"]))
        drawn.append({**cell, "role": mark["role"], "label": label})
    return drawn


def _words(here: Position | None) -> str:
    if here is None:
        return phrase("no position")
    strings = sorted({place.cell.string for place in here.places}, reverse=True)
    runs = [
        phrase("string run", string=number, frets=" ".join(map(str, here.on_string(number))))
        for number in strings
    ]
    return "; ".join(runs)


#: Digits of the numbers in a position's code: no neck has more frets.
_DIGITS = "0123456789abcdefghijklmnopqrstuvwxyz"


def position_code(instrument: Instrument, here: Position, there: Position | None) -> str:
    """A position in a few letters, for the table that a browser gets.

    Index finger, last fret of the hand, ``c`` for closed or ``o``; the lowest and highest fret on
    each melody string from the lowest, ``--`` for none; and, after a point, the way to the next:
    string, fret, fret, finger, finger.
    """
    code = [_DIGITS[here.index], _DIGITS[here.last], "c" if here.closed else "o"]
    for number in melody_strings(instrument):
        frets = here.on_string(number)
        code.append(f"{_DIGITS[frets[0]]}{_DIGITS[frets[-1]]}" if frets else "--")
    way = next_route(instrument, here, there) if there is not None else None
    if way is not None:
        numbers = (way.string, way.start.cell.fret, way.end.cell.fret, *way.fingers)
        code += [".", *(_DIGITS[number] for number in numbers)]
    return "".join(code)
