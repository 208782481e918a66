"""The grammar of chord symbols: what stands after the root, read into parts and written back."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from theorykit.errors import BadInput, nearest
from theorykit.theory.degree import Degree
from theorykit.theory.quote import quoted

#: Members of the frames that extensions are added to, in degrees above the root (any theory
#: handbook; the suspensions and the power chord are common practice).
TRIADS = {
    "major": "1 3 5",
    "minor": "1 b3 5",
    "diminished": "1 b3 b5",
    "augmented": "1 3 #5",
    "sus2": "1 2 5",
    "sus4": "1 4 5",
    "sus24": "1 2 4 5",
    "power": "1 5",
}

#: What an extension adds to a frame. A thirteenth leaves out the eleventh over a major third
#: (common practice); the eleventh is put back over a minor third.
EXTENSIONS = {
    "": "",
    "6": "6",
    "69": "6 9",
    "7": "b7",
    "maj7": "7",
    "9": "b7 9",
    "maj9": "7 9",
    "11": "b7 9 11",
    "maj11": "7 9 11",
    "13": "b7 9 13",
    "maj13": "7 9 13",
}

#: What players write for each quality (common practice). Only one of these stands after a root.
QUALITIES = {
    "minor": ("minor", "min", "Min", "MIN", "mi", "Mi", "MI", "m", "-", "−"),
    "major": ("major", "maj", "Maj", "MAJ", "ma", "Ma", "MA", "M", "Δ", "△", "^"),
    "diminished": ("dim", "°", "º", "o"),
    "augmented": ("aug", "+"),
    "half-diminished": ("ø", "Ø"),
}
_QUALITY_OF = {word: quality for quality, words in QUALITIES.items() for word in words}
# A triangle alone is the major seventh; the words alone are the plain triad.
_TRIANGLES = {"Δ", "△", "^"}

_ALTERATIONS = ("b5", "#5", "b9", "#9", "#11", "b13")
# What may be added by name; b6 and #4 are said of plain triads.
_ADDED = ("2", "4", "#4", "b6", "6", "b9", "9", "#9", "11", "#11", "b13", "13")
_ALT = ("b5", "#5", "b9", "#9")
# Members that a symbol may leave out by name.
_OMITTABLE = ("1", "3", "5", "9", "11")

# The naturals that an extension names above the seventh, tallest first; it is that extension only
# where the ninth (and in minor the eleventh), natural or bent, is there too.
_STACKS = {
    "major": (("13", (9,), 13), ("11", (9,), 11), ("9", (), 9)),
    "minor": (("13", (9, 11), 13), ("11", (9,), 11), ("9", (), 9)),
}


# "madd9" is a minor chord with a ninth, "omit3" no diminished one.
_NOT_BEFORE = {"ma": "(?!dd|lt)", "o": "(?!mit)"}


def _words(text: str) -> tuple[str, ...]:
    return tuple(text.split())


def _either(words: tuple[str, ...] | list[str]) -> str:
    # Longest first, so that "maj" is not read as "m".
    ordered = sorted(words, key=len, reverse=True)
    return "|".join(re.escape(word) + _NOT_BEFORE.get(word, "") for word in ordered)


_SUFFIX = re.compile(
    rf"(?P<quality>{_either(list(_QUALITY_OF))})?(?P<extension>69|6/9|5|6|7|9|11|13)?(?P<rest>.*)",
    re.DOTALL,
)
_MODIFIER = re.compile(
    r"(?P<open>[\s,(]*)"
    r"(?:(?P<altered>[b♭#♯+\-−](?:13|11|5|6|9))"
    r"|add(?P<added>[b#♭♯]?(?:13|11|2|4|6|9))"
    r"|sus(?P<suspended>2/?4|42|2|4|)"
    r"|(?:no|omit)\s?(?P<omitted>11|13|[1-9])(?:rd|th)?"
    r"|(?P<alt>alt)"
    rf"|(?P<major>{_either(QUALITIES['major'])})(?P<size>13|11|9|7|)"
    r"|(?P<raised>\+)(?=[\s,()]*$))"
    r"\s*\)*"
)
_BRACKET = re.compile(r"\([^()]*\)")
_BARE_FIGURE = re.compile(r"(?<![\w#♯♭+\-−])(13|11|9|6)(?!\w)")

ACCEPTED = "a root and a quality, as in G, Am7, Bbmaj7, F#m7b5, D7sus4, E5, C/G"

_SUGGESTED = _words(
    "m 7 m7 maj7 6 m6 dim dim7 m7b5 aug sus2 sus4 9 m9 maj9 add9 69 13 7b9 7#9 7alt 7sus4 5"
)


def quality_of(text: str) -> str | None:
    """The quality that a suffix names first, one of ``QUALITIES``; None for a plain one.

    >>> quality_of("ø7"), quality_of("7")
    ('half-diminished', None)
    """
    match = _SUFFIX.match(text)
    return _QUALITY_OF[match["quality"]] if match is not None and match["quality"] else None


class Parts(NamedTuple):
    """The parts of a chord symbol, its root and bass aside; see ``ChordType``."""

    triad: str = "major"
    extension: str = ""
    alterations: tuple[str, ...] = ()
    added: tuple[str, ...] = ()
    omitted: tuple[str, ...] = ()
    altered: bool = False


@lru_cache(maxsize=2048)
def read_suffix(text: str) -> Parts:
    """The parts of what stands after the root.

    Raises
    ------
    BadInput
        If any of the text is left over or contradicts itself.

    Examples
    --------
    >>> read_suffix("ø")
    Parts(triad='minor', extension='7', alterations=('b5',), added=(), omitted=(), altered=False)
    """
    match = _SUFFIX.fullmatch(text)
    if match is None or not _brackets_match(text):
        raise _bad(text, "its brackets do not match")
    word, extension = match["quality"] or "", (match["extension"] or "").replace("/", "")
    quality = _QUALITY_OF.get(word, "major")
    reader = _Reader(text, quality, extension)
    if quality == "half-diminished":
        reader.half_diminish()
    elif extension == "5":
        reader.make_power(bare=not word)
    elif word and quality == "major" and (word in _TRIANGLES or extension not in {"", "6", "69"}):
        reader.raise_seventh("")
    reader.read_modifiers(match["rest"])
    return reader.parts()


class _Reader:
    """The parts as they are read, each checked against those before it."""

    def __init__(self, text: str, quality: str, extension: str) -> None:
        self.text = text
        self.triad = quality
        self.extension = extension
        self.alterations: list[str] = []
        self.added: list[str] = []
        self.omitted: list[str] = []
        self.altered = False

    def half_diminish(self) -> None:
        self.triad, self.alterations = "minor", ["b5"]
        if self.extension not in {"", "7", "9", "11"}:
            raise _bad(self.text, "a half-diminished chord has a minor seventh")
        self.extension = self.extension or "7"

    def make_power(self, *, bare: bool) -> None:
        if not bare:
            raise _bad(self.text, "a fifth alone is neither major nor minor")
        self.triad, self.extension = "power", ""

    def raise_seventh(self, size: str) -> None:
        extension = self.extension or size or "7"
        # "m9(maj7)" names the seventh and the extension apart; "m7(maj7)" names two sevenths.
        apart = not (size and self.extension) or (size == "7" and self.extension != "7")
        if f"maj{extension}" not in EXTENSIONS or not apart:
            raise _bad(self.text, "a major seventh does not go with that extension")
        if self.triad == "minor" and self.alterations:
            raise _bad(self.text, "a half-diminished chord has a minor seventh")
        self.extension = f"maj{extension}"

    def read_modifiers(self, rest: str) -> None:
        rest = _BRACKET.sub(_read_bracket, rest)
        position = 0
        while position < len(rest):
            part = _MODIFIER.match(rest, position)
            if part is None:
                raise _bad(self.text, f"{quoted(rest[position:])} is not part of a chord symbol")
            position = part.end()
            if part["altered"]:
                sign = "b" if part["altered"][0] in "b♭-−" else "#"
                self.alterations.append(sign + part["altered"][1:])
            elif part["added"]:
                self.added.append(part["added"].replace("♭", "b").replace("♯", "#"))
            elif part["suspended"] is not None:
                self.suspend(part["suspended"].replace("/", "") or "4")
            elif part["omitted"]:
                self.omitted.append(part["omitted"])
            elif part["alt"]:
                self.altered = True
            elif part["raised"]:
                self.raise_fifth()
            else:
                self.raise_seventh(part["size"])

    def suspend(self, size: str) -> None:
        # The second or fourth stands for the third, so that m7sus4 is no other chord than 7sus4.
        if self.triad in {"major", "minor"}:
            self.triad = f"sus{size}".replace("42", "24")
        elif {self.triad, f"sus{size}"} == {"sus2", "sus4"}:
            self.triad = "sus24"
        else:
            raise _bad(self.text, "a suspension takes the place of a major or minor third")

    def raise_fifth(self) -> None:
        # Some write 7+ for a raised fifth; after a major seventh others mean the seventh by it.
        if self.triad != "major" or self.extension not in {"7", "9", "13"}:
            raise _bad(self.text, "a last '+' may mean two things; write #5 or maj7")
        self.alterations.append("#5")

    def parts(self) -> Parts:
        self.check()
        if self.triad == "power" and self.added:
            self.triad, self.omitted = "major", ["3"]
        raw = Parts(
            self.triad,
            self.extension,
            tuple(self.alterations),
            tuple(self.added),
            tuple(self.omitted),
            self.altered,
        )
        self.check_members(raw)
        return _canonical(raw)

    def check(self) -> None:
        if self.altered:
            changed = self.alterations or self.added
            if self.triad != "major" or self.extension not in {"", "7"} or changed:
                raise _bad(self.text, "'alt' stands for every alteration of a dominant seventh")
            self.extension = "7"
        if not self.extension:
            # With no seventh below, a bent sixth, ninth, eleventh or thirteenth is an added note.
            moved = [name for name in self.alterations if name[1:] != "5" and name != "#6"]
            self.added += moved
            self.alterations = [name for name in self.alterations if name not in moved]
        for name in self.alterations:
            if name not in _ALTERATIONS:
                raise _bad(self.text, f"no chord has {name}")
        for name in self.added:
            if name not in _ADDED:
                raise _bad(self.text, f"no chord has {name}")
        for names in (self.alterations, self.added, self.omitted):
            if len(set(names)) < len(names):
                raise _bad(self.text, "the same part is written twice")
        if self.triad == "power" and (self.extension or self.alterations or self.omitted):
            raise _bad(self.text, "root and fifth alone take no such change")
        bent_fifths = [name for name in self.alterations if name.endswith("5")]
        if self.triad in {"diminished", "augmented"} and bent_fifths:
            raise _bad(self.text, "the fifth is altered twice")
        if self.triad == "diminished" and self.extension not in {"", "7", "maj7"}:
            raise _bad(self.text, "a diminished chord takes no extension but 7")
        bent = bool(bent_fifths) or self.altered or self.triad in {"diminished", "augmented"}
        if "5" in self.omitted and bent:
            raise _bad(self.text, "the fifth is both altered and left out")

    def check_members(self, parts: Parts) -> None:
        whole = members(parts._replace(omitted=()))
        for name in parts.omitted:
            if name not in _OMITTABLE:
                reason = f"'no{name}': only the root, third, fifth, ninth or eleventh is left out"
                raise _bad(self.text, reason)
            same = [degree for degree in whole if degree.number == int(name)]
            word = Degree(int(name)).ordinal
            if not same:
                raise _bad(self.text, f"there is no {word} to leave out")
            if len(same) > 1 or (same[0].alter and name != "3") or name in parts.added:
                raise _bad(self.text, f"the {word} is both added or altered and left out")
            if parts.extension.removeprefix("maj") == name:
                raise _bad(self.text, "leaves out the note that it is named for")
        for name in parts.added:
            if Degree.parse(name) in members(parts._replace(added=())):
                raise _bad(self.text, f"has its {Degree.parse(name).ordinal} already")
        if len(members(parts)) < 2:
            raise _bad(self.text, "a single note is no chord")


def _canonical(raw: Parts) -> Parts:
    """One value for one chord, however it was written: it is named anew from its members."""
    if raw.altered:
        return raw
    sixth, omitted = Degree(6), tuple(sorted({"1", "3", "5"} & set(raw.omitted)))
    fifths = {name for name in raw.alterations if name.endswith("5")}
    frame = {degree.number for degree in _degrees(TRIADS[raw.triad])}
    upper = {each for each in members(raw) if each.number not in {*frame, 1, 3, 5, 7}}
    base = {"6": "6", "69": "6", "": ""}.get(raw.extension)
    if base is None:
        base = "maj7" if raw.extension.startswith("maj") else "7"
    if base == "" and sixth in upper:
        base = "6"
    if base == "6":
        upper.discard(sixth)
    triad = raw.triad
    if triad == "augmented" and base:
        triad, fifths = "major", {"#5"}
    elif triad == "major" and not base and fifths == {"#5"}:
        triad, fifths = "augmented", set()
    elif triad == "diminished" and base == "6":
        triad, fifths = "minor", {"b5"}
    elif triad == "minor" and base in {"", "maj7"} and fifths == {"b5"}:
        triad, fifths = "diminished", set()
    extension, upper = _extension(triad, base, upper)
    if triad == "major" and extension == "7" and {*fifths, *map(str, upper)} == set(_ALT):
        return Parts("major", "7", omitted=omitted, altered=True)
    if not (extension or fifths or upper) and triad in {"major", "minor"} and omitted == ("3",):
        return Parts("power")
    # A bent note is printed as an alteration beside a seventh or sixth, where its natural isn't.
    naturals = {*_degrees(EXTENSIONS[extension])} - {*members(raw)}
    numbers = {each.number for each in _degrees(EXTENSIONS[extension])}
    altered, added = set(fifths), set[str]()
    for degree in upper:
        replaces = degree.number not in numbers or Degree(degree.number) in naturals
        beside = extension and triad != "diminished" and str(degree) in _ALTERATIONS
        (altered if beside and replaces else added).add(str(degree))
    return Parts(
        triad,
        extension,
        tuple(sorted(altered, key=_ALTERATIONS.index)),
        tuple(sorted(added, key=lambda name: (int(name.lstrip("b#")), name))),
        omitted,
    )


def _extension(triad: str, base: str, upper: set[Degree]) -> tuple[str, set[Degree]]:
    """The extension that a chord's upper members make, and those that it doesn't name."""
    if triad == "diminished" or not base:
        return base, upper
    if base == "6":
        return ("69", upper - {Degree(9)}) if Degree(9) in upper else (base, upper)
    numbers = {degree.number for degree in upper}
    stacks = _STACKS["minor" if triad == "minor" else "major"]
    for name, below, top in stacks:
        if Degree(top) in upper and numbers >= set(below):
            named = {Degree(number) for number in (*below, top)}
            return base.replace("7", name), upper - named
    return base, upper


def _read_bracket(group: re.Match[str]) -> str:
    # Brackets may hold a list with slashes, 7(b9/b13), and bare figures, 7(9,13), which are added.
    return _BARE_FIGURE.sub(r"add\1", group[0].replace("/", ","))


def _brackets_match(text: str) -> bool:
    depth = 0
    for sign in text:
        depth += (sign == "(") - (sign == ")")
        if depth not in {0, 1}:
            return False
    return depth == 0


@lru_cache(maxsize=2048)
def members(parts: Parts) -> tuple[Degree, ...]:
    """The members above the root, stacked upwards.

    >>> " ".join(map(str, members(read_suffix("9sus4"))))
    '1 4 5 b7 9'
    """
    frame = {degree.number: degree for degree in _degrees(TRIADS[parts.triad])}
    extra: list[Degree] = []
    extension = _degrees(EXTENSIONS[parts.extension])
    if parts.triad == "diminished" and parts.extension == "7":
        extension = _degrees("bb7")
    for degree in extension:
        frame[degree.number] = degree
    if parts.extension in {"13", "maj13"} and parts.triad == "minor":
        frame[11] = Degree(11)
    for name in _ALT if parts.altered else parts.alterations:
        degree = Degree.parse(name)
        if degree.number in frame and frame[degree.number].alter == 0:
            frame[degree.number] = degree
        else:
            extra.append(degree)
    extra += [Degree.parse(name) for name in parts.added]
    for name in parts.omitted:
        frame.pop(int(name), None)
    return tuple(sorted({*frame.values(), *extra}, key=lambda each: (each.semitones, each.number)))


def _degrees(text: str) -> tuple[Degree, ...]:
    return tuple(Degree.parse(token) for token in text.split())


_TRIAD_PREFIX = {"minor": "m", "diminished": "dim", "augmented": "aug", "power": "5"}


@lru_cache(maxsize=2048)
def write_suffix(parts: Parts) -> str:
    """The symbol in its one printed form; ``read_suffix`` gives the same parts back."""
    text = _TRIAD_PREFIX.get(parts.triad, "") + parts.extension
    alterations = "alt" if parts.altered else "".join(parts.alterations)
    # Straight after the root, b5 would read as a flat root's power chord.
    text += alterations if text or parts.altered else f"({alterations})" * bool(alterations)
    if parts.triad.startswith("sus"):
        text += parts.triad
    text += "".join(f"add{name}" for name in parts.added)
    return text + "".join(f"no{name}" for name in parts.omitted)


def _bad(text: str, reason: str) -> BadInput:
    close = nearest(text, _SUGGESTED)
    return BadInput("chord quality", text, reason, accepted=ACCEPTED, nearest=close)
