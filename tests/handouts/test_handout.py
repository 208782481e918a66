"""Sheets for students: what stands on them, and how it prints."""

from __future__ import annotations

import io
import re
from functools import lru_cache
from html import unescape
from pathlib import Path

import pypdfium2
import pytest
from printed import letters, overlapping, sizes, texts
from pypdf import PdfReader

from theorykit.errors import BadInput
from theorykit.handouts.handout import PARTS, Handout, checked_title, handout
from theorykit.scene.selection import Selection

#: A sharp and a flat key for each of the class's instruments, a form, a scale, a position.
CLASS = {
    "mandolin": (("A", "blues", "12-bar blues", 0), ("Eb", "blues", "12-bar blues", 2)),
    "guitar": (("E", "minor pentatonic", "8-bar blues", 1), ("Ab", "blues", "12-bar blues", 0)),
    "banjo": (("G", "minor pentatonic", "I-IV-V vamp", 1), ("Bb", "major", "ii-V-I", 0)),
    "fiddle": (("D", "major", "two-part dance tune", 0), ("F", "major pentatonic", "waltz", 1)),
    "ukulele": (("C", "major", "circle of fourths", 0), ("Bb", "major blues", "I-vi-ii-V", 0)),
    "bass": (("E", "blues", "12-bar blues, quick change", 0), ("Db", "Dorian", "bVII vamp", 1)),
}

CASES = [
    (instrument, *row, instrument == "ukulele") for instrument in CLASS for row in CLASS[instrument]
]


@lru_cache
def made(
    instrument: str, key: str, scale: str, form: str, position: int, left_handed: bool
) -> tuple[Handout, bytes]:
    sheets = handout(
        Selection.of(
            instrument=instrument,
            key=key,
            scale=scale,
            progression=form,
            position=position,
            left_handed=left_handed,
        )
    )
    return sheets, sheets.pdf()


def squeezed(text: str) -> str:
    """With no white space and no place where a long word may break."""
    return "".join(text.replace("\u200b", "").split())


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case[0]}-{case[1]}")
def test_nothing_is_clipped_nor_lies_on_something_else(case: tuple) -> None:
    _, pdf = made(*case)
    found = letters(pdf)
    assert len(found) > 1000
    assert overlapping(found) == []
    # ISO 216: A4 is 210 x 297 mm, a point is 25.4 / 72 mm.
    wide, high = 210 / 25.4 * 72, 297 / 25.4 * 72
    assert all(letter.left > 40 and letter.right < wide - 40 for letter in found)
    assert all(letter.bottom > 20 and letter.top < high - 40 for letter in found)


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case[0]}-{case[1]}")
def test_a_page_breaks_between_parts(case: tuple) -> None:
    sheets, pdf = made(*case)
    pages = [squeezed(text) for text in texts(pdf)]
    ends = {
        "The chart": None,
        "A practice routine": "theysaygoesbeforethisplan.",
        "To look up": "Anearintheroomoutranksit.",
        "An example line": "inthechordofthemoment.",
        "Chord shapes": "degreeinthechord.",
    }
    for part in sheets.parts:
        end = ends.get(part.heading)
        if end is not None:
            heads = [n for n, page in enumerate(pages) if squeezed(part.heading) in page]
            feet = [n for n, page in enumerate(pages) if end in page]
            assert feet[0] in heads, part.heading


def test_the_same_in_both() -> None:
    sheets, pdf = made(*CASES[0])
    page = sheets.html()
    words = squeezed(unescape(re.sub(r"<style>.*?</style>|<svg.*?</svg>|<[^>]*>", " ", page)))
    printed = squeezed("".join(texts(pdf)))
    for part in sheets.parts:
        for block in part.as_data()["blocks"]:
            if block["kind"] == "Words":
                assert squeezed(block["text"]) in words
                assert squeezed(block["text"]) in printed
            if block["kind"] == "Points":
                for item in block["items"]:
                    assert squeezed(item) in words
                    assert squeezed(item) in printed
            if block["kind"] in ("Picture", "Pictures"):
                for picture in block.get("pictures", [block]):
                    assert picture["svg"] in page
    # A name space is no address; nothing else may name one.
    assert "://" not in re.sub(r'xmlns(:xlink)?="[^"]*"', "", page)


def test_what_a_teacher_hands_out() -> None:
    """A blues over a 12-bar blues in A, by hand: the advice is the README's, for sevenths."""
    sheets, pdf = made(*CASES[0])
    assert [part.heading for part in sheets.parts] == [
        "The chart",
        "On the neck",
        "Chord shapes",
        "An example line",
        "A practice routine",
        "To look up",
    ]
    bars = sheets.parts[0].as_data()["blocks"][0]["bars"]
    # Twelve-bar blues in A (common practice), bar 9 on the dominant, bar 12 turns around on it.
    chords = ["A7", "A7", "A7", "A7", "D7", "D7", "A7", "A7", "E7", "D7", "A7", "E7"]
    assert [bar["chords"][0]["chord"] for bar in bars] == chords
    numerals = ["I7", "I7", "I7", "I7", "IV7", "IV7", "I7", "I7", "V7", "IV7", "I7", "V7"]
    assert [bar["chords"][0]["numeral"] for bar in bars] == numerals
    short = {bar["chords"][0]["chord"]: bar["chords"][0]["short"] for bar in bars}
    assert short == {"A7": "stay", "D7": "pass through E♭", "E7": "switch to E blues"}
    text = squeezed("".join(texts(pdf)))
    for said in ("A7no3", "Warm-up", "Pain,numbnessortinglingmeansstop.", "Name", "Date"):
        assert said in text
    # 60 % of 96 beats a minute, then by tens to the top.
    assert "5868788896" in text


def test_the_third_is_left_out_where_it_frees_the_blue_third() -> None:
    """Over I the flat third rubs against the third alone; over V it rubs against the fifth."""
    sheets = handout(
        Selection.of(key="G", progression="| I | V |", instrument="guitar"), parts=("shapes",)
    )
    spoken = [picture["alt"] for picture in sheets.parts[0].as_data()["blocks"][0]["pictures"]]
    assert [words.partition(":")[0] for words in spoken] == ["G", "G no 3", "D"]
    # 3x0033 is the G chord of old-time backup, common practice.
    muted, rest = "string 5 muted", "string 4 open, string 3 open, string 2 fret 3, string 1 fret 3"
    assert spoken[1] == f"G no 3: string 6 fret 3, {muted}, {rest}"


@pytest.mark.parametrize(
    ("paper", "wide", "high"),
    [("a4", 210 / 25.4 * 72, 297 / 25.4 * 72), ("letter", 8.5 * 72, 11 * 72)],
)
@pytest.mark.parametrize("large", [False, True])
def test_page_boxes(paper: str, wide: float, high: float, large: bool) -> None:
    sheets = handout(Selection.of(), paper=paper, large_print=large, parts=("chart", "routine"))
    for page in PdfReader(io.BytesIO(sheets.pdf())).pages:
        assert float(page.mediabox.width) == pytest.approx(wide, abs=0.1)
        assert float(page.mediabox.height) == pytest.approx(high, abs=0.1)


def test_large_print_is_18_points_and_more() -> None:
    sheets = handout(
        Selection.of(key="Ab", scale="blues"),
        large_print=True,
        parts=("chart", "routine", "reference"),
    )
    pdf = sheets.pdf()
    assert min(size for size, _ in sizes(pdf)) >= 17.99
    assert overlapping(letters(pdf)) == []
    with_music = handout(Selection.of(), large_print=True).pdf()
    assert overlapping(letters(with_music)) == []
    # What stands in a picture is smaller, but never small print.
    assert min(size for size, _ in sizes(with_music)) >= 9.5


def test_grey_is_enough() -> None:
    """Photocopied: each role keeps a shape of its own, and labels stand out by 4.5 to 1.

    WCAG 2.2, 1.4.3, for the contrast of text; luminance as defined there.
    """
    from theorykit.scene.codes import CODES, LEGENDS

    def light(color: str) -> float:
        parts = [int(color[place : place + 2], 16) / 255 for place in (1, 3, 5)]
        linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    shapes = {(CODES[role].marker, CODES[role].size < 22) for role in LEGENDS["chord"]}
    assert len(shapes) == len(LEGENDS["chord"])
    for role in LEGENDS["chord"]:
        dark, bright = sorted((light(CODES[role].fill), light(CODES[role].text)))
        assert (bright + 0.05) / (dark + 0.05) >= 4.5, role
    image = pypdfium2.PdfDocument(made(*CASES[0])[1])[0].render(scale=1).to_pil().convert("L")
    # Paper is white, and something dark stands on it.
    assert image.getextrema() == (0, 255)


HOSTILE = [
    '#import "/etc/passwd": *',
    "$x^2$ *bold* _it_ @ref <label> `raw` \\ \\u{41} // no /* no */ -- --- ... ~ [a] #{1+1}",
    "= heading",
    "\"quotes\" 'and' \u201cthese\u201d",
    "<script>alert(1)</script> &amp; %s {0}",
    "Bb \u266d F# \u266f \u00bd",
    "\u05e9\u05dc\u05d5\u05dd \u05e2\u05d5\u05dc\u05dd",
    "\u0645\u0631\u062d\u0628\u0627 \u0628\u0627\u0644\u0639\u0627\u0644\u0645",
    "Tune \U0001f3b8\U0001f600",
    "x" * 300,
    "long words " * 27,
]


@pytest.mark.parametrize("title", HOSTILE)
def test_a_title_prints_letter_by_letter(title: str) -> None:
    sheets = handout(Selection.of(), title=title, parts=("reference",))
    pdf = sheets.pdf()
    assert sheets.title == title.strip()
    assert squeezed(texts(pdf)[0]).startswith(squeezed(title) + "Keyof")
    reader = PdfReader(io.BytesIO(pdf))
    assert reader.metadata is not None
    assert reader.metadata.title == title.strip()
    assert "root:" not in texts(pdf)[0]
    page = sheets.html()
    assert unescape(re.findall("<h1[^>]*>(.*?)</h1>", page)[0]) == title.strip()
    assert "<script" not in page
    found = letters(pdf)
    assert max(letter.right for letter in found) < 595.28 - 40


def test_a_title_is_one_line() -> None:
    assert checked_title(" a\nb\x00 c\u202e ") == "a b c"
    for bad in ("", " \n", "x" * 301, 3, None):
        with pytest.raises(BadInput, match="title"):
            checked_title(bad)


def test_a_chart_of_ones_own_prints_whole() -> None:
    sheets = handout(
        Selection.of(key="D", progression="3/4 [A] | I IV V | N.C. | bVII7 . ii | [B] I |")
    )
    assert sheets.title == "D minor pentatonic"
    bars = sheets.parts[0].as_data()["blocks"][0]["bars"]
    assert [bar["section"] for bar in bars] == ["A", "", "", "B"]
    assert bars[1]["chords"][0]["chord"] == "N.C."
    assert overlapping(letters(sheets.pdf())) == []


@pytest.mark.parametrize("instrument", ["resonator guitar", "cello", "dulcimer", "tenor banjo"])
def test_other_necks(instrument: str) -> None:
    sheets = handout(Selection.of(key="D", instrument=instrument, scale="chord tones"))
    assert overlapping(letters(sheets.pdf())) == []


def test_a_capo_is_told() -> None:
    sheets = handout(Selection.of(key="A", instrument="guitar", capo=2))
    assert "capo 2" in sheets.subtitle
    assert "Frets count from the capo at fret 2." in "".join(map(str, sheets.parts))


def neck_alts(selection: Selection) -> list[str]:
    """What the pictures of a handout's necks say."""
    (part,) = handout(selection, parts=("neck",)).parts
    blocks = part.as_data()["blocks"]
    pictures = [picture for block in blocks for picture in block.get("pictures", [block])]
    return [picture["caption"] for picture in pictures if "caption" in picture]


def test_which_scales_lie_on_the_neck() -> None:
    """The held scale over the home chord, its fingers, what is switched to, then all the neck."""
    assert neck_alts(Selection.of(key="A", scale="blues", progression="| I | IV | V | I |")) == [
        "A blues over A",
        "A blues: which finger",
        "E blues over E",
        "A blues over A, the whole neck",
    ]
    # No chord here is at home, so the scale stands by itself.
    assert neck_alts(Selection.of(key="C", scale="major", progression="circle of fourths")) == [
        "C major",
        "C major: which finger",
        "C major, the whole neck",
    ]
    assert neck_alts(Selection.of(key="G", scale="chord tones", progression="| I | V |")) == [
        "G chord tones over G",
        "G chord tones: which finger",
        "D chord tones over D",
        "G chord tones over G, the whole neck",
    ]


def test_the_same_bytes_again() -> None:
    selection = Selection.of(key="C")
    assert handout(selection, parts=("chart",)).pdf() == handout(selection, parts=("chart",)).pdf()


def test_a_file_is_written_whole_or_not_at_all(tmp_path: Path) -> None:
    sheets = handout(Selection.of(), parts=("chart",))
    assert sheets.save(tmp_path / "a.pdf").read_bytes() == sheets.pdf()
    assert (tmp_path / "a.pdf").read_bytes().startswith(b"%PDF-")
    assert sheets.save(tmp_path / "a.HTML").read_text(encoding="utf-8") == sheets.html()
    with pytest.raises(BadInput, match=r"accepted: \.pdf, \.html"):
        sheets.save(tmp_path / "a.docx")
    with pytest.raises(BadInput, match="folder"):
        sheets.save(tmp_path / "none" / "a.pdf")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a.HTML", "a.pdf"]


def test_what_cannot_be_asked_for() -> None:
    with pytest.raises(BadInput, match="did you mean 'chart'"):
        handout(Selection.of(), parts=("chrat",))
    with pytest.raises(BadInput, match="parts"):
        handout(Selection.of(), parts=())
    with pytest.raises(BadInput, match="accepted: a4, letter"):
        handout(Selection.of(), paper="a5")


def test_parts_stand_in_the_order_asked_for() -> None:
    sheets = handout(Selection.of(), parts=("routine", "chart", "routine"))
    assert [part.heading for part in sheets.parts] == ["A practice routine", "The chart"]
    assert set(PARTS) == {"chart", "neck", "shapes", "line", "routine", "reference"}
