"""A page gone through by keyboard alone, from its first stop to its last."""

from __future__ import annotations

from collections import Counter
from typing import Any

from playwright.sync_api import Page

#: More stops than any lesson has.
_MOST_STOPS = 900

_FOCUSED = """() => {
  const one = document.activeElement;
  if (!one || one === document.body) return null;
  const place = one.closest("figure");
  const figures = [...document.querySelectorAll("figure")];
  one.dataset.stop ??= String(document.querySelectorAll("[data-stop]").length + 1);
  return {
    stop: Number(one.dataset.stop), tag: one.tagName, role: one.getAttribute("role") ?? "",
    words: one.getAttribute("aria-label") ?? one.textContent.trim().slice(0, 40),
    list: [...one.classList], type: one.type ?? "", place: figures.indexOf(place),
    pressed: one.getAttribute("aria-pressed"), value: one.value ?? "",
    open: one.parentElement?.open ?? null, disabled: one.getAttribute("aria-disabled"),
    shown: one.checkVisibility() && one.getBoundingClientRect().width > 0,
  };
}"""


def focused(page: Page) -> dict[str, Any] | None:
    """What has the focus; None for the page itself."""
    found: dict[str, Any] | None = page.evaluate(_FOCUSED)
    return found


def walk(page: Page) -> Counter[str]:
    """Tab through a page and use everything on the way; what was used, and how often.

    Every stop must be another one and be seen. A menu is moved, a neck is played, a chart stepped,
    an answer unfolded, a player started and stopped, a question of a quiz answered.
    """
    used: Counter[str] = Counter()
    last = 0
    for _ in range(_MOST_STOPS):
        page.keyboard.press("Tab")
        stop = focused(page)
        if stop is None or (stop["stop"] < last and stop["stop"] == 1):
            return used
        assert stop["shown"], stop
        assert stop["stop"] != last, f"the focus does not move on from {stop}"
        last = stop["stop"]
        used[_use(page, stop)] += 1
    raise AssertionError(f"no end after {_MOST_STOPS} stops: {used}")


def _use(page: Page, stop: dict[str, Any]) -> str:
    press = page.keyboard.press
    if stop["tag"] == "SELECT":
        press("ArrowDown")
        if focused(page) == stop:
            press("ArrowUp")
        one_option = page.evaluate("() => document.activeElement.options.length === 1")
        now = focused(page)
        assert one_option or (now and now["value"] != stop["value"]), stop
        return "menu"
    if stop["tag"] == "SUMMARY":
        press("Enter")
        assert page.evaluate("() => document.activeElement.parentElement.open") != stop["open"], (
            stop
        )
        return "answer"
    if "tk-quiz-neck" in stop["list"] or "tk-option" in stop["list"]:
        verdict = page.locator("figure").nth(stop["place"]).locator(".tk-quiz-verdict")
        if stop["disabled"] != "true" and not (verdict.text_content() or "").strip():
            press("Enter")
            assert (verdict.text_content() or "").strip(), stop
            return "quiz"
        return "answered"
    if stop["role"] == "application" and "tk-neck" in stop["list"]:
        status = page.locator("figure").nth(stop["place"]).locator(".tk-status")
        before = status.text_content()
        press("ArrowRight")
        press("Enter")
        assert status.text_content() != before, stop
        return "neck"
    if stop["role"] == "listbox" or "tk-chart" in stop["list"]:
        press("ArrowRight")
        return "chart"
    if "tk-changes" in stop["list"] or "tk-written" in stop["list"]:
        press("Enter")
        page.wait_for_function(
            "() => { const one = document.activeElement;"
            " return one.getAttribute('aria-label') === 'Pause'"
            " || one.getAttribute('aria-pressed') === 'true'; }"
        )
        press("Escape")
        return "player"
    if "tk-after" in stop["list"]:
        sentence = page.locator("figure").nth(stop["place"]).locator(".tk-sentence")
        before = sentence.text_content()
        press("Enter")
        page.wait_for_function(
            "([place, before]) => document.querySelectorAll('figure')[place]"
            ".querySelector('.tk-sentence').textContent !== before",
            arg=[stop["place"], before],
        )
        return "note"
    return stop["tag"].lower()
