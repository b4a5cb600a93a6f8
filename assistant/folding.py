"""When two texts are the same to a person: folding that keeps every place, and an answer typed out word for word."""

from __future__ import annotations

from collections.abc import Iterable

_FOLD = {
    "’": "'", "‘": "'", "ʼ": "'", "`": "'", "´": "'", "“": '"', "”": '"', "„": '"', "–": "-", "—": "-",
    "−": "-", "‑": "-", "…": ".", "，": ",", "。": ".", "？": "?", "！": "!", "：": ":", "；": ";",
    "Ω": "Ω", "μ": "µ", "º": "°", "×": "x", "⁄": "/",
}  # fmt: skip


def fold(text: str) -> str:
    """Lower case and plain signs, character by character, so that every place stays the same."""
    out = []
    for char in text:
        char = _FOLD.get(char, char)
        low = char.lower()
        out.append(low if len(low) == 1 else char)
    return "".join(out)


def same_words(one: str, other: str) -> bool:
    """Whether two texts are the same, but for capitals, spaces and the sign at the end."""
    first, second = (" ".join(fold(text).split()).rstrip(" .!") for text in (one, other))
    return bool(first) and first == second


def place_of(typed: str, texts: Iterable[str]) -> int:
    """The place, from 1, of the text that was typed out word for word; 0 where it is none of them."""
    return next((n for n, text in enumerate(texts, 1) if same_words(typed, text)), 0)
