"""Sentences with open places, as the word lists write them, held against the words of a clause.

The notation is that of the phrases: a bar separates ways of saying it, round brackets hold a choice, square
brackets what may be left out. `<place>` stands for one or several words, which the caller looks at.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from assistant.errors import KnowledgeError
from assistant.language.phrases import CLOSING, PARTS

_WIDEST = 8
"""Words that an open place takes at most."""

Places = Mapping[str, tuple[int, int]]
"""Open place → the first of its words, and the one after its last."""


@dataclass(frozen=True, slots=True)
class Pattern:
    """Ways of saying it; each a row of words, open places and inner patterns."""

    ways: tuple[tuple[str | Pattern, ...], ...]
    optional: bool = False

    def needs(self) -> tuple[tuple[frozenset[str], ...], ...]:
        """For each way, sets of words of which one each must be there."""
        return tuple(_needs(row) for row in self.ways)

    def matches(self, words: Sequence[str]) -> Iterator[Places]:
        """Every way in which the pattern is all of the words."""
        for end, places in self._from(words, 0, {}):
            if end == len(words):
                yield places

    def is_all(self, words: Sequence[str]) -> bool:
        """Whether the pattern is all of the words."""
        return any(True for _ in self.matches(words))

    def starts(self, words: Sequence[str]) -> int:
        """How many words at the beginning the pattern takes, at most; it has no open places."""
        return max((end for end, _ in self._from(words, 0, {})), default=0)

    def _from(self, words: Sequence[str], at: int, places: Places) -> Iterator[tuple[int, Places]]:
        for row in self.ways:
            yield from _row(row, words, at, places)
        if self.optional:
            yield at, places


def _needs(row: tuple[str | Pattern, ...]) -> tuple[frozenset[str], ...]:
    """For each place of a row that must be filled by a word of its own, the words that fill it."""
    inner = [n for n in row if isinstance(n, Pattern) and not n.optional]
    plain = [frozenset({n}) for n in row if isinstance(n, str) and n[0] != "<"]
    choices = [[_needs(way) for way in n.ways] for n in inner]
    return (*plain, *(frozenset(w for way in c for w in way[0]) for c in choices if all(c)))


def _row(row: Sequence[str | Pattern], words: Sequence[str], at: int, places: Places) -> Iterator[tuple[int, Places]]:
    if not row:
        yield at, places
        return
    node, rest = row[0], row[1:]
    if isinstance(node, Pattern):
        for end, found in node._from(words, at, places):
            yield from _row(rest, words, end, found)
    elif node[0] == "<":
        for end in range(at + 1, min(len(words), at + _WIDEST) + 1):
            yield from _row(rest, words, end, {**places, node[1:-1]: (at, end)})
    elif at < len(words) and words[at] == node:
        yield from _row(rest, words, at + 1, places)


NEVER = Pattern(())
"""A pattern that nothing matches."""


def compile_pattern(text: str) -> Pattern:
    """Read one pattern.

    Raises:
        KnowledgeError: Brackets do not pair.
    """
    parts = PARTS.findall(text)
    pattern, end = _compile(parts, 0, "")
    if end != len(parts):
        raise KnowledgeError(f"brackets do not pair in the sentence {text!r}")
    return pattern


def _compile(parts: Sequence[str], at: int, closing: str) -> tuple[Pattern, int]:
    ways: list[list[str | Pattern]] = [[]]
    while at < len(parts) and parts[at] != closing:
        part = parts[at]
        if part == "|":
            ways.append([])
        elif part in CLOSING:
            inner, at = _compile(parts, at + 1, CLOSING[part])
            if at < 0:
                return inner, at
            ways[-1].append(inner)
        elif part in ")]":
            return Pattern(()), -2
        else:
            ways[-1].append(part)
        at += 1
    if closing and at >= len(parts):
        return Pattern(()), -2
    return Pattern(tuple(tuple(row) for row in ways), closing == "]"), at
