"""The parts of a handout that say where it lies: the scales on the neck, the chord shapes."""

from __future__ import annotations

from typing import Any

from theorykit.analysis.wording import fill
from theorykit.errors import BadInput
from theorykit.handouts.block import Block, Part, Picture, Pictures, Points, Table, Words
from theorykit.handouts.chart_part import thirdless
from theorykit.handouts.neck_picture import neck_svg
from theorykit.handouts.setting import Setting, ShownScale
from theorykit.instruments.fretboard import shown_frets
from theorykit.instruments.positions import Position
from theorykit.instruments.shape import Shape
from theorykit.instruments.shape_change import nearest_without, shape_sequence
from theorykit.scene.diagram import Diagram, diagrams_svg
from theorykit.theory.chord import Chord

#: At most so many scales beside the first have a picture of their own.
MOST_SCALES = 5

#: Points between two strings, and of fret numbers, in usual and in large print.
_GAPS, _NUMBERS = (19.0, 29.0), (8.5, 14.0)


def neck_part(setting: Setting) -> Part:
    """The scales under one hand, then the first of them on the whole neck."""
    selection = setting.selection
    first, *others = setting.scales
    blocks: list[Block] = []
    hand = setting.hand(first)
    if hand is not None:
        place = "half step" if selection.neck.fretless else "fret"
        opens = "open strings and " if not hand.closed else ""
        words = f"{opens}{place}s {hand.index} to {hand.last}"
        blocks.append(Words(f"Position: {words}; the index finger stays at {place} {hand.index}."))
        columns = 1 if setting.sheet.large else 2
        pictures = [_under_hand(setting, first, hand, fingers=each) for each in (False, True)]
        for shown in others[:MOST_SCALES]:
            near = setting.hand(shown)
            if near is not None:
                pictures.append(_under_hand(setting, shown, near, fingers=False))
        blocks.append(Pictures(tuple(pictures), columns))
    elif not selection.neck.frets_a_finger:
        blocks.append(Words("The bar slides, so there is no position: lay it on any of these."))
    blocks += _whole_neck(setting, first)
    if hand is None:
        for shown in others[:MOST_SCALES]:
            blocks += _whole_neck(setting, shown)
    if selection.capo:
        blocks.append(Words(f"Frets count from the capo at fret {selection.capo}.", small=True))
    return Part("On the neck", tuple(blocks))


def _whole_neck(setting: Setting, shown: ShownScale) -> list[Block]:
    """A scale on all of the neck; in large print in two pictures, the lower frets first."""
    last = shown_frets(setting.selection.neck)
    caption = f"{shown.caption}, the whole neck"
    if not setting.sheet.large:
        stretches = [(0, last, caption)]
    else:
        half = 7 if last > 9 else last
        stretches = [(0, half, caption)]
        if half < last:
            stretches.append((half, last, f"{caption}, from fret {half}"))
    return [
        Picture(
            _drawn(setting, shown.scene["neck"], words, setting.sheet.width, first=low, last=high),
            shown.scene["alt"]["neck"],
            setting.sheet.width,
            words,
        )
        for low, high, words in stretches
    ]


def _under_hand(setting: Setting, shown: ShownScale, hand: Position, *, fingers: bool) -> Picture:
    """What of a scale lies under the hand."""
    selection = setting.selection
    places = {(place.cell.string, place.cell.fret) for place in hand.places}
    marks = []
    for mark in shown.scene["neck"]:
        if (mark["string"], mark["fret"]) in places:
            label = str(hand.finger(mark["fret"])) if fingers else mark["label"]
            marks.append({**mark, "label": label})
    frets = [fret for _, fret in places if fret]
    low = min([hand.index, *frets]) + selection.capo
    high = max([hand.last, *frets]) + selection.capo
    at_nut = not hand.closed or low <= selection.capo + 2
    first = selection.capo if at_nut else low - 1
    width = setting.sheet.width if setting.sheet.large else (setting.sheet.width - 14) / 2
    caption = f"{shown.name}: which finger" if fingers else shown.caption
    alt = f"{caption}: " + "; ".join(
        f"string {number} " + " ".join(map(str, hand.on_string(number)))
        for number in sorted({string for string, _ in places}, reverse=True)
    )
    last = min(max(high, first + 4), shown_frets(selection.neck))
    drawn = _drawn(setting, marks, alt, width, first=first, last=last)
    return Picture(drawn, alt, width, caption)


def _drawn(
    setting: Setting, marks: list[dict[str, Any]], alt: str, width: float, *, first: int, last: int
) -> str:
    large = setting.sheet.large
    return neck_svg(
        setting.selection.neck,
        marks,
        alt=alt,
        width=width,
        string_gap=_GAPS[large],
        first=first,
        last=last,
        capo=setting.selection.capo,
        left_handed=setting.selection.left_handed,
        text=_NUMBERS[large],
    )


def shapes_part(setting: Setting) -> Part:
    """A shape for each chord, and one without its third where that frees a note of the scale."""
    selection = setting.selection
    neck, capo = selection.neck, selection.capo
    chords = list(setting.chords)
    if not neck.frets_a_finger or neck.fretless:
        return Part("The chords", (_without_shapes(setting),))
    pictures: list[Picture] = []
    said: list[str] = []
    missing: list[str] = []
    shapes = _shapes(setting, chords)
    for chord, shape in zip(chords, shapes, strict=True):
        if shape is None:
            missing.append(chord.pretty)
            continue
        pictures.append(_diagram(setting, chord, shape, chord.pretty))
        harmony = setting.harmonies[setting.chords[chord]][1]
        omission = thirdless(setting, harmony)
        if omission is None:
            continue
        try:
            bare = nearest_without(neck, chord, shape, capo=capo)
        except BadInput:
            continue
        pictures.append(_diagram(setting, chord, bare, f"{chord.pretty} no 3"))
        said.append(fill(omission.words, harmony.tonic, pretty=True))
    blocks: list[Block] = [Pictures(tuple(pictures))]
    blocks += [Points(tuple(dict.fromkeys(said)))] if said else []
    if missing:
        blocks.append(Words(f"No shape here for {', '.join(missing)}: play its notes one by one."))
    below = "Inside a dot: the finger. Below a string: the note's degree in the chord."
    if capo:
        below += f" Frets count from the capo at fret {capo}."
    blocks.append(Words(below, small=True))
    return Part("Chord shapes", tuple(blocks))


def _shapes(setting: Setting, chords: list[Chord]) -> list[Shape | None]:
    """The easiest way through the chords, or shape by shape where one can't be held."""
    neck, capo = setting.selection.neck, setting.selection.capo
    try:
        return list(shape_sequence(neck, chords, capo=capo))
    except BadInput:
        found: list[Shape | None] = []
        for chord in chords:
            try:
                found += shape_sequence(neck, [chord], capo=capo)
            except BadInput:
                found.append(None)
        return found


def _diagram(setting: Setting, chord: Chord, shape: Shape, title: str) -> Picture:
    selection = setting.selection
    drawn = Diagram(shape, selection.neck, chord, selection.left_handed, title)
    scale = 1.6 if setting.sheet.large else 1.0
    return Picture(diagrams_svg([drawn]), drawn.spoken, drawn.width * scale)


def _without_shapes(setting: Setting) -> Block:
    """The chord tones, for a neck on which nobody holds chords."""
    rows = tuple(
        (
            chord.pretty,
            "  ".join(degree.at(chord.root).pretty for degree in chord.type.degrees),
            "  ".join(degree.pretty for degree in chord.type.degrees),
        )
        for chord in setting.chords
    )
    return Table(("chord", "its notes: play them one by one, or two at a time", "degrees"), rows, 1)
