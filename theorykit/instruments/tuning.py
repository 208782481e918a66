"""Instruments of one's own, from the text of a tuning."""

from __future__ import annotations

import re
from itertools import pairwise

from theorykit.errors import BadInput, nearest
from theorykit.instruments.capo import LAST_CAPO, partly_capoed
from theorykit.instruments.catalogue import (
    GUITAR_INLAYS,
    INSTRUMENTS,
    MANDOLIN_INLAYS,
    find_instrument,
)
from theorykit.instruments.instrument import Instrument, String
from theorykit.theory.pitch import ACCIDENTAL_PATTERN, Pitch

#: What a text that does not say it gets: a guitar's scale length, and a usual number of frets.
DEFAULT_FRETS, DEFAULT_SCALE_MM = 20, 648.0

#: The limits of a neck of one's own. A capo goes up to the eleventh fret, so there is one more.
FEWEST_FRETS, MOST_FRETS = 12, 36
SHORTEST_MM, LONGEST_MM = 150.0, 1400.0
MOST_STRINGS = 12
MOST_NAME = 40

#: Up to this length each finger takes two half steps on strings tuned in fifths (stipulated; it
#: lies between the mandola and the octave mandolin).
TWO_FRETS_MM = 450.0

#: From this lowest string on music is written as it sounds, as the fiddle's (common practice).
TREBLE_FROM = Pitch.parse("G3").midi

MM_AN_INCH = 25.4

#: From the lowest note that is heard as one (20.6 Hz) to an octave above the piano's last C
#: (8372 Hz): what the player can sound.
LOWEST, HIGHEST = Pitch.parse("E0"), Pitch.parse("C9")

ACCEPTED = (
    "open strings with octaves, the last string first, and then if you like frets, scale length, "
    "fretless, double courses: G2 D3 A3 E4, 20 frets, 352 mm"
)
_OPTIONS = ("20 frets", "352 mm", "25.5 in", "fretless", "double courses")
_PITCH_WORD = re.compile(f"[A-G]{ACCIDENTAL_PATTERN}-?[0-9]")
_NOTE_WORD = re.compile(f"[A-G]{ACCIDENTAL_PATTERN}")
_STRING_WORD = re.compile(r"([^@]+)(?:@([0-9]{1,2}))?")
_FRETS = re.compile(r"([0-9]{1,3}) +frets?")
_LENGTH = re.compile(r"([0-9]{1,4}(?:\.[0-9]{1,3})?) *(mm|in)")
_CAPO = re.compile(
    r"(?P<neck>.+), capo (?P<fret>[0-9]+) on strings? (?P<strings>[0-9 ]+)", re.IGNORECASE
)


def looks_like_tuning(text: object) -> bool:
    """True for a text that is better read as a tuning, right or wrong, than as a name.

    >>> looks_like_tuning("G2 D3 A3"), looks_like_tuning("G D A E"), looks_like_tuning("kazoo")
    (True, True, False)
    """
    if not isinstance(text, str):
        return False
    if _CAPO.fullmatch(_squeezed(text)):
        return True
    words = text.rpartition(":")[2].partition(",")[0].split()
    if any(_PITCH_WORD.match(word) for word in words):
        return True
    return len(words) > 1 and all(_NOTE_WORD.fullmatch(word) for word in words)


def read_instrument(text: str) -> Instrument:
    """An instrument from its tuning, said from the last (mostly lowest) string to the first.

    A name may stand in front, as in ``bouzouki: G2 D3 A3 D4``; ``G4@5`` is a string that starts at
    the fifth fret. The instrument's own name is the text in its tidy form, so that it can be read
    again. ``guitar, capo 2 on strings 3 4 5`` puts a capo on some strings of a known neck.

    Raises
    ------
    BadInput
        If any of the text is left over or out of range.

    Examples
    --------
    >>> read_instrument("G2  D3 A3 E4,352 mm").name
    'G2 D3 A3 E4, 20 frets, 352 mm'
    """
    if not isinstance(text, str):
        raise BadInput("instrument", text, "not a text", accepted=ACCEPTED)
    squeezed = _squeezed(text)
    capo = _CAPO.fullmatch(squeezed)
    if capo is not None:
        closed = tuple(int(word) for word in capo["strings"].split())
        return partly_capoed(find_instrument(capo["neck"]), int(capo["fret"]), closed)
    title, colon, rest = squeezed.rpartition(":")
    title = title.strip()
    if colon and not (title and len(title) <= MOST_NAME and title.isprintable()):
        raise BadInput(
            "instrument",
            text,
            f"the name before the colon has not 1 to {MOST_NAME} letters",
            accepted=ACCEPTED,
        )
    if set(title) & {",", ":"}:
        raise BadInput("instrument", text, "a name has no comma or colon", accepted=ACCEPTED)
    tuning, *options = (part.strip() for part in rest.split(","))
    frets, length, fretless, strands = _read_options(text, options)
    strings = _read_strings(text, tuning.split(), frets, strands)
    return _instrument(title, strings, frets, length, fretless=fretless)


def _squeezed(text: str) -> str:
    return " ".join(text.split())


def _read_options(text: str, options: list[str]) -> tuple[int, float, bool, int]:
    """Frets, scale length, fretless, strands."""
    found: dict[str, float] = {}
    for option in options:
        frets, length = _FRETS.fullmatch(option), _LENGTH.fullmatch(option)
        if frets is not None:
            kind, value = "frets", float(frets[1])
        elif length is not None:
            kind = "length"
            value = float(length[1]) * (MM_AN_INCH if length[2] == "in" else 1)
        elif option in {"fretless", "double courses"}:
            kind, value = option, 1.0
        else:
            raise BadInput(
                "instrument",
                text,
                f"can't read '{option}'" if option else "nothing stands between two commas",
                accepted=ACCEPTED,
                nearest=nearest(option, _OPTIONS),
            )
        if kind in found:
            raise BadInput("instrument", text, f"says '{option}' again", accepted=ACCEPTED)
        found[kind] = value
    frets_said = int(found.get("frets", DEFAULT_FRETS))
    length_mm = round(found.get("length", DEFAULT_SCALE_MM), 1)
    for name, said, low, high in (
        ("frets", frets_said, FEWEST_FRETS, MOST_FRETS),
        ("mm", length_mm, SHORTEST_MM, LONGEST_MM),
    ):
        if not low <= said <= high:
            raise BadInput(
                "instrument",
                text,
                f"a neck can't have {said:g} {name}",
                accepted=f"{low:g} to {high:g} {name}",
                nearest=f"{min(max(said, low), high):g} {name}",
            )
    return frets_said, length_mm, "fretless" in found, 2 if "double courses" in found else 1


def _read_strings(text: str, words: list[str], frets: int, strands: int) -> tuple[String, ...]:
    if not 1 <= len(words) <= MOST_STRINGS:
        reason = f"has {len(words)} strings; 1 to {MOST_STRINGS} would do"
        raise BadInput("instrument", text, reason, accepted=ACCEPTED)
    strings = []
    for word in words:
        match = _STRING_WORD.fullmatch(word)
        try:
            pitch = Pitch.parse(match[1] if match is not None else word)
        except BadInput as error:
            close = error.nearest or _with_octaves(words)
            reason = f"'{word}' is {error.reason}"
            raise BadInput("instrument", text, reason, accepted=ACCEPTED, nearest=close) from None
        start = int(match[2] or 0) if match is not None else 0
        if start > LAST_CAPO:
            reason = f"'{word}' starts too high; a string starts at fret {LAST_CAPO} or lower"
            raise BadInput("instrument", text, reason, accepted=ACCEPTED)
        if pitch.midi < LOWEST.midi or pitch.midi + frets > HIGHEST.midi:
            reason = f"'{word}' is out of range"
            accepted = f"{LOWEST} or higher, and no higher than {HIGHEST} at the last fret"
            raise BadInput("instrument", text, reason, accepted=accepted)
        strings.append(String(pitch, start, strands))
    return tuple(reversed(strings))


def _with_octaves(words: list[str]) -> str | None:
    """The catalogue's tuning with the same letters."""
    for item in INSTRUMENTS.values():
        if words == [str(string.open.note) for string in reversed(item.strings)]:
            return item.tuning
    return None


def _instrument(
    title: str, strings: tuple[String, ...], frets: int, length: float, *, fretless: bool
) -> Instrument:
    said = [
        " ".join(
            f"{string.open}@{string.start_fret}" if string.start_fret else str(string.open)
            for string in reversed(strings)
        ),
        f"{frets} frets",
        f"{length:g} mm",
    ]
    said += ["fretless"] if fretless else []
    double = strings[0].strands > 1
    said += ["double courses"] if double else []
    midis = [string.open.midi for string in strings]
    fifths = len(midis) > 1 and all(high - low == 7 for high, low in pairwise(midis))
    marks = MANDOLIN_INLAYS if fifths else GUITAR_INLAYS
    low = max(midis) < Pitch.parse("C3").midi
    return Instrument(
        (f"{title}: " if title else "") + ", ".join(said),
        strings,
        length,
        frets,
        () if fretless else tuple(fret for fret in marks if fret <= frets),
        voice="bass" if low else "mandolin" if double else "guitar",
        fretless=fretless,
        frets_a_finger=2 if fifths and length <= TWO_FRETS_MM else 1,
        clef="bass 8vb" if low else "treble" if min(midis) >= TREBLE_FROM else "treble 8vb",
        source="the user",
    )
