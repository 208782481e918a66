"""A scale in all twelve keys, to pin to the wall: its notes, and where they lie near the nut."""

from __future__ import annotations

from theorykit.errors import BadInput
from theorykit.handouts.block import Block, Part, Picture, Pictures, Words
from theorykit.handouts.handout import Handout, checked_title
from theorykit.handouts.neck_picture import neck_svg
from theorykit.handouts.paper import Sheet
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.fretboard import shown_frets
from theorykit.instruments.instrument import Instrument
from theorykit.instruments.positions import hand_frets
from theorykit.scene.geometry import neck_cells, neck_geometry
from theorykit.theory.key import TONICS
from theorykit.theory.pitch import Note
from theorykit.theory.scale import Scale, ScaleFormula, find_scale

#: Round the circle of fourths (common practice).
KEYS = ("C", "F", "Bb", "Eb", "Ab", "Db", "Gb", "B", "E", "A", "D", "G")

#: Keys to a row and points of a small neck's numbers, in usual and in large print.
_COLUMNS, _NUMBERS = (3, 2), (7.0, 13.0)

#: Frets of a small neck, or more where the first position reaches further.
_FRETS = 5

#: Points between two small necks; what the page has above them; what each has above and below its
#: strings; the fewest and the most between two strings; and those in large print.
_GUTTER, _TOP, _AROUND, _GAPS, _LARGE_GAP = 14.0, 110.0, 48.0, (11.0, 19.0), 26.0


def scale_reference(
    scale: str | ScaleFormula,
    *,
    instrument: Instrument | str = "mandolin",
    title: str | None = None,
    paper: str = "a4",
    large_print: bool = False,
    left_handed: bool = False,
) -> Handout:
    """One page with a scale in all twelve keys; in large print, more than one.

    ``scale_reference("major pentatonic", instrument="ukulele")`` begins so; a full
    dot is the tonic::

        C: C  D  E  G  A           F: F  G  A  C  D           B♭: B♭  C  D  F  G
           0   1   2   3   4   5      0   1   2   3   4   5      0   1   2   3   4   5
        A  ○ ║───│───│─●─│───│─○─│ A  ○ ║───│───│─○─│───│─○─│ A    ║─●─│───│─○─│───│─○─│
        E  ○ ║───│───│─○─│───│─○─│ E    ║─●─│───│─○─│───│─○─│ E    ║─○─│───│─○─│───│───│
        C  ● ║───│─○─│───│─○─│───│ C  ○ ║───│─○─│───│───│─●─│ C  ○ ║───│─○─│───│───│─○─│
        G  ○ ║───│─○─│───│───│─●─│ G  ○ ║───│─○─│───│───│─○─│ G  ○ ║───│───│─●─│───│─○─│

    Parameters
    ----------
    scale : str or ScaleFormula
        A name or a formula.
    instrument : Instrument or str
    title : str, optional
    paper : {"a4", "letter"}
    large_print, left_handed : bool

    Raises
    ------
    BadInput
        If there is no such scale or instrument, or the scale is that of a chord.

    Examples
    --------
    >>> page = scale_reference("major pentatonic", instrument="ukulele")
    >>> page.title
    'Major pentatonic scale in all keys'
    """
    formula = scale if isinstance(scale, ScaleFormula) else find_scale(scale)
    neck = instrument if isinstance(instrument, Instrument) else find_instrument(instrument)
    if formula.follows_chord:
        raise BadInput("scale", formula.name, "its notes are those of a chord")
    sheet = Sheet(paper, large_print)
    pictures = tuple(
        _key_picture(Scale(tonic_for(key, formula), formula), neck, sheet, left_handed=left_handed)
        for key in KEYS
    )
    degrees = "  ".join(degree.pretty for degree in formula.degrees)
    blocks: list[Block] = [
        Words(
            f"Degrees: {degrees}. The black hexagon is the tonic; the rest of the scale is round."
        ),
        Pictures(pictures, _COLUMNS[large_print]),
    ]
    if formula.descending:
        down = "  ".join(degree.pretty for degree in formula.descending)
        blocks.append(Words(f"On the way down: {down}."))
    part = Part(f"{neck.name[:1].upper()}{neck.name[1:]} ({neck.tuning})", tuple(blocks))
    name = f"{formula.name[:1].upper()}{formula.name[1:]} scale in all keys"
    return Handout(
        checked_title(title) if title is not None else name,
        "Row by row round the circle of fourths.",
        (part,),
        sheet,
        named=False,
    )


def tonic_for(key: str, formula: ScaleFormula) -> Note:
    """The tonic as the scale on it is usually written: with the fewest signs, flats where equal.

    >>> str(tonic_for("Db", find_scale("natural minor"))), str(tonic_for("Db", find_scale("major")))
    ('C#', 'Db')
    """
    asked = Note.parse(key)
    if asked.alter == 0:
        return asked
    same = [tonic for tonic in TONICS if tonic.pitch_class == asked.pitch_class]

    def signs(tonic: Note) -> tuple[int, int]:
        return sum(abs(note.alter) for note in Scale(tonic, formula).notes), tonic.alter

    return min(same, key=signs)


def _string_gap(strings: int, sheet: Sheet) -> float:
    """Points from string to string that let the usual print fill its one page."""
    low, high = _GAPS
    if sheet.large:
        return _LARGE_GAP
    rows = len(KEYS) / _COLUMNS[False]
    return max(min(((sheet.height - _TOP) / rows - _AROUND) / (strings + 0.3), high), low)


def _key_picture(scale: Scale, neck: Instrument, sheet: Sheet, *, left_handed: bool) -> Picture:
    columns = _COLUMNS[sheet.large]
    width = (sheet.width - _GUTTER * (columns - 1)) / columns
    names = {note.pitch_class: note.pretty for note in scale.notes}
    reach = hand_frets(neck, 1) if neck.frets_a_finger else 0
    last = min(max(_FRETS, reach), shown_frets(neck))
    marks = [
        {
            **cell,
            "role": "tonic" if cell["midi"] % 12 == scale.tonic.pitch_class else "scale",
            "label": names[cell["midi"] % 12],
        }
        for cell in neck_cells(neck_geometry(neck), 0)
        if cell["midi"] % 12 in names and cell["fret"] <= last
    ]
    caption = f"{scale.tonic.pretty}: {'  '.join(note.pretty for note in scale.notes)}"
    alt = f"{scale.pretty} on {neck.name}, frets 0 to {last}: " + "; ".join(
        f"string {number} frets "
        + " ".join(str(mark["fret"]) for mark in marks if mark["string"] == number)
        for number in range(len(neck.strings), 0, -1)
    )
    drawn = neck_svg(
        neck,
        marks,
        alt=alt,
        width=width,
        string_gap=_string_gap(len(neck.strings), sheet),
        last=last,
        left_handed=left_handed,
        text=_NUMBERS[sheet.large],
    )
    return Picture(drawn, alt, width, caption)
