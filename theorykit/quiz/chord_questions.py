"""Questions on scale and chord: stay or switch, and which note rubs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from random import Random

from theorykit.analysis import style as styles
from theorykit.analysis.advice import Advice, advise
from theorykit.analysis.fit import Fit, NoteFit, fit
from theorykit.analysis.style import CARE_AT, STYLES
from theorykit.analysis.wording import fill, scale_words
from theorykit.quiz.question import Question, Tone
from theorykit.quiz.tones import chord_root, strum
from theorykit.quiz.topic import CHROMATIC, Level, Topic, plainer
from theorykit.theory.degree import Degree
from theorykit.theory.form import FORMS
from theorykit.theory.numeral import Numeral
from theorykit.theory.progression import Progression
from theorykit.theory.scale import SCALES, ScaleFormula

#: What is asked about besides the quiz's own scale, of these one more at each level, and at level 4
#: besides its progression.
_SCALES = ("major pentatonic", "minor pentatonic", "blues", "major")
_FORMS = ("12-bar blues", "12-bar blues, plain chords", "bVII vamp", "ii-V-I", "12-bar minor blues")

#: From these levels on the advice itself is to be chosen, and more forms and styles are asked of.
_FULL, _MORE_FORMS = 3, 4


@dataclass(frozen=True, slots=True)
class _Case:
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
        return (
            f"Key of {self.topic.tonic.pretty}, {self.topic.style.name} style: you play "
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

    def note(self, degree: Degree) -> str:
        """A note's name in this key."""
        return plainer(degree.at(self.topic.tonic)).pretty


def _cases(topic: Topic, level: Level, rng: Random) -> Iterator[_Case]:
    """Every case that a level draws from, in a random order."""
    here = topic.moved(level, rng)
    scales, charts = [here.scale], [here.progression]
    others = [SCALES[name] for name in _SCALES if SCALES[name] != here.scale]
    scales += others[: level.number]
    if level.number >= _MORE_FORMS:
        charts += [FORMS[name] for name in _FORMS]
        here = replace(here, style=rng.choice(list(STYLES.values())))

    def spelled(scale: ScaleFormula) -> Topic:
        moved = replace(here, scale=scale)
        if here.tonic == topic.tonic:
            return moved
        return moved.in_key(here.tonic.pitch_class, moved.melodic)

    held = [spelled(scale) for scale in scales]

    cases = [
        _Case(replace(each, progression=chart), numeral)
        for each in held
        for chart in charts
        for numeral in _numerals(chart)
    ]
    rng.shuffle(cases)
    return iter(cases)


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


def draw_switch(topic: Topic, level: Level, rng: Random) -> Question | None:
    """Stay on the scale, with care or without, or switch."""
    for case in _cases(topic, level, rng):
        advice = case.advice
        if level.number < _FULL:
            offered = _plain_options(advice, level)
        else:
            offered = _full_options(case, advice, level, rng)
        if offered is None:
            continue
        options, answer, wrong = offered
        here = case.topic
        care = {_class(here, each.degree) for each in advice.watch}
        played = [advice.scale_tonic.plus(degree) for degree in _degrees(advice)]
        marked = [*played, *(each.degree for each in advice.watch)]
        unwanted = advice.fit.unwanted
        return Question(
            kind="switch",
            level=level.number,
            card=f"stay or switch: {case.question}",
            text=f"{case.question} {_ASKED[min(level.number, _FULL)]}",
            options=options,
            answer=answer,
            why=case.filled(advice.reason),
            wrong=wrong,
            frets=here.frets(level),
            tonic=str(here.tonic),
            notes=here.spelled_marks([degree.at(here.tonic) for degree in marked], care),
            sound=case.sound,
            proof=case.with_note(unwanted[0].degree) if unwanted else (),
        )
    return None


_ASKED = {1: "Stay, or switch?", 2: "Stay, take care, or switch?", 3: "What do you do?"}
_STAY, _CARE, _SWITCH = "stay on it", "stay, but mind a note or two", "switch to another scale"


def _plain_options(
    advice: Advice, level: Level
) -> tuple[tuple[str, ...], int, tuple[str, ...]] | None:
    switch = advice.verdict == "switch"
    if level.number == 1:
        return (_STAY, _SWITCH), int(switch), ("", "")
    place = 2 if switch else 0 if advice.verdict == "stay" else 1
    if place == 0 and any(each.kind.rubs_against < 0 for each in advice.fit.notes):
        # A note that passes lightly may well be minded: then two answers would be right.
        return None
    return (_STAY, _CARE, _SWITCH), place, ("", "", "")


def _full_options(
    case: _Case, advice: Advice, level: Level, rng: Random
) -> tuple[tuple[str, ...], int, tuple[str, ...]] | None:
    """The advice itself among others that are plainly wrong over this chord."""
    members = [
        each for each in advice.fit.notes if each.kind is styles.CHORD_TONE and not each.ornament
    ]
    rng.shuffle(members)
    bad = _bad_switches(case)
    rng.shuffle(bad)
    made: list[tuple[str, str]] = []
    right = case.filled(advice.short) if advice.verdict != "stay" else "stay, every note serves"
    if advice.verdict != "stay":
        made.append(("stay, every note serves", ""))
    wanted = level.options - 1
    for number in range(wanted):
        if number < len(bad):
            made.append(bad[number])
        if number < len(members):
            member = members[number]
            verb = ("leave out", "pass through")[number % 2]
            name = case.note(member.degree)
            ordinal = member.member.ordinal if member.member is not None else "root"
            made.append(
                (f"{verb} {name}", f"{name} is the {ordinal} of {case.chord}: it may ring.")
            )
    if len(made) < wanted:
        return None
    chosen = [(right, ""), *made[:wanted]]
    chosen.sort(key=lambda option: (_ORDER.index(option[0].split()[0].rstrip(",")), option[0]))
    return (
        tuple(option for option, _ in chosen),
        [option for option, _ in chosen].index(right),
        tuple(said for _, said in chosen),
    )


_ORDER = ("stay", "pass", "leave", "switch")


def _bad_switches(case: _Case) -> list[tuple[str, str]]:
    """The same scale on other degrees, where it has a note to leave out."""
    here = case.topic
    if here.scale.follows_chord:
        return []
    found = []
    for tonic in CHROMATIC[1:]:
        would = fit(here.scale, case.numeral, here.style, here.progression.mode, tonic=tonic)
        held = case.fit.placement.tonic
        worst = next((each for each in would.unwanted if each.kind is styles.AVOID_FOREIGN), None)
        if worst is None or worst.member is None or tonic == held:
            continue
        root = tonic.at(here.tonic)
        # Nobody reads a scale on a tonic such as D double flat.
        if abs(root.alter) > 1:
            continue
        member = case.note(case.numeral.root.plus(worst.member))
        name = f"{root.pretty} {here.scale.name}"
        found.append(
            (
                f"switch to {name}",
                f"{name} has {case.note(worst.degree)}, a half step above {member}.",
            )
        )
    return found


def _degrees(advice: Advice) -> tuple[Degree, ...]:
    if advice.scale.follows_chord:
        return advice.fit.placement.formula.degrees
    return advice.scale.degrees


def _class(topic: Topic, degree: Degree) -> int:
    return (topic.tonic.pitch_class + degree.semitones) % 12


def draw_rub(topic: Topic, level: Level, rng: Random) -> Question | None:
    """Which one of some notes of the scale rubs over the chord."""
    for case in _cases(topic, level, rng):
        notes = case.fit.notes
        rubbing = [each for each in notes if each.severity >= CARE_AT and each.kind.rubs_against]
        clean = [each for each in notes if _is_clean(each, case.numeral)]
        if not rubbing or len(clean) < 2:
            continue
        worst = max(rubbing, key=lambda each: each.severity)
        rng.shuffle(clean)
        offered = sorted(
            (worst, *clean[: level.options - 1]), key=lambda each: each.degree.semitones % 12
        )
        assert worst.member is not None  # a note that rubs, rubs against a member
        member = case.numeral.root.plus(worst.member)
        side = "above" if worst.kind.rubs_against < 0 else "below"
        here = case.topic
        marked = [member, *(each.degree for each in (worst, *clean))]
        name = case.note(worst.degree)
        return Question(
            kind="rub",
            level=level.number,
            card=f"which note rubs: {case.question}",
            text=f"{case.question} Which of these notes rubs if you rest on it?",
            options=tuple(case.note(each.degree) for each in offered),
            answer=offered.index(worst),
            why=(
                f"{name} rubs: it lies a half step {side} {case.note(member)}, "
                f"the {worst.member.ordinal} of {case.chord}."
            ),
            wrong=tuple("" if each is worst else _clean_why(case, each) for each in offered),
            frets=here.frets(level),
            tonic=str(here.tonic),
            notes=here.spelled_marks(
                [degree.at(here.tonic) for degree in marked], {_class(here, worst.degree)}
            ),
            sound=case.sound,
            proof=case.with_note(worst.degree),
        )
    return None


def _is_clean(note: NoteFit, numeral: Numeral) -> bool:
    """True for a chord tone or a colour with no chord member a half step away."""
    if note.ornament or note.kind not in (styles.CHORD_TONE, styles.COLOUR):
        return False
    step = note.degree.semitones
    apart = {(step - member.semitones) % 12 for member in numeral.members}
    return not apart & {1, 11}


def _clean_why(case: _Case, note: NoteFit) -> str:
    name = case.note(note.degree)
    if note.kind is styles.CHORD_TONE and note.member is not None:
        return f"{name} is the {note.member.ordinal} of {case.chord}: it may ring."
    return f"{name} lies a whole step or more from every note of {case.chord}: it may ring."
