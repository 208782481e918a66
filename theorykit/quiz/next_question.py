"""Which chord comes next in a form that players know by name."""

from __future__ import annotations

import re
from random import Random

from theorykit.quiz.question import Question, Tone
from theorykit.quiz.tones import chord_root, strum
from theorykit.quiz.topic import Level, Topic
from theorykit.theory.form import FORMS
from theorykit.theory.numeral import Numeral
from theorykit.theory.progression import Progression
from theorykit.theory.scale import SCALES

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

_SPELLINGS = {"major": "major", "minor": "natural minor"}


def draw_next(topic: Topic, level: Level, rng: Random) -> Question | None:
    """The numeral that a form has next; from level 3 on chord symbols, at level 4 only sound."""
    here = topic.moved(level, rng)
    chart = rng.choice(_charts(topic, level))
    if here.tonic != topic.tonic:
        here = here.in_key(here.tonic.pitch_class, SCALES[_SPELLINGS[chart.mode]])
    bars = _first_numerals(chart)
    spots = [
        bar
        for bar in range(1, len(bars))
        if bars[bar] is not None
        and all(each is not None for each in bars[:bar])
        # In a bar of two chords either would be right.
        and len(chart.unfolded().bars[bar]) == 1
        # A chord that stays is a question only for those who know where it moves.
        and (level.number > 1 or bars[bar].root != bars[bar - 1].root)  # type: ignore[union-attr]
    ]
    if not spots:
        return None
    spot = rng.choice(spots)
    before = [numeral for numeral in bars[:spot] if numeral is not None]
    right = bars[spot]
    assert right is not None
    offered = _options(chart, right, level, rng)
    if len(offered) < 2:
        return None
    key = here.tonic.pretty + (" minor" if chart.mode == "minor" else "")
    name = _pretty(chart.name) if chart.name != str(chart) else "chart of this quiz"
    chord = right.chord(here.tonic)
    labels = {
        (chord.root.pitch_class + degree.semitones) % 12: note.pretty
        for degree, note in zip(right.type.degrees, chord.notes, strict=False)
    }
    return Question(
        kind="next",
        level=level.number,
        card=f"next chord: bar {spot + 1} of the {name}",
        text=f"{name[0].upper()}{name[1:]} in {key}. {_told(before, here, level)} What comes in bar {spot + 1}?",
        options=tuple(numeral.pretty for numeral in offered),
        answer=offered.index(right),
        why=f"Bar {spot + 1} of the {name} has {right.pretty}: in {key} that is {chord.pretty}.",
        wrong=tuple(
            "" if each == right else f"{each.pretty} would be {each.chord(here.tonic).pretty}."
            for each in offered
        ),
        frets=here.frets(level),
        tonic=str(here.tonic),
        marks=here.marks(level, labels),
        sound=_heard(before, here),
        proof=_heard([*before, right][-2:], here),
    )


def _charts(topic: Topic, level: Level) -> list[Progression]:
    own = [topic.progression] if len(set(_first_numerals(topic.progression))) > 1 else []
    names = [name for number, added in _FORMS.items() if number <= level.number for name in added]
    others = [FORMS[name] for name in names if FORMS[name] not in own]
    return [*own, *others] or [FORMS["12-bar blues"]]


def _first_numerals(chart: Progression) -> list[Numeral | None]:
    """The first chord of each bar as it is played; None where it is silent."""
    played = chart.unfolded()
    return [None if not bar or bar[0].silent else bar[0].numeral for bar in played.bars]


def _options(chart: Progression, right: Numeral, level: Level, rng: Random) -> list[Numeral]:
    """The right numeral and others on other roots."""
    by_root = {right.root.semitones % 12: right}
    own = [numeral for numeral in _first_numerals(chart) if numeral is not None]
    others = list(dict.fromkeys(own))
    rng.shuffle(others)
    for numeral in (*others, *map(Numeral.parse, _USUAL[chart.mode])):
        if len(by_root) < level.options:
            by_root.setdefault(numeral.root.semitones % 12, numeral)
    return [by_root[root] for root in sorted(by_root)]


def _pretty(name: str) -> str:
    return re.sub(r"b(?=[IV])", "♭", name)


def _told(before: list[Numeral], topic: Topic, level: Level) -> str:
    """The bars so far: numerals, then chord symbols, then nothing but their sound."""
    last = len(before)
    if level.number == 4:
        return f"Listen to the bars up to bar {last}."
    shown = before[-_SHOWN:]
    words = [
        numeral.pretty if level.number < 3 else numeral.chord(topic.tonic).pretty
        for numeral in shown
    ]
    first = last - len(shown) + 1
    bars = f"Bars {first} to {last}" if len(shown) > 1 else f"Bar {last}"
    return f"{bars}: | {' | '.join(words)} |."


def _heard(numerals: list[Numeral], topic: Topic) -> tuple[Tone, ...]:
    found: tuple[Tone, ...] = ()
    for number, numeral in enumerate(numerals[-_HEARD:]):
        low = chord_root(topic, numeral.chord(topic.tonic).root.pitch_class)
        midis = [low + degree.semitones % 12 for degree in numeral.type.degrees]
        found += strum(midis, start=number * _BAR_BEATS, beats=_BAR_BEATS)
    return found
