"""What a line promises, checked note by note from its score; nothing here asks how it was made."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from theorykit.analysis.classification import classify
from theorykit.analysis.style import CARE_AT, SWITCH_AT
from theorykit.analysis.tonality import tune_mode
from theorykit.theory.numeral import Numeral

#: The strong beats of a bar, counted from 0 in the meter's own beats (any handbook of meter; from
#: memory). In the meters of uneven groups, where the groups begin.
STRONG = {
    "4/4": {0, 2},
    "3/4": {0},
    "2/4": {0},
    "2/2": {0, 1},
    "6/8": {0, 1},
    "9/8": {0},
    "12/8": {0, 2},
    "5/4": {0, 3},
    "7/4": {0, 2, 4},
    "3/2": {0},
    "5/8": {0, 3},
    "7/8": {0, 2, 4},
}
QUARTERS = {
    "2/2": Fraction(2),
    "3/2": Fraction(2),
    "6/8": Fraction(3, 2),
    "9/8": Fraction(3, 2),
    "12/8": Fraction(3, 2),
    "5/8": Fraction(1, 2),
    "7/8": Fraction(1, 2),
}
EIGHTH = Fraction(1, 2)


def violations(line, progression, style, *, neck=None, lowest=None, highest=None, closed=False):
    """Every promise that a line breaks, in words; none if it keeps them all."""
    found = []
    score, notes, level = line.score, line.notes, line.level
    quarters = QUARTERS.get(score.meter, Fraction(1))
    mode = tune_mode(progression)
    bar_beats = score.bars[0].beats

    def say(kind, index, what):
        found.append(f"{kind}: note {index}, {notes[index].pitch} at {notes[index].start}: {what}")

    def chord_at(beat):
        return [placed for placed in score.chords if placed.start <= beat][-1]

    def sounding(beat):
        """The chord's notes, and the chord as it is heard where none sounds."""
        placed = chord_at(beat)
        if placed.chord is not None:
            return placed.chord
        sounded = [p.chord for p in score.chords if p.start <= beat and p.chord is not None]
        return sounded[-1] if sounded else next(p.chord for p in score.chords if p.chord)

    def pitch_classes(beat):
        return {note.pitch_class for note in sounding(beat).notes}

    def kind_of(index):
        note = notes[index]
        tonic = [key for at, key in score.keys if at <= note.start][-1].tonic
        numeral = Numeral.from_chord(sounding(note.start), tonic)
        kind, _ = classify(int(note.midi) - tonic.pitch_class, written(note.start, numeral), mode)
        return kind

    def written(beat, numeral):
        """An applied chord knows what it leads to, a symbol does not."""
        chart = chord_at(beat).numeral
        return chart if chart is not None and score.keys == score.keys[:1] else numeral

    def is_strong(index):
        start = notes[index].start
        return start % bar_beats in STRONG[score.meter] or chord_at(start).start == start

    # Every bar adds up: notes and rests fill it, and nothing is tied over its end.
    if [bar.start for bar in score.bars] != [n * bar_beats for n in range(len(score.bars))]:
        found.append("bars: they do not follow one another")
    for index, note in enumerate(notes):
        bar = note.start // bar_beats
        if not 0 <= bar < len(score.bars) or note.start + note.beats > (bar + 1) * bar_beats:
            say("bars", index, "goes over the bar line")
        if index and notes[index - 1].start + notes[index - 1].beats > note.start:
            say("bars", index, "begins before the note before is over")
        lengths = {Fraction(n, 2) for n in range(1, 16)} | {Fraction(1, 3)}
        cut = note.start + note.beats in {placed.start for placed in score.chords}
        if note.beats * quarters not in lengths and not cut:
            say("bars", index, f"{note.beats} beats are no length of the vocabulary")

    for index, note in enumerate(notes):
        tones = pitch_classes(note.start)
        inside = int(note.midi) % 12 in tones
        gritty = line.gritty[int(note.start // bar_beats)]
        if int(note.midi) != note.pitch.midi:
            say("spelling", index, f"sounds {note.midi}")
        if chord_at(note.start).chord is not None and (
            note.degree.at(chord_at(note.start).chord.root).pitch_class != int(note.midi) % 12
        ):
            say("spelling", index, f"is no {note.degree}")
        if inside:
            if note.role != (
                "root"
                if int(note.midi) % 12 == sounding(note.start).root.pitch_class
                else "chord tone"
            ):
                say("role", index, note.role)
            continue
        kind = kind_of(index)
        severity = style.severity(kind)
        if note.role != kind.role:
            say("role", index, f"{note.role} and not {kind.role}")
        if level == 1:
            say("level", index, "is not in the chord")
        if is_strong(index) and not (level == 4 and gritty and kind.role == "blue"):
            say("strong beat", index, "is not in the chord")
        if severity >= SWITCH_AT:
            say("avoid", index, "is to be left out")
        watched = kind.role == "avoid" or severity >= CARE_AT
        if watched and is_strong(index):
            say("avoid", index, "rubs on a strong beat")
        if watched and note.beats * quarters > EIGHTH:
            say("avoid", index, "rubs for longer than an eighth")
        phrase = next(p for p in line.phrases if p.first <= index < p.beyond)
        if index + 1 == phrase.beyond:
            say("phrase end", index, "is not in the chord")
            continue
        after = notes[index + 1]
        move = int(after.midi - note.midi)
        joined = after.start == note.start + note.beats
        if watched and not (
            joined
            and abs(move) in {1, 2}
            and int(after.midi) % 12 in tones & pitch_classes(after.start)
            and sounding(after.start) == sounding(note.start)
        ):
            say("resolution", index, f"does not go by step to a note of its chord: {move}")
        if not 1 <= abs(move) <= (3 if gritty or kind.role == "blue" else 2):
            say("resolution", index, f"is not left by step: {move}")

    # Leaps.
    for index, (note, after) in enumerate(pairwise(notes)):
        if abs(after.midi - note.midi) > (7 if level == 1 and same_phrase(line, index) else 12):
            say("leap", index, f"leaps {after.midi - note.midi}")
    for phrase in line.phrases:
        inside = range(phrase.first, phrase.beyond)
        for one, two, three in zip(inside, inside[1:], inside[2:], strict=False):
            leap = notes[two].midi - notes[one].midi
            back = notes[three].midi - notes[two].midi
            if abs(leap) < 5:
                continue
            gritty = line.gritty[int(notes[three].start // bar_beats)]
            step = 7 if level == 1 else 3 if gritty else 2
            opposite = leap * back < 0 or (level == 1 and back == 0)
            if not (opposite and abs(back) <= step):
                say("leap", two, f"{leap} is not made good by {back}")
        if level > 1 and len(inside) > 1:
            last = abs(notes[inside[-1]].midi - notes[inside[-2]].midi)
            if last >= 5:
                say("leap", inside[-1], "a leap at the end of a phrase")

    # Phrases breathe, answers answer.
    for before, phrase in pairwise(line.phrases):
        last = notes[before.beyond - 1]
        if notes[phrase.first].start <= last.start + last.beats:
            say("phrase", phrase.first, "no rest before it")
        if phrase.beats > 8 * bar_beats:
            say("phrase", phrase.first, "is too long for a breath")
    if level == 4:
        for number, phrase in enumerate(line.phrases):
            block = int(phrase.start // bar_beats) % (len(score.bars) // choruses(score))
            whole = len(score.bars) // choruses(score) - block // 4 * 4 >= 4
            if whole and phrase.answers != (block % 4 == 2):
                say("answer", phrase.first, "call and answer have two bars each")
            if not phrase.answers:
                continue
            call, answer = (rhythm(line, p) for p in (line.phrases[number - 1], phrase))
            if number == len(line.phrases) - 1:
                call, answer = [*call[:-1], call[-1][:1]], [*answer[:-1], answer[-1][:1]]
            if call != answer:
                say("answer", phrase.first, "has another rhythm than the call")

    # The end.
    end = notes[-1]
    chord = sounding(end.start)
    member = (int(end.midi) - chord.root.pitch_class) % 12
    if member not in {d.semitones % 12 for d in chord.type.degrees if d.number in {1, 3, 5}}:
        say("ending", len(notes) - 1, "is no root, third or fifth")
    last_phrase = notes[line.phrases[-1].first :]
    if any(note.beats > end.beats for note in last_phrase):
        say("ending", len(notes) - 1, "is not the longest of its phrase")
    if end.start + end.beats != score.bars[-1].start + bar_beats:
        say("ending", len(notes) - 1, "is not held to the end")

    # The hand.
    for index, note in enumerate(notes):
        if (lowest is not None and note.midi < lowest) or (
            highest is not None and note.midi > highest
        ):
            say("range", index, "is out of the compass")
        if neck is None:
            continue
        if not neck.frets_a_finger:
            reachable = {
                string.open.midi + fret for string in neck.strings for fret in range(neck.frets + 1)
            }
            if note.midi not in reachable:
                say("range", index, "is not on the neck")
            continue
        if note.string is None or note.fret is None or note.finger is None:
            say("fingering", index, "has no place")
            continue
        string = neck.string(note.string)
        nut = string.start_fret
        sounds = string.open.midi + (note.fret - nut if note.fret else 0)
        if sounds != note.midi or not 0 <= note.fret <= neck.frets:
            say("fingering", index, f"string {note.string} fret {note.fret} sounds {sounds}")
        if (note.finger == 0) != (note.fret == 0) or not 0 <= note.finger <= 4:
            say("fingering", index, f"finger {note.finger} on fret {note.fret}")
        if note.fret and neck.fretted and note.fret not in neck.fretted:
            say("fingering", index, "there is no such fret")
        if closed and note.fret == 0:
            stopped = [
                other
                for other in neck.strings
                if neck.has_fret(int(note.midi) - other.open.midi + other.start_fret)
                and note.midi > other.open.midi
                and not other.start_fret
            ]
            if stopped:
                say("fingering", index, "an open string that could be stopped")
    if len(line.reasons) != len(notes) or not all(why.endswith(".") for why in line.reasons):
        found.append("reasons: not a sentence for each note")
    return found


def choruses(score):
    return max(bar.chorus for bar in score.bars)


def same_phrase(line, index):
    return any(p.first <= index and index + 1 < p.beyond for p in line.phrases)


def rhythm(line, phrase):
    """Starts and lengths of a phrase from its first bar on."""
    inside = line.notes[phrase.first : phrase.beyond]
    return [(n.start - phrase.start, n.beats) for n in inside if n.start >= phrase.start]
