"""Text of people and of rules, made safe to put on a screen."""

from __future__ import annotations

import unicodedata

_HIDDEN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn"})
_NEWLINES = {"\r\n": "\n", "\r": "\n", "\u2028": "\n", "\u2029": "\n", "\x85": "\n"}


def visible(text: str) -> str:
    r"""Return the text with everything that a terminal could obey shown as an escape.

    Line ends become plain newlines and tabs become spaces; other control, direction
    and unassigned characters are written out (`\x1b`), so that nothing a person pastes
    can move the cursor, change a colour or hide what follows.
    """
    if text.isprintable():
        return text
    for found, plain in _NEWLINES.items():
        text = text.replace(found, plain)
    return "".join(_shown(char) for char in text)


def _shown(char: str) -> str:
    if char == "\n" or char.isprintable():
        return char
    if char == "\t":
        return "    "
    if unicodedata.category(char) in _HIDDEN:
        return char.encode("unicode_escape").decode("ascii")
    return char


def one_line(text: str) -> str:
    """Return the visible text on one line."""
    return " ".join(visible(text).split())


def shortened(text: str, width: int) -> str:
    """Return the text on one line, cut with an ellipsis to at most `width` characters."""
    flat = one_line(text)
    return flat if len(flat) <= width else flat[: max(0, width - 1)].rstrip() + "…"
