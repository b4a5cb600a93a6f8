"""Priors from a fleet's own counts: what was seen there, weighed against what the rule base says."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterator, Mapping
from fractions import Fraction
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from assistant.errors import KnowledgeError
from assistant.knowledge.base import Knowledge
from assistant.knowledge.model import FleetCounts
from assistant.knowledge.reader import read_yaml


def read_counts(path: Path, knowledge: Knowledge) -> FleetCounts:
    """Read a file of counts.

    Args:
        path: YAML with `cases` and `faults`.
        knowledge: The rule base whose faults are counted.

    Raises:
        KnowledgeError: It cannot be read, has another form, or names a fault that the rule base does not have.
    """
    try:
        counts = FleetCounts.model_validate(read_yaml(path))
    except ValidationError as error:
        what = "; ".join(f"{'.'.join(map(str, e['loc'])) or 'the file'}: {e['msg']}" for e in error.errors())
        raise KnowledgeError(
            f"is no file of counts as `springline fleet --priors` writes it ({what})", str(path)
        ) from None
    for fault, count in counts.faults.items():
        if fault not in knowledge.faults:
            raise KnowledgeError(f"counts the fault {fault}, which the rule base does not have", str(path))
        if not 0 <= count <= counts.cases:
            raise KnowledgeError(f"{fault} was proved in {count} of {counts.cases} cases: that cannot be", str(path))
    return counts


def counted(knowledge: Knowledge, counts: FleetCounts | None) -> Knowledge:
    """The rule base with its priors updated by a fleet's counts; without counts as it is.

    Faults that this rule base does not have are passed over: they were counted under another.
    """
    if counts is None:
        return knowledge
    seen = {f: n for f, n in counts.faults.items() if f in knowledge.faults}
    shares = updated_priors({f.id: f.prior for f in knowledge.faults.values()}, seen, knowledge.scales["priors_worth"])
    faults = {
        f.id: f.model_copy(
            update={
                "prior": 100 * shares[f.id],
                "prior_source": f"{f.prior_source}, with {seen.get(f.id, 0)} of {counts.cases} cases of a fleet",
            }
        )
        for f in knowledge.faults.values()
    }
    return dataclasses.replace(knowledge, faults=faults, counts=counts)


def counts_in(header: Mapping[str, Any]) -> FleetCounts | None:
    """The counts that a recorded case began with, if any.

    Raises:
        KnowledgeError: What stands there are no counts.
    """
    if "fleet" not in header:
        return None
    try:
        return FleetCounts.model_validate(header["fleet"])
    except ValidationError as error:
        raise KnowledgeError("the counts of a fleet in this record cannot be read") from error


def comparison(knowledge: Knowledge, counts: FleetCounts) -> Iterator[str]:
    """Lines that set the priors of the rule base beside the counts and what comes of both, the likeliest first."""
    after = counted(knowledge, counts)
    before, now = (_shares(k) for k in (knowledge, after))
    yield f"{counts.cases} closed cases; the rule base counts as much as {knowledge.scales['priors_worth']:g} proofs."
    yield f"{'fault':<36}{'rule base':>10}{'seen':>6}{'now':>9}"
    for fault in sorted(now, key=lambda f: (-round(now[f], 9), f)):
        yield f"{fault:<36}{100 * before[fault]:>8.1f} %{counts.faults.get(fault, 0):>6}{100 * now[fault]:>7.1f} %"


def _shares(knowledge: Knowledge) -> dict[str, float]:
    total = math.fsum(f.prior for f in knowledge.faults.values())
    return {f.id: f.prior / total for f in knowledge.faults.values()}


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
