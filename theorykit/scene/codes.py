"""The drawing codes: shape, fill and text all carry the meaning.

So it survives a photocopier and colour blindness.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass

from theorykit.analysis.palette import (
    BLUE,
    INK,
    OUTLINE,
    PURPLE,
    SKY,
    VERMILLION,
    WHITE,
    YELLOW,
)


@dataclass(frozen=True, slots=True)
class Code:
    """How one role is drawn.

    Parameters
    ----------
    words : str
        What the legend says.
    marker : str
        A Bokeh marker.
    size : int
        Screen pixels.
    fill, line, text : str
        Colours.
    line_width : float
    dash : str
        A Bokeh dash pattern.
    """

    words: str
    marker: str
    size: int
    fill: str
    line: str
    text: str
    line_width: float = 1.5
    dash: str = "solid"


#: The codes by role, in the order of the legend.
CODES: dict[str, Code] = {
    "root": Code("root of the chord", "hex", 27, INK, INK, WHITE),
    "chord tone": Code("chord tone", "square", 23, BLUE, BLUE, WHITE),
    "colour": Code("colour tone", "circle", 25, SKY, OUTLINE, INK),
    "passing": Code("passing", "circle", 20, WHITE, OUTLINE, INK),
    "blue": Code("blue note", "diamond", 35, PURPLE, OUTLINE, INK),
    "avoid": Code("avoid", "inverted_triangle", 29, WHITE, VERMILLION, INK, 3.0, "dashed"),
    "tonic": Code("tonic", "hex", 27, INK, INK, WHITE),
    "scale": Code("in the scale", "circle", 24, WHITE, OUTLINE, INK),
    "both": Code("in both", "circle", 24, WHITE, OUTLINE, INK),
    "home": Code("tonic, in both", "circle", 25, WHITE, OUTLINE, INK, 4.5),
    "first": Code("only in the first", "triangle", 30, SKY, OUTLINE, INK),
    "second": Code("only in the second", "inverted_triangle", 30, YELLOW, OUTLINE, INK),
    "faded": Code("elsewhere on the neck", "circle", 9, "#b4bcc1", "#7d868c", INK, 1.0),
    "muted": Code("muted string", "circle", 18, WHITE, OUTLINE, INK, 1.0),
}

#: Which codes each kind of picture can hold, for its legend.
LEGENDS = {
    "chord": ("root", "chord tone", "colour", "passing", "blue", "avoid"),
    "scale": ("tonic", "scale"),
    "compare": ("home", "both", "first", "second"),
    "positions": ("tonic", "scale", "faded"),
    "shape": ("root", "chord tone", "faded", "muted"),
    "shapes": ("both", "first", "second", "muted"),
}

#: How the ruler's links are drawn, by the role of the note that rubs: colour, dash, width.
LINKS = {"avoid": (VERMILLION, "solid", 3.0), "blue": (PURPLE, "dotted", 2.5)}

#: Where a label sits inside a marker, as a share of its size upwards: a triangle's middle is not
#: where its bounding box has it.
LABEL_LIFT = {"triangle": -0.1, "inverted_triangle": 0.04}


def codes_as_data() -> dict[str, dict[str, object]]:
    """The codes as plain data, for the module that draws."""
    return {role: asdict(code) for role, code in CODES.items()}
