"""What is put right in the same breath: `0.3 on the fuse, no, on the isolator` only ever told of the isolator."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from assistant.knowledge.model import SIDES
from assistant.language.items import Item, is_mark, is_particle

_STOPS = ".;!?\n¦"
"""Signs over which nobody reaches back."""
_FILLERS = ("pronoun", "auxiliary", "hedge", "correction", "about", "at", "to")
_FARTHEST = 6
"""Items between what was wrong and the word that says so."""
_MOST_FILLERS = 20
"""Items between that word and what is right."""


def amend(items: list[Item], negation: str) -> list[Item]:
    """Put what is right in the place of what was wrong, and drop the words that say so.

    Args:
        items: The items of a text, joined, before it is cut into sentences.
        negation: The word that denies what follows it, and puts nothing right (`10.2, not 12.2`).
    """
    at = 0
    while at < len(items):
        found, denied = _put_right(items, at, negation), _denied(items, at, negation)
        if denied is not None:
            wrong, start, end = denied
            items = [*items[:wrong], items[end - 1], *items[wrong:start], *items[end:]]
        elif found is not None:
            wrong, start, right = found
            so = replace(items[right], start=items[wrong].start)
            items = [*items[:wrong], so, *items[wrong + 1 : start], *items[right + 1 :]]
            at = start
        at += 1
    return items


def _denied(items: Sequence[Item], at: int, negation: str) -> tuple[int, int, int] | None:
    """`It lights, no, it doesn't`: where what is denied stands, where the words begin that say so, and their end."""
    if not _says_so(items, at, negation):
        return None
    start, end = _joint(items, at)
    if end >= len(items) or not is_mark(items[end], "not"):
        return None
    sided = start > 1 and items[start - 1].sort == "side"  # `it clicks to port, no, it doesn't`
    wrong = start - 2 if sided else start - 1
    plain = start and items[wrong].sort == "state" and not is_particle(items[wrong])
    ends = end + 1 >= len(items) or items[end + 1].sort == "sign"
    return (wrong, start, end + 1) if plain and ends else None


def _joint(items: Sequence[Item], at: int) -> tuple[int, int]:
    """Where the words that put right begin, and the first item behind them."""
    start, right = at, at + 1
    while start and at - start < _FARTHEST and _is_comma(items[start - 1]):
        start -= 1
    while right < len(items) and right - at <= _MOST_FILLERS and _is_filler(items[right]):
        right += 1
    return start, right


def _put_right(items: Sequence[Item], at: int, negation: str) -> tuple[int, int, int] | None:
    """Where the wrong one stands, where the words begin that say so, and where the right one stands."""
    if not _says_so(items, at, negation):
        return None
    start, right = _joint(items, at)
    if right >= len(items) or not _ends_there(items, right):
        return None
    wrong = _wrong(items[:start], items[right])
    return None if wrong is None else (wrong, start, right)


def _says_so(items: Sequence[Item], at: int, negation: str) -> bool:
    """A word of correction, or a `no` that stands alone between commas or between two figures."""
    item = items[at]
    if is_mark(item, "correction"):
        return bool(item.data.scope != "swap")
    if not is_mark(item, "no", "not") or negation in item.text.split() or not at or at + 1 >= len(items):
        return False
    before, after = items[at - 1], items[at + 1]
    figures = after.sort == "number" and (before.sort == "number" or (_is_comma(before) and after.data.decimal))
    return _is_comma(after) or bool(figures)


def _is_comma(item: Item) -> bool:
    return item.sort == "sign" and item.text in ",-–"


def _is_filler(item: Item) -> bool:
    return _is_comma(item) or is_mark(item, *_FILLERS) or is_particle(item) or item.sort == "word"


def _ends_there(items: Sequence[Item], right: int) -> bool:
    """Whether the right one ends its clause, so that nothing else is told of it."""
    after = items[right + 1] if right + 1 < len(items) else None
    if after is None or after.sort == "sign" or is_mark(after, "and", "but", "then"):
        return True
    return items[right].sort == "number" and (is_mark(after, "auxiliary") or after.sort == "scene")


def _wrong(before: Sequence[Item], right: Item) -> int | None:
    """The last item of the same kind in the same sentence."""
    for n in range(len(before) - 1, max(-1, len(before) - 1 - _FARTHEST), -1):
        item = before[n]
        if item.sort == "sign" and item.text in _STOPS:
            return None
        if _alike(item, right):
            return None if n and is_mark(before[n - 1], "not") else n
        if right.sort == "state" and item.sort in ("state", "part", "family", "number") and not is_particle(item):
            return None
    return None


def _alike(wrong: Item, right: Item) -> bool:
    if right.sort == "side":
        return wrong.sort == "side" and {wrong.data.name, right.data.name} == set(SIDES)
    if right.sort == "part":
        return wrong.sort == "part" and wrong.data.about != right.data.about
    if right.sort == "state":
        return wrong.sort == "state" and not is_particle(wrong) and not is_particle(right)
    return right.sort == "number" and wrong.sort == "number" and wrong.data.unit in (None, right.data.unit)
