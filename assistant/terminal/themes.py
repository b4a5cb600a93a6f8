"""Our own colours: dark, light, one without colour and one with the strongest contrast.

Signal colours follow the usual order of ISO 3864 and ANSI Z535 (red, orange, yellow, blue),
but no meaning hangs on them: every level has its word and its mark as well.
"""

from __future__ import annotations

from textual.theme import Theme

_SIGNAL = {
    "danger-back": "#c4161c",
    "danger-text": "#ffffff",
    "warning-back": "#f08a00",
    "warning-text": "#000000",
    "caution-back": "#f5d000",
    "caution-text": "#000000",
    "notice-back": "#2468b0",
    "notice-text": "#ffffff",
}
_GREY_SIGNAL = {
    "danger-back": "#ffffff",
    "danger-text": "#000000",
    "warning-back": "#d0d0d0",
    "warning-text": "#000000",
    "caution-back": "#8c8c8c",
    "caution-text": "#000000",
    "notice-back": "#303030",
    "notice-text": "#ffffff",
}

DARK = Theme(
    name="night",
    primary="#7fb2c9",
    secondary="#c9b37f",
    accent="#e3c07a",
    foreground="#dfe3e6",
    background="#14181b",
    surface="#1b2024",
    panel="#242b30",
    success="#8fbf8f",
    warning="#f0a040",
    error="#f29090",
    dark=True,
    variables={**_SIGNAL, "cursor-back": "#264350", "quiet": "#a6b1b8", "rule": "#46525a", "bar": "#7fb2c9"},
)
LIGHT = Theme(
    name="day",
    primary="#1f5f7a",
    secondary="#6d5310",
    accent="#7a4a00",
    foreground="#16191b",
    background="#fbfaf6",
    surface="#f1efe8",
    panel="#e4e1d6",
    success="#2c6b2f",
    warning="#8a4b00",
    error="#a01818",
    dark=False,
    variables={**_SIGNAL, "cursor-back": "#cfe0e8", "quiet": "#55606a", "rule": "#a39f92", "bar": "#1f5f7a"},
)
MONOCHROME = Theme(
    name="grey",
    primary="#ffffff",
    secondary="#d0d0d0",
    accent="#ffffff",
    foreground="#e6e6e6",
    background="#000000",
    surface="#101010",
    panel="#262626",
    success="#ffffff",
    warning="#ffffff",
    error="#ffffff",
    dark=True,
    variables={
        **_GREY_SIGNAL,
        "cursor-back": "#3a3a3a",
        "quiet": "#b0b0b0",
        "rule": "#707070",
        "bar": "#ffffff",
    },
)
CONTRAST = Theme(
    name="contrast",
    primary="#ffff00",
    secondary="#00ffff",
    accent="#ffff00",
    foreground="#ffffff",
    background="#000000",
    surface="#000000",
    panel="#000000",
    success="#00ff00",
    warning="#ffa500",
    error="#ffb4b4",
    dark=True,
    variables={
        **_SIGNAL,
        "danger-back": "#b40000",
        "danger-text": "#ffffff",
        "notice-back": "#0038c8",
        "cursor-back": "#002878",
        "quiet": "#ffffff",
        "rule": "#ffffff",
        "bar": "#ffff00",
    },
)
THEMES = (DARK, LIGHT, MONOCHROME, CONTRAST)


def following(name: str) -> str:
    """Return the theme after the one named, going round."""
    names = [theme.name for theme in THEMES]
    place = names.index(name) if name in names else -1
    return names[(place + 1) % len(names)]
