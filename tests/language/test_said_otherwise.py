"""Every line of our own said a little otherwise: what is beside the matter changes nothing of what is read."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest

from assistant.language import Heard, Words, read

from .corpus import OTHERS, OWN, lines_of

LINES = [line for path in (OWN, *OTHERS) for line in lines_of(path)][::6]
ENOUGH = 700
"""Each way is tried on about so many lines, another way on others."""
NEGATED = re.compile(r"\b(does|is|do|did|was|has|have)n't\b")
SPELT = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"]


def spelt(said: str) -> str:
    return re.sub(r"\b(\d)\.(\d)\b(?!\s*[-–])", lambda m: f"{SPELT[int(m[1])]} point {SPELT[int(m[2])]}", said)


OTHERWISE: dict[str, Callable[[str], str]] = {
    "greeted": lambda s: f"Good morning. {s}",
    "hello": lambda s: f"hello, {s}",
    "begun with ok so": lambda s: f"ok so {s}",
    "begun with right": lambda s: f"right, {s[0].lower()}{s[1:]}",
    "told by the caller": lambda s: f"caller says {s}",
    "thanked": lambda s: f"{s.rstrip('.')}, thanks",
    "ended with mate": lambda s: f"{s.rstrip('.')} mate",
    "ended with if that helps": lambda s: f"{s.rstrip('.')} if that helps",
    "with a question of its own": lambda s: f"{s.rstrip('.')}. what next",
    "shouted": str.upper,
    "in small letters": str.lower,
    "with curly quotes": lambda s: s.replace("'", "’"),
    "with the negation written out": lambda s: NEGATED.sub(r"\1 not", s),
    "with a decimal comma": lambda s: re.sub(r"\b(\d{1,2})\.(\d{1,2})\b", r"\1,\2", s),
    "with figures in words": spelt,
}
MOST = 0.012
"""The share of lines that may be read otherwise: `5 M` is another unit than `5 m`, `right, port coil` a label."""


def understood(said: str, line: dict[str, Any], words: Words) -> set[tuple[object, ...]]:
    facts = read(said, Heard(asked=(line.get("after") or {}).get("asked")), words).facts
    return {(f.about, f.what, f.value, frozenset(f.while_), f.certain) for f in facts}


@pytest.mark.parametrize("way", OTHERWISE)
def test_what_is_beside_the_matter_changes_nothing(way: str, words: Words) -> None:
    said = [(line, OTHERWISE[way](line["say"])) for line in LINES if line["say"].strip()]
    said = [(line, other) for line, other in said if other != line["say"]]
    apart = max(1, len(said) // ENOUGH)
    said = said[list(OTHERWISE).index(way) % apart :: apart]
    other = [text for line, text in said if understood(text, line, words) != understood(line["say"], line, words)]
    assert len(said) >= 30
    assert len(other) <= MOST * len(said) + 1, other
