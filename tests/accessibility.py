"""What axe-core finds in a page by its rules for WCAG 2.x, levels A and AA."""

from __future__ import annotations

from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

#: Axe's names of the standard's levels (axe-core, "Axe-core tags").
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa"]


def violations(page: Page, within: str | None = None) -> list[Any]:
    """Those of a page, or of the elements that a selector names."""
    options = {"runOnly": {"type": "tag", "values": TAGS}}
    found = Axe().run(page, context=within, options=options).response
    # It has looked: each page has headings, menus, buttons and pictures to pass.
    assert len(found["passes"]) >= 10
    return [
        (each["id"], each["help"], [node["html"][:200] for node in each["nodes"][:3]])
        for each in found["violations"]
    ]
