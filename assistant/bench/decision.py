"""Whether a test that can err is worth its price before an act."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

Values = Mapping[str, Mapping[str, float]]
"""Act → truth → what it is worth."""


def posterior(prior: Mapping[str, float], chances: Mapping[str, float]) -> tuple[dict[str, float], float]:
    """Shares of the truths after an answer, and the chance of that answer.

    Args:
        prior: Truth → probability.
        chances: Truth → chance of the answer.
    """
    joint = {t: p * chances[t] for t, p in prior.items()}
    total = math.fsum(joint.values())
    return {t: j / total for t, j in joint.items()}, total


def best_act(shares: Mapping[str, float], values: Values) -> tuple[str, float]:
    """The act worth most, the first named where two are alike."""
    worth = {act: math.fsum(shares[t] * v for t, v in row.items()) for act, row in values.items()}
    best = max(worth, key=lambda a: (worth[a], -list(worth).index(a)))
    return best, worth[best]


def worth_with_test(
    prior: Mapping[str, float], answers: Sequence[tuple[Mapping[str, float], Values]], price: float = 0.0
) -> tuple[float, list[str]]:
    """What it is worth to test first and then act for the best.

    Args:
        prior: Truth → probability.
        answers: For each answer: truth → its chance, and what the acts are worth after it.
        price: Of the test.

    Returns:
        The worth, and the act after each answer.
    """
    total, acts = [], []
    for chances, values in answers:
        shares, chance = posterior(prior, chances)
        act, worth = best_act(shares, values)
        total.append(chance * worth)
        acts.append(act)
    return math.fsum(total) - price, acts
