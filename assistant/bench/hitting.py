"""Minimal conflicts and minimal hitting sets: which few faults explain everything that was found."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Collection, Iterable, Sequence
from typing import TypeVar

Item = TypeVar("Item", bound=str)


def minimal_conflicts(parts: Sequence[str], consistent: Callable[[frozenset[str]], bool]) -> list[frozenset[str]]:
    """The smallest sets of parts that cannot all be sound.

    Args:
        parts: All parts.
        consistent: Whether what was observed can be so with all of these parts sound and the rest free.
    """
    found: list[frozenset[str]] = []
    for size in range(len(parts) + 1):
        for some in itertools.combinations(parts, size):
            group = frozenset(some)
            if not any(c <= group for c in found) and not consistent(group):
                found.append(group)
    return found


def minimal_hitting_sets(conflicts: Iterable[Collection[str]], most: int | None = None) -> list[frozenset[str]]:
    """The smallest sets that share something with every conflict, smaller ones first, in one fixed order.

    Args:
        conflicts: Sets of which one member each must be at fault; an empty one cannot be met.
        most: Largest size looked for; any size when None.
    """
    listed = sorted({frozenset(c) for c in conflicts}, key=lambda c: (len(c), sorted(c)))
    found: set[frozenset[str]] = {frozenset()}
    for conflict in listed:
        met = {s for s in found if s & conflict}
        grown = {s | {item} for s in found - met for item in conflict if most is None or len(s) < most}
        found = met | {g for g in grown if not any(m <= g for m in met)}
        found = {s for s in found if not any(o < s for o in found)}
    return sorted(found, key=lambda s: (len(s), sorted(s)))
