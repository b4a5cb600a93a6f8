"""Priors from a fleet's own counts: what was seen there, weighed against what the rule base says."""

from __future__ import annotations

import math
from collections.abc import Mapping
from fractions import Fraction


def updated_priors(priors: Mapping[str, float], counts: Mapping[str, int], weight: float) -> dict[str, float]:
    """Shares after a fleet's counts: a Dirichlet distribution round the priors, updated by the counts.

    Args:
        priors: How common each fault is, against the others; they need not sum to 1.
        counts: Proved faults of the fleet; a fault not named was not seen.
        weight: How many cases the priors are worth, above 0.

    Returns:
        The share of each fault, in the order of the priors; they sum to 1.

    Raises:
        ValueError: A fault without a prior, a count below 0, or a weight that is not above 0.
    """
    unknown = [f for f in counts if f not in priors]
    if unknown:
        raise ValueError(f"No prior is known for {unknown[0]}.")
    if weight <= 0 or any(n < 0 for n in counts.values()):
        raise ValueError("Counts are 0 or more, and the weight is above 0.")
    total, seen = math.fsum(priors.values()), sum(counts.values())
    return {f: (weight * p / total + counts.get(f, 0)) / (weight + seen) for f, p in priors.items()}


def beta_mean(a: Fraction | float, b: Fraction | float, hits: int, tries: int) -> Fraction | float:
    """Mean of a Beta(a, b) share after so many hits in so many tries; Beta(1, 1) is the rule of succession.

    Raises:
        ValueError: More hits than tries, or fewer than none.
    """
    if not 0 <= hits <= tries:
        raise ValueError("Hits lie between 0 and the tries.")
    return (a + hits) / (a + b + tries)
