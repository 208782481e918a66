"""A scale in all keys on a page."""

from __future__ import annotations

import io

import pytest
from printed import letters, overlapping
from pypdf import PdfReader

from theorykit.errors import BadInput
from theorykit.handouts.reference import scale_reference

#: Major scales round the circle of fourths, as any theory primer prints them (from memory).
MAJOR = """
C D E F G A B
F G A B♭ C D E
B♭ C D E♭ F G A
E♭ F G A♭ B♭ C D
A♭ B♭ C D♭ E♭ F G
D♭ E♭ F G♭ A♭ B♭ C
G♭ A♭ B♭ C♭ D♭ E♭ F
B C♯ D♯ E F♯ G♯ A♯
E F♯ G♯ A B C♯ D♯
A B C♯ D E F♯ G♯
D E F♯ G A B C♯
G A B C D E F♯
"""

#: The tonics of natural minor with the fewest signs (any circle of fifths).
MINOR_TONICS = ["C", "F", "B♭", "E♭", "G♯", "C♯", "F♯", "B", "E", "A", "D", "G"]


def captions(scale: str, instrument: str = "mandolin") -> list[str]:
    sheets = scale_reference(scale, instrument=instrument)
    pictures = sheets.parts[0].as_data()["blocks"][1]["pictures"]
    return [picture["caption"] for picture in pictures]


def test_spelling() -> None:
    rows = [" ".join(row.partition(":")[2].split()) for row in captions("major")]
    assert rows == MAJOR.split("\n")[1:-1]
    assert [row.partition(":")[0] for row in captions("natural minor")] == MINOR_TONICS


@pytest.mark.parametrize(
    "instrument", ["mandolin", "guitar", "banjo", "fiddle", "ukulele", "bass", "resonator guitar"]
)
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_one_page(instrument: str, paper: str) -> None:
    pdf = scale_reference("chromatic", instrument=instrument, paper=paper).pdf()
    assert len(PdfReader(io.BytesIO(pdf)).pages) == 1
    assert overlapping(letters(pdf)) == []


def test_places() -> None:
    """G major in first position on a mandolin: open, 2, 4, 5 or open, 2, 3, 5 (common practice)."""
    sheets = scale_reference("major", instrument="mandolin")
    alt = sheets.parts[0].as_data()["blocks"][1]["pictures"][11]["alt"]
    assert alt == (
        "G major on mandolin, frets 0 to 7: string 4 frets 0 2 4 5 7; string 3 frets 0 2 4 5 7; "
        "string 2 frets 0 2 3 5 7; string 1 frets 0 2 3 5 7"
    )


def test_large_print_and_the_left_hand() -> None:
    pdf = scale_reference(
        "melodic minor", instrument="guitar", large_print=True, left_handed=True
    ).pdf()
    assert overlapping(letters(pdf)) == []


def test_what_has_no_twelve_keys() -> None:
    with pytest.raises(BadInput, match="those of a chord"):
        scale_reference("chord tones")
    with pytest.raises(BadInput, match="scale 'blus'"):
        scale_reference("blus")
