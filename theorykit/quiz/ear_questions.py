"""Questions by ear: which scale is played, and whether a chord has its third."""

from __future__ import annotations

from random import Random

from theorykit.analysis.wording import listed
from theorykit.quiz.question import NoteMark, Question, Tone
from theorykit.quiz.tones import arpeggio, chord_root, played, strum
from theorykit.quiz.topic import Level, Topic, plain_tonic, plainer
from theorykit.theory.degree import Degree
from theorykit.theory.key import MAJOR_TONICS
from theorykit.theory.pitch import Note
from theorykit.theory.scale import SCALES, Scale, ScaleFormula

#: The scales that each level adds to those before it (stipulated: common ones first).
_ADDED = {
    1: ("major pentatonic", "minor pentatonic", "major", "natural minor"),
    2: ("blues", "Mixolydian", "Dorian"),
    3: ("major blues", "harmonic minor"),
    4: ("Lydian", "Phrygian", "whole tone"),
}

#: From this level on the scales that are offered are those most alike.
_ALIKE = 3

_THIRDS = {"3": "major third", "b3": "minor third", "4": "a fourth in its place", "": "no third"}

#: What each level may play in the third's place, and whether a seventh lies above (stipulated).
_PLAYED: dict[int, tuple[tuple[str, ...], tuple[str, ...]]] = {
    1: (("3", ""), ("",)),
    2: (("3", "b3", ""), ("",)),
    3: (("3", "b3", ""), ("b7",)),
    4: (("3", "b3", "4", ""), ("", "b7")),
}


def draw_scale(topic: Topic, level: Level, rng: Random) -> Question | None:
    """Which scale is played, from its tonic up and down."""
    here = topic.moved(level, rng)
    pool = _pool(topic, level)
    chosen = rng.choice(pool)
    if here.tonic != topic.tonic:
        here = here.in_key(here.tonic.pitch_class, chosen)
    rest = [each for each in pool if each is not chosen]
    rng.shuffle(rest)
    rest.sort(key=lambda each: _unlike(each, chosen), reverse=level.number < _ALIKE)
    # A few more than are needed, so that the same scale is not always beside the same others.
    count = min(level.options, len(pool)) - 1
    others = rng.sample(rest[: count + 1], k=min(count, len(rest)))
    offered = sorted((chosen, *others), key=pool.index)
    own = Scale(here.tonic, chosen)
    tonic = chord_root(here, here.tonic.pitch_class)
    up = [tonic + step for step in (*chosen.semitones, 12)]
    run = up[::-1] + up[1:] if level.number == max(_ADDED) else up + up[-2::-1]
    first = (Tone(tonic, 0.0, 1.5),)
    return Question(
        kind="scale",
        level=level.number,
        card=f"by ear: {own.pretty}, {len(offered)} to choose from",
        text=f"Listen: first the tonic, {here.tonic.pretty}, then a scale on it. Which is it?",
        options=tuple(each.name for each in offered),
        answer=offered.index(chosen),
        why=f"It is {own.pretty}: {' '.join(plainer(note).pretty for note in own.notes)}.",
        wrong=tuple("" if each is chosen else _difference(here, each, chosen) for each in offered),
        frets=here.frets(level),
        tonic=str(here.tonic),
        notes=here.spelled_marks(own.notes),
        sound=first + played(run, start=2.0, beats=0.75),
    )


def _pool(topic: Topic, level: Level) -> list[ScaleFormula]:
    names = [name for number, added in _ADDED.items() if number <= level.number for name in added]
    pool = [SCALES[name] for name in names]
    own = topic.scale
    # A scale that comes down another way, or that is whatever the chord has, can't be told so.
    known = {each.semitones for each in pool}
    if not own.follows_chord and not own.descending and own.semitones not in known:
        pool.append(own)
    return pool


def _unlike(one: ScaleFormula, other: ScaleFormula) -> int:
    return len({*one.semitones} ^ {*other.semitones})


def _difference(topic: Topic, other: ScaleFormula, chosen: ScaleFormula) -> str:
    """What the other scale has and has not, on the same tonic."""

    def only(has: ScaleFormula, lacks: ScaleFormula) -> str:
        notes = Scale(topic.tonic, has).notes
        classes = {note.pitch_class for note in Scale(topic.tonic, lacks).notes}
        return listed([plainer(note).pretty for note in notes if note.pitch_class not in classes])

    extra, missing = only(other, chosen), only(chosen, other).replace(" and ", " or ")
    name = Scale(topic.tonic, other).pretty
    if extra and missing:
        return f"{name} would have {extra}, and not {missing}."
    return f"{name} would have {extra} too." if extra else f"{name} would not have {missing}."


def draw_third(topic: Topic, level: Level, rng: Random) -> Question | None:
    """Whether a chord has its third, and which: one strum, its notes one by one, and once more."""
    here = topic.moved(level, rng)
    if here.tonic != topic.tonic:
        here = here.in_mode()
    thirds, sevenths = _PLAYED[level.number]
    third, seventh = rng.choice(thirds), rng.choice(sevenths)
    roots = sorted({chord.numeral.root for chord in topic.progression.chords if not chord.silent})
    degree = rng.choice(roots or [Degree(1)])
    root = degree.at(here.tonic)
    if root not in MAJOR_TONICS:
        root = plain_tonic(root.pitch_class, SCALES["major"])
    members = [Degree(1), *([Degree.parse(third)] if third else []), Degree(5)]
    members += [Degree.parse(seventh)] if seventh else [Degree(8)]
    low = chord_root(here, root.pitch_class)
    spread = level.number == max(_PLAYED)
    midis = _stacked(low, members, spread=spread)
    if level.number < _ALIKE:
        sound = strum(midis) + arpeggio(midis, start=3.0)
        sound += strum(midis, start=sound[-1].beat + sound[-1].beats)
    else:
        sound = strum(midis) + strum(midis, start=3.5)
    without = [
        midi for midi, member in zip(midis, members, strict=True) if member.number not in (3, 4)
    ]
    with_it = _stacked(low, [Degree(1), Degree.parse(third or "3"), *members[-2:]], spread=spread)
    kind = " with a small seventh" if seventh else ""
    options = tuple(_THIRDS[each] for each in thirds)
    if len(options) == 2:
        options = ("with its third", "without its third")
    return Question(
        kind="third",
        level=level.number,
        card=f"by ear: {_THIRDS[third]} on {root.pretty}{kind}",
        text=_asked(root.pretty, kind, len(options)),
        options=options,
        answer=thirds.index(third),
        why=_third_why(root, third),
        wrong=tuple("" for _ in options),
        frets=here.frets(level),
        tonic=str(here.tonic),
        notes=tuple(
            NoteMark((root.pitch_class + member.semitones) % 12, member.pretty)
            for member in members
            if member.number < 8
        ),
        sound=sound,
        proof=strum(without) + strum(with_it, start=3.5),
    )


def _stacked(low: int, members: list[Degree], *, spread: bool) -> list[int]:
    """Keys of a chord; spread out, its third lies an octave higher."""
    lifted = [12 if spread and member.number in (3, 4) else 0 for member in members]
    return [low + member.semitones + lift for member, lift in zip(members, lifted, strict=True)]


def _asked(root: str, kind: str, count: int) -> str:
    chord = f"Listen to a chord on {root}{kind}."
    return f"{chord} {'Does it have its third?' if count == 2 else 'Which third does it have?'}"


def _third_why(root: Note, third: str) -> str:
    major, minor = plainer(root.shifted(2, 4)).pretty, plainer(root.shifted(2, 3)).pretty
    on = root.pretty
    if third == "3":
        return f"It has {major}, the major third of {on}: that makes it a major chord."
    if third == "b3":
        return f"It has {minor}, the minor third of {on}: that makes it a minor chord."
    if third == "4":
        fourth = plainer(root.shifted(3, 5)).pretty
        return f"It has {fourth}, the fourth of {on}, where a third would be: it wants to move on."
    return (
        f"It has neither {major} nor {minor}: with no third a chord on {on} is neither major "
        "nor minor."
    )
