"""The scene of a checked take: what is said and drawn of it, against small takes written by hand."""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from theorykit.instruments.catalogue import find_instrument
from theorykit.practice.line import line_over
from theorykit.review.review import Review
from theorykit.review.solo import check_solo
from theorykit.scene.solo_notes import beat_words
from theorykit.scene.solo_scene import solo_scene
from theorykit.scene.solo_sheet import written_take
from theorykit.score.score import Part, Score, ScoreNote
from theorykit.theory.pitch import Pitch

CHART = "| I | IV | V | I |"
#: Roots and thirds of A, D and E, and a B flat held over A in bar 4, which rubs against its root.
TAKE = "A4:1 C#5:1 E5:1 C#5:1 D5:1 F#5:1 A4:2 E5:1 G#4:1 B4:2 Bb4:2 A4:2"


def take(text: str, *, late: dict[int, float] | None = None, meter: str = "4/4") -> Score:
    """Notes as ``pitch:beats``; some late by so many milliseconds, and all of them played."""
    at, notes = Fraction(0), []
    for index, word in enumerate(text.split()):
        name, _, beats = word.partition(":")
        if name != "r":
            # A player is never quite on the click.
            off = (late or {}).get(index, 4.0 if index % 2 else -4.0)
            shift = Fraction(off * 100 / 60_000).limit_denominator(10_000)
            pitch = Pitch.parse(name)
            notes.append(ScoreNote(at, Fraction(beats), pitch.midi, shift=shift))
        at += Fraction(beats)
    return Score((Part("line", tuple(notes), "guitar"),), meter=meter, tempo=100.0)


def scene_of(score: Score, chart: str = CHART, key: str = "A", **options: Any) -> dict[str, Any]:
    review = check_solo(score, chart, key, count_in=0)
    return solo_scene(review, find_instrument("mandolin"), **options)


@pytest.fixture(scope="module")
def scene() -> dict[str, Any]:
    return scene_of(take(TAKE, late={4: 60.0}))


def test_it_is_plain_data(scene: dict[str, Any]) -> None:
    assert json.loads(json.dumps(scene)) == scene


def test_praise_comes_first_and_there_are_no_more_than_three_tasks(scene: dict[str, Any]) -> None:
    report = scene["report"]
    assert list(report) == ["praise", "tasks", "figures"]
    assert report["praise"]
    assert 1 <= len(report["tasks"]) <= 3
    assert scene["heading"].endswith(f"{scene['score']} of 100.")
    for lines in report.values():
        assert not [line for line in lines if line.startswith(("- ", "1. "))]


def test_the_name_of_the_chart_is_not_said_twice() -> None:
    review = check_solo(line_over("12-bar blues", "A", level=1, seed=2).score, "12-bar blues", "A")
    neck = find_instrument("mandolin")
    assert review.chart.title == "12-bar blues"
    assert solo_scene(review, neck, title="12-bar blues")["title"] == ""
    assert solo_scene(review, neck, title="take.mid")["title"] == "take.mid"


def test_each_note_says_what_it_does(scene: dict[str, Any]) -> None:
    # Third of A, root of D, third of E (any harmony book).
    notes = scene["notes"]
    assert "bar 1, beat 2: C♯5, the third of A; on the click; string 2" in notes[1]["sentence"]
    assert "D5, the root of D" in notes[4]["sentence"]
    assert "G♯4, the third of E" in notes[8]["sentence"]
    assert [notes[at]["role"] for at in (0, 1, 4, 10)] == ["root", "chord tone", "root", "avoid"]


def test_a_late_note_stands_right_of_where_it_belongs(scene: dict[str, Any]) -> None:
    late = scene["notes"][4]
    assert late["off"] == "late"
    assert late["late"] == pytest.approx(60, abs=1)
    # 60 ms at 100 beats a minute are a tenth of a beat.
    assert late["onset"] == pytest.approx(4.1, abs=0.002)
    assert late["meant"] == pytest.approx(4.0, abs=0.002)
    (page,) = scene["pages"]
    (mark,) = [mark for mark in page["marks"] if mark["note"] == 4]
    assert mark["x"] == pytest.approx(4.1, abs=0.002)
    assert page["places"]["x0"] == pytest.approx([4.0], abs=0.002)
    assert page["offs"]["text"] == ["+60"]


def test_findings_lead_to_their_bar_and_note(scene: dict[str, Any]) -> None:
    found = {finding["kind"]: finding for finding in scene["findings"]}
    assert (found["late"]["bar"], found["late"]["note"]) == (2, 4)
    assert (found["avoid"]["bar"], found["avoid"]["note"]) == (4, 10)
    assert found["avoid"]["place"] == "Bar 4, beat 1"
    assert "B♭" in found["avoid"]["words"]
    assert [bar[0]["short"] for bar in scene["chart"]] == ["well", "late", "well", "rubs"]
    assert [bar[0]["verdict"] for bar in scene["chart"]][0::2] == ["stay", "stay"]


def test_chord_tones_are_shaded_where_their_chord_sounds(scene: dict[str, Any]) -> None:
    (page,) = scene["pages"]
    shades, (row,) = page["shades"], page["rows"]
    low = min(note["midi"] for note in scene["notes"]) - 2
    assert row["bottom"] == 0.0
    heard: dict[tuple[float, float], set[int]] = {}
    for left, right, bottom in zip(shades["left"], shades["right"], shades["bottom"], strict=True):
        heard.setdefault((left, right), set()).add(round(low + bottom) % 12)
    # A, D and E major, as pitch classes from C.
    assert heard == {(0, 4): {9, 1, 4}, (4, 8): {2, 6, 9}, (8, 12): {4, 8, 11}, (12, 16): {9, 1, 4}}
    names = [text for text in page["words"]["text"] if text in ("A", "D", "E")]
    assert names == ["A", "D", "E", "A"]


def test_every_note_is_drawn_in_staff_and_tablature(scene: dict[str, Any]) -> None:
    ids = scene["sheet"]["ids"]
    assert len(ids) == len(scene["notes"]) == 12
    assert all(len(each) == 2 and f'id="{each[0]}"' in scene["sheet"]["svg"] for each in ids)
    assert scene["sheet"]["problem"] == ""


def test_what_a_neck_has_not_got_is_written_without_tablature() -> None:
    found = scene_of(take("A2:4 D3:4 E3:4 A2:4"))
    assert "mandolin" in found["sheet"]["problem"]
    assert found["sheet"]["svg"].startswith("<svg")
    assert "string" not in found["notes"][0]["sentence"]


def test_a_long_form_is_drawn_in_pages_that_have_every_note_once() -> None:
    bars = " ".join(["A4:1 C#5:1 E5:2"] * 20)
    found = scene_of(take(bars), "| I |" * 20)
    assert [(page["first"], page["last"]) for page in found["pages"]] == [(1, 10), (11, 20)]
    drawn = [mark["note"] for page in found["pages"] for mark in page["marks"]]
    assert drawn == list(range(len(found["notes"])))


def test_choruses_are_counted_on_and_named() -> None:
    found = scene_of(take(f"{TAKE} {TAKE}"))
    assert "bar 5 (bar 1 of chorus 2), beat 1: A4" in found["notes"][12]["sentence"]
    assert len(found["chart"]) == 8


def test_a_pickup_is_drawn_before_the_first_bar_line() -> None:
    review = check_solo(take(f"E4:1 {TAKE}"), CHART, "A", count_in=1)
    found = solo_scene(review, find_instrument("mandolin"))
    assert found["notes"][0]["bar"] == 0
    assert "before bar 1" in found["notes"][0]["sentence"]
    (page,) = found["pages"]
    assert page["window"][0] < page["marks"][0]["x"] < 0


def test_close_notes_have_shorter_rows() -> None:
    sixteenths = " ".join(["A4:1/4 B4:1/4 C#5:1/4 E5:1/4"] * 16)
    assert len(scene_of(take(sixteenths))["pages"][0]["rows"]) == 2
    assert len(scene_of(take(TAKE))["pages"][0]["rows"]) == 1
    pages = scene_of(take(f"{sixteenths} {sixteenths} {sixteenths}"), "| I |" * 12)["pages"]
    assert [(page["first"], page["last"]) for page in pages] == [(1, 6), (7, 12)]


def test_what_comes_after_the_form_is_in_the_picture() -> None:
    review = check_solo(take(f"{TAKE} A4:1 E5:1 A4:2"), CHART, "A", count_in=0, choruses=1)
    (page,) = solo_scene(review, find_instrument("mandolin"))["pages"]
    assert len(page["marks"]) == 15
    assert max(mark["x"] for mark in page["marks"]) < page["window"][1]


def test_what_became_better_comes_first(scene: dict[str, Any]) -> None:
    worse = check_solo(take(TAKE, late={4: 60.0, 6: 60.0, 8: 70.0}), CHART, "A", count_in=0)
    better = check_solo(take(TAKE), CHART, "A", count_in=0)
    found = solo_scene(better, find_instrument("mandolin"), earlier=(worse, worse))["compared"]
    assert found["header"] == ["", "take 1", "take 2", "now", "since the last"]
    assert found["rows"][0][-1] == "better"
    late = next(row for row in found["rows"] if row[0] == "Late notes")
    assert late == ["Late notes", "3", "3", "0", "better"]
    assert scene["compared"] is None


def test_the_band_plays_the_chart(scene: dict[str, Any]) -> None:
    band = scene["band"]
    assert [chord["root"] for chord in band["chords"]] == [9, 2, 4, 9]
    assert band["chords"][0]["members"] == [0, 4, 7]
    assert (band["meter"], band["beats"], band["bars"]) == ("4/4", 16.0, [0.0, 4.0, 8.0, 12.0])


def test_a_written_take_has_no_milliseconds() -> None:
    line = line_over("I-IV-V vamp", "G", level=1, instrument="mandolin", seed=3)
    found = scene_of(line.score, "I-IV-V vamp", "G")
    assert {note["late"] for note in found["notes"]} == {None}
    assert "ms late" not in found["records"]["header"]


def test_loosely_held_notes_are_written_up_to_the_next() -> None:
    """What is played a little short is no note and a rest (common practice of notation)."""
    score = take("A4:1 C#5:1 E5:1 C#5:1 D5:4 E5:4 A4:4")
    part = score.part("line")
    short = [replace(note, sounding=note.beats * Fraction(7, 10)) for note in part.notes]
    review: Review = check_solo(score.with_part(replace(part, notes=tuple(short))), CHART, "A")
    written, places = written_take(review)
    assert [float(note.beats) for note in written.part("line").notes] == [1, 1, 1, 1, 4, 4, 4]
    assert places == tuple(range(7))


@pytest.mark.parametrize(
    ("beat", "words"),
    [(Fraction(1), "1"), (Fraction(7, 2), "3 and"), (Fraction(4, 3), "1⅓"), (Fraction(9, 4), "2¼")],
)
def test_beats_are_counted(beat: Fraction, words: str) -> None:
    assert beat_words(beat) == words


def test_a_finding_stands_at_its_chord() -> None:
    """D over the second half of bar 1 is missed: A's own root and third go on over it."""
    found = scene_of(take("A4:1 C#5:1 C#5:1 E5:1 E5:2 B4:2 A4:4"), "| I IV | V | I |")
    missed = next(each for each in found["findings"] if each["kind"] == "missed change")
    assert (missed["bar"], missed["step"]) == (1, 1)
    assert [cell["short"] for cell in found["chart"][0]] == ["well", "change missed"]
