"""Which chord comes next in a form that players know by name."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from random import Random

from theorykit.quiz.question import Question, Tone
from theorykit.quiz.tones import chord_root, strum
from theorykit.quiz.topic import Level, Topic
from theorykit.theory.form import FORMS
from theorykit.theory.numeral import Numeral
from theorykit.theory.progression import Progression

#: What levels 3 and 4 ask about besides the quiz's own progression.
_FORMS = {
    3: ("12-bar blues", "12-bar blues, quick change", "8-bar blues", "waltz"),
    4: ("16-bar blues", "12-bar minor blues", "bVII vamp", "ii-V-I", "circle of fourths"),
}

#: What is offered besides the chart's own chords.
_USUAL = {
    "major": ("I", "IV", "V", "vi", "ii", "bVII"),
    "minor": ("i", "iv", "V", "bVI", "bVII", "bIII"),
}

#: So many bars before the question are shown and heard.
_SHOWN, _HEARD = 8, 4
_BAR_BEATS = 2.0

#: From these levels on chord symbols are shown, and nothing at all.
_SYMBOLS, _BY_EAR = 3, 4


def draw_next(topic: Topic, level: Level, rng: Random) -> Question | None:
    """The numeral that a form has next; from level 3 on chord symbols, at level 4 only sound."""
    here = topic.moved(level, rng)
    chart = rng.choice(_charts(topic, level))
    if here.tonic != topic.tonic:
        here = replace(here, progression=chart).in_mode()
    bars = _played_bars(chart)
    spots = [
        bar
        for bar in range(1, len(bars))
        # In a bar of two chords either would be right.
        if len(bars[bar]) == 1
        and all(bars[:bar])
        # A chord that stays is a question only for those who know where it moves.
        and (level.number > 1 or bars[bar][0].root != bars[bar - 1][-1].root)
    ]
    if not spots:
        return None
    spot = rng.choice(spots)
    before, right = bars[:spot], bars[spot][0]
    offered = _options(chart, right, level, rng)
    if len(offered) < 2:
        return None
    key = here.tonic.pretty + (" minor" if chart.mode == "minor" else "")
    name = _pretty(chart.name) if chart.name != str(chart) else "chart of this quiz"
    chord = right.chord(here.tonic)
    return Question(
        kind="next",
        level=level.number,
        card=f"next chord: bar {spot + 1} of the {name}",
        text=(
            f"{name[0].upper()}{name[1:]} in {key}. {_told(before, here, level)} "
            f"What comes in bar {spot + 1}?"
        ),
        options=tuple(numeral.pretty for numeral in offered),
        answer=offered.index(right),
        why=f"Bar {spot + 1} of the {name} has {right.pretty}: in {key} that is {chord.pretty}.",
        wrong=tuple(
            "" if each == right else f"{each.pretty} would be {each.chord(here.tonic).pretty}."
            for each in offered
        ),
        frets=here.frets(level),
        tonic=str(here.tonic),
        notes=here.spelled_marks(chord.notes),
        sound=_heard(before, here),
        proof=_heard((before[-1], bars[spot]), here),
    )


def _charts(topic: Topic, level: Level) -> list[Progression]:
    own = [topic.progression] if len(set(_played_bars(topic.progression))) > 1 else []
    names = [name for number, added in _FORMS.items() if number <= level.number for name in added]
    others = [FORMS[name] for name in names if FORMS[name] not in own]
    return [*own, *others] or [FORMS["12-bar blues"]]


@lru_cache(maxsize=256)
def _played_bars(chart: Progression) -> tuple[tuple[Numeral, ...], ...]:
    """The chords of each bar as they are played; a silent bar has none."""
    return tuple(
        tuple(chord.numeral for chord in bar if not chord.silent) for bar in chart.unfolded().bars
    )


def _options(chart: Progression, right: Numeral, level: Level, rng: Random) -> list[Numeral]:
    """The right numeral and others on other roots."""
    by_root = {right.root.semitones % 12: right}
    others = list(dict.fromkeys(numeral for bar in _played_bars(chart) for numeral in bar))
    rng.shuffle(others)
    for numeral in (*others, *map(Numeral.parse, _USUAL[chart.mode])):
        if len(by_root) < level.options:
            by_root.setdefault(numeral.root.semitones % 12, numeral)
    return [by_root[root] for root in sorted(by_root)]


def _pretty(name: str) -> str:
    return re.sub(r"b(?=[IV])", "♭", name)


def _told(before: Sequence[tuple[Numeral, ...]], topic: Topic, level: Level) -> str:
    """The bars so far: numerals, then chord symbols, then nothing but their sound."""
    last = len(before)
    if level.number == _BY_EAR:
        return f"Listen to the bars up to bar {last}."
    shown = before[-_SHOWN:]
    words = [
        " ".join(
            each.pretty if level.number < _SYMBOLS else each.chord(topic.tonic).pretty
            for each in bar
        )
        for bar in shown
    ]
    first = last - len(shown) + 1
    bars = f"Bars {first} to {last}" if len(shown) > 1 else f"Bar {last}"
    return f"{bars}: | {' | '.join(words)} |."


def _heard(bars: Sequence[tuple[Numeral, ...]], topic: Topic) -> tuple[Tone, ...]:
    found: tuple[Tone, ...] = ()
    for number, bar in enumerate(bars[-_HEARD:]):
        beats = _BAR_BEATS / len(bar)
        for place, numeral in enumerate(bar):
            low = chord_root(topic, numeral.chord(topic.tonic).root.pitch_class)
            midis = [low + degree.semitones % 12 for degree in numeral.type.degrees]
            found += strum(midis, start=number * _BAR_BEATS + place * beats, beats=beats)
    return found
