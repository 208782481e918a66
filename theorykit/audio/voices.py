"""What the instruments sound like, as data: one table for the synthesiser here and the browser's.

Four kinds. A *string* is plucked or struck and dies away, its high partials first. A *tone* is
bowed or blown and lasts as long as the note. A *block* is struck wood, a *brush* a stroke of noise.
The numbers are stipulated, by ear; where one is from a book it says so.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass, fields
from typing import Any

from theorykit.errors import BadInput, nearest

#: Broad resonances of a body: Hz, Q, gain.
Body = tuple[tuple[float, float, float], ...]


@dataclass(frozen=True, slots=True)
class StringVoice:
    """A plucked or struck string.

    Parameters
    ----------
    decay_seconds : float
        Time in which a very low partial falls by 60 dB.
    knee_hz : float
        A partial at this frequency falls twice as fast, at 3 times it ten times as fast.
    pick_position : float
        Where the string is plucked or struck, as a share of its length from the bridge.
    slope : float
        Partial n starts at n^-slope (1 is the ideal string), rolled off above ``bright_hz``.
    bright_hz : float
    detune_hz : tuple of float
        One entry for each string of a course; symmetric about 0, so that the mean pitch is exact.
        In Hz, not cents: the beating is equally slow in every octave; at most 0.1 % of the pitch.
    body : tuple
    """

    decay_seconds: float
    knee_hz: float
    pick_position: float
    slope: float
    bright_hz: float
    detune_hz: tuple[float, ...]
    body: Body
    kind: str = "string"


@dataclass(frozen=True, slots=True)
class ToneVoice:
    """A bowed string or a reed.

    Parameters
    ----------
    slope, bright_hz, body
        As for a string; the partials of a bowed string fall as 1/n (Helmholtz 1863, from memory).
    even_level : float
        Level of the even partials beside the odd ones.
    ranks : tuple of (float, float)
        For each rank of reeds its Hz beside the pitch and its level; symmetric, and the one on the
        pitch the loudest by far: equal ranks would silence each other as they beat.
    attack_seconds, release_seconds : float
        How long the tone takes to come and to go.
    vibrato_hz, vibrato_cents, vibrato_delay_seconds : float
        The vibrato of a note that is held longer than the delay; 0 cents for none.
    decay_seconds : float
        The longest note.
    """

    slope: float
    bright_hz: float
    even_level: float
    ranks: tuple[tuple[float, float], ...]
    body: Body
    attack_seconds: float
    release_seconds: float
    vibrato_hz: float = 5.5
    vibrato_cents: float = 0.0
    vibrato_delay_seconds: float = 0.3
    decay_seconds: float = 32.0
    kind: str = "tone"


@dataclass(frozen=True, slots=True)
class BlockVoice:
    """A wood block.

    Parameters
    ----------
    high_hz, low_hz : float
        The pitches of its two sizes.
    modes : tuple
        Ratio to the pitch, and level.
    decay_seconds : float
        In which the lowest mode falls by 60 dB; higher ones die sooner.
    stroke_level, stroke_seconds : float
        The noise of the stick.
    """

    high_hz: float
    low_hz: float
    modes: tuple[tuple[float, float], ...]
    decay_seconds: float
    stroke_level: float
    stroke_seconds: float
    kind: str = "block"


@dataclass(frozen=True, slots=True)
class BrushVoice:
    """A brush on a drum: noise between two frequencies that swells and dies away.

    Parameters
    ----------
    low_hz, high_hz : float
    attack_seconds, decay_seconds : float
        The decay is that of 60 dB.
    """

    low_hz: float
    high_hz: float
    attack_seconds: float
    decay_seconds: float
    kind: str = "brush"


Voice = StringVoice | ToneVoice | BlockVoice | BrushVoice

#: The voices by name.
VOICES: dict[str, Voice] = {
    "guitar": StringVoice(
        decay_seconds=4,
        knee_hz=1100,
        pick_position=0.19,
        slope=0.8,
        bright_hz=2600,
        detune_hz=(0,),
        body=((105, 4, 0.8), (205, 5, 0.6), (400, 4, 0.3)),
    ),
    "mandolin": StringVoice(
        decay_seconds=1.8,
        knee_hz=1900,
        pick_position=0.14,
        slope=0.6,
        bright_hz=3800,
        detune_hz=(-0.22, 0.22),
        body=((290, 5, 0.7), (550, 4, 0.6), (1200, 3, 0.3)),
    ),
    "banjo": StringVoice(
        decay_seconds=1.1,
        knee_hz=2400,
        pick_position=0.09,
        slope=0.4,
        bright_hz=4200,
        detune_hz=(0,),
        body=((330, 3, 0.6), (750, 2, 0.9), (1900, 2, 0.4)),
    ),
    "bass": StringVoice(
        decay_seconds=2.6,
        knee_hz=420,
        pick_position=0.24,
        slope=1,
        bright_hz=700,
        detune_hz=(0,),
        body=((70, 3, 0.5), (110, 3, 0.6)),
    ),
    # Struck at an eighth of its length as in pianos (Fletcher & Rossing 1998, from memory).
    "piano": StringVoice(
        decay_seconds=5,
        knee_hz=900,
        pick_position=0.125,
        slope=1.1,
        bright_hz=1800,
        detune_hz=(-0.15, 0, 0.15),
        body=((180, 1, 0.4), (600, 1, 0.2)),
    ),
    "fiddle": ToneVoice(
        slope=1,
        bright_hz=3400,
        even_level=1,
        ranks=((0, 1),),
        # Air, main wood and bridge of a violin (Fletcher & Rossing 1998, from memory).
        body=((280, 8, 1.2), (460, 9, 1.4), (2500, 2, 1.5)),
        attack_seconds=0.06,
        release_seconds=0.08,
        vibrato_cents=14,
    ),
    "organ": ToneVoice(
        slope=1.1,
        bright_hz=1600,
        even_level=0.6,
        ranks=((-0.6, 0.1), (0, 1), (0.6, 0.1)),
        body=((500, 1.5, 0.5),),
        attack_seconds=0.09,
        release_seconds=0.12,
    ),
    "woodblock": BlockVoice(
        high_hz=1480,
        low_hz=1110,
        modes=((1, 1), (2.43, 0.45), (3.9, 0.2)),
        decay_seconds=0.11,
        stroke_level=0.35,
        stroke_seconds=0.012,
    ),
    "brush": BrushVoice(low_hz=900, high_hz=9000, attack_seconds=0.006, decay_seconds=0.16),
}

#: Gains of the parts of a score, balanced by a loudness meter.
PART_GAINS: dict[str, float] = {"bass": 2.1, "comp": 1, "line": 1.5, "click": 1, "drone": 0.9}


def find_voice(name: str) -> Voice:
    """A voice by name.

    Raises
    ------
    BadInput
        If there is none.

    Examples
    --------
    >>> find_voice("mandolin").kind, find_voice("fiddle").kind
    ('string', 'tone')
    """
    if name in VOICES:
        return VOICES[name]
    close = nearest(name, VOICES) if isinstance(name, str) else None
    raise BadInput("voice", name, "unknown", accepted=", ".join(VOICES), nearest=close)


def voices_data() -> dict[str, dict[str, Any]]:
    """The table as the browser's synthesiser reads it.

    Examples
    --------
    >>> voices_data()["bass"]["decaySeconds"]
    2.6
    """
    return {
        name: {_camel(field.name): value for field, value in _fields(voice)}
        for name, voice in VOICES.items()
    }


def _fields(voice: Voice) -> list[tuple[Any, Any]]:
    values = asdict(voice)
    return [(field, values[field.name]) for field in fields(voice)]


def _camel(name: str) -> str:
    first, *rest = name.split("_")
    return first + "".join(word.capitalize() for word in rest)
