"""Feels: how a rhythm section plays a bar, as data.

A feel has a pattern for each meter that suits it. The player in the browser plays from the same
table, so a pattern is plain strokes: when, how long, what, how loud. What bass and chords do to a
particular chart (`bass.py`, `comp.py`) is the same in all feels.

The patterns are common practice of the trade, as method books for rhythm guitar, mandolin and bass
teach them; none is from a recording.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from theorykit.errors import BadInput, nearest
from theorykit.theory.meter import Meter

#: What a bass stroke plays. ``alt`` goes from root to fifth and back as long as a chord lasts,
#: ``walk`` is a note of a walking line, ``same`` the note before again; ``lead`` sounds only before
#: another chord, to which it walks, in place of what else the bass would play there.
BASS_STROKES = ("root", "fifth", "alt", "walk", "same", "lead")

#: What a stroke of the chords plays: all of the chord, or root and fifth alone.
COMP_STROKES = ("chord", "power")


@dataclass(frozen=True, slots=True)
class Stroke:
    """A stroke in a bar: at which beat (0 is the first), for how many beats, what, how loud."""

    at: Fraction
    beats: Fraction
    what: str
    level: float


@dataclass(frozen=True, slots=True)
class BarPattern:
    """What bass and chords play in a bar."""

    bass: tuple[Stroke, ...]
    comp: tuple[Stroke, ...]


@dataclass(frozen=True, slots=True)
class Feel:
    """A way to accompany.

    Parameters
    ----------
    name : str
    words : str
        What it is, in a line.
    patterns : dict
        For each meter that suits it, by signature, a bar.
    swing : Fraction
        How much longer the first half of a quarter is than the second; 1 is even.
    comp_voice, bass_voice : str
    strum_beats : Fraction
        From string to string of a chord.
    """

    name: str
    words: str
    patterns: dict[str, BarPattern]
    swing: Fraction = Fraction(1)
    comp_voice: str = "guitar"
    bass_voice: str = "bass"
    strum_beats: Fraction = Fraction(0)


def _strokes(text: str) -> tuple[Stroke, ...]:
    rows = [row.split() for row in text.split(";") if row.strip()]
    return tuple(
        Stroke(Fraction(at), Fraction(beats), what, float(level)) for at, beats, what, level in rows
    )


def _bars(*rows: tuple[str, str, str]) -> dict[str, BarPattern]:
    return {
        meter: BarPattern(_strokes(bass), _strokes(comp))
        for meters, bass, comp in rows
        for meter in meters.split()
    }


_TWO_IN_FOUR = "0 1 alt 1; 2 1 alt 0.92; 2 1 lead 0.9; 3 1 lead 0.9"
_TWO_IN_TWO = "0 1/2 alt 1; 1 1/2 alt 0.92; 1 1/2 lead 0.9; 3/2 1/2 lead 0.9"
_WALK = "0 1 walk 1; 1 1 walk 0.92; 2 1 walk 0.96; 3 1 walk 0.92"
_TRIPLET_WALK = """0 2/3 walk 1; 2/3 1/3 same 0.6; 1 1 walk 0.92; 2 2/3 walk 0.96; 8/3 1/3 same 0.6;
    3 1 walk 0.92"""


def _triplets(beats: int) -> str:
    """Chords on every third of a beat, those on the back beat the loudest."""
    rows = []
    for third in range(3 * beats):
        level = (0.8 if third // 3 % 2 == 0 else 1.0) if third % 3 == 0 else 0.5
        rows.append(f"{Fraction(third, 3)} 3/10 chord {level}")
    return ";".join(rows)


def _eighths(beats: int, *, parts: int = 2) -> tuple[str, str]:
    """Driving bass and root-fifth chords, a stroke on every part of a beat."""
    length = Fraction(9, 10 * parts)
    bass, comp = [], []
    for stroke in range(beats * parts):
        at = Fraction(stroke, parts)
        level = 1.0 if stroke % parts == 0 else 0.8
        last = stroke >= beats * parts - 1
        bass.append(f"{at} {length} root {level}")
        if last:
            bass.append(f"{at} {length} lead {level}")
        back = 1.0 if at.denominator == 1 and int(at) % 2 == 1 else 0.85
        comp.append(f"{at} {length} power {level * back:.2f}")
    return ";".join(bass), ";".join(comp)


_ROWS = (
    Feel(
        "boom-chuck",
        "root and fifth on the beat, a strum off it",
        _bars(
            ("4/4", _TWO_IN_FOUR, "1 3/5 chord 1; 3 3/5 chord 0.95"),
            ("2/4 2/2", _TWO_IN_TWO, "1/2 3/10 chord 1; 3/2 3/10 chord 0.95"),
        ),
        strum_beats=Fraction(1, 80),
    ),
    Feel(
        "bluegrass",
        "bass on the beat, a short mandolin chop off it",
        _bars(
            ("4/4", _TWO_IN_FOUR, "1 1/4 chord 1; 3 1/4 chord 1"),
            ("2/4 2/2", _TWO_IN_TWO, "1/2 1/8 chord 1; 3/2 1/8 chord 1"),
        ),
        comp_voice="mandolin",
    ),
    Feel(
        "straight",
        "long bass notes and a strummed pattern in even eighths",
        _bars(
            (
                "4/4",
                "0 2 alt 1; 2 2 alt 0.92; 3 1 lead 0.9",
                """0 1 chord 0.9; 1 1/2 chord 1; 3/2 1/2 chord 0.7; 5/2 1/2 chord 0.75;
                3 1/2 chord 1;                7/2 1/2 chord 0.7""",
            ),
            (
                "3/4",
                "0 3 alt 1; 2 1 lead 0.9",
                """0 1 chord 0.9; 1 1/2 chord 1; 3/2 1/2 chord 0.7; 2 1/2 chord 1;
                5/2 1/2 chord 0.7""",
            ),
            (
                "2/4 2/2",
                "0 1 alt 1; 1 1 alt 0.92; 3/2 1/2 lead 0.9",
                "0 1/2 chord 0.9; 1/2 1/2 chord 1; 1 1/2 chord 0.8; 3/2 1/2 chord 1",
            ),
            (
                "6/8",
                "0 1 alt 1; 1 1 alt 0.92",
                """0 2/3 chord 0.9; 2/3 1/3 chord 0.8; 1 1/3 chord 1; 4/3 1/3 chord 0.7;
                5/3 1/3 chord 0.8""",
            ),
        ),
        strum_beats=Fraction(1, 80),
    ),
    Feel(
        "shuffle",
        "a walking bass, chords on the back beat and the swung eighth after it",
        _bars(
            (
                "4/4",
                _WALK,
                "1 1/2 chord 1; 3/2 2/5 chord 0.6; 3 1/2 chord 1; 7/2 2/5 chord 0.6",
            ),
            (
                "12/8",
                _WALK,
                "1 1/2 chord 1; 5/3 3/10 chord 0.6; 3 1/2 chord 1; 11/3 3/10 chord 0.6",
            ),
            (
                "2/2",
                "0 1/2 walk 1; 1/2 1/2 walk 0.92; 1 1/2 walk 0.96; 3/2 1/2 walk 0.92",
                "1/2 1/4 chord 1; 3/4 1/5 chord 0.6; 3/2 1/4 chord 1; 7/4 1/5 chord 0.6",
            ),
            ("2/4", "0 1 walk 1; 1 1 walk 0.92", "1 1/2 chord 1; 3/2 2/5 chord 0.6"),
            (
                "3/4",
                "0 1 walk 1; 1 1 walk 0.92; 2 1 walk 0.92",
                "1 1/2 chord 1; 3/2 2/5 chord 0.6; 2 1/2 chord 0.9",
            ),
        ),
        swing=Fraction(2),
    ),
    Feel(
        "two-beat",
        "bass on one and three that rings, short chords on two and four, lightly swung",
        _bars(
            (
                "4/4",
                "0 2 alt 1; 2 2 alt 0.92; 3 1 lead 0.85",
                "1 1/2 chord 1; 3 1/2 chord 1; 7/2 1/3 chord 0.5",
            ),
            ("2/2", "0 1 alt 1; 1 1 alt 0.92", "1/2 1/4 chord 1; 3/2 1/4 chord 1"),
        ),
        swing=Fraction(3, 2),
        comp_voice="banjo",
        strum_beats=Fraction(1, 100),
    ),
    Feel(
        "rock",
        "driving eighths, root and fifth without the third",
        _bars(
            ("4/4", *_eighths(4)),
            ("3/4", *_eighths(3)),
            ("2/4 2/2", *_eighths(2)),
            ("5/4", *_eighths(5)),
            ("7/4", *_eighths(7)),
            ("6/8", *_eighths(2, parts=3)),
            ("12/8", *_eighths(4, parts=3)),
        ),
    ),
    Feel(
        "slow blues",
        "every beat in three, as in 12/8, over a walking bass",
        _bars(
            ("4/4 12/8", _TRIPLET_WALK, _triplets(4)),
            ("6/8", "0 2/3 walk 1; 2/3 1/3 same 0.6; 1 1 walk 0.92", _triplets(2)),
        ),
        swing=Fraction(2),
        comp_voice="piano",
    ),
    Feel(
        "waltz",
        "bass on one, chords on two and three",
        _bars(
            (
                "3/4 3/2 9/8",
                "0 1 alt 1; 1 1 lead 0.8; 2 1 lead 0.85",
                "1 3/5 chord 1; 2 3/5 chord 0.9",
            ),
        ),
        strum_beats=Fraction(1, 80),
    ),
    Feel(
        "jig",
        "bass on each beat, a chord on its last third",
        _bars(
            ("6/8", "0 2/3 alt 1; 1 2/3 alt 0.92", "2/3 1/4 chord 1; 5/3 1/4 chord 0.95"),
            (
                "9/8",
                "0 2/3 alt 1; 1 2/3 alt 0.9; 2 2/3 alt 0.92",
                "2/3 1/4 chord 1; 5/3 1/4 chord 0.9; 8/3 1/4 chord 0.95",
            ),
            (
                "12/8",
                "0 2/3 alt 1; 1 2/3 alt 0.9; 2 2/3 alt 0.95; 3 2/3 alt 0.9",
                "2/3 1/4 chord 1; 5/3 1/4 chord 0.9; 8/3 1/4 chord 1; 11/3 1/4 chord 0.9",
            ),
        ),
    ),
    Feel(
        "grouped",
        "bass where a group of beats begins, chords on the others",
        _bars(
            (
                "5/4 5/8",
                "0 1 alt 1; 3 1 alt 0.95; 4 1 lead 0.85",
                "1 3/5 chord 1; 2 3/5 chord 0.9; 4 3/5 chord 1",
            ),
            (
                "7/4 7/8",
                "0 1 alt 1; 2 1 alt 0.92; 4 1 alt 0.95; 6 1 lead 0.85",
                "1 3/5 chord 1; 3 3/5 chord 0.95; 5 3/5 chord 1; 6 3/5 chord 0.9",
            ),
        ),
        strum_beats=Fraction(1, 80),
    ),
)

#: The feels by name, in the order in which menus show them.
FEELS: dict[str, Feel] = {feel.name: feel for feel in _ROWS}

#: What is played in a meter that the feel asked for has no pattern for.
FALLBACKS: dict[str, str] = {
    "4/4": "boom-chuck",
    "2/4": "boom-chuck",
    "2/2": "boom-chuck",
    "3/4": "waltz",
    "3/2": "waltz",
    "6/8": "jig",
    "9/8": "jig",
    "12/8": "jig",
    "5/4": "grouped",
    "7/4": "grouped",
    "5/8": "grouped",
    "7/8": "grouped",
}

#: The beats of a bar at which a group begins, where bars are counted in groups (common practice).
GROUPS: dict[str, tuple[int, ...]] = {
    "4/4": (0, 2),
    "12/8": (0, 2),
    "5/4": (0, 3),
    "5/8": (0, 3),
    "7/4": (0, 2, 4),
    "7/8": (0, 2, 4),
}


def find_feel(name: str) -> Feel:
    """A feel by name.

    Raises
    ------
    BadInput
        If there is none.

    Examples
    --------
    >>> find_feel("Bluegrass").comp_voice
    'mandolin'
    """
    folded = " ".join(name.split()).casefold() if isinstance(name, str) else ""
    if folded in FEELS:
        return FEELS[folded]
    close = nearest(name, FEELS) if isinstance(name, str) else None
    raise BadInput("feel", name, "unknown", accepted=", ".join(FEELS), nearest=close)


def suited_feel(feel: Feel, meter: Meter) -> Feel:
    """The feel itself, or the one that stands in for it where it has no pattern for the meter.

    Examples
    --------
    >>> from theorykit.theory.meter import find_meter
    >>> suited_feel(find_feel("bluegrass"), find_meter("3/4")).name
    'waltz'
    """
    return feel if meter.name in feel.patterns else FEELS[FALLBACKS[meter.name]]


def swung(beat: Fraction, swing: Fraction) -> Fraction:
    """Where a quarter is heard when the first half of each is ``swing`` times the second.

    What is written as a triplet is in its place already.

    Examples
    --------
    >>> [str(swung(Fraction(beat), Fraction(2))) for beat in ("3/2", "5/3", "2")]
    ['5/3', '5/3', '2']
    """
    if beat.denominator & (beat.denominator - 1):
        return beat
    whole = Fraction(beat // 1)
    inside = beat - whole
    first = swing / (swing + 1)
    if inside <= Fraction(1, 2):
        return whole + 2 * inside * first
    return whole + first + (2 * inside - 1) * (1 - first)
