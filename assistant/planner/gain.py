"""What a test should tell: expected bits over what is still possible, from the table that drives the diagnosis."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from assistant.diagnosis.table import Hypothesis, Table
from assistant.knowledge.model import Question

Weighted = Sequence[tuple[Hypothesis, float]]


def entropy(weights: Sequence[float]) -> float:
    """Uncertainty in bits; the weights need not sum to 1."""
    total = math.fsum(weights)
    if total <= 0:
        return 0.0
    return -math.fsum(w / total * math.log2(w / total) for w in weights if w > 0)


def leading(weights: Weighted, count: int) -> list[tuple[Hypothesis, float]]:
    """The likeliest hypotheses, in one fixed order."""
    ranked = sorted(range(len(weights)), key=lambda i: (-round(weights[i][1], 12), i))
    return [weights[i] for i in ranked[:count]]


class Gains:
    """Expected information of questions and tests against one posterior."""

    def __init__(self, table: Table, weights: Weighted, base: tuple[str, ...], count: int = 70) -> None:
        """Keep the likeliest hypotheses beside the faults already proved.

        Args:
            table: The table of the rule base.
            weights: What is still possible, with its share.
            base: Faults already proved and not repaired.
            count: How many hypotheses to look at.
        """
        self.table = table
        self.kept = leading(weights, count)
        self.base = base
        self._prior = [w for _, w in self.kept]
        self._start = entropy(self._prior)
        self._chances: dict[str, list[list[float]]] = {}

    def chances(self, question: Question) -> list[list[float]]:
        """For each hypothesis kept: the chance of each state."""
        if question.id not in self._chances:
            cache: dict[tuple[tuple[float, ...], ...], list[float]] = {}
            rows = self.table.rows(question)
            index = {f: i for i, f in enumerate(self.table.faults)}
            out = []
            for hypothesis, _ in self.kept:
                faults = (*self.base, *hypothesis)
                key = tuple(sorted(rows[index.get(f, len(index))] for f in faults))
                if key not in cache:
                    cache[key] = self.table.chances(question, faults)
                out.append(cache[key])
            self._chances[question.id] = out
        return self._chances[question.id]

    def of(self, questions: Sequence[Question]) -> float:
        """Expected bits from answering these together; at most the four most telling are counted."""
        single = [(self._joint([q]), q) for q in questions]
        ranked = sorted(((-round(g, 9), i) for i, (g, _) in enumerate(single)), key=lambda p: p)
        best = [single[i][1] for g, i in ranked[:4] if g < -1e-6]
        if len(best) <= 1:
            return -ranked[0][0] if ranked else 0.0
        return self._joint(best)

    def _joint(self, questions: Sequence[Question]) -> float:
        tables = [self.chances(q) for q in questions]
        left = 0.0
        for states in itertools.product(*(range(len(q.states)) for q in questions)):
            weights = [
                w * math.prod(t[i][s] for t, s in zip(tables, states, strict=True)) for i, w in enumerate(self._prior)
            ]
            left += math.fsum(weights) * entropy(weights)
        return max(0.0, self._start * math.fsum(self._prior) - left)

    def expect(self, question: Question) -> list[float]:
        """Chance of each state, all hypotheses together."""
        table = self.chances(question)
        total = math.fsum(self._prior)
        return [
            math.fsum(w * row[s] for w, row in zip(self._prior, table, strict=True)) / total
            for s in range(len(question.states))
        ]
