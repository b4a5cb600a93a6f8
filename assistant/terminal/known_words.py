"""The words that the assistant knows, for completing what is typed.

They are the names and sayings of the rule base's word lists and the orders of this screen, so
that whatever is offered is also understood.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Any

import yaml
from rapidfuzz import fuzz, process

from assistant.terminal.commands import ORDERS

LEAST = 2
"""Letters typed before anything is offered."""
MOST = 6
"""Offers shown at once."""
_LEAST_NEAR = 4
_NEAR = 80
"""How alike a mistyped word and an offer must be, of 100."""
_WORD = re.compile(r"[^\W\d_](?:[^\W\d_]|['-])*\Z")
_TYPED = re.compile(r"[^\W\d_][\w'-]*\Z")
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True)
class KnownWords:
    """Words and names in alphabetical order, each with how often the lists use it."""

    offers: tuple[str, ...] = ()
    weight: Mapping[str, int] | None = None

    def near(self, before: str) -> list[str]:
        """Return what may be meant by the word that is being typed, the likeliest first.

        Args:
            before: the line up to the cursor.
        """
        typed = _TYPED.search(before)
        if typed is None or len(typed[0]) < LEAST:
            return []
        word = typed[0].lower()
        found = [offer for offer in self._beginning_with(word) if offer != word]
        if not found and len(word) >= _LEAST_NEAR and not self._is_known(word):
            near = process.extract(word, self.offers, scorer=fuzz.ratio, score_cutoff=_NEAR, limit=MOST)
            return [offer for offer, _, _ in near]
        return sorted(found, key=self._place)[:MOST]

    def _place(self, offer: str) -> tuple[int, int, str]:
        return (-(self.weight or {}).get(offer, 0), len(offer), offer)

    def _is_known(self, word: str) -> bool:
        place = bisect_left(self.offers, word)
        return place < len(self.offers) and self.offers[place] == word

    def _beginning_with(self, start: str) -> Iterator[str]:
        for place in range(bisect_left(self.offers, start), len(self.offers)):
            if not self.offers[place].startswith(start):
                return
            yield self.offers[place]


def rest_of(offer: str, before: str) -> str:
    """Return what is missing of an offer behind what is typed; empty when it is another word."""
    typed = _TYPED.search(before)
    word = typed[0].lower() if typed else ""
    return offer[len(word) :] if word and offer.startswith(word) else ""


@lru_cache(maxsize=4)
def known_words(language: str) -> KnownWords:
    """Return the words of the rule base's lists in a language; the orders alone where they cannot be read."""
    counted: Counter[str] = Counter()
    try:
        for entry in sorted(files("rules").joinpath("words", language).iterdir(), key=lambda e: e.name):
            if entry.name == "parts.yaml" or entry.name.startswith("sayings"):
                counted.update(_words_in(yaml.load(entry.read_text(encoding="utf-8"), Loader=_LOADER), entry.name))
    except (OSError, ModuleNotFoundError, yaml.YAMLError):
        counted.clear()
    counted.update(dict.fromkeys(ORDERS, 1))
    return KnownWords(tuple(sorted(counted)), counted)


def _words_in(data: Any, name: str) -> Iterator[str]:
    for phrase in map(str.lower, _phrases(data)):
        ways = phrase.split("|")
        if name == "parts.yaml":
            yield from (way.strip() for way in ways if " " in way.strip() and _is_plain(way))
        for word in re.sub(r"<[^>]*>|[()\[\]|]", " ", phrase).split():
            if len(word) > LEAST and _WORD.match(word):
                yield word


def _is_plain(way: str) -> bool:
    return all(_WORD.match(word) for word in way.split())


def _phrases(data: Any) -> Iterable[str]:
    if isinstance(data, Mapping):
        for key, value in data.items():
            if key == "names" and isinstance(value, Mapping):
                yield from (str(phrase) for phrase in value.values() if isinstance(phrase, str))
            elif key == "say" and isinstance(value, str):
                yield value
            else:
                yield from _phrases(value)
    elif isinstance(data, list):
        for item in data:
            yield from _phrases(item)
