"""Expected cost of trying repairs or checks one after the other, and the order that costs least."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Action:
    """Something that is tried, at a price, and cures each cause with a chance."""

    name: str
    cost: float
    cures: Mapping[str, float]


def expected_cost(causes: Mapping[str, float], actions: Sequence[Action]) -> float:
    """Expected cost of a sequence that stops at the first cure.

    Args:
        causes: Cause → probability.
        actions: In the order in which they are tried; one that fails tells of the cause, not of the next action.
    """
    left, cost = dict(causes), []
    for action in actions:
        cost.append(action.cost * math.fsum(left.values()))
        left = {c: p * (1 - action.cures.get(c, 0.0)) for c, p in left.items()}
    return math.fsum(cost)


def best_sequence(causes: Mapping[str, float], actions: Sequence[Action], last: Action) -> tuple[float, list[Action]]:
    """The cheapest sequence that ends in the action that always cures; the others may be left out.

    Args:
        causes: Cause → probability.
        actions: What may be tried before.
        last: What is done in the end.
    """
    options = (
        [*order, last] for size in range(len(actions) + 1) for order in itertools.permutations(actions, size)
    )  # fmt: skip
    rated = ((expected_cost(causes, o), o) for o in options)
    return min(rated, key=lambda r: (round(r[0], 9), [a.name for a in r[1]]))


def by_share_over_cost(shares: Mapping[str, float], costs: Mapping[str, float]) -> list[str]:
    """For one fault and independent checks: falling probability over cost, the cheapest order there is."""
    return sorted(shares, key=lambda name: (-shares[name] / costs[name], list(shares).index(name)))
