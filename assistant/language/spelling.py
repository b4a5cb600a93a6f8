"""Guessing what a misspelt word was meant to be: near words only, and never a word that turns a meaning round."""

from __future__ import annotations

from collections.abc import Sequence

from rapidfuzz.distance import OSA

_SURE = 5
"""A shorter word is only guessed when letters were left out or changed places."""


def guess(word: str, targets: Sequence[str]) -> str | None:
    """The one known word that a misspelt word stands for.

    Args:
        word: A word that no list knows.
        targets: Known words that may be guessed, in a fixed order. Words whose mistaking would turn
            a meaning round (negations, sides, on and off) are not among them.

    Returns:
        The nearest target when it is near enough and no other is as near, else None.
    """
    allowed = _allowed(len(word))
    if not allowed or not word.isalpha():
        return None
    best: list[str] = []
    nearest = allowed
    for target in targets:
        if abs(len(target) - len(word)) > nearest or not _alike(word, target):
            continue
        distance = OSA.distance(word, target, score_cutoff=nearest)
        if distance > min(nearest, _allowed(len(target))):
            continue
        if distance < nearest:
            best, nearest = [], distance
        best.append(target)
    if len(word) < _SURE:
        best = [b for b in best if _inside(word, b) or sorted(word) == sorted(b)]
    if len(best) > 1:
        best = [b for b in best if _inside(word, b)] or best
    return best[0] if len(best) == 1 else _same_stem(best)


def _inside(word: str, target: str) -> bool:
    """Whether only letters were left out."""
    letters = iter(target)
    return all(letter in letters for letter in word)


def _allowed(length: int) -> int:
    if length < 4:
        return 0
    return 1 if length < 7 else 2


def _alike(word: str, target: str) -> bool:
    """The first letter is seldom wrong, unless the first two changed places."""
    return word[0] == target[0] or (word[0] == target[1:2] and word[1] == target[0])


def _same_stem(best: list[str]) -> str | None:
    """Several equally near words are one guess when each only lengthens the shortest."""
    if not best:
        return None
    shortest = min(best, key=len)
    return shortest if all(b.startswith(shortest) and len(b) - len(shortest) <= 2 for b in best) else None
