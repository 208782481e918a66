"""Instruments as data: tunings, short strings, courses, scale lengths, inlays."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from theorykit.errors import BadInput, nearest
from theorykit.instruments.instrument import Instrument, String
from theorykit.theory.pitch import Pitch

__all__ = ["INSTRUMENTS", "Instrument", "String", "find_instrument"]


def _strings(tuning: str, *, strands: int = 1, octaves: int = 0) -> tuple[String, ...]:
    """Strings from a tuning as players say it, the last string first; ``G4@5`` starts at fret 5.

    ``octaves`` courses, from the last string on, have a strand an octave above.
    """
    found = []
    for place, word in enumerate(tuning.split()):
        name, _, start = word.partition("@")
        found.append(String(Pitch.parse(name), int(start or 0), strands, place < octaves))
    return tuple(reversed(found))


# Each row gives its source; SETS stands for string makers' sets, from memory, and PRACTICE for the
# trade's common practice. The tests check the tunings against hand tables and another package's.
# Clefs: common practice; guitars, banjos and what is tuned like them are written an octave higher
# than they sound. Scale lengths and numbers of frets: typical makers' values, from memory. Inlays:
# common practice.
SETS, PRACTICE = "string makers' sets; from memory", "common practice"

GUITAR_INLAYS = (3, 5, 7, 9, 12, 15, 17)
MANDOLIN_INLAYS = (5, 7, 10, 12, 15)
BANJO_INLAYS = (3, 5, 7, 10, 12, 15, 17)

#: Half steps of a dulcimer's frets: the major scale that starts on its third fret (common practice:
#: whole, whole, half, whole, whole, half, whole from the nut), two octaves.
DULCIMER_FRETS = (2, 4, 5, 7, 9, 10, 12, 14, 16, 17, 19, 21, 22, 24)

# Name, strings, scale length in mm, frets, inlays, what else there is to say.
_ROWS: tuple[tuple[str, tuple[String, ...], float, int, tuple[int, ...], dict[str, Any]], ...] = (
    (
        "mandolin",
        _strings("G3 D4 A4 E5", strands=2),
        352,
        20,
        MANDOLIN_INLAYS,
        {"voice": "mandolin", "frets_a_finger": 2, "clef": "treble"},
    ),
    ("guitar", _strings("E2 A2 D3 G3 B3 E4"), 648, 20, GUITAR_INLAYS, {}),
    (
        "banjo",
        _strings("G4@5 D3 G3 B3 D4"),
        667,
        22,
        BANJO_INLAYS,
        {
            "voice": "banjo",
            "aliases": ("five-string banjo", "5-string banjo", "banjo, open G"),
        },
    ),
    (
        "fiddle",
        _strings("G3 D4 A4 E5"),
        328,
        24,
        (),
        {
            "voice": "fiddle",
            "fretless": True,
            "frets_a_finger": 2,
            "clef": "treble",
            "aliases": ("violin",),
        },
    ),
    (
        "ukulele",
        _strings("G4 C4 E4 A4"),
        345,
        15,
        MANDOLIN_INLAYS,
        {"clef": "treble", "aliases": ("uke",)},
    ),
    (
        "bass",
        _strings("E1 A1 D2 G2"),
        864,
        20,
        (3, 5, 7, 9, 12, 15, 17, 19),
        {
            "voice": "bass",
            "clef": "bass 8vb",
            "aliases": ("bass guitar", "four-string bass", "4-string bass"),
        },
    ),
    (
        "tenor banjo",
        _strings("C3 G3 D4 A4"),
        584,
        19,
        MANDOLIN_INLAYS,
        {"voice": "banjo"},
    ),
    (
        "octave mandolin",
        _strings("G2 D3 A3 E4", strands=2),
        521,
        20,
        MANDOLIN_INLAYS,
        {"voice": "mandolin", "frets_a_finger": 2},
    ),
    (
        "resonator guitar",
        _strings("G2 B2 D3 G3 B3 D4"),
        635,
        19,
        GUITAR_INLAYS,
        {"frets_a_finger": 0, "aliases": ("square-neck resonator guitar",)},
    ),
    (
        "viola",
        _strings("C3 G3 D4 A4"),
        375,
        24,
        (),
        {"voice": "fiddle", "fretless": True, "frets_a_finger": 2, "clef": "alto"},
    ),
    (
        "cello",
        _strings("C2 G2 D3 A3"),
        690,
        24,
        (),
        {"voice": "fiddle", "fretless": True, "clef": "bass"},
    ),
    (
        "mandola",
        _strings("C3 G3 D4 A4", strands=2),
        406,
        20,
        MANDOLIN_INLAYS,
        {"voice": "mandolin", "frets_a_finger": 2, "clef": "alto"},
    ),
    (
        "plectrum banjo",
        _strings("C3 G3 B3 D4"),
        667,
        22,
        BANJO_INLAYS,
        {"voice": "banjo"},
    ),
    (
        "baritone ukulele",
        _strings("D3 G3 B3 E4"),
        483,
        18,
        MANDOLIN_INLAYS,
        {"aliases": ("baritone uke",)},
    ),
    (
        "five-string bass",
        _strings("B0 E1 A1 D2 G2"),
        864,
        20,
        (3, 5, 7, 9, 12, 15, 17, 19),
        {"voice": "bass", "clef": "bass 8vb", "aliases": ("5-string bass",)},
    ),
    (
        "twelve-string guitar",
        _strings("E2 A2 D3 G3 B3 E4", strands=2, octaves=4),
        648,
        18,
        GUITAR_INLAYS,
        {"aliases": ("12-string guitar",)},
    ),
    (
        "dulcimer",
        (String(Pitch.parse("D4"), 0, 2), *_strings("D3 A3")),
        686,
        24,
        (5, 9, 12, 17),
        {
            "fretted": DULCIMER_FRETS,
            "aliases": ("mountain dulcimer", "dulcimer, Mixolydian"),
            "source": PRACTICE,
        },
    ),
)

#: Other tunings of those necks: instrument, name of the tuning, strings, other names.
_TUNINGS: tuple[tuple[str, str, str, tuple[str, ...]], ...] = (
    ("guitar", "drop D", "D2 A2 D3 G3 B3 E4", ()),
    ("guitar", "double drop D", "D2 A2 D3 G3 B3 D4", ()),
    ("guitar", "DADGAD", "D2 A2 D3 G3 A3 D4", ("DADGAD",)),
    ("guitar", "open G", "D2 G2 D3 G3 B3 D4", ()),
    ("guitar", "open D", "D2 A2 D3 F#3 A3 D4", ()),
    ("banjo", "double C", "G4@5 C3 G3 C4 D4", ()),
    ("banjo", "sawmill", "G4@5 D3 G3 C4 D4", ("banjo, modal",)),
    ("banjo", "drop C", "G4@5 C3 G3 B3 D4", ("banjo, standard C",)),
    ("fiddle", "AEAE", "A3 E4 A4 E5", ("AEAE", "fiddle, cross A")),
    ("fiddle", "sawmill", "G3 D4 G4 D5", ("GDGD", "fiddle, GDGD", "fiddle, cross G")),
    ("fiddle", "GDAD", "G3 D4 A4 D5", ("GDAD",)),
    ("fiddle", "ADAE", "A3 D4 A4 E5", ("ADAE", "fiddle, old-time D")),
    ("ukulele", "low G", "G3 C4 E4 A4", ()),
    ("tenor banjo", "Irish", "G2 D3 A3 E4", ("Irish tenor banjo",)),
)


def _every() -> tuple[Instrument, ...]:
    necks = {
        name: Instrument(name, strings, length, frets, inlays, **{"source": SETS, **more})
        for name, strings, length, frets, inlays, more in _ROWS
    }
    retuned = (
        replace(
            necks[neck],
            name=f"{neck}, {tuning}",
            strings=_restrung(necks[neck], strings),
            aliases=aliases,
            source=PRACTICE,
        )
        for neck, tuning, strings, aliases in _TUNINGS
    )
    return (*necks.values(), *retuned)


def _restrung(neck: Instrument, tuning: str) -> tuple[String, ...]:
    return tuple(
        replace(new, strands=old.strands)
        for new, old in zip(_strings(tuning), neck.strings, strict=True)
    )


#: The catalogue by name: first the necks as they are usually tuned, then their other tunings.
INSTRUMENTS: dict[str, Instrument] = {item.name: item for item in _every()}

_BY_FOLDED_NAME = {
    name.casefold(): item for item in INSTRUMENTS.values() for name in (item.name, *item.aliases)
}


def find_instrument(name: str) -> Instrument:
    """An instrument by name, or from the text of a tuning of one's own.

    Raises
    ------
    BadInput
        If the catalogue has none of that name and the text is no tuning either.

    Examples
    --------
    >>> [str(string.open) for string in find_instrument("mandolin").strings]
    ['E5', 'A4', 'D4', 'G3']
    >>> find_instrument("G2 D3 A3 E4, 17 frets").frets
    17
    """
    # The reader of tunings makes instruments, so it can't be imported before they are defined.
    from theorykit.instruments.tuning import looks_like_tuning, read_instrument

    folded = " ".join(name.split()).casefold() if isinstance(name, str) else ""
    found = _BY_FOLDED_NAME.get(folded)
    if found is not None:
        return found
    if looks_like_tuning(name):
        return read_instrument(name)
    names = [known for item in INSTRUMENTS.values() for known in (item.name, *item.aliases)]
    raise BadInput(
        "instrument",
        name,
        "not in the catalogue",
        accepted=", ".join(item for item in INSTRUMENTS if "," not in item)
        + ", or a tuning such as G2 D3 A3 E4, 20 frets",
        nearest=nearest(folded, names),
    )
