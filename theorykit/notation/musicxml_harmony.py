"""Chord symbols and chord diagrams as MusicXML has them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from xml.sax.saxutils import escape, quoteattr

from theorykit.errors import BadInput
from theorykit.instruments.instrument import Instrument
from theorykit.instruments.shape import Shape
from theorykit.instruments.shape_search import find_shapes
from theorykit.notation.chord_kind import chord_kind
from theorykit.theory.chord import Chord
from theorykit.theory.pitch import Note

#: The least frets that a diagram shows.
_FRAME_FRETS = 4

#: The highest fret that a diagram which starts at the nut shows.
_NUT_FRETS = 5

Frames = Callable[[Chord], Shape | None]


def frames_for(
    instrument: Instrument | None, capo: int, given: Mapping[Chord, Shape] | None
) -> Frames:
    """What finds a chord's diagram: the shapes given, or the easiest on a neck with frets."""
    if given is not None:
        return given.get
    if instrument is None or instrument.fretless or not instrument.frets_a_finger:
        return lambda _: None
    neck = instrument
    return lambda chord: _easiest(neck, chord, capo)


@lru_cache(maxsize=512)
def _easiest(instrument: Instrument, chord: Chord, capo: int) -> Shape | None:
    try:
        shapes = find_shapes(instrument, chord, capo=capo, limit=1)
    except BadInput:
        return None
    return shapes[0] if shapes else None


def harmony(chord: Chord | None, offset: int, shape: Shape | None) -> str:
    """A chord symbol, ``offset`` divisions behind where it stands."""
    moved = f"<offset>{offset}</offset>" if offset else ""
    if chord is None:
        root = '<root><root-step text="">C</root-step></root>'
        return f'<harmony>{root}<kind text="N.C.">none</kind>{moved}</harmony>'
    kind = chord_kind(chord.type)
    parts = [f"<harmony>{_note('root', chord.root)}"]
    parts.append(f"<kind text={quoteattr(chord.type.suffix)}>{kind.name}</kind>")
    if chord.bass is not None:
        parts.append(_note("bass", chord.bass))
    # The kind's text says the whole symbol, so that its degrees are not printed again.
    parts += [
        f'<degree print-object="no"><degree-value>{each.value}</degree-value>'
        f"<degree-alter>{each.alter}</degree-alter>"
        f"<degree-type>{each.type}</degree-type></degree>"
        for each in kind.degrees
    ]
    if shape is not None:
        parts.append(_frame(shape))
    return "".join([*parts, moved, "</harmony>"])


def _note(element: str, note: Note) -> str:
    alter = f"<{element}-alter>{note.alter}</{element}-alter>" if note.alter else ""
    step = f"<{element}-step>{escape(note.letter)}</{element}-step>"
    return f"<{element}>{step}{alter}</{element}>"


def _frame(shape: Shape) -> str:
    highest = max((fret for fret in shape.frets if fret), default=0)
    first = 1 if highest <= _NUT_FRETS else shape.lowest_fret
    shown = max(_FRAME_FRETS, highest - first + 1)
    parts = [f"<frame><frame-strings>{len(shape.frets)}</frame-strings>"]
    parts.append(f"<frame-frets>{shown}</frame-frets>")
    if first > 1:
        parts.append(f"<first-fret>{first}</first-fret>")
    ends: dict[tuple[int, int], str] = {}
    for barre in shape.barres:
        ends[barre.low_string, barre.fret] = "start"
        ends[barre.high_string, barre.fret] = "stop"
    for string in range(len(shape.frets), 0, -1):
        fret = shape.frets[string - 1]
        if fret is None:
            continue
        finger = shape.fingers[string - 1]
        fingering = f"<fingering>{finger}</fingering>" if finger else ""
        end = ends.get((string, fret))
        barre_end = f'<barre type="{end}"/>' if end else ""
        parts.append(
            f"<frame-note><string>{string}</string><fret>{fret}</fret>"
            f"{fingering}{barre_end}</frame-note>"
        )
    return "".join([*parts, "</frame>"])
