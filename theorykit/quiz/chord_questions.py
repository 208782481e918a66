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
from theorykit.theory.key import TONICS
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

    def note(self, degree: Degree) -> str:
        """A note's name in this key."""
        return plainer(degree.at(self.topic.tonic)).pretty


def _cases(topic: Topic, level: Level, rng: Random) -> Iterator[_Case]:
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
            yield _Case(held if here.tonic == topic.tonic else held.in_mode(), numeral)


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


def draw_switch(topic: Topic, level: Level, rng: Random) -> Question | None:
    """Stay on the scale, with care or without, or switch."""
    for case in _cases(topic, level, rng):
        offered = _options(case, level, rng)
        if offered is None:
            continue
        advice = case.advice
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


_ASKED = {1: "Stay, or switch?", 2: "Stay, or switch, and why?", 3: "What do you do?"}

#: What the options say that are no advice in the library's own words.
_STAY, _SWITCH = "stay on it", "switch to another scale"
_NOTHING_GOES, _NO_CARE = "stay: no note has to go", "stay: no note needs care"

_Offer = tuple[tuple[str, ...], int, tuple[str, ...]]


def _options(case: _Case, level: Level, rng: Random) -> _Offer | None:
    """The options of a case, the right one's number, and what is said of each; None for no case."""
    advice = case.advice
    if advice.verdict == "switch" and not case.is_clean_switch:
        return None
    if level.number >= _FULL:
        return _full_options(case, advice, level, rng)
    if advice.verdict not in ("stay", "switch"):
        # Who passes through a note stays, and who leaves one out does half of each.
        return None
    switch = advice.verdict == "switch"
    if level.number == 1:
        return (_STAY, _SWITCH), int(switch), ("", "")
    return _reason_options(case, advice, level, rng)


def _reason_options(case: _Case, advice: Advice, level: Level, rng: Random) -> _Offer | None:
    """Stay, or switch for the sake of one note or another."""
    members = _members(advice, rng)
    blamed = [(member.degree, _may_ring(case, member)) for member in members]
    if advice.verdict == "switch":
        blamed.insert(0, (advice.fit.unwanted[0].degree, ""))
    blamed = sorted(blamed[: level.options - 1], key=lambda each: each[0].semitones % 12)
    if len(blamed) < 2:
        return None
    options = [_NOTHING_GOES, *(f"switch: {case.note(degree)} has to go" for degree, _ in blamed)]
    said = ["", *(words for _, words in blamed)]
    answer = 0 if advice.verdict == "stay" else said.index("", 1)
    return tuple(options), answer, tuple(said)


def _members(advice: Advice, rng: Random) -> list[NoteFit]:
    """The notes of the held scale that the chord has, in a random order."""
    members = [
        each for each in advice.fit.notes if each.kind is styles.CHORD_TONE and not each.ornament
    ]
    rng.shuffle(members)
    return members


def _may_ring(case: _Case, note: NoteFit) -> str:
    member = note.member.ordinal if note.member is not None else "root"
    return f"{case.note(note.degree)} is the {member} of {case.chord}: it may ring."


def _full_options(case: _Case, advice: Advice, level: Level, rng: Random) -> _Offer | None:
    """The advice itself among others that are plainly wrong over this chord."""
    if advice.verdict == "stay" and any(each.kind.rubs_against < 0 for each in advice.fit.notes):
        # A note that passes lightly may well be cared for: two options would be right.
        return None
    members, bad = _members(advice, rng), _bad_switches(case)
    rng.shuffle(bad)
    right = case.filled(advice.short) if advice.verdict != "stay" else _NO_CARE
    made = [(_NO_CARE, "")] if advice.verdict != "stay" else []
    wanted = level.options - 1
    for number in range(wanted):
        made += bad[number : number + 1]
        verb = ("leave out", "pass through")[number % 2]
        made += [
            (f"{verb} {case.note(member.degree)}", _may_ring(case, member))
            for member in members[number : number + 1]
        ]
    if len(made) < wanted:
        return None
    chosen = [(right, ""), *made[:wanted]]
    chosen.sort(key=lambda option: (_ORDER.index(option[0].split()[0].rstrip(":")), option[0]))
    options = tuple(option for option, _ in chosen)
    return options, options.index(right), tuple(said for _, said in chosen)


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
        # Nobody reads a scale on F flat.
        if root not in TONICS:
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
    if note.kind is styles.CHORD_TONE:
        return _may_ring(case, note)
    name = case.note(note.degree)
    return f"{name} lies a whole step or more from every note of {case.chord}: it may ring."
