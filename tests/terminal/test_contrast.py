"""Every text can be read in every colouring.

Source: W3C Recommendation WCAG 2.1 (5 June 2018): relative luminance and contrast ratio as its glossary defines them;
at least 4.5:1 by success criterion 1.4.3, and 7:1 by 1.4.6, which the colours of the strongest contrast must reach.
"""

from __future__ import annotations

from itertools import product

import pytest
from textual.color import Color
from textual.theme import Theme

from assistant.terminal.banner import MARKS
from assistant.terminal.themes import CONTRAST, THEMES

TEXTS = ("foreground", "quiet", "primary", "secondary", "accent", "success", "error", "bar")
BACKGROUNDS = ("background", "surface", "panel", "cursor-back")


def luminance(colour: Color) -> float:
    shares = [part / 255 for part in colour.rgb]
    red, green, blue = (s / 12.92 if s <= 0.03928 else ((s + 0.055) / 1.055) ** 2.4 for s in shares)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def ratio(one: Color, other: Color) -> float:
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def colour(theme: Theme, name: str) -> Color:
    return Color.parse(str(theme.variables.get(name) or getattr(theme, name.replace("-", "_"))))


@pytest.mark.parametrize(
    ("one", "other", "wanted"),
    [("#ffffff", "#000000", 21.0), ("#777777", "#ffffff", 4.48), ("#0000ff", "#ffffff", 8.59)],
)
def test_the_formula_gives_known_ratios(one: str, other: str, wanted: float) -> None:
    """The extremes as defined; grey and blue as commonly quoted to two places (from memory)."""
    assert ratio(Color.parse(one), Color.parse(other)) == pytest.approx(wanted, abs=0.005)


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
def test_every_text_stands_out_from_what_may_be_behind_it(theme: Theme) -> None:
    pairs = [*product(TEXTS, BACKGROUNDS), *((f"{level}-text", f"{level}-back") for level in MARKS)]
    least = 7.0 if theme is CONTRAST else 4.5
    found = {pair: ratio(colour(theme, pair[0]), colour(theme, pair[1])) for pair in pairs}
    assert {pair: round(value, 2) for pair, value in found.items() if value < least} == {}
