"""Written music in the atlas: what is packed, and what the browser reads of it."""

from __future__ import annotations

import math
from itertools import product

import pytest
from playwright.sync_api import Page

from theorykit.scene.atlas import ENGRAVED, PACKED_LINES, music_of
from theorykit.scene.harmony import Kind
from theorykit.scene.menus import MENU_WORDS, options
from theorykit.scene.packing import (
    LINES_EACH,
    MOST_ENGRAVED,
    MOST_SHEETS,
    packed_menus,
    packed_sheets,
)
from theorykit.scene.selection import Offer, Selection
from theorykit.scene.sheet import chosen_line, chosen_sequence, line_name, sequence_name
from theorykit.scene.table import scene_table
from theorykit.theory.key import TONICS
from theorykit.widgets.bundle import joined_modules

#: Few enough that everything is packed in seconds.
SMALL = Offer(
    scales=("major", "blues"),
    progressions=("I-IV-V vamp",),
    styles=("bluegrass",),
    instruments=("mandolin", "fiddle"),
)


@pytest.mark.parametrize("kind", ["lines", "sequences"])
@pytest.mark.parametrize("offer", [SMALL, Offer()], ids=["small", "whole"])
def test_menus_are_cut_so_that_all_combinations_fit(kind: Kind, offer: Offer) -> None:
    selection = Selection.of(key="E", scale="blues", progression="I-IV-V vamp", level="3")
    menus = packed_menus(offer, selection, kind)
    each = LINES_EACH if kind == "lines" else 1
    assert math.prod(map(len, menus.values())) * each <= MOST_SHEETS[kind]
    assert len(menus["key"]) == len(TONICS)
    for name, values in menus.items():
        assert getattr(selection, name) in values
        assert [value for value in options(offer, name) if value in values] == list(values)


def test_other_kinds_pack_no_music() -> None:
    assert packed_menus(Offer(), Selection(), "scale") == {}
    assert packed_sheets(Offer(), Selection(), "scale") == {}


def test_every_combination_is_packed_and_some_are_engraved() -> None:
    selection = Selection.of(
        key="A", scale="major", progression="I-IV-V vamp", instrument="fiddle", level="2", number=7
    )
    offer = Offer(("major",), ("I-IV-V vamp",), ("bluegrass",), ("fiddle",))
    reports: list[tuple[int, int]] = []
    found = packed_sheets(offer, selection, "lines", lambda *news: reports.append(news))
    menus = packed_menus(offer, selection, "lines")
    # The line that the teacher chose comes along, whatever its number.
    assert found.pop(PACKED_LINES) == ["0", "1", "7"]
    names = {
        line_name(selection.changed(**dict(zip(menus, values, strict=True))), number)
        for values in product(*menus.values())
        for number in (0, 1, 7)
    }
    engraved = {name for name in found if name.startswith(ENGRAVED)}
    assert found.keys() - engraved == names
    assert len(engraved) == MOST_ENGRAVED
    assert ENGRAVED + line_name(selection, 7) in engraved
    assert reports[-1] == (len(names), len(names))


def test_what_can_not_be_written_says_why() -> None:
    # A pentatonic scale has no sevenths: its fifth step above is the octave.
    selection = Selection.of(scale="minor pentatonic", figure="seventh chords")
    sheet = chosen_sequence(selection)
    assert not sheet.notes
    assert "seventh" in sheet.problem
    code = music_of(selection, "sequences", engraved=True)[sequence_name(selection)]
    assert code == ["0", "", "", "", sheet.problem]


@pytest.mark.browser
def test_the_browser_reads_the_notes_that_python_wrote(page: Page) -> None:
    page.add_script_tag(
        content=f"{joined_modules('sheet')}\nwindow.read = (...all) => sheetsOf(...all).shown;",
        type="module",
    )
    page.wait_for_function("() => window.read")
    offer = Offer()
    for kind, level, instrument in (
        ("lines", "4", "guitar"),
        ("lines", "1", "fiddle"),
        ("sequences", "1", "banjo"),
        ("sequences", "1", "resonator guitar"),
    ):
        selection = Selection.of(
            key="Bb", scale="major", level=level, grit="gritty", instrument=instrument, number=3
        )
        found = page.evaluate(
            "([table, choice, atlas, kind]) => window.read(table, choice, atlas, kind)",
            [
                scene_table(offer),
                {name: options(offer, name).index(getattr(selection, name)) for name in MENU_WORDS}
                | {"number": 3, "kept": -1},
                music_of(selection, kind, engraved=False),  # type: ignore[arg-type]
                kind,
            ],
        )
        sheet = chosen_line(selection, 3) if kind == "lines" else chosen_sequence(selection)
        assert sheet.score is not None
        assert found["beats"] >= sheet.score.end - 1e-4
        assert len(found["notes"]) == len(sheet.notes) > 10
        for read, note in zip(found["notes"], sheet.notes, strict=True):
            assert read["midi"] == note.midi
            assert read["beat"] == pytest.approx(float(note.start), abs=1e-4)
            assert read["beats"] == pytest.approx(float(note.beats), abs=1e-4)
            assert note.pitch is not None
            assert read["name"] == note.pitch.pretty
            place = read["place"] or {"string": None, "fret": None, "finger": None}
            assert (place["string"], place["fret"]) == (note.string, note.fret)
            heights = [height for _, height in note.glide.points] if note.glide else []
            assert [height for _, height in read.get("bend") or []] == heights
        assert len(found["reasons"]) == (len(sheet.notes) if kind == "lines" else 0)
