"""A blank neck's marks: where they can lie, what is written on them, and the picture of them."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from theorykit.errors import BadInput
from theorykit.instruments.catalogue import find_instrument
from theorykit.scene.blank import (
    BLANK_LABELS,
    BLANK_ROLES,
    NeckMark,
    blank_board,
    blank_svg,
    blank_words,
    check_marks,
    mark_labels,
)
from theorykit.scene.codes import CODES

SVG = "{http://www.w3.org/2000/svg}"
MANDOLIN = blank_board(find_instrument("mandolin"))

#: The first position of a mandolin in G D A E, its lowest string first (common practice; any method
#: book has this chart).
FIRST_POSITION = {4: "G A B C D", 3: "D E F♯ G A", 2: "A B C♯ D E", 1: "E F♯ G♯ A B"}
FRETS = {4: (0, 2, 4, 5, 7), 3: (0, 2, 4, 5, 7), 2: (0, 2, 4, 5, 7), 1: (0, 2, 4, 5, 7)}


@pytest.mark.parametrize("string", FIRST_POSITION)
def test_notes_are_those_of_the_method_books(string: int) -> None:
    marks = [NeckMark(string, fret) for fret in FRETS[string]]
    assert mark_labels(MANDOLIN, marks, key="A", labels="notes") == FIRST_POSITION[string].split()


def test_names_and_degrees_are_the_keys_own() -> None:
    # Common practice: fret 3 of a G string is B flat in F and A sharp in B.
    mark = [NeckMark(4, 3)]
    assert mark_labels(MANDOLIN, mark, key="F", labels="notes") == ["B♭"]
    assert mark_labels(MANDOLIN, mark, key="B", labels="notes") == ["A♯"]
    assert mark_labels(MANDOLIN, mark, key="F", labels="degrees") == ["4"]
    assert mark_labels(MANDOLIN, mark, key="B", labels="degrees") == ["7"]


def test_numbers_follow_the_marking_and_own_words_come_first() -> None:
    marks = check_marks(MANDOLIN, [(4, 2), (1, 0, "root"), (2, 3, "blue", "T")])
    assert mark_labels(MANDOLIN, marks, key="C", labels="numbers") == ["1", "2", "T"]
    assert mark_labels(MANDOLIN, marks, key="C", labels="hidden") == ["", "", ""]


def test_a_place_has_one_mark_the_last() -> None:
    assert check_marks(MANDOLIN, [(4, 2), (3, 2), (4, 2, "root")]) == (
        NeckMark(3, 2),
        NeckMark(4, 2, "root"),
    )


@pytest.mark.parametrize(
    ("instrument", "mark"),
    [
        ("mandolin", (5, 0)),
        ("mandolin", (0, 0)),
        ("mandolin", (4, 16)),
        ("mandolin", (4, -1)),
        # A banjo's fifth string begins at its fifth fret; its first stopped note is at the sixth.
        ("banjo", (5, 5)),
        ("mandolin", (4,)),
        ("mandolin", (4, 2, "circle")),
        ("mandolin", (4, 2, "root", "four")),
        ("mandolin", ("4", 2)),
        ("mandolin", (4, True)),
        ("mandolin", 42),
    ],
)
def test_what_is_no_mark_is_refused(instrument: str, mark: Any) -> None:
    with pytest.raises(BadInput):
        check_marks(blank_board(find_instrument(instrument)), [mark])


def test_frets_count_from_the_capo() -> None:
    board = blank_board(find_instrument("guitar"), capo=2)
    # Common practice: with a capo at fret 2 an open G shape sounds A.
    assert mark_labels(board, [NeckMark(6, 3)], key="A", labels="notes") == ["A"]
    with pytest.raises(BadInput):
        check_marks(board, [(6, 14)])


def test_every_shape_can_be_told_from_every_other_without_colour() -> None:
    drawn = {(CODES[role].marker, CODES[role].fill in {"#ffffff"}) for role in BLANK_ROLES}
    assert len(drawn) == len(BLANK_ROLES)


def test_the_words_go_from_the_lowest_string_up() -> None:
    marks = check_marks(MANDOLIN, [(1, 3), (4, 0, "root"), (4, 2)])
    assert blank_words(MANDOLIN, marks, key="G", labels="notes") == (
        "Mandolin neck with 3 marks: string 4 open G, string 4 fret 2 A, string 1 fret 3 G"
    )
    assert blank_words(MANDOLIN, (), key="G", labels="notes") == "Mandolin neck with no marks"


places = st.sampled_from([(cell["string"], cell["fret"]) for cell in MANDOLIN["cells"]])


@given(
    st.lists(st.tuples(places, st.sampled_from(BLANK_ROLES), st.text(max_size=3)), max_size=8),
    st.sampled_from(BLANK_LABELS),
    st.booleans(),
)
def test_the_picture_is_xml_and_holds_every_mark(
    drawn: list[Any], labels: str, left_handed: bool
) -> None:
    # XML has no place for most control characters.
    given_marks = [(*place, role, text) for place, role, text in drawn if text.isprintable()]
    marks = check_marks(MANDOLIN, given_marks)
    text = blank_svg(MANDOLIN, marks, key="D", labels=labels, left_handed=left_handed)
    root = ET.fromstring(text)
    written = [one.text or "" for one in root.findall(f"{SVG}text[@font-weight='bold']")]
    assert written == mark_labels(MANDOLIN, marks, key="D", labels=labels)


def test_a_left_handed_neck_is_the_other_way_round() -> None:
    def nut_of(**options: Any) -> float:
        root = ET.fromstring(
            blank_svg(MANDOLIN, [NeckMark(1, 12)], key="C", labels="notes", **options)
        )
        mark = root.find(f"{SVG}text[@font-weight='bold']")
        assert mark is not None
        return float(mark.attrib["x"])

    assert nut_of() + nut_of(left_handed=True) == pytest.approx(1180, abs=0.2)
    assert nut_of() > nut_of(left_handed=True)
