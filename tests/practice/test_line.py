"""Lines: what each level promises, over forms, styles, instruments, keys and meters."""

import random
from dataclasses import replace
from fractions import Fraction
from itertools import groupby, pairwise

import pytest
from line_promises import violations

from theorykit.analysis.style import STYLES, find_style
from theorykit.errors import BadInput
from theorykit.instruments.catalogue import INSTRUMENTS, find_instrument
from theorykit.practice.line import line_over
from theorykit.practice.line_level import LEVELS
from theorykit.score.arrange import arrange
from theorykit.theory.form import FORMS, MORE_FORMS, find_progression
from theorykit.theory.pitch import Pitch
from theorykit.theory.progression import Progression

KEYS = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"]

#: Meters that no named form has, uneven bars, changes of key, silence, a chord for each eighth.
CHARTS = (
    "12/8 | I7 | IV7 | I7 | V7 | I7 |",
    "2/4 | I | IV | V | I | I V | I |",
    "9/8 | i | iv | V7 | i |",
    "2/2 | I | vi | ii7 V7 | I |",
    "5/4 | i7 | IV7 | i7 |",
    "7/4 | I | bVII | IV | I |",
    "3/2 | I | V | I |",
    "5/8 | i | iv | V | i |",
    "7/8 | i | bVII | i | V |",
    "3/4 | I . V7 | I | IV . I | V7 | I |",
    "| I | N.C. | V | I |",
    "| I | V7/V | V7 | key: II | I | IV | V7 | I |",
    "| I ii V . | I IV I IV V IV I V | I | I . . V |",
    "|: Imaj7 | iii7 VI7 | ii7 | V7b9 :|",
    "| I |",
)
SONGS = [*FORMS, *MORE_FORMS, *CHARTS]


def draws(count, seed):
    """Draws in which every form, style, instrument, key and level comes about as often."""
    chance = random.Random(seed)
    decks = {}
    for name, cards in (
        ("form", SONGS),
        ("style", list(STYLES)),
        ("instrument", [None, *INSTRUMENTS]),
        ("key", KEYS),
        ("level", list(LEVELS)),
    ):
        cards = list(cards) * (count // len(cards) + 1)
        chance.shuffle(cards)
        decks[name] = cards
    for number in range(count):
        drawn = {name: cards[number] for name, cards in decks.items()}
        drawn["seed"] = chance.randrange(10**6)
        drawn["grit"] = chance.choice([0.0, 0.3, 0.5, 1.0, chance.random()])
        drawn["closed"] = chance.random() < 0.2
        drawn["choruses"] = 2 if chance.random() < 0.1 else 1
        yield drawn


def broken(drawn):
    """What a drawn line breaks; a diatonic neck may have no way to play a chord at all."""
    options = {key: drawn[key] for key in drawn if key not in {"form", "key"}}
    form = find_progression(drawn["form"])
    neck = INSTRUMENTS.get(drawn["instrument"])
    try:
        line = line_over(form, drawn["key"], **options)
    except BadInput as error:
        return [] if neck is not None and neck.fretted else [str(error)]
    compass = {"lowest": 55, "highest": 81} if neck is None else {}
    return violations(
        line, form, STYLES[drawn["style"]], neck=neck, closed=drawn["closed"], **compass
    )


def all_broken(count, seed):
    return [(drawn, found) for drawn in draws(count, seed) if (found := broken(drawn))]


def test_no_line_breaks_a_promise():
    assert all_broken(160, 1) == []


@pytest.mark.long
def test_no_line_of_two_thousand_breaks_a_promise():
    assert all_broken(2000, 2) == []


FORM = find_progression("12-bar blues, plain chords")


def plain_line(level=2, **options):
    return line_over(FORM, "C", level=level, instrument="mandolin", seed=4, **options)


def kinds_after(line, changes, *, style="bluegrass", neck="mandolin", **options):
    """The kinds of violation that are found when some notes of a sound line are changed."""
    part = line.score.part("line")
    notes = list(part.notes)
    for index, change in changes.items():
        notes[index] = replace(notes[index], **change)
    spoilt = replace(line, score=line.score.with_part(replace(part, notes=tuple(notes))))
    found = violations(spoilt, FORM, find_style(style), neck=find_instrument(neck), **options)
    return {words.partition(":")[0] for words in found}


def first(line, wanted):
    return next(index for index, note in enumerate(line.notes) if wanted(note))


def pitched(text):
    """What a note of that pitch would be, its place on the neck left as it was."""
    pitch = Pitch.parse(text)
    return {"pitch": pitch, "midi": pitch.midi}


class TestTheCheckerItself:
    """Each kind of broken promise is planted in a line that keeps them all, and is found."""

    def test_the_line_is_sound_before(self):
        for level in LEVELS:
            assert kinds_after(plain_line(level), {}) == set()

    def test_a_foreign_note_on_a_strong_beat(self):
        line = plain_line()
        assert line.notes[0].start == 0
        assert "strong beat" in kinds_after(line, {0: pitched("D4")})

    def test_an_avoid_note_on_a_strong_beat(self):
        # C major's natural fourth may pass in bluegrass; the minor ninth is left out.
        line = plain_line()
        assert {"avoid", "strong beat"} <= kinds_after(line, {0: pitched("Db4")})

    def test_an_avoid_note_that_lasts(self):
        line = plain_line()
        weak = first(line, lambda note: note.start % 4 == Fraction(1, 2) and note.start < 4)
        change = {**pitched("F4"), "beats": Fraction(3, 2), "role": "passing"}
        found = kinds_after(line, {weak: change}, style="jazz")
        assert "avoid" in found

    def test_a_watched_note_that_does_not_resolve(self):
        line = plain_line()
        weak = first(line, lambda note: note.start % 1 == Fraction(1, 2))
        following = line.notes[weak + 1]
        far = pitched("F5") if following.midi < 72 else pitched("F4")
        assert "resolution" in kinds_after(line, {weak: far}, style="jazz")

    def test_a_leap_that_is_not_made_good(self):
        line = plain_line()
        change = {1: pitched("C5"), 2: pitched("E5"), 0: pitched("C4")}
        assert "leap" in kinds_after(line, change)

    def test_a_leap_over_an_octave(self):
        line = plain_line()
        assert "leap" in kinds_after(line, {0: pitched("C4"), 1: pitched("E5")})

    def test_a_note_over_the_bar_line(self):
        line = plain_line()
        index = first(line, lambda note: note.start >= 4) - 1
        assert "bars" in kinds_after(line, {index: {"beats": Fraction(6)}})

    def test_two_notes_at_once(self):
        line = plain_line()
        assert "bars" in kinds_after(line, {1: {"start": line.notes[0].start}})

    def test_an_answer_in_another_rhythm(self):
        line = plain_line(4)
        answer = next(phrase for phrase in line.phrases if phrase.answers)
        assert "answer" in kinds_after(line, {answer.beyond - 1: {"beats": Fraction(1, 4)}})

    def test_a_phrase_with_no_rest_after_it(self):
        line = plain_line()
        index = line.phrases[0].beyond - 1
        until = line.notes[index + 1].start - line.notes[index].start
        assert "phrase" in kinds_after(line, {index: {"beats": until}})

    def test_an_end_on_the_wrong_note_or_too_short(self):
        line = plain_line()
        last = len(line.notes) - 1
        assert "ending" in kinds_after(line, {last: pitched("F4")})
        assert "ending" in kinds_after(line, {last: {"beats": Fraction(1, 2)}})

    def test_a_place_that_does_not_sound_the_note(self):
        line = plain_line()
        assert "fingering" in kinds_after(line, {3: {"fret": line.notes[3].fret + 1}})

    def test_a_finger_on_an_open_string(self):
        line = plain_line()
        index = first(line, lambda note: note.fret == 0)
        assert "fingering" in kinds_after(line, {index: {"finger": 2}})

    def test_a_note_out_of_the_compass(self):
        assert "range" in kinds_after(plain_line(), {}, lowest=70)

    def test_a_wrong_role_and_a_wrong_degree(self):
        line = plain_line(1)
        assert "role" in kinds_after(line, {0: {"role": "avoid"}})
        other = line.notes[first(line, lambda n: n.degree != line.notes[0].degree)].degree
        assert "spelling" in kinds_after(line, {0: {"degree": other}})

    def test_a_scale_note_at_the_level_of_chord_tones(self):
        assert "level" in kinds_after(plain_line(1), {1: pitched("D4")})


@pytest.mark.parametrize("level", LEVELS)
def test_the_same_seed_gives_the_same_line(level):
    one, same, other = (
        line_over("8-bar blues", "D", level=level, seed=seed, instrument="guitar")
        for seed in (7, 7, 8)
    )
    assert one == same
    assert one != other


def ways(line):
    """For each phrase the most moves in one direction, and the most turns in a row."""
    for phrase in line.phrases:
        midis = [note.midi for note in line.notes[phrase.first : phrase.beyond]]
        up = [after > before for before, after in pairwise(midis) if before != after]
        straight = [len(list(same)) for _, same in groupby(up)]
        turned = [
            len(list(same)) for turn, same in groupby(a != b for a, b in pairwise(up)) if turn
        ]
        yield max(straight, default=0), max(turned, default=0)


@pytest.mark.parametrize(("level", "share"), [(1, 0.05), (2, 0.02), (3, 0.02), (4, 0.02)])
def test_phrases_neither_go_to_and_fro_nor_one_way_for_long(level, share):
    # Stipulated: eight moves one way, four turns in a row; chord tones alone have less choice.
    lines = [line_over(form, "A", level=level, seed=s) for s, form in enumerate(list(FORMS) * 2)]
    shapes = [shape for line in lines for shape in ways(line)]
    dull = [shape for shape in shapes if shape[0] > 8 or shape[1] > 4]
    assert len(dull) <= share * len(shapes)


@pytest.mark.parametrize("level", [2, 3, 4])
def test_most_moves_are_steps_and_some_are_leaps(level):
    # Most melodic motion is by step, the rest mostly by thirds (Huron 2006; from memory).
    lines = [line_over(form, "A", level=level, seed=s) for s, form in enumerate(list(FORMS) * 2)]
    sizes = [
        abs(after.midi - before.midi)
        for line in lines
        for phrase in line.phrases
        for before, after in pairwise(line.notes[phrase.first : phrase.beyond])
    ]
    assert sum(1 <= size <= 2 for size in sizes) > 0.6 * len(sizes)
    assert 0.02 * len(sizes) < sum(size >= 5 for size in sizes) < 0.12 * len(sizes)
    assert sum(size == 0 for size in sizes) < 0.03 * len(sizes)


def test_grit_is_a_dial_at_level_four():
    def share(grit, level=4):
        lines = [line_over("12-bar blues", "E", level=level, grit=grit, seed=s) for s in range(12)]
        bars = [gritty for line in lines for gritty in line.gritty]
        return sum(bars) / len(bars)

    assert share(0.0) == 0
    assert share(1.0) == 1
    assert 0 < share(0.3) < share(0.7) < 1
    assert share(1.0, level=2) == 0


def test_blue_thirds_are_pushed_on_a_single_stopped_string_alone():
    def glides(instrument):
        lines = [
            line_over("12-bar blues", "A", level=4, grit=1, seed=s, instrument=instrument)
            for s in range(8)
        ]
        return [(note, line) for line in lines for note in line.notes if note.glide is not None]

    assert glides("mandolin") == []
    pushed = glides("guitar")
    assert pushed
    for note, _ in pushed:
        assert note.fret
        assert note.glide.half_steps(note.beats) == 0.5


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ({"level": 5}, "no such level; accepted: 1 to 4"),
        ({"level": True}, "no such level"),
        ({"grit": 1.5}, r"accepted: 0 \(plain\) to 1 \(gritty\)"),
        ({"choruses": 0}, "accepted: 1 to 20"),
        ({"tempo": 0}, "out of range"),
        ({"lowest": 60, "highest": 65}, "less than an octave"),
        ({"style": "polka"}, "no style of that name"),
        ({"instrument": "kazoo"}, "not in the catalogue"),
    ],
)
def test_what_cannot_be_played_is_refused(options, words):
    with pytest.raises(BadInput, match=words):
        line_over("one chord", "G", **options)


def test_a_note_can_be_asked_why_it_is_there():
    line = plain_line(3)
    assert [line.why(index) for index in range(len(line.notes))] == list(line.reasons)
    assert [row["why"] for row in line.records()] == list(line.reasons)
    with pytest.raises(BadInput, match=f"accepted: 0 to {len(line.notes) - 1}"):
        line.why(len(line.notes))


def test_the_chart_comes_with_the_line():
    chart = Progression.parse("| I | V7 | [B] key: II | I | V |")
    score = line_over(chart, "G", choruses=2).score
    assert [str(placed.chord) for placed in score.chords] == ["G", "D7", "A", "E"] * 2
    assert [(int(at), str(key)) for at, key in score.keys] == [
        (0, "G major"),
        (8, "A major"),
        (16, "G major"),
        (24, "A major"),
    ]
    assert [bar.chorus for bar in score.bars] == [1] * 4 + [2] * 4
    assert [bar.section for bar in score.bars] == ["", "", "B", ""] * 2
    assert line_over("i-iv-V in minor", "A").score.key.mode == "minor"


def test_a_line_as_a_table():
    line = line_over("one chord", "Bb", level=1, seed=1, instrument="mandolin")
    table = line._repr_html_()
    assert "<caption>one chord in Bb major: a line of level 1</caption>" in table
    assert table.count("<tr>") == len(line.notes) + 1


def test_a_compass_of_one_s_own_is_kept():
    for seed in range(10):
        line = line_over(
            "waltz", "D", level=3, seed=seed, instrument="guitar", lowest=57, highest=71
        )
        assert all(57 <= note.midi <= 71 for note in line.notes)


def test_a_line_is_played_with_the_band():
    line = line_over("12-bar blues", "A", level=4, seed=2, instrument="guitar")
    score = arrange("12-bar blues", "A", feel="shuffle", line=line.notes)
    heard = score.part("line").notes
    assert [note.midi for note in heard] == [note.midi for note in line.notes]
    assert any(note.shift for note in heard)
    assert [c.chord for c in score.chords[:12]] == [c.chord for c in line.score.chords]


@pytest.mark.parametrize("level", LEVELS)
def test_only_the_upper_levels_begin_before_the_bar(level):
    lines = [line_over("12-bar blues", "G", level=level, seed=seed) for seed in range(12)]
    led = [
        line.notes[phrase.first].start < phrase.start for line in lines for phrase in line.phrases
    ]
    share = sum(led) / len(led)
    assert 0.1 < share < 0.6 if level >= 3 else share == 0


def test_an_answer_moves_as_its_call_does():
    # What is stipulated: the first two thirds of an answer are like the call, more often than not.
    alike = others = 0
    for seed in range(20):
        line = line_over("16-bar blues", "G", level=4, seed=seed, grit=0)
        shapes = []
        for phrase in line.phrases:
            body = [
                note.midi
                for note in line.notes[phrase.first : phrase.beyond]
                if note.start >= phrase.start
            ]
            up = [(after > before) - (after < before) for before, after in pairwise(body)]
            shapes.append(up[: 2 * len(body) // 3 - 1])
        for number in range(1, len(shapes), 2):
            alike += sum(a == b for a, b in zip(shapes[number - 1], shapes[number], strict=True))
            others += sum(a != b for a, b in zip(shapes[number - 1], shapes[number], strict=True))
    assert alike > 2 * others
