"""What a chart is made of, and the text in which it is written."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import gcd, lcm

from theorykit.theory.degree import Degree
from theorykit.theory.key import TONICS, Key
from theorykit.theory.numeral import Numeral
from theorykit.theory.roadmap import PLACES, Mark

HOME_TONIC = Degree(1)


@dataclass(frozen=True, slots=True)
class ChartChord:
    """A chord in a bar.

    Parameters
    ----------
    numeral : Numeral
        Counted from the tune's home tonic, also after a change of key.
    beats : Fraction
        How long it lasts, in the meter's beats.
    silent : bool
        True for N.C.: no chord sounds, and the numeral is that of the chord before (at the
        beginning, the first one that sounds).
    """

    numeral: Numeral
    beats: Fraction
    silent: bool = False


def bar_text(chords: Iterable[ChartChord], tonic: Degree = HOME_TONIC) -> str:
    """The chords of a bar as they are typed, counted from ``tonic``.

    >>> two, one = Fraction(2), Fraction(1)
    >>> bar_text([ChartChord(Numeral.parse("I"), two), ChartChord(Numeral.parse("V"), one)])
    'I . V'
    """
    chords = tuple(chords)
    below = lcm(*(chord.beats.denominator for chord in chords))
    share = Fraction(gcd(*(int(chord.beats * below) for chord in chords)), below)
    # A reader shares a bar by whole beats or by parts of one: "I V" in 3/4 is refused.
    share = share if share.denominator == 1 else Fraction(1, share.denominator)
    tokens: list[str] = []
    for chord in chords:
        local = chord.numeral if tonic == HOME_TONIC else chord.numeral.unshifted(tonic)
        tokens += [
            "N.C." if chord.silent else str(local),
            *["."] * (int(chord.beats / share) - 1),
        ]
    return " ".join(tokens)


def key_at(marks: Iterable[Mark], bar: int) -> str:
    """The key of a written bar, counted from 0, as a numeral of the home key."""
    keys = [mark.value for mark in marks if mark.kind == "key" and mark.bar <= bar]
    return keys[-1] if keys else "I"


def chart_text(
    bars: tuple[tuple[ChartChord, ...], ...],
    *,
    meter: str,
    pickup: tuple[ChartChord, ...],
    marks: tuple[Mark, ...],
    key: Key | None,
    bars_per_line: int,
) -> str:
    """The text of a chart, which the reader reads back."""
    heads = [] if meter == "4/4" else [meter]
    heads += [f"key: {key}"] if key is not None else []
    if pickup:
        beats = sum((chord.beats for chord in pickup), Fraction(0))
        heads.append(f"pickup {beats}: {bar_text(pickup)}")
    values = {(mark.bar, mark.kind): mark.value for mark in marks}
    lines: list[str] = []
    for first in range(0, len(bars), bars_per_line):
        line = "|:" if (first, "repeat start") in values else "|"
        beyond = min(first + bars_per_line, len(bars))
        for bar in range(first, beyond):
            tonic = Numeral.parse(key_at(marks, bar)).degree
            at_start = _mark_texts(bar, "start", values, key)
            at_end = _mark_texts(bar, "end", values, key)
            opens_next = bar + 1 < beyond and (bar + 1, "repeat start") in values
            bar_line = _bar_line(values.get((bar, "repeat end")), opens_next)
            line = " ".join([line, *at_start, bar_text(bars[bar], tonic), *at_end, bar_line])
        lines.append(line)
    return " ".join([*heads, "\n".join(lines)])


def _bar_line(times: str | None, opens_next: bool) -> str:
    if times is None:
        return "|:" if opens_next else "|"
    if times == "2":
        return ":|:" if opens_next else ":|"
    return f":|x{times} |:" if opens_next else f":|x{times}"


_JUMPS = {"da capo": "D.C.", "dal segno": "D.S."}
_TARGETS = {"": "", "fine": " al Fine", "coda": " al Coda"}


def _mark_texts(
    bar: int, place: str, values: dict[tuple[int, str], str], key: Key | None
) -> list[str]:
    texts: list[str] = []
    for kind, where in PLACES.items():
        value = values.get((bar, kind))
        if where != place or value is None or kind.startswith("repeat"):
            continue
        if kind == "section":
            texts.append(f"[{value}]")
        elif kind == "ending":
            texts.append("".join(f"{time}." for time in value))
        elif kind in _JUMPS:
            texts.append(_JUMPS[kind] + _TARGETS[value])
        elif kind == "key":
            texts.append(f"key: {_key_text(value, key)}")
        else:
            texts.append(kind)
    return texts


def _key_text(value: str, home: Key | None) -> str:
    numeral = Numeral.parse(value)
    tonic = numeral.root.at(home.tonic) if home is not None else None
    if tonic not in TONICS:
        return value
    return f"{tonic}{numeral.type.suffix}"
