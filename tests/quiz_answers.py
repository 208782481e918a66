"""Every option of a quiz's question judged from the question's own words, by tables typed by hand.

Nothing of the package's theory is used here: notes, scales, chords, tunings and forms are written
out below. Tunings and forms are common practice; scales and chords any handbook's (from memory).
"""

from __future__ import annotations

import re

from theorykit.quiz.question import Question

_LETTERS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_SIGNS = {"♭": -1, "♯": 1, "𝄫": -2, "𝄪": 2, "b": -1, "#": 1}
_MAJOR = (0, 2, 4, 5, 7, 9, 11)

#: Open strings, the first string first, as MIDI keys; a banjo's fifth string begins at fret 5.
TUNINGS = {
    "mandolin": (76, 69, 62, 55),
    "guitar": (64, 59, 55, 50, 45, 40),
    "banjo": (62, 59, 55, 50, 67),
    "fiddle": (76, 69, 62, 55),
    "bass": (43, 38, 33, 28),
}
SHORT = {("banjo", 5): 5}

SCALES = {
    "major pentatonic": {0, 2, 4, 7, 9},
    "minor pentatonic": {0, 3, 5, 7, 10},
    "major": {0, 2, 4, 5, 7, 9, 11},
    "natural minor": {0, 2, 3, 5, 7, 8, 10},
    "blues": {0, 3, 5, 6, 7, 10},
    "Mixolydian": {0, 2, 4, 5, 7, 9, 10},
    "Dorian": {0, 2, 3, 5, 7, 9, 10},
    "major blues": {0, 2, 3, 4, 7, 9},
    "harmonic minor": {0, 2, 3, 5, 7, 8, 11},
    "Lydian": {0, 2, 4, 6, 7, 9, 11},
    "Phrygian": {0, 1, 3, 5, 7, 8, 10},
    "whole tone": {0, 2, 4, 6, 8, 10},
}

CHORDS = {
    "": {0, 4, 7},
    "m": {0, 3, 7},
    "7": {0, 4, 7, 10},
    "m7": {0, 3, 7, 10},
    "maj7": {0, 4, 7, 11},
}

_I7 = "I7 I7 I7 I7"
BARS = {
    "12-bar blues": f"{_I7} IV7 IV7 I7 I7 V7 IV7 I7 V7",
    "12-bar blues, quick change": "I7 IV7 I7 I7 IV7 IV7 I7 I7 V7 IV7 I7 V7",
    "16-bar blues": f"{_I7} {_I7} IV7 IV7 I7 I7 V7 IV7 I7 V7",
    "8-bar blues": "I7 V7 IV7 IV7 I7 V7",
    "12-bar minor blues": "i7 i7 i7 i7 iv7 iv7 i7 i7 ♭VI7 V7 i7 V7",
    "waltz": "I I V V V V I I I I7 IV IV I V I I",
    "♭VII vamp": "I I ♭VII ♭VII I I - I",
    "ii-V-I": "ii7 V7 Imaj7 Imaj7",
    "circle of fourths": "III7 III7 VI7 VI7 II7 II7 V7 V7",
    "I-IV-V vamp": "I IV V I",
    "I-vi-ii-V": "I vi ii V",
}

_NOTE = "[A-G][♭♯𝄫𝄪]*"


def pitch_class(name: str) -> int:
    """The pitch class of a note that is written with music signs."""
    return (_LETTERS[name[0]] + sum(_SIGNS[sign] for sign in name[1:])) % 12


def degree_steps(name: str) -> int:
    """Half steps above the tonic of a degree such as ♭3."""
    digits = name.lstrip("♭♯b#")
    return (_MAJOR[int(digits) - 1] + sum(_SIGNS[s] for s in name[: -len(digits)])) % 12


def sounding(instrument: str, string: int, fret: int) -> int:
    """The MIDI key of a place on the neck."""
    start = SHORT.get((instrument, string), 0)
    assert fret == 0 or fret > start
    return TUNINGS[instrument][string - 1] + (fret - start if fret else 0)


def neck(instrument: str, frets: int) -> list[tuple[int, int]]:
    """Every place of a neck up to a fret."""
    return [
        (string, fret)
        for string in range(1, len(TUNINGS[instrument]) + 1)
        for fret in range(frets + 1)
        if fret == 0 or fret > SHORT.get((instrument, string), 0)
    ]


def right_options(question: Question, instrument: str) -> list[int]:
    """The numbers of the options that are right, judged one by one."""
    judge = {
        "name": _name,
        "scale": _scale,
        "third": _third,
        "next": _next,
        "rub": _rub,
        "switch": _switch,
    }[question.kind]
    return [i for i, option in enumerate(question.options) if judge(question, option, instrument)]


def right_places(question: Question, instrument: str) -> list[tuple[int, int]]:
    """The places on the neck that answer a question to find something."""
    wanted = re.match(f"Find ({_NOTE}) (?:on|any)", question.text)
    degree = re.match(f"Find the (?:tonic|(\\S+)) of ({_NOTE}) ", question.text)
    if wanted is not None:
        asked = pitch_class(wanted[1])
    else:
        assert degree is not None, question.text
        steps = degree_steps(degree[1]) if degree[1] else 0
        asked = (pitch_class(degree[2]) + steps) % 12
    string = re.search(r"on string (\d)", question.text)
    return [
        (number, fret)
        for number, fret in neck(instrument, question.frets)
        if sounding(instrument, number, fret) % 12 == asked
        and (string is None or number == int(string[1]))
    ]


def _name(question: Question, option: str, instrument: str) -> bool:
    (mark,) = question.shown
    place = re.search(r"(open )?string (\d) \(\S+\)(?:, fret (\d+))?\?", question.text)
    assert place is not None
    assert (mark.string, mark.fret) == (int(place[2]), int(place[3] or 0))
    sounds = sounding(instrument, mark.string, mark.fret) % 12
    degree = re.match(f"Which degree of ({_NOTE}) ", question.text)
    if degree is not None:
        return (pitch_class(degree[1]) + degree_steps(option)) % 12 == sounds
    return pitch_class(option) == sounds


def _scale(question: Question, option: str, _instrument: str) -> bool:
    tonic = re.search(f"the tonic, ({_NOTE}),", question.text)
    assert tonic is not None
    root = pitch_class(tonic[1])
    assert question.sound[0].midi % 12 == root
    heard = {(tone.midi - root) % 12 for tone in question.sound}
    return heard == SCALES[option]


def _third(question: Question, option: str, _instrument: str) -> bool:
    root = re.search(f"a chord on ({_NOTE})[. ]", question.text)
    assert root is not None
    heard = {(tone.midi - pitch_class(root[1])) % 12 for tone in question.sound}
    assert {0, 7} <= heard
    assert (10 in heard) == ("seventh" in question.text)
    found = heard & {3, 4, 5}
    return {
        "with its third": bool(found & {3, 4}),
        "without its third": not found,
        "major third": found == {4},
        "minor third": found == {3},
        "a fourth in its place": found == {5},
        "no third": not found,
    }[option]


def _next(question: Question, option: str, _instrument: str) -> bool:
    form = re.match(rf"(.+?) in {_NOTE}(?: minor)?\.", question.text)
    bar = re.search(r"comes in bar (\d+)\?", question.text)
    assert form is not None
    assert bar is not None
    names = {name[0].upper() + name[1:]: bars.split() for name, bars in BARS.items()}
    return root_numeral(names[form[1]][int(bar[1]) - 1]) == root_numeral(option)


def root_numeral(numeral: str) -> str:
    """A numeral's root alone: two chords on one root are never both offered."""
    return re.sub(r"[^♭♯IViv].*", "", numeral).upper()


def over(question: Question) -> tuple[int, set[int], set[int], str]:
    """Tonic, scale and chord of a question as pitch classes, and the style."""
    said = re.match(
        rf"Key of ({_NOTE})(?: minor)?, (\w+) style: you play ({_NOTE}) (.+?)\. "
        rf"The chord is ({_NOTE})(\S*) \(",
        question.text,
    )
    assert said is not None, question.text
    root = pitch_class(said[5])
    chord = {(root + step) % 12 for step in CHORDS[said[6]]}
    scale = {(pitch_class(said[3]) + step) % 12 for step in SCALES[said[4]]}
    return pitch_class(said[1]), scale, chord, said[2]


def close_to(note: int, chord: set[int]) -> bool:
    """True where a note that is no member lies a half step from one."""
    return note not in chord and bool({(note + 1) % 12, (note - 1) % 12} & chord)


def _rub(question: Question, option: str, _instrument: str) -> bool:
    _, scale, chord, _ = over(question)
    note = pitch_class(option)
    assert note in scale
    # Nor may a member be offered that lies a half step from another one.
    assert note not in chord or not {(note + 1) % 12, (note - 1) % 12} & chord
    return close_to(note, chord)


def _switch(question: Question, option: str, _instrument: str) -> bool:
    """Advice is a convention: what is judged is whether anybody could call an option right.

    A member of the chord never has to go and needs no care; a note that lies a half step above a
    member does, but for the fourth over a major third, which may pass (common practice) except in
    jazz (Levine 1995; from memory). Country and classical players mind what is foreign to the key and
    lies a half step below one, too.
    """
    tonic, scale, chord, style = over(question)
    played = re.search(r"you play \S+ (.+?)\. The", question.text)
    assert played is not None
    passing = {(tonic + step) % 12 for step in ORNAMENTS.get(played[1], ())}
    root = pitch_class(re.search(f"chord is ({_NOTE})", question.text)[1])  # type: ignore[index]
    third = (root + 4) % 12

    def rubs(notes: set[int]) -> set[int]:
        return {note for note in notes - chord if (note - 1) % 12 in chord - {third}}

    if match := re.fullmatch(rf"(?:leave out|pass through) ((?:{_NOTE}(?:, | and )?)+)", option):
        return not {pitch_class(name) for name in re.findall(_NOTE, match[1])} & chord
    if match := re.fullmatch(rf"switch: ({_NOTE}) has to go", option):
        assert pitch_class(match[1]) in scale
        return pitch_class(match[1]) in rubs(scale)
    if match := re.fullmatch(rf"switch to ({_NOTE}) (.+)", option):
        own = (pitch_class(match[1]), root) == (tonic, (tonic + 7) % 12)
        if match[2] == "harmonic minor" and own and {4, 7} <= {(n - root) % 12 for n in chord}:
            # The dominant in minor takes the key's harmonic minor (any handbook).
            return True
        return not rubs({(pitch_class(match[1]) + step) % 12 for step in SCALES[match[2]]})
    if option in ("stay on it", "stay: no note has to go"):
        return not rubs(scale - passing)
    if option == "switch to another scale":
        return bool(rubs(scale - passing))
    assert option == "stay: no note needs care"
    minded = rubs(scale)
    if style == "jazz" and third in chord:
        minded |= {(third + 1) % 12} & scale - chord
    if style in ("country", "classical"):
        steps = (0, 2, 3, 5, 7, 8, 10, 11) if " minor, " in question.text else _MAJOR
        key = {(tonic + step) % 12 for step in steps}
        minded |= {note for note in scale - chord - key if close_to(note, chord)}
    return not minded


#: Notes that a scale has in passing only.
ORNAMENTS = {"blues": (6,), "major blues": (3,)}
