"""The module that draws reaches, by look-ups, the very scene that Python works out from the theory."""

from __future__ import annotations

import itertools
import json
import random
from dataclasses import replace
from typing import Any

import pytest
from playwright.sync_api import Page

from theorykit.scene.scene import scene
from theorykit.scene.selection import LABELS, Offer, Selection
from theorykit.scene.table import scene_table
from theorykit.theory.key import TONICS
from theorykit.widgets.bundle import joined_modules

pytestmark = pytest.mark.browser

OFFER = Offer().joined(
    Offer(
        scales=("1 b2 3 #4 5", "Lydian dominant"),
        progressions=(
            "3/4 | I | V7/ii ii . | V7sus4 |",
            "| i | bVImaj7 . . V7 | I/3 IV |",
            "|: I | N.C. |1. V :|2. IV N.C. |",
            "6/8 | i | IV v |",
            "| I | V7 | key: III | I IV | key: I | bVII |",
        ),
    )
)


def choice_of(selection: Selection) -> dict[str, Any]:
    """The selection as the module takes it: by number in the table."""
    return {
        "key": [str(tonic) for tonic in TONICS].index(selection.key),
        "scale": OFFER.scales.index(selection.scale),
        "compare": OFFER.scales.index(selection.compare) if selection.compare else -1,
        "progression": OFFER.progressions.index(selection.progression),
        "style": OFFER.styles.index(selection.style),
        "instrument": OFFER.instruments.index(selection.instrument),
        "labels": LABELS.index(selection.labels),
        "capo": selection.capo,
        "tempo": selection.tempo,
        "step": selection.step,
        "thirds": selection.thirds,
        "follow": selection.follow,
    }


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
            )
        )
    return found


@pytest.mark.parametrize("kind", ["progression", "scale"])
def test_the_module_and_python_make_the_same_scene(page: Page, kind: Any) -> None:
    chosen = selections()
    page.add_script_tag(
        content=f"{joined_modules('scene')}\nwindow.sceneOf = sceneOf;", type="module"
    )
    page.wait_for_function("() => window.sceneOf")
    drawn = page.evaluate(
        """([table, choices, kind]) => choices.map((choice) => {
          const { shown, compared, chord, key, ...data } = sceneOf(table, choice, kind);
          return data;
        })""",
        [scene_table(OFFER), [choice_of(selection) for selection in chosen], kind],
    )
    assert len(drawn) == len(chosen) > 400
    for selection, found in zip(chosen, drawn, strict=True):
        expected = json.loads(json.dumps(scene(selection, kind)))
        assert found == expected, selection


def test_the_table_is_small() -> None:
    """A page must carry it; see the size limit of the page in the export tests."""
    text = json.dumps(scene_table(Offer()), ensure_ascii=False, separators=(",", ":"))
    assert len(text.encode()) < 260_000
