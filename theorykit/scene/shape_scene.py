"""The scene of a chord's shapes: one on the neck, the others to choose from, two to compare."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from theorykit.analysis.roughness import roughness, third_excess
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.fretboard import shown_frets
from theorykit.instruments.shape import Shape
from theorykit.instruments.shape_search import find_shapes
from theorykit.scene.geometry import keyboard_geometry, neck_cells, neck_geometry
from theorykit.scene.phrases import MEMBER_WORDS, phrase
from theorykit.scene.position_scene import is_uneven
from theorykit.scene.scale_scene import label_of, marked
from theorykit.scene.selection import PLACES, Selection
from theorykit.theory.chord import Chord, ChordType
from theorykit.theory.degree import Degree
from theorykit.theory.key import TONICS

#: How many shapes are kept for each place on the neck.
KEPT = 5

#: The lowest and highest stopped fret of the places that have them.
REACHES = {"frets 1 to 4": (1, 4), "frets 5 to 8": (5, 8), "frets 9 to 12": (9, 12)}

#: A whole number stands for a roughness: a thousandth is less than anybody hears.
_SCALE = 1000


@dataclass(frozen=True, slots=True)
class FoundShape:
    """A shape with what is heard of it.

    Parameters
    ----------
    shape : Shape
    roughness : int
        Of its notes alone, in thousandths.
    rub : int or None
        How much rougher a lowered third is above it than the chord's own third, in thousandths;
        None for a chord that has no major third to lower.
    """

    shape: Shape
    roughness: int
    rub: int | None


def lies_at(frets: tuple[int | None, ...], place: str) -> bool:
    """True for a shape that lies at a place, one of ``PLACES``."""
    stopped = [fret for fret in frets if fret]
    if place == "anywhere":
        return True
    if place == "with open strings":
        return 0 in frets
    if place == "closed":
        return 0 not in frets
    low, high = REACHES[place]
    return bool(stopped) and low <= min(stopped) and max(stopped) <= high


@lru_cache(maxsize=4096)
def found_shapes(
    instrument: str, pitch_class: int, quality: str, omit: str
) -> tuple[FoundShape, ...]:
    """The shapes of a chord as they lie with no capo, the best first: some for each place.

    Parameters
    ----------
    instrument : str
    pitch_class : int
        Of the root.
    quality : str
        What the chord's symbol has after the root.
    omit : str
        One of ``OMISSIONS``.
    """
    neck = find_instrument(instrument)
    if not neck.frets_a_finger or neck.fretless:
        return ()
    root = next(tonic for tonic in TONICS if tonic.pitch_class == pitch_class)
    chord = Chord(root, ChordType.parse(quality))
    left_out = omitted(chord.type, omit)
    found = find_shapes(
        neck, chord, omit=(omit,) if left_out is not None else (), highest_fret=shown_frets(neck)
    )
    kept = {
        shape
        for place in PLACES
        for shape in [each for each in found if lies_at(each.frets, place)][:KEPT]
    }
    third = chord.type.third
    lowers = third is not None and third.semitones == 4
    return tuple(_heard(each, pitch_class, lowers) for each in found if each in kept)


def omitted(kind: ChordType, omit: str) -> Degree | None:
    """The member that is left out, where the chord has it."""
    return next((degree for degree in kind.degrees if str(degree.number) == omit), None)


def _heard(shape: Shape, root: int, lowers: bool) -> FoundShape:
    midis = [midi for midi in shape.midis if midi is not None]
    rub = None
    if lowers:
        # The first lowered third above the top note.
        melody = max(midis) + 1 + (root + 3 - max(midis) - 1) % 12
        rub = round(_SCALE * third_excess(midis, melody, melody + 1))
    return FoundShape(shape, round(_SCALE * roughness(midis)), rub)


def shape_code(found: FoundShape) -> str:
    """A shape in a few letters: frets, fingers, roughness, rub; the lowest string first.

    Frets count on with letters after 9; ``x`` is a muted string.
    """
    frets = "".join("x" if fret is None else _digit(fret) for fret in reversed(found.shape.frets))
    fingers = "".join(map(str, reversed(found.shape.fingers)))
    rub = "" if found.rub is None else found.rub
    return f"{frets}.{fingers}.{found.roughness}.{rub}"


def _digit(fret: int) -> str:
    return "0123456789abcdefghijklmnopqrstuvw"[fret]


def shape_scene(selection: Selection) -> dict[str, Any]:
    """What ``scene`` gives for the kind "shapes".

    ``shapes`` has for each ``text``, and from the lowest string ``frets``, ``fingers`` and
    ``degrees``; ``shape`` and ``beside`` are the numbers of the one on the neck and of the one that
    it is compared with, -1 for none.
    """
    chord = selection.chord
    shift = (chord.root.pitch_class - selection.capo) % 12
    every = found_shapes(selection.instrument, shift, selection.quality, selection.omit)
    last = shown_frets(selection.neck) - selection.capo
    found = [
        each
        for each in every
        if not is_uneven(selection)
        and lies_at(each.shape.frets, selection.place)
        and max(fret or 0 for fret in each.shape.frets) <= last
    ]
    number = selection.shape if selection.shape < len(found) else 0
    beside = selection.beside if selection.beside < len(found) else -1
    if not found:
        number = -1
    if beside == number:
        beside = -1
    first = found[number] if number >= 0 else None
    second = found[beside] if beside >= 0 else None
    marks = _marks(chord, selection.omit)
    heading = _heading(selection, found, number, second)
    neck = _neck(selection, marks, first, second)
    name = selection.instrument[:1].upper() + selection.instrument[1:]
    keys = [{"midi": key["midi"], "x": key["x"], "y": key["y"]} for key in keyboard_geometry()]
    spoken = _spoken(first) if first else ""
    notes = ", ".join(
        f"{mark['name']} ({mark['degree']})"
        for mark in (*marks[chord.root.pitch_class :], *marks[: chord.root.pitch_class])
        if mark is not None
    )
    return {
        "heading": heading,
        "sentence": _sentence(selection, every, first, second),
        "legend": "shape" if second is None else "shapes",
        "marks": marks,
        "neck": neck,
        "keyboard": marked(selection, keys, marks),
        "ruler": {"slots": [], "above": [], "below": [], "links": []},
        "chart": [],
        "step": 0,
        "shapes": [_card(each, marks, selection.capo) for each in found],
        "shape": number,
        "beside": beside,
        "alt": {
            "neck": phrase("neck", instrument=name, heading=heading, places=spoken),
            "keyboard": phrase("keys", heading=heading, notes=notes),
        },
    }


def _marks(chord: Chord, omit: str) -> list[dict[str, str] | None]:
    marks: list[dict[str, str] | None] = [None] * 12
    left_out = omitted(chord.type, omit)
    for degree in reversed(chord.type.degrees):
        note = degree.at(chord.root)
        if degree != left_out:
            role = "root" if degree.number == 1 else "chord tone"
            marks[note.pitch_class] = {
                "role": role,
                "name": note.pretty,
                "degree": degree.pretty,
            }
    return marks


def chord_words(selection: Selection) -> str:
    """The chord's name, with what is left out of it."""
    chord = selection.chord
    if omitted(chord.type, selection.omit) is None:
        return chord.pretty
    return phrase("without", chord=chord.pretty, member=MEMBER_WORDS[selection.omit])


def _heading(
    selection: Selection, found: list[FoundShape], number: int, second: FoundShape | None
) -> str:
    words = chord_words(selection)
    if number < 0:
        return words
    what = f"{words}: {found[number].shape.text}"
    heading = phrase("counted", what=what, number=number + 1, count=len(found))
    return heading if second is None else phrase("beside", what=heading, other=second.shape.text)


def _neck(
    selection: Selection,
    marks: list[dict[str, str] | None],
    first: FoundShape | None,
    second: FoundShape | None,
) -> list[dict[str, Any]]:
    drawn = []
    for cell in neck_cells(neck_geometry(selection.neck), selection.capo):
        string = cell["string"] - 1
        mine = first is not None and first.shape.frets[string] == cell["fret"]
        theirs = second is not None and second.shape.frets[string] == cell["fret"]
        mark = marks[cell["midi"] % 12]
        if mark is not None and (mine or theirs):
            role = mark["role"]
            if second is not None:
                role = "both" if mine and theirs else "first" if mine else "second"
            held = first if mine else second
            assert held is not None
            finger = str(held.shape.fingers[string])
            label = finger if selection.fingers else label_of(selection, mark)
            drawn.append({**cell, "role": role, "label": label})
        elif cell["fret"] == 0 and first is not None and first.shape.frets[string] is None:
            drawn.append({**cell, "role": "muted", "label": "×"})
        elif mark is not None and second is None:
            drawn.append({**cell, "role": "faded", "label": ""})
    return drawn


def _card(found: FoundShape, marks: list[dict[str, str] | None], capo: int) -> dict[str, Any]:
    shape = found.shape
    sounding = [None if midi is None else marks[(midi + capo) % 12] for midi in shape.midis]
    return {
        "text": shape.text,
        "frets": list(reversed(shape.frets)),
        "fingers": list(reversed(shape.fingers)),
        "degrees": [mark and mark["degree"] for mark in reversed(sounding)],
    }


def _spoken(found: FoundShape) -> str:
    """Each string of a shape in words, the lowest first."""
    words = []
    for number, fret in reversed(list(enumerate(found.shape.frets, start=1))):
        name = "muted" if fret is None else "open" if fret == 0 else "stopped"
        words.append(phrase(name, string=number, fret=fret))
    return ", ".join(words)


def _sentence(
    selection: Selection,
    every: tuple[FoundShape, ...],
    first: FoundShape | None,
    second: FoundShape | None,
) -> str:
    if is_uneven(selection):
        return phrase("uneven", instrument=selection.instrument)
    if not every:
        return phrase("no chords", instrument=selection.instrument, chord=chord_words(selection))
    if first is None:
        return phrase("no shape", chord=chord_words(selection), instrument=selection.instrument)
    said = [_member_words(selection, first)]
    if second is not None:
        said += _comparison(selection, first, second)
    return " ".join(said)


def _member_words(selection: Selection, first: FoundShape) -> str:
    """Where the third sounds, or what is left out."""
    chord, omit = selection.chord, selection.omit
    if omit and omitted(chord.type, omit) is None:
        return phrase("not a member", chord=chord.pretty, member=MEMBER_WORDS[omit])
    third = chord.type.third
    if omit == "3":
        return phrase("no third")
    if omit:
        return phrase("left out", member=MEMBER_WORDS[omit])
    if third is None:
        return phrase("has no third", chord=chord.pretty)
    places = [
        phrase("open" if fret == 0 else "stopped", string=number, fret=fret)
        for number, fret in reversed(list(enumerate(first.shape.frets, start=1)))
        if fret is not None
        and (first.shape.midis[number - 1] or 0) % 12
        == (chord.root.pitch_class - selection.capo + third.semitones) % 12
    ]
    return phrase("third", places=phrase("and").join(places))


def _comparison(selection: Selection, first: FoundShape, second: FoundShape) -> list[str]:
    """How rough the second is beside the first, and a lowered third above each."""
    fields = {"first": first.shape.text, "second": second.shape.text}
    change = _percent(first.roughness, second.roughness)
    word = "as rough" if not change else "smoother" if change < 0 else "rougher"
    said = [phrase(word, percent=abs(change), **fields)]
    if first.rub is not None and second.rub is not None and first.rub > 0:
        change = _percent(first.rub, second.rub)
        note = Degree(3, -1).at(selection.chord.root).pretty
        word = "rubs as much" if not change else "rubs less" if change < 0 else "rubs more"
        said.append(phrase(word, percent=abs(change), note=note, **fields))
    return said


def _percent(before: int, after: int) -> int:
    """How much more, in whole per cent; half a per cent counts upwards, as in the browser."""
    return int((after * 200 + before) // (2 * before)) - 100 if before > 0 else 0
