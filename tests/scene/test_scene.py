"""What the scene says, on cases that were worked out by hand."""

from __future__ import annotations

import pytest

from theorykit.scene.scene import scene
from theorykit.scene.selection import Selection


def roles(selection: Selection, kind: str = "progression") -> dict[str, str]:
    marks = scene(selection, kind)["marks"]  # type: ignore[arg-type]
    return {mark["name"]: mark["role"] for mark in marks if mark}


def test_minor_pentatonic_over_the_five_chord() -> None:
    # Common practice: over V the key's flat third is unwanted; the flat seventh is blue.
    selection = Selection.of(key="A", scale="minor pentatonic", step=8)
    assert roles(selection) == {
        "A": "passing",
        "C": "avoid",
        "D": "chord tone",
        "E": "root",
        "G": "blue",
    }
    shown = scene(selection)
    assert shown["ruler"]["links"] == [
        {"from": 3, "to": 4, "kind": "blue"},
        {"from": 8, "to": 7, "kind": "avoid"},
    ]
    assert shown["chart"][8][0]["short"] == "switch to E minor pentatonic"


def test_without_its_third_the_one_chord_has_nothing_to_rub_on() -> None:
    # Common practice: root and fifth alone are neither major nor minor.
    with_third = Selection.of(key="G", progression="I IV V")
    assert roles(with_third)["B♭"] == "blue"
    assert roles(with_third.changed(thirds=False))["B♭"] == "colour"


def test_following_the_advice_shows_the_scale_to_play() -> None:
    selection = Selection.of(key="G", progression="I IV V", step=2, follow=True)
    assert set(roles(selection)) == {"D", "F", "G", "A", "C"}
    assert scene(selection)["heading"] == "D minor pentatonic (advised) over D"


def test_a_comparison_tells_what_is_in_which() -> None:
    # Common practice: the blues scale is the minor pentatonic and one note.
    selection = Selection.of(key="G", scale="minor pentatonic", compare="blues")
    found = roles(selection, "scale")
    assert found.pop("D♭") == "second"
    assert found.pop("G") == "home"
    assert set(found.values()) == {"both"}
    assert scene(selection, "scale")["sentence"] == ("Beside G minor pentatonic, G blues adds D♭.")


@pytest.mark.parametrize(
    ("labels", "expected"), [("notes", "C"), ("degrees", "♭3"), ("hidden", "")]
)
def test_labels(labels: str, expected: str) -> None:
    # On a mandolin C lies on the third fret of the A string (common practice).
    shown = scene(Selection.of(key="A", labels=labels))
    (cell,) = [mark for mark in shown["neck"] if (mark["string"], mark["fret"]) == (2, 3)]
    assert cell["label"] == expected


def test_text_alternatives_name_instrument_scale_chord_and_notes() -> None:
    text = scene(Selection.of(key="A", step=8))["alt"]["neck"]
    assert text.startswith("Mandolin neck, A minor pentatonic over E7: A (1) passing, C (♭3) avoid")


def test_a_capo_raises_every_string_and_fret_numbers_count_from_it() -> None:
    plain = scene(Selection.of(key="G", instrument="guitar"))["neck"]
    capo = scene(Selection.of(key="A", instrument="guitar", capo=2))["neck"]
    within = [(mark["string"], mark["fret"]) for mark in plain if mark["fret"] <= 13]
    assert [(mark["string"], mark["fret"]) for mark in capo] == within


def test_a_change_of_key_moves_the_scale_and_a_rest_rubs_on_nothing() -> None:
    selection = Selection.of(key="G", progression="| I | N.C. | key: II | V |")
    assert scene(selection.changed(step=2))["heading"] == "A minor pentatonic over E"
    assert [bar[0]["chord"] for bar in scene(selection)["chart"]] == ["G", "", "E"]
    silent = scene(selection.changed(step=1))
    assert silent["heading"] == "G minor pentatonic over no chord"
    assert silent["ruler"]["links"] == []
    assert set(roles(selection.changed(step=1)).values()) == {"colour"}


def test_repeats_are_played_out() -> None:
    chart = scene(Selection.of(key="D", progression="|: I |1. V :|2. I |"))["chart"]
    assert [bar[0]["chord"] for bar in chart] == ["D", "A", "D", "D"]
