"""Text of people made safe to show: nothing in it can move a cursor, change a colour or hide what follows."""

from __future__ import annotations

import re
import unicodedata

_LINE_ENDS = re.compile("\r\n|[\r\n\x85\u2028\u2029]")
_JOINERS = "\u200c\u200d"
"""Needed inside words and signs of several scripts; they join, and neither hide nor turn anything."""


def visible(text: str) -> str:
    """The text with every control, direction and unassigned character written out, as `ESC` is in hex.

    Line ends of every kind become plain ones; tabs become four spaces.
    """
    if text.isprintable():
        return text
    lines = _LINE_ENDS.split(text)
    return "\n".join("".join(_shown(char) for char in line) for line in lines)


def one_line(text: str) -> str:
    """The visible text on one line, runs of blanks as one."""
    return " ".join(visible(text).split())


def _shown(char: str) -> str:
    if char.isprintable() or char in _JOINERS:
        return char
    if char == "\t":
        return "    "
    if unicodedata.category(char) == "Zs":
        return " "
    return char.encode("unicode_escape").decode("ascii")
