"""A scale held over a chord: what questions on the two are made of."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from random import Random

from theorykit.analysis.advice import Advice, advise
from theorykit.analysis.fit import Fit, NoteFit, fit
from theorykit.analysis.style import STYLES
from theorykit.analysis.wording import fill, scale_words
from theorykit.quiz.question import Tone
from theorykit.quiz.tones import chord_root, strum
from theorykit.quiz.topic import Level, Topic, plainer
from theorykit.theory.degree import Degree
from theorykit.theory.form import FORMS
from theorykit.theory.numeral import Numeral
from theorykit.theory.progression import Progression
from theorykit.theory.scale import SCALES, ScaleFormula

#: What is asked about besides the quiz's own scale, of these one more at each level, and at level 4
#: besides its progression.
_SCALES = ("major pentatonic", "minor pentatonic", "blues", "major")
_FORMS = ("12-bar blues", "12-bar blues, plain chords", "bVII vamp", "ii-V-I", "12-bar minor blues")

#: From this level on more forms and styles are asked about.
_MORE_FORMS = 4


@dataclass(frozen=True, slots=True)
class ChordCase:
    """A scale held over a chord of a progression, in a style."""

    topic: Topic
    numeral: Numeral

    @property
    def advice(self) -> Advice:
        """What the library advises: that is the answer."""
        topic = self.topic
        return advise(topic.scale, self.numeral, topic.style, topic.progression.mode)

    @property
    def fit(self) -> Fit:
        """Each note of the scale over the chord."""
        topic = self.topic
        return fit(topic.scale, self.numeral, topic.style, topic.progression.mode)

    @property
    def is_clean_switch(self) -> bool:
        """True where the scale that is advised instead has no note to mind itself."""
        advice, topic = self.advice, self.topic
        new = fit(
            advice.scale,
            self.numeral,
            topic.style,
            topic.progression.mode,
            tonic=advice.scale_tonic,
        )
        return not (new.has_unwanted or new.has_careful)

    @property
    def chord(self) -> str:
        """The chord's symbol."""
        return self.numeral.chord(self.topic.tonic).pretty

    @property
    def scale(self) -> str:
        """The scale that is held, by its full name."""
        held = self.fit.placement
        return self.filled(scale_words(held.scale, held.tonic, self.numeral))

    @property
    def question(self) -> str:
        """What the player is told, and what the card says, key included."""
        minor = " minor" if self.topic.progression.mode == "minor" else ""
        return (
            f"Key of {self.topic.tonic.pretty}{minor}, {self.topic.style.name} style: you play "
            f"{self.scale}. The chord is {self.chord} ({self.numeral.pretty})."
        )

    @property
    def sound(self) -> tuple[Tone, ...]:
        """The chord."""
        return strum(self.midis())

    def midis(self) -> list[int]:
        """The chord in close position, its root below."""
        low = chord_root(self.topic, self.numeral.chord(self.topic.tonic).root.pitch_class)
        return [low + degree.semitones % 12 for degree in self.numeral.type.degrees]

    def with_note(self, degree: Degree) -> tuple[Tone, ...]:
        """The chord, and over it a note."""
        midis = self.midis()
        above = (self.topic.tonic.pitch_class + degree.semitones - midis[0]) % 12
        return (*strum(midis), Tone(midis[0] + 12 + above, 1.0, 2.5))

    def filled(self, template: str) -> str:
        """A sentence about degrees, in this key."""
        return fill(template, self.topic.tonic, pretty=True)

    def may_ring(self, note: NoteFit) -> str:
        """What is said of a note that the chord has."""
        member = note.member.ordinal if note.member is not None else "root"
        return f"{self.note(note.degree)} is the {member} of {self.chord}: it may ring."

    def note(self, degree: Degree) -> str:
        """A note's name in this key."""
        return plainer(degree.at(self.topic.tonic)).pretty


def chord_cases(topic: Topic, level: Level, rng: Random) -> Iterator[ChordCase]:
    """Every case that a level draws from, in a random order; those of other scales at the end."""
    here = topic.moved(level, rng)
    charts = [here.progression]
    if level.number >= _MORE_FORMS:
        charts += [FORMS[name] for name in _FORMS]
        here = replace(here, style=rng.choice(list(STYLES.values())))
    scales = [here.scale, *(SCALES[name] for name in _SCALES if SCALES[name] != here.scale)]
    for tier in (scales[: level.number + 1], scales[level.number + 1 :]):
        cases = [(scale, chart) for scale in tier for chart in charts if _suits(scale, chart, here)]
        pairs = [(each, numeral) for each in cases for numeral in _numerals(each[1])]
        rng.shuffle(pairs)
        for (scale, chart), numeral in pairs:
            held = replace(here, scale=scale, progression=chart)
            yield ChordCase(held if here.tonic == topic.tonic else held.in_mode(), numeral)


def _suits(scale: ScaleFormula, chart: Progression, topic: Topic) -> bool:
    """False for a scale with a major third in minor, unless somebody asked for just that."""
    asked_for = (scale, chart) == (topic.scale, topic.progression)
    return asked_for or chart.mode == "major" or 4 not in scale.semitones


@lru_cache(maxsize=256)
def _numerals(chart: Progression) -> tuple[Numeral, ...]:
    """The different chords of a chart, each counted from the key that it stands in."""
    found = (
        chart.local_numeral(number, chord)
        for number, bar in enumerate(chart.bars)
        for chord in bar
        if not chord.silent
    )
    return tuple(dict.fromkeys(found))
