"""The scene: from what is chosen to plain data for every view.

``scene`` works straight from the theory. The module that draws in the browser reaches the same
data by look-ups in the table of ``table`` and the atlas of ``atlas``; a test holds the two against
each other.
"""

from __future__ import annotations

from typing import Any

from theorykit.scene.harmony import Kind
from theorykit.scene.position_scene import position_scene
from theorykit.scene.scale_scene import scale_scene
from theorykit.scene.selection import Selection
from theorykit.scene.shape_scene import shape_scene
from theorykit.scene.sheet_scene import WRITTEN, sheet_scene


def scene(selection: Selection, kind: Kind = "progression") -> dict[str, Any]:
    """Everything that the views of a study show, as data that JSON can hold.

    Parameters
    ----------
    selection : Selection
    kind : Kind
        A scale over the current chord of the chart, or with no chord, or cut up along the neck; the
        shapes of a chord; a scale in a sequence, a line over the changes, or a tune.

    Returns
    -------
    dict
        ``heading``, ``sentence``; ``legend`` (which codes are in use); ``marks`` (twelve, by pitch
        class: None or ``role``, ``name``, ``degree``); ``neck`` (``string``, ``fret``, ``midi``,
        ``x`` in mm from the nut, ``y``, ``role``, ``label``); ``keyboard``; ``ruler``; ``chart``
        (bars of chords); ``step``; ``alt`` (a text alternative for each picture). Positions have
        ``positions``, ``position`` and ``run`` besides, shapes ``shapes``, ``shape``, ``beside``;
        sequences, lines and tunes ``title``, ``sheet``, ``kept``, ``count``, ``note``.
    """
    if kind == "positions":
        return position_scene(selection)
    if kind == "shapes":
        return shape_scene(selection)
    if kind in WRITTEN:
        return sheet_scene(selection, kind)
    # The necks of an ensemble are its view's own; see ``theorykit.scene.ensemble``.
    return scale_scene(selection, "progression" if kind == "ensemble" else kind)
