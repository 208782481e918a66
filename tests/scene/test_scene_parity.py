"""The module that draws reaches, by look-ups, the very scene that Python works out from the theory."""

from __future__ import annotations

import itertools
import json
import random
from dataclasses import asdict, replace
from typing import Any

import pytest
from playwright.sync_api import Page

from theorykit.scene.atlas import Atlas, atlas_of, music_of
from theorykit.scene.menus import MENU_WORDS, options
from theorykit.scene.scene import scene
from theorykit.scene.selection import (
    FIGURES,
    GRIT_NAMES,
    LABELS,
    LEVEL_NAMES,
    OMISSIONS,
    PATTERNS,
    PLACES,
    RHYTHM_NAMES,
    WAYS,
    Offer,
    Selection,
)
from theorykit.scene.table import scene_table
from theorykit.theory.key import TONICS
from theorykit.widgets.bundle import joined_modules

pytestmark = pytest.mark.browser

OFFER = Offer().joined(
    Offer(
        scales=("1 b2 3 #4 5", "Lydian dominant"),
        instruments=("guitar", "dulcimer", "C3 G3 D4 A4, 24 frets, 585 mm"),
        qualities=("7b9", "5", "add9"),
        progressions=(
            "3/4 | I | V7/ii ii . | V7sus4 |",
            "| i | bVImaj7 . . V7 | I/3 IV |",
            "|: I | N.C. |1. V :|2. IV N.C. |",
            "6/8 | i | IV v |",
            "| I | V7 | key: III | I IV | key: I | bVII |",
            "| I | IV | V | I |",
        ),
    )
)


#: Made up for this test; the name has letters that a browser counts as two.
TUNE = "X:1\nT:Über den Steg 𝄞\nM:4/4\nL:1/4\nK:D\nD F A F|G B d B|A c e c|d A F D|]\n"


def with_a_tune(selection: Selection) -> Selection:
    """The selection with a chart of four bars and a tune over it, or one that is too long."""
    tune = ("", TUNE, TUNE, TUNE.replace("|]", "|d4|]"))[selection.number % 4]
    return replace(selection, progression="| I | IV | V | I |", step=selection.step % 4, tune=tune)


def choice_of(selection: Selection) -> dict[str, Any]:
    """The selection as the module takes it: by number in the table."""
    numbers = {
        name: options(OFFER, name).index(value) if name in MENU_WORDS else value
        for name, value in asdict(selection).items()
    }
    return numbers | {"compare": numbers["compare"] - 1}


def selections() -> list[Selection]:
    """Every scale over every form, with everything else at random (seeded)."""
    dice = random.Random(20)
    found = []
    pairs = itertools.product(OFFER.scales, OFFER.progressions)
    for scale, progression in [*pairs] * 2:
        base = replace(Selection(), scale=scale, progression=progression)
        found.append(
            replace(
                base,
                key=str(dice.choice(TONICS)),
                compare=dice.choice(("", "", *OFFER.scales)),
                style=dice.choice(OFFER.styles),
                instrument=dice.choice(OFFER.instruments),
                labels=dice.choice(LABELS),
                capo=dice.choice((0, 0, 2, 5)),
                step=dice.randrange(len(base.chart.chords)),
                thirds=dice.random() < 0.7,
                follow=dice.random() < 0.4,
                fingers=dice.random() < 0.4,
                pattern=dice.choice(PATTERNS),
                position=dice.randrange(-1, 9),
                root=str(dice.choice(TONICS)),
                quality=dice.choice(OFFER.qualities),
                omit=dice.choice(OMISSIONS),
                place=dice.choice(PLACES),
                shape=dice.choice((0, 0, 1, 2, 7)),
                beside=dice.choice((-1, -1, 0, 1, 3)),
                figure=dice.choice(FIGURES),
                direction=dice.choice(WAYS),
                rhythm=dice.choice(RHYTHM_NAMES),
                level=dice.choice(LEVEL_NAMES),
                grit=dice.choice(GRIT_NAMES),
                number=dice.randrange(9),
                kept=dice.choice((-1, 0, 4)),
                note=dice.choice((-1, 0, 5, 17, 900)),
            )
        )
    return found


#: The function of the module for each kind of explorer.
SCENES = {
    "progression": "sceneOf(table, choice, kind)",
    "scale": "sceneOf(table, choice, kind)",
    "positions": "positionSceneOf(table, choice, atlas)",
    "shapes": "shapeSceneOf(table, choice, atlas)",
    "sequences": "sheetSceneOf(table, choice, atlas, kind, true)",
    "lines": "sheetSceneOf(table, choice, atlas, kind, true)",
    "tunes": "sheetSceneOf(table, choice, atlas, kind, true)",
}

#: Music takes long to write: of that some selections must do.
MUSIC = ("sequences", "lines", "tunes")


@pytest.mark.parametrize("kind", SCENES)
def test_the_module_and_python_make_the_same_scene(page: Page, kind: Any) -> None:
    chosen = selections()[:: 6 if kind in MUSIC else 1]
    if kind == "tunes":
        chosen = [with_a_tune(selection) for selection in chosen]
    page.add_script_tag(
        content=f"{joined_modules('positions', 'shapes', 'sheet')}\n"
        f"window.draw = (table, choice, kind, atlas) => {SCENES[kind]};",
        type="module",
    )
    page.wait_for_function("() => window.draw")
    atlas: Atlas = {}
    for selection in chosen:
        music = kind in MUSIC
        atlas |= music_of(selection, kind, engraved=False) if music else atlas_of(selection, kind)
    drawn = page.evaluate(
        """([table, choices, kind, atlas]) => choices.map((choice) => {
          const { shown, compared, chord, key, ...data } = window.draw(table, choice, kind, atlas);
          return data;
        })""",
        [scene_table(OFFER), [choice_of(selection) for selection in chosen], kind, atlas],
    )
    assert len(drawn) == len(chosen) > (60 if kind in MUSIC else 400)
    for selection, found in zip(chosen, drawn, strict=True):
        expected = json.loads(json.dumps(scene(selection, kind)))
        assert found == expected, selection


def test_the_table_is_small() -> None:
    """A page must carry it; see the size limit of the page in the export tests."""
    text = json.dumps(scene_table(Offer()), ensure_ascii=False, separators=(",", ":"))
    assert len(text.encode()) < 260_000
