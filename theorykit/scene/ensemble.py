"""The scene of several instruments at once: one key, one scale, one chord, a neck for each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from theorykit.errors import BadInput
from theorykit.instruments.catalogue import find_instrument
from theorykit.instruments.fretboard import check_frets, shown_frets
from theorykit.scene.geometry import neck_cells, neck_geometry
from theorykit.scene.scale_scene import marked, scale_scene
from theorykit.scene.selection import Selection

#: More necks than this do not fit on a screen, nor in the time of a repaint.
MOST_NECKS = 6


@dataclass(frozen=True, slots=True)
class EnsembleNeck:
    """One of the necks: an instrument by its proper name, and the fret of its capo."""

    instrument: str
    capo: int = 0


def ensemble_necks(
    instruments: Sequence[str], capos: Mapping[str, int] | None = None
) -> tuple[EnsembleNeck, ...]:
    """The necks of some instruments, checked.

    Parameters
    ----------
    instruments : sequence of str
        In any spelling that ``find_instrument`` takes, from top to bottom; twice the same is two.
    capos : mapping, optional
        The fret of the capo by instrument, in the spelling of ``instruments``.

    Raises
    ------
    BadInput
        If there are none or too many, or one is unknown, or has no such place for a capo.

    Examples
    --------
    >>> ensemble_necks(("mandolin", "guitar"), {"guitar": 2})[1]
    EnsembleNeck(instrument='guitar', capo=2)
    """
    if isinstance(instruments, str) or not 1 <= len(instruments) <= MOST_NECKS:
        raise BadInput(
            "instruments", instruments, "not a list that fits", accepted=f"1 to {MOST_NECKS} names"
        )
    capos = capos or {}
    for name in capos:
        if name not in instruments:
            raise BadInput("capos", name, "not among them", accepted=", ".join(instruments))
    necks = []
    for name in instruments:
        instrument, capo = find_instrument(name), capos.get(name, 0)
        check_frets(instrument, shown_frets(instrument), capo)
        necks.append(EnsembleNeck(instrument.name, capo))
    return tuple(necks)


def ensemble_scene(selection: Selection, necks: Sequence[EnsembleNeck]) -> dict[str, Any]:
    """The scene of a scale over the chord of the moment, on every neck.

    Parameters
    ----------
    selection : Selection
        Its own instrument and capo are those of the band.
    necks : sequence of EnsembleNeck

    Returns
    -------
    dict
        What ``scene`` gives for "progression", and ``necks``: for each its ``instrument``,
        ``capo``, ``neck`` (marks) and ``alt``.

    Examples
    --------
    >>> shown = ensemble_scene(Selection.of(key="A"), ensemble_necks(("mandolin", "fiddle")))
    >>> [neck["alt"].partition(",")[0] for neck in shown["necks"]]
    ['Mandolin neck', 'Fiddle neck']
    """
    picture = scale_scene(selection, "progression")
    shown = []
    for neck in necks:
        own = replace(selection, instrument=neck.instrument, capo=neck.capo)
        cells = neck_cells(neck_geometry(own.neck), neck.capo)
        shown.append(
            {
                "instrument": neck.instrument,
                "capo": neck.capo,
                "neck": marked(own, cells, picture["marks"]),
                "alt": scale_scene(own, "progression")["alt"]["neck"],
            }
        )
    return {**picture, "necks": shown}
