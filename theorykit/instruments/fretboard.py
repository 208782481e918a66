"""The neck as geometry and as a grid of cells that sound."""

from __future__ import annotations

import math
from dataclasses import dataclass

from theorykit.errors import BadInput
from theorykit.instruments.capo import LAST_CAPO
from theorykit.instruments.instrument import Instrument
from theorykit.theory.degree import Degree
from theorykit.theory.pitch import Note
from theorykit.theory.scale import Scale

#: How much of a neck is shown unless the user says otherwise.
SHOWN_FRETS = 15
MOST_CAPO = LAST_CAPO


def fret_distance(fret: float) -> float:
    """How far a fret lies from the nut, as a share of the scale length: 1 - 2^(-n/12).

    Equal temperament on an ideal string (any luthier's handbook; fret 12 is at half the length).

    >>> fret_distance(12)
    0.5
    """
    return 1.0 - math.pow(2.0, -fret / 12)


@dataclass(frozen=True, slots=True)
class Cell:
    """A place on the neck where a note sounds.

    Parameters
    ----------
    string : int
        1 for the first string.
    fret : int
        Counted from the capo, 0 for the open string; on a short string too, stopped notes count
        from the nut (or the capo), so the first stopped note of a banjo's fifth string is 6.
    midi : int
    """

    string: int
    fret: int
    midi: int


@dataclass(frozen=True, slots=True)
class ScaleCell:
    """A cell that a scale has a note on."""

    cell: Cell
    note: Note
    degree: Degree


def stop_distance(instrument: Instrument, fret: int) -> float:
    """Where the finger lies that stops a fret, in millimetres from the nut.

    Midway between the fret and the one before it; on a fretless neck and under a bar, at the place
    itself.

    >>> from theorykit.instruments.catalogue import find_instrument
    >>> round(stop_distance(find_instrument("fiddle"), 12))
    164
    """
    at_the_place = instrument.fretless or not instrument.frets_a_finger
    far = fret_distance(fret)
    near = far if at_the_place else fret_distance(_before(instrument, fret))
    return instrument.scale_length_mm * (near + far) / 2


def _before(instrument: Instrument, fret: int) -> int:
    """The fret next below on the neck, 0 for the nut."""
    if not instrument.fretted:
        return fret - 1
    return max((each for each in (0, *instrument.fretted) if each < fret), default=0)


def check_frets(instrument: Instrument, frets: int, capo: int) -> None:
    """Complain about a number of frets or a capo that the neck has not got.

    Raises
    ------
    BadInput
    """
    if not 1 <= frets <= instrument.frets:
        raise BadInput(
            "frets", frets, f"not on a {instrument.name}", accepted=f"1 to {instrument.frets}"
        )
    if not 0 <= capo <= MOST_CAPO:
        raise BadInput("capo", capo, "not a place for a capo", accepted=f"0 to {MOST_CAPO}")
    if capo and not instrument.has_fret(capo):
        places = [str(fret) for fret in (0, *instrument.fretted) if fret <= MOST_CAPO]
        raise BadInput("capo", capo, "no fret is there", accepted=", ".join(places))


def shown_frets(instrument: Instrument) -> int:
    """How many frets are shown of a neck unless the user says otherwise."""
    return min(SHOWN_FRETS, instrument.frets)


def cells(instrument: Instrument, *, frets: int | None = None, capo: int = 0) -> list[Cell]:
    """Every place that sounds, string 1 first, open to high.

    Parameters
    ----------
    instrument : Instrument
    frets : int, optional
        The highest fret, counted from the nut; if not given, the last one that is shown.
    capo : int
        The fret that the capo closes. A short string is raised by as much (common practice: its
        own little capo goes as many frets up).

    Raises
    ------
    BadInput
        If the neck has not got those frets.
    """
    frets = shown_frets(instrument) if frets is None else frets
    check_frets(instrument, frets, capo)
    found: list[Cell] = []
    for number, string in enumerate(instrument.strings, start=1):
        sounding_open = string.open.midi + capo
        found.append(Cell(number, 0, sounding_open))
        found += [
            Cell(number, fret, sounding_open + fret - string.start_fret)
            for fret in range(string.start_fret + 1, frets - capo + 1)
            if instrument.has_fret(fret + capo)
        ]
    return found


def scale_cells(
    instrument: Instrument, scale: Scale, *, frets: int | None = None, capo: int = 0
) -> list[ScaleCell]:
    """The cells that hold a note of the scale, spelled.

    Raises
    ------
    BadInput
        If the neck has not got those frets.
    """
    named = {
        note.pitch_class: (note, degree)
        for note, degree in zip(scale.notes, scale.degrees, strict=True)
    }
    return [
        ScaleCell(cell, *named[cell.midi % 12])
        for cell in cells(instrument, frets=frets, capo=capo)
        if cell.midi % 12 in named
    ]
