"""The picture: what is in it, read from the SVG itself."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from notation.sheets import blues, chromatic, everything, jig, line, waltz

from theorykit.analysis.palette import BLUE, INK, PURPLE, SKY, VERMILLION
from theorykit.errors import BadInput
from theorykit.notation.engrave import Engraving, engrave
from theorykit.notation.head import HEADS
from theorykit.score.arrange import arrange

SVG = "{http://www.w3.org/2000/svg}"


def ids(svg: str) -> list[str]:
    return [
        element.get("id", "")
        for element in ElementTree.fromstring(svg).iter()
        if element.get("id") is not None
    ]


def group(svg: str, name: str) -> ElementTree.Element:
    found = [item for item in ElementTree.fromstring(svg).iter() if item.get("id") == name]
    assert len(found) == 1, name
    return found[0]


@pytest.fixture(scope="module")
def blues_sheet() -> Engraving:
    return engrave(blues("A", "A blues", 45, 70), instrument="guitar", strokes="pick")


def test_every_note_is_on_staff_and_tablature(blues_sheet: Engraving) -> None:
    assert len(blues_sheet.note_ids) == 96
    prefix = blues_sheet.prefix
    for index, names in enumerate(blues_sheet.note_ids):
        assert names == (f"{prefix}-n{index}", f"{prefix}-t{index}")
    there = set(ids(blues_sheet.svg))
    assert {name for names in blues_sheet.note_ids for name in names} <= there


def test_each_note_is_a_group_of_its_own(blues_sheet: Engraving) -> None:
    root = ElementTree.fromstring(blues_sheet.svg)
    groups = [item for item in root.iter(f"{SVG}g") if item.get("class") == "note"]
    assert len(groups) == 2 * 96


def test_frets_are_printed_on_their_strings(blues_sheet: Engraving) -> None:
    from theorykit.notation.sheet import sheet

    notes = sheet(blues("A", "A blues", 45, 70), instrument="guitar").notes
    root = ElementTree.fromstring(blues_sheet.svg)
    by_line: dict[int, set[int]] = {}
    for index, note in enumerate(notes[:32]):
        found = next(
            item for item in root.iter() if item.get("id") == f"{blues_sheet.prefix}-t{index}"
        )
        text = found.find(f".//{SVG}text")
        assert text is not None
        assert "".join(text.itertext()) == str(note.fret)
        assert note.string is not None
        by_line.setdefault(int(text.get("y", "0")), set()).add(note.string)
    # On one line of a system there is one string, and lower lines have later strings.
    assert all(len(strings) == 1 for strings in by_line.values())
    rows = [next(iter(by_line[y])) for y in sorted(by_line)]
    assert rows == sorted(rows)


def test_no_id_comes_twice(blues_sheet: Engraving) -> None:
    other = engrave(everything(), instrument="banjo")
    again = engrave(everything(), instrument="banjo", prefix="again")
    names = [*ids(blues_sheet.svg), *ids(other.svg), *ids(again.svg)]
    assert len(names) == len(set(names))


def test_the_same_sheet_is_the_same_picture() -> None:
    assert engrave(jig(), instrument="mandolin").svg == engrave(jig(), instrument="mandolin").svg


def test_every_reference_has_its_aim() -> None:
    svg = engrave(everything(), instrument="banjo", strokes="pick").svg
    aims = re.findall(r'href="#([^"]+)"', svg)
    assert aims
    assert set(aims) <= set(ids(svg))


def test_nothing_is_fetched() -> None:
    svg = engrave(everything(), instrument="banjo", strokes="pick").svg
    assert "url(" not in svg
    assert "<script" not in svg
    addresses = set(re.findall(r'https?://[^"\s<]+', svg))
    assert addresses <= {"http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink"}


def test_tied_signs_belong_to_their_note() -> None:
    engraving = engrave(everything(), instrument="banjo", prefix="x")
    # The eighth note, D, is tied over the first bar line; its fret is printed once.
    assert engraving.note_ids[7] == ("x-n7", "x-t7", "x-n7-1")
    # The last G, four beats from the middle of a bar, is two half notes.
    assert engraving.note_ids[-1] == ("x-n22", "x-t22", "x-n22-1")


def test_a_repeat_lights_the_first_time_again() -> None:
    score = arrange("12-bar blues", "E", feel="shuffle", choruses=2, ending=False)
    engraving = engrave(score, instrument="bass", part="bass")
    half = len(engraving.note_ids) // 2
    assert engraving.note_ids[:half] == engraving.note_ids[half:]
    out = engrave(score, instrument="bass", part="bass", repeats=False)
    assert len(set(out.note_ids)) == 2 * half


def test_heads_have_the_shape_and_colour_of_the_role() -> None:
    rows = [("G4", 1), ("B4", 1), ("A4", 1), ("C5", 1), ("Bb4", 1), ("D5", 1), ("F4", 1), ("G4", 1)]
    score = line(rows, chords="I:4 V:4")
    engraving = engrave(score, prefix="x")
    # Common practice, as the note classes have it: over G its root, third, second (colour) and
    # fourth (passing); over D B-flat is a half step above the fifth (avoid), then the root, then
    # its own flat third (blue), then the fourth (passing).
    expected = ["root", "chord tone", "colour", "passing", "avoid", "root", "blue", "passing"]
    fills = {
        "root": INK,
        "chord tone": BLUE,
        "colour": SKY,
        "passing": INK,
        "blue": PURPLE,
        "avoid": VERMILLION,
    }
    shapes: dict[str, set[str]] = {}
    for index, role in enumerate(expected):
        head = next(
            item
            for item in group(engraving.svg, f"x-n{index}").iter(f"{SVG}path")
            if item.get("class") == "head"
        )
        assert head.get("fill") == fills[role], role
        scale = (head.get("transform") or "").partition("scale")[2]
        outline = (head.get("d") or "").split("z")[0] + scale
        shapes.setdefault(role, set()).add(outline)
    assert all(len(outlines) == 1 for outlines in shapes.values())
    assert len(set.union(*shapes.values())) == len(HEADS)


def test_open_heads_are_open() -> None:
    score = line([("G4", 1), ("G4", 2), ("G4", 1), ("G4", 4)], chords="I:8")
    engraving = engrave(score, prefix="x")
    holes = []
    for index in range(4):
        head = next(
            item
            for item in group(engraving.svg, f"x-n{index}").iter(f"{SVG}path")
            if item.get("class") == "head"
        )
        assert head.get("fill-rule") == "evenodd"
        holes.append((head.get("d") or "").count("z") - 1)
    assert holes == [0, 1, 0, 1]


def test_without_roles_heads_are_round_and_there_is_no_legend() -> None:
    svg = engrave(blues("A", "A blues", 45, 70), roles=False).svg
    assert 'class="head"' not in svg
    assert 'class="legend"' not in svg


def test_the_legend_has_the_roles_that_are_there() -> None:
    svg = engrave(line([("G4", 1), ("B4", 3)], chords="I:4")).svg
    legend = next(
        item
        for item in ElementTree.fromstring(svg).iter(f"{SVG}g")
        if item.get("class") == "legend"
    )
    assert [text.text for text in legend.iter(f"{SVG}text")] == ["root of the chord", "chord tone"]


def test_the_text_alternative() -> None:
    engraving = engrave(jig(), instrument="mandolin", prefix="x")
    root = ElementTree.fromstring(engraving.svg)
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == "x-title x-desc"
    assert group(engraving.svg, "x-title").text == "Jig"
    words = group(engraving.svg, "x-desc").text
    assert words == engraving.words
    assert words is not None
    assert words.startswith("Jig, mandolin, G major, 6/8, 100 beats a minute.")
    assert "Pick-up: D4 (5) string 3 fret 0 eighth." in words
    assert "Bar 3: G4 (1) string 3 fret 5 quarter, B4 (3) string 2 fret 2 eighth," in words


def test_a_hostile_title_is_only_text() -> None:
    title = "</title><script>alert(1)</script> & \x00 ]]>"
    svg = engrave(line([("A4", 4)], title=title)).svg
    root = ElementTree.fromstring(svg)
    assert not [item for item in root.iter() if item.tag.endswith("script")]
    assert (
        group(svg, root.get("id", "") + "-title").text == "</title><script>alert(1)</script> &  ]]>"
    )


def test_large_print_is_larger() -> None:
    def staff_space(engraving: Engraving) -> float:
        root = ElementTree.fromstring(engraving.svg)
        inner = next(item for item in root.iter(f"{SVG}svg") if item is not root)
        scaled = next(item for item in inner.iter(f"{SVG}svg") if item is not inner)
        inside = float(scaled.get("viewBox", "").split()[2])
        return float(inner.get("width", "0")) / inside

    usual, large = engrave(waltz()), engrave(waltz(), large=True)
    # Large print is at least one and a half times the usual size (common practice: 16 to 18 points
    # for 11 to 12).
    assert staff_space(large) >= 1.5 * staff_space(usual)


def test_a_score_of_many_pages_is_one_picture() -> None:
    score = chromatic(Fraction(1, 2), 400)
    engraving = engrave(score, instrument="guitar", fingering=False, degrees=False, chords=False)
    assert all(engraving.note_ids)
    names = ids(engraving.svg)
    assert len(names) == len(set(names))


def test_fiddles_have_no_tablature_unless_asked() -> None:
    plain = engrave(jig(), instrument="fiddle", prefix="x")
    asked = engrave(jig(), instrument="fiddle", prefix="x", tablature=True)
    assert plain.note_ids[3] == ("x-n3",)
    assert asked.note_ids[3] == ("x-n3", "x-t3")


@pytest.mark.parametrize(
    "instrument",
    [
        "guitar",
        "mandolin",
        "fiddle",
        "banjo",
        "ukulele",
        "bass",
        "viola",
        "tenor banjo",
        "dulcimer",
    ],
)
def test_instruments_engrave_their_scale(instrument: str) -> None:
    from theorykit.instruments.catalogue import find_instrument

    neck = find_instrument(instrument)
    lowest = min(string.open.midi for string in neck.strings)
    score = blues("D", "D Mixolydian", lowest, lowest + 24)
    engraving = engrave(score, instrument=neck)
    assert len(engraving.note_ids) == len(score.part("line").notes)
    assert all(engraving.note_ids)


def test_chords_are_engraved() -> None:
    score = arrange("12-bar blues", "A", feel="boom-chuck", ending=False)
    engraving = engrave(score, instrument="guitar", part="comp")
    assert all(len(names) >= 2 for names in engraving.note_ids)


def test_saved_whole_or_not_at_all(tmp_path: Path) -> None:
    engraving = engrave(waltz())
    engraving.save(tmp_path / "waltz.svg")
    assert ElementTree.parse(tmp_path / "waltz.svg").getroot().tag == f"{SVG}svg"
    with pytest.raises(BadInput, match="output"):
        engraving.save(tmp_path / "missing" / "waltz.svg")
    assert [path.name for path in tmp_path.iterdir()] == ["waltz.svg"]


def test_notebooks_show_it() -> None:
    engraving = engrave(waltz())
    assert engraving.svg in engraving._repr_html_()


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ({"width": 100}, "accepted: 300 to 4000 pixels"),
        ({"width": True}, "out of range"),
        ({"prefix": "1x"}, "a letter"),
        ({"prefix": 'x"onload='}, "a letter"),
    ],
)
def test_bad_options(options: dict[str, Any], message: str) -> None:
    with pytest.raises(BadInput, match=message):
        engrave(waltz(), **options)


def test_threads_have_engravers_of_their_own() -> None:
    from concurrent.futures import ThreadPoolExecutor

    expected = engrave(jig(), instrument="mandolin").svg
    with ThreadPoolExecutor(3) as pool:
        found = list(pool.map(lambda _: engrave(jig(), instrument="mandolin").svg, range(6)))
    assert found == [expected] * 6
