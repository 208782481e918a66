"""Forms: the progressions that players know by name."""

import pytest

from theorykit.theory.form import FORMS, MORE_FORMS, find_progression
from theorykit.theory.key import Key
from theorykit.theory.pitch import Note

EVERY_FORM = {**FORMS, **MORE_FORMS}

# Bars in each form (common practice: the name says it where it has a number).
BARS = {
    "I-IV-V vamp": 4, "12-bar blues": 12, "12-bar blues, plain chords": 12,
    "12-bar blues, quick change": 12, "12-bar minor blues": 12, "12-bar blues, turnaround": 12,
    "12-bar blues, jazz changes": 12, "8-bar blues": 8, "16-bar blues": 16,
    "two-part dance tune": 32, "bVII vamp": 8, "bVII tune": 16, "ii-V-I": 4, "I-vi-ii-V": 4,
    "circle of fourths": 8, "waltz": 16, "i-iv-V in minor": 4, "one chord": 4, "I-V-vi-IV": 4,
    "I-vi-IV-V": 4, "I-bVII-IV": 4, "minor ii-V-i": 4, "i-bVII-bVI-V": 4, "Dorian vamp": 4,
    "two-part jig": 32, "32-bar AABA": 32,
}  # fmt: skip


def test_every_form_has_the_bars_that_players_count():
    assert {name: len(form.bars) for name, form in EVERY_FORM.items()} == BARS


def symbols(name, tonic):
    bars = EVERY_FORM[name].in_key(Note.parse(tonic))
    return " | ".join(" ".join(str(chord) for chord in bar) for bar in bars)


# Written out by hand (common practice).
@pytest.mark.parametrize(
    ("name", "tonic", "expected"),
    [("12-bar blues", "A",
      "A7 | A7 | A7 | A7 | D7 | D7 | A7 | A7 | E7 | D7 | A7 | E7"),
     ("12-bar blues, quick change", "E",
      "E7 | A7 | E7 | E7 | A7 | A7 | E7 | E7 | B7 | A7 | E7 | B7"),
     ("12-bar minor blues", "C",
      "Cm7 | Cm7 | Cm7 | Cm7 | Fm7 | Fm7 | Cm7 | Cm7 | Ab7 | G7 | Cm7 | G7"),
     ("12-bar blues, jazz changes", "Bb",
      "Bb7 | Eb7 | Bb7 | Fm7 Bb7 | Eb7 | Edim7 | Bb7 | G7 | Cm7 | F7 | Bb7 G7 | Cm7 F7"),
     ("ii-V-I", "F", "Gm7 | C7 | Fmaj7 | Fmaj7"),
     ("I-vi-ii-V", "C", "C | Am | Dm | G"),
     ("bVII vamp", "A", "A | A | G | G | A | A | G E | A"),
     ("circle of fourths", "C", "E7 | E7 | A7 | A7 | D7 | D7 | G7 | G7"),
     ("minor ii-V-i", "A", "Bm7b5 | E7 | Am | Am"),
     ("i-bVII-bVI-V", "A", "Am | G | F | E")],
)  # fmt: skip
def test_forms_in_a_key(name, tonic, expected):
    assert symbols(name, tonic) == expected


def test_meters_and_modes_of_the_forms():
    assert {name for name, form in EVERY_FORM.items() if form.meter == "3/4"} == {"waltz"}
    assert {name for name, form in EVERY_FORM.items() if form.meter == "6/8"} == {"two-part jig"}
    minor = {name for name, form in EVERY_FORM.items() if form.mode == "minor"}
    assert minor == {"12-bar minor blues", "i-iv-V in minor", "minor ii-V-i", "i-bVII-bVI-V",
                     "Dorian vamp"}  # fmt: skip


@pytest.mark.parametrize(
    ("text", "name"),
    [("12-BAR blues", "12-bar blues"), ("ii–V–I", "ii-V-I"), ("♭VII vamp", "bVII vamp"),
     ("  waltz ", "waltz"), ("dorian vamp", "Dorian vamp")],
)  # fmt: skip
def test_forms_are_found_by_name(text, name):
    assert find_progression(text) is EVERY_FORM[name]


def test_no_two_forms_have_one_name():
    assert len({name.casefold() for name in EVERY_FORM}) == len(FORMS) + len(MORE_FORMS)


def test_a_chart_is_found_too():
    assert str(find_progression("| G | D7 |", key=Key.parse("G"))) == "| I | V7 |"
    assert str(find_progression("1 4 5")) == "| I | IV | V |"
