"""The clef in which a part is written."""

from __future__ import annotations

from collections.abc import Sequence

from theorykit.instruments.instrument import CLEFS, Instrument

#: With no instrument, notes that lie below A3 on average need fewer ledger lines in the bass clef.
_TREBLE_FROM = 57


def clef_of(instrument: Instrument | None, midis: Sequence[float]) -> tuple[str, int, int]:
    """Sign, line and octaves added: the instrument's own, or what suits the notes.

    Examples
    --------
    >>> from theorykit.instruments.catalogue import find_instrument
    >>> clef_of(find_instrument("guitar, drop D"), [])
    ('G', 2, -1)
    >>> clef_of(None, [40, 45])
    ('F', 4, 0)
    """
    if instrument is not None:
        return CLEFS[instrument.clef]
    low = midis and sum(midis) / len(midis) < _TREBLE_FROM
    return CLEFS["bass" if low else "treble"]
