"""From text to tokens: folding that keeps every place, and a tokeniser that forgets nothing."""

from __future__ import annotations

import re
from dataclasses import dataclass

_FOLD = {
    "’": "'", "‘": "'", "ʼ": "'", "`": "'", "´": "'", "“": '"', "”": '"', "„": '"', "–": "-", "—": "-",
    "−": "-", "‑": "-", "…": ".", "，": ",", "。": ".", "？": "?", "！": "!", "：": ":", "；": ";",
    "Ω": "Ω", "μ": "µ", "º": "°", "×": "x", "⁄": "/",
}  # fmt: skip
_TOKEN = re.compile(
    r"""(?P<gauge>[1-4]/0(?![\d.,]))
      | (?P<number>\d+(?:[.,]\d+)*)
      | (?P<word>[^\W\d_]+(?:['][^\W\d_]+)*)
      | (?P<space>\s+)
      | (?P<mark>.)""",
    re.VERBOSE | re.DOTALL,
)


@dataclass(frozen=True, slots=True)
class Token:
    """One token of the text, with its place."""

    sort: str
    """`word`, `number`, `gauge` or `mark`."""
    text: str
    """Folded: lower case, plain quotes and dashes."""
    start: int
    end: int
    glued: bool = False
    """True when no space stands before it."""


def fold(text: str) -> str:
    """Lower case and plain signs, character by character, so that every place stays the same."""
    out = []
    for char in text:
        char = _FOLD.get(char, char)
        low = char.lower()
        out.append(low if len(low) == 1 else char)
    return "".join(out)


def tokenise(text: str) -> list[Token]:
    """Tokens of a text in order, white space left out; their places are those of the text given."""
    tokens: list[Token] = []
    glued = False
    for match in _TOKEN.finditer(fold(text)):
        sort = match.lastgroup or "mark"
        if sort == "space":
            glued = False
            if "\n" in match[0]:
                tokens.append(Token("mark", "\n", match.start(), match.end()))
            continue
        tokens.append(Token(sort, match[0], match.start(), match.end(), glued))
        glued = True
    return tokens
