"""Readings worth taking again before the search ends without a proof."""

from __future__ import annotations

import math
from collections.abc import Collection

from assistant.diagnosis.answers import Said
from assistant.diagnosis.diagnose import Diagnosis, said_already
from assistant.diagnosis.support import Evidence, acquitters, repeated
from assistant.diagnosis.table import UNIT


def second_looks(diagnosis: Diagnosis, evidence: Evidence) -> list[tuple[str, Said]]:
    """Causes ruled out by a single reading that, were it wrong, would stand among the likeliest.

    Args:
        diagnosis: The case.
        evidence: What it rests on.

    Returns:
        Each such cause with that reading, the most promising first.
    """
    least = float(evidence.knowledge.scales["second_look"])
    alone = tuple(f for f in diagnosis.verdict if f not in diagnosis.repaired)
    left = [s.fault for s in diagnosis.suspects if s.state == "open" and s.fault in evidence.table.faults]
    best = max((_weight(f, alone, evidence) for f in left[:5]), default=-math.inf)
    out = []
    for place, fault in enumerate(diagnosis.ruled_out):
        against = acquitters(fault, evidence)
        if len({s.fact.id for s in against}) != 1 or repeated(against[0].fact, evidence):
            continue
        weight = _weight(fault, alone, evidence, {s.question for s in against})
        if weight >= best + math.log(least):
            out.append((-round(weight, 9), place, fault, against[0]))
    return [(fault, said) for _, _, fault, said in sorted(out, key=lambda one: one[:2])]


def _weight(fault: str, alone: tuple[str, ...], evidence: Evidence, without: Collection[str] = ()) -> float:
    """Logarithm of a cause's share and of how well it fits every answer but these, not yet made to sum to 1."""
    knowledge, table = evidence.knowledge, evidence.table
    told = [
        (knowledge.questions[name], said.state, said.blur)
        for name, said in evidence.answers.items()
        if not knowledge.questions[name].given
        and name not in without
        and not said_already(knowledge.questions[name], evidence.answers, said.state)
    ]
    return math.log(table.prior_of(fault)) + table.likelihood(told, (*alone, fault)) / UNIT
