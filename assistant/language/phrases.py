"""The small notation in which the word lists write phrases, and the net that finds them in a text.

`blow | burn (out|through) | have [just] popped`: a bar separates ways of saying it, round brackets hold a
choice, square brackets what may be left out, `<name>` stands for any word of that class, and `=switch` for the
word in just this form.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from assistant.errors import KnowledgeError

PARTS = re.compile(r"[()\[\]|]|[^\s()\[\]|]+")
CLOSING = {"(": ")", "[": "]"}
EMPTY_CHOICE = (
    "in {} one way of saying consists of nothing but words that are passed over, so that the phrase would be read "
    "without it: leave that one out, or write square brackets"
)

NO_SUCH_WORD = "no text holds the word {}: take it out of the phrase, or write it without the underscore"


@dataclass(frozen=True, slots=True)
class Entry:
    """What a phrase means: the list it comes from and its data."""

    sort: str
    data: Any
    rank: int = 0


@dataclass(frozen=True, slots=True)
class Match:
    """A phrase found: up to where, with how many of its own words, and what it means."""

    end: int
    used: int
    entries: tuple[Entry, ...]
    """All meanings of the phrase, the one of the highest rank first."""


class PhraseNet:
    """All phrases as one net of states that share their start; grows with the length of the lists only."""

    def __init__(self) -> None:
        self._next: list[dict[str, list[int]]] = [{}]
        self._accept: dict[int, tuple[Entry, ...]] = {}

    def add(self, phrase: str, entry: Entry, canonical: Callable[[str], Sequence[str]], place: str = "") -> list[str]:
        """Add every sequence that a phrase stands for.

        Args:
            phrase: In the notation of this module.
            entry: What it means.
            canonical: Turns a written word into the words under which it is looked up; none for a filler.
            place: File and line, for errors.

        Returns:
            The plain words the phrase is written with.

        Raises:
            KnowledgeError: Brackets do not pair, or a choice need not be made.
        """
        parts = PARTS.findall(phrase)
        words: list[str] = []
        try:
            ends, rest = self._choice(parts, 0, {0}, "", canonical, words)
        except KnowledgeError as error:
            raise KnowledgeError(error.text, place) from error
        if rest != len(parts):
            raise KnowledgeError(f"brackets do not pair in the phrase {phrase!r}", place)
        for state in sorted(ends - {0}):
            known = self._accept.get(state, ())
            if entry not in known:
                self._accept[state] = tuple(sorted((*known, entry), key=lambda e: -e.rank))
        return words

    def _choice(
        self, parts: list[str], at: int, start: set[int], closing: str,
        canonical: Callable[[str], Sequence[str]], words: list[str],
    ) -> tuple[set[int], int]:  # fmt: skip
        done: set[int] = set()
        current = set(start)
        while at < len(parts):
            part = parts[at]
            if part == closing:
                return done | current, at + 1
            if part == "|":
                done |= current
                current = set(start)
                at += 1
            elif part in CLOSING:
                opened = at
                inner, at = self._choice(parts, at + 1, current, CLOSING[part], canonical, words)
                if at < 0:
                    return done, at
                if part == "(" and inner & current:
                    raise KnowledgeError(EMPTY_CHOICE.format(" ".join(parts[opened:at])))
                current = inner | current if part == "[" else inner
            elif part in ")]":
                return done, -1
            elif part.endswith("_"):
                raise KnowledgeError(NO_SUCH_WORD.format(part))
            else:
                current = self._word(part, current, canonical)
                if part[0] not in "<=":
                    words.append(part)
                at += 1
        return (done | current, at) if not closing else (done, -1)

    def _word(self, part: str, current: set[int], canonical: Callable[[str], Sequence[str]]) -> set[int]:
        for name in (part,) if part[0] in "<=" else canonical(part):
            new = len(self._next)
            self._next.append({})
            for state in current:
                self._next[state].setdefault(name, []).append(new)
            current = {new}
        return current

    def longest(self, names: Sequence[Sequence[str]], light: Sequence[bool], at: int, reach: int = 24) -> Match | None:
        """The phrase starting at a word that uses most words; then the one of higher rank, then the shorter stretch.

        Args:
            names: For each word of the text, the names under which it may stand in a phrase.
            light: For each word, whether it may be stepped over inside a phrase.
            at: Where to start.
            reach: The most words a phrase may stretch over.
        """
        best: Match | None = None
        active: dict[int, tuple[int, int]] = {0: (0, 0)}
        last = min(len(names), at + reach)
        for place in range(at, last):
            following: dict[int, tuple[int, int]] = {}
            for state, (used, skipped) in active.items():
                table = self._next[state]
                for name in names[place]:
                    for new in table.get(name, ()):
                        if following.get(new, (0, 0))[0] <= used:
                            following[new] = (used + 1, 0)
                if state and skipped < 2 and place < len(light) and light[place]:
                    following.setdefault(state, (used, skipped + 1))
            if not following:
                break
            best = self._better(best, following, place + 1)
            active = following
        return best

    def _better(self, best: Match | None, states: dict[int, tuple[int, int]], end: int) -> Match | None:
        for state, (used, skipped) in states.items():
            entries = self._accept.get(state)
            if entries is None or skipped:
                continue
            if best is None or used > best.used:
                best = Match(end, used, entries)
            elif used == best.used and end == best.end:
                both = (*best.entries, *(e for e in entries if e not in best.entries))
                best = Match(end, used, tuple(sorted(both, key=lambda e: -e.rank)))
            elif used == best.used and entries[0].rank > best.entries[0].rank:
                best = Match(end, used, entries)
        return best
