"""The drawing codes can be told apart by everybody (WCAG 2.x, formula of relative luminance)."""

from __future__ import annotations

import itertools

import pytest

from theorykit.scene.codes import CODES, LEGENDS


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.x defines it; the definition is quoted from memory."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_gives_the_published_values() -> None:
    # WCAG 2.x 1.4.3: black on white is 21:1; #767676 on white is the palest grey that passes 4.5.
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.542, abs=0.001)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.478, abs=0.001)


@pytest.mark.parametrize("role", CODES)
def test_text_on_its_fill_is_legible(role: str) -> None:
    # WCAG 2.x 1.4.3 (AA): 4.5:1.
    code = CODES[role]
    assert contrast(code.text, code.fill) >= 4.5


@pytest.mark.parametrize("role", CODES)
@pytest.mark.parametrize("ground", ["#ffffff", "#f6f1e7"])
def test_the_outline_stands_out_from_paper_and_wood(role: str, ground: str) -> None:
    # WCAG 2.x 1.4.11: 3:1.
    assert contrast(CODES[role].line, ground) >= 3.0


@pytest.mark.parametrize("legend", LEGENDS)
def test_roles_differ_in_more_than_colour(legend: str) -> None:
    for one, other in itertools.combinations(LEGENDS[legend], 2):
        first, second = CODES[one], CODES[other]
        by_shape = (first.marker, first.dash) != (second.marker, second.dash)
        by_size = abs(first.size - second.size) >= 4
        by_outline = abs(first.line_width - second.line_width) >= 2.5
        assert by_shape or by_size or by_outline, (one, other)
