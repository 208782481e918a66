"""Stay on a scale over a chord, take care, or switch to another one."""

from __future__ import annotations

from random import Random

from theorykit.analysis import style as styles
from theorykit.analysis.advice import Advice
from theorykit.analysis.fit import NoteFit, fit
from theorykit.quiz.chord_case import ChordCase, chord_cases
from theorykit.quiz.question import Question
from theorykit.quiz.topic import CHROMATIC, Level, Topic
from theorykit.theory.degree import Degree
from theorykit.theory.key import TONICS

#: From this level on the advice itself is to be chosen.
_FULL = 3


def draw_switch(topic: Topic, level: Level, rng: Random) -> Question | None:
    """Stay on the scale, with care or without, or switch."""
    for case in chord_cases(topic, level, rng):
        offered = _options(case, level, rng)
        if offered is None:
            continue
        advice = case.advice
        options, answer, wrong = offered
        here = case.topic
        care = {here.class_of(each.degree) for each in advice.watch}
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


def _options(case: ChordCase, level: Level, rng: Random) -> _Offer | None:
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


def _reason_options(case: ChordCase, advice: Advice, level: Level, rng: Random) -> _Offer | None:
    """Stay, or switch for the sake of one note or another."""
    members = _members(advice, rng)
    blamed = [(member.degree, case.may_ring(member)) for member in members]
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


def _full_options(case: ChordCase, advice: Advice, level: Level, rng: Random) -> _Offer | None:
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
            (f"{verb} {case.note(member.degree)}", case.may_ring(member))
            for member in members[number : number + 1]
        ]
    if len(made) < wanted:
        return None
    chosen = [(right, ""), *made[:wanted]]
    chosen.sort(key=lambda option: (_ORDER.index(option[0].split()[0].rstrip(":")), option[0]))
    options = tuple(option for option, _ in chosen)
    return options, options.index(right), tuple(said for _, said in chosen)


_ORDER = ("stay", "pass", "leave", "switch")


def _bad_switches(case: ChordCase) -> list[tuple[str, str]]:
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
