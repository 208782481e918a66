"""How far the roles that a review gives agree with what musicians have written.

*Chorales.* Each voice of a chorale is checked as a solo over the chords of its published analysis,
which our own reader of numerals makes. A role agrees if it says "chord tone" exactly where the
note belongs to the chord that music21 makes of the same numeral and that holds as the note begins.
Beside it stands what the numerals alone cost: notes whose chord differs between the two readers.
The notes in no chord are then followed: a note that has to move does so if the next note of its
voice is one or two half steps away, a chord's own note need not.

*Melodies with chords.* The few dance tunes and songs with printed chords that music21 has are
checked as solos over them. Counted are the notes that are heard: on a strong beat, or held. They
suit the chord if they are chord tones or colour, and rub if they are avoid notes. Nobody has marked
these melodies note by note, so what tells is the difference from the same melody over the same
chords begun a bar too late.
"""

from __future__ import annotations

import warnings
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction

from chorales import Analysed, Chorale, chords_under
from proposal_measures import LEAD_SHEETS, WITH_CHORDS, tunes

from theorykit.errors import BadInput
from theorykit.review.review import Review
from theorykit.review.solo import check_solo
from theorykit.score.score import Part, PlacedChord, Score, ScoreNote
from theorykit.theory.chord import Chord
from theorykit.theory.key import Key
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note
from theorykit.tune.study import tune_study

#: Figures under a numeral that only say which note is lowest: of three notes, and of four.
_THREE, _FOUR = ("6/4", "6"), ("6/5", "4/3", "4/2", "2")
#: Analyses count the steps of the minor scale; we count from the major one, as players do.
_LOWERED = {"III": "bIII", "VI": "bVI", "VII": "bVII"}


def numeral(figure: str, *, minor: bool) -> Numeral | None:
    """The numeral of an analysis as ours; None for the augmented sixths, which ours has not.

    >>> [str(numeral(text, minor=True)) for text in ("V6/5/iv", "viio6", "VI")]
    ['V7/iv', 'vii°', 'bVI']
    """
    body, _, target = figure.partition("/")
    if target and target[0].isdigit():
        digits, _, target = target.partition("/")
        body = f"{body}/{digits}"
    root = body.rstrip("0123456789/")
    figures = body[len(root) :]
    if figures in _THREE:
        figures = ""
    elif figures in _FOUR:
        figures = "7"
    name = root.rstrip("oø+")
    kind = root[len(name) :].replace("o", "°")
    in_minor = target[0].islower() if target else minor
    if in_minor and not kind:
        name = _LOWERED.get(name, name)
    seventh = figures == "7" and name.isupper() and name != "V"
    # An upper-case numeral but V has the scale's own seventh, which mostly is the major one.
    text = f"{name}{kind}{'maj7' if seventh else figures}"
    if target:
        led = numeral(target, minor=minor)
        text = f"{text}/{led}"
    try:
        return Numeral.parse(text)
    except BadInput:
        return None


def _chord(analysed: Analysed) -> Chord | None:
    ours = numeral(analysed.figure, minor=analysed.minor)
    return ours.chord(Note.parse(analysed.tonic.capitalize())) if ours is not None else None


def _exact(number: float) -> Fraction:
    return Fraction(number).limit_denominator(96)


def chorale_reviews(chorale: Chorale) -> Iterator[tuple[int, Review]]:
    """Each voice, by its number, as a solo over the published chords."""
    chords = []
    beats = chorale.beats
    last = max(note.start + note.quarters for voice in chorale.voices for note in voice)
    ends = [chord.start for chord in chorale.chords[1:]] + [last]
    for analysed, end in zip(chorale.chords, ends, strict=True):
        start = max(analysed.start, beats + 1)
        if end > start:
            placed = _exact(start - beats - 1), _exact(end - start)
            chords.append(PlacedChord(*placed, _chord(analysed)))
    first = chorale.chords[0]
    home = Key.parse(f"{first.tonic.capitalize()} {'minor' if first.minor else 'major'}")
    for number, voice in enumerate(chorale.voices):
        notes = tuple(
            ScoreNote(
                _exact(note.start - beats - 1),
                _exact(note.quarters / chorale.beat_quarters),
                note.midi + chorale.up,
            )
            for note in voice
            if note.midi is not None
        )
        meter = f"{beats}/{round(4 / chorale.beat_quarters)}"
        score = Score((Part("line", notes, "fiddle"),), tuple(chords), meter=meter, key=home)
        study = tune_study(score, home)
        chart = study.progression
        yield number, check_solo(score, chart, home, count_in=0, choruses=1)


def chorale_table(every: Iterable[Chorale]) -> dict[str, float]:
    """Agreement on chord tones, and how the notes that are none move on."""
    counts: Counter[str] = Counter()
    for chorale in every:
        for number, review in chorale_reviews(chorale):
            sung = [note for note in chorale.voices[number] if note.midi is not None]
            if len(sung) != len(review.notes):
                counts["left out"] += len(sung)
                continue
            following = [*sung[1:], None]
            for note, judged, after in zip(sung, review.notes, following, strict=True):
                over = chords_under(note, chorale.chords, held=False)
                if not over or not judged.in_form or judged.slot.silent:
                    counts["left out"] += 1
                    continue
                pitch_class = (note.midi + chorale.up) % 12
                theirs = pitch_class in over[0].tones
                chord = _chord(over[0])
                read = chord is not None and pitch_class in {n.pitch_class for n in chord.notes}
                counts["notes"] += 1
                counts["agree"] += theirs == judged.in_chord
                counts["read alike"] += theirs == read
                counts["anticipations"] += theirs != judged.in_chord and judged.anticipates
                counts["no chord tones"] += not theirs
                counts["found"] += not theirs and not judged.in_chord
                counts["wrongly found"] += theirs and not judged.in_chord
                if after is not None and after.midi != note.midi:
                    role = "chord tone" if judged.in_chord else judged.role
                    counts[f"{role}, moves"] += 1
                    counts[f"{role}, by step"] += abs(after.midi - note.midi) <= 2
    notes = counts["notes"]
    table = {
        "notes": notes,
        "agree": counts["agree"] / notes,
        "numerals read alike": counts["read alike"] / notes,
        "notes in no chord": counts["no chord tones"],
        "of these found": counts["found"] / counts["no chord tones"],
        "of those found right": counts["found"] / (counts["found"] + counts["wrongly found"]),
        "differ as anticipations": counts["anticipations"] / notes,
    }
    others = ("colour", "passing", "blue", "avoid")
    steps = sum(counts[f"{role}, by step"] for role in others)
    table["others, by step"] = steps / sum(counts[f"{role}, moves"] for role in others)
    for role in ("chord tone", *others):
        if moves := counts[f"{role}, moves"]:
            table[f"{role} notes that move on"] = moves
            table[f"{role}, by step"] = counts[f"{role}, by step"] / moves
    return table


def melody_table(scores: Iterable[Score], *, late: int = 0) -> dict[str, float]:
    """What is heard of melodies over their chords, or over those begun some bars too late."""
    roles: Counter[str] = Counter()
    weak: Counter[str] = Counter()
    count = 0
    for score in scores:
        if not any(placed.chord for placed in score.chords):
            continue
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            study = tune_study(score)
        bars = study.progression.bars
        chart = replace(study.progression, bars=bars[-late:] + bars[:-late] if late else bars)
        try:
            review = check_solo(study.score, chart, study.key, count_in=0, choruses=1)
        except BadInput:
            continue
        count += 1
        for note in review.notes:
            if note.in_form and not note.slot.silent:
                kind = roles if note.strong or note.held else weak
                kind["chord tone" if note.in_chord else note.role] += 1
    heard, other = sum(roles.values()), sum(weak.values())
    table: dict[str, float] = {"tunes": count, "notes heard": heard}
    for role in ("chord tone", "colour", "passing", "blue", "avoid"):
        table[role] = roles[role] / heard
    table["chord tone or colour"] = table["chord tone"] + table["colour"]
    table["avoid among the others"] = weak["avoid"] / max(other, 1)
    return table


def reels() -> list[Score]:
    """Dance tunes with printed chords."""
    return [score for _, score in tunes(WITH_CHORDS)]


def songs() -> list[Score]:
    """Lead sheets."""
    return [score for _, score in tunes(LEAD_SHEETS)]
