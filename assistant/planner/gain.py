"""What a test should tell: expected bits over what is still possible, from the table that drives the diagnosis.

Answers are independent once it is known what is broken, so the information of a test is the entropy of its
answers less the entropy that is left in them when the cause is known. Causes that answer alike are added up.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from assistant.diagnosis.table import Hypothesis, Table
from assistant.knowledge.model import Question

Weighted = Sequence[tuple[Hypothesis, float]]
_MOST_QUESTIONS = 4
"""Questions of one test that are counted together; the rest adds little and costs time."""


def entropy(weights: Iterable[float]) -> float:
    """Uncertainty in bits of weights that sum to 1."""
    return -math.fsum(w * math.log2(w) for w in weights if w > 0)


def leading(weights: Weighted, count: int) -> list[tuple[Hypothesis, float]]:
    """The likeliest hypotheses, in one fixed order, their shares made to sum to 1."""
    ranked = sorted(range(len(weights)), key=lambda i: (-round(weights[i][1], 12), i))[:count]
    total = math.fsum(weights[i][1] for i in ranked)
    return [(weights[i][0], weights[i][1] / total) for i in ranked]


class Gains:
    """Expected information of questions and tests against one posterior."""

    def __init__(self, table: Table, weights: Weighted, base: tuple[str, ...], count: int = 100) -> None:
        """Keep the likeliest hypotheses beside the faults already proved.

        Args:
            table: The table of the rule base.
            weights: What is still possible, with its share.
            base: Faults already proved and not repaired.
            count: How many hypotheses to look at.
        """
        self.table = table
        self.base = base
        self.kept = leading(weights, count)
        places = {f: i for i, f in enumerate(table.faults)}
        last = len(places)
        self._faults = [tuple(places.get(f, last) for f in (*base, *h)) for h, _ in self.kept]
        self._weights = [w for _, w in self.kept]
        self._alike: dict[str, tuple[list[int], list[list[float]]]] = {}
        self._single: dict[str, float] = {}

    def of(self, questions: Sequence[Question]) -> float:
        """Expected bits from answering these together; the most telling few are counted."""
        ranked = sorted(((-round(self._one(q), 9), i) for i, q in enumerate(questions)), key=lambda p: p)
        best = [questions[i] for g, i in ranked[:_MOST_QUESTIONS] if g < -1e-6]
        if len(best) <= 1:
            return -ranked[0][0] if ranked else 0.0
        return self._joint(best)

    def _classes(self, question: Question) -> tuple[list[int], list[list[float]]]:
        """For each hypothesis the class of its answers, and the chances of the states in each class."""
        if question.id not in self._alike:
            rows, leak = self.table.rows(question), self.table.leak_row(question)
            seen: dict[tuple[tuple[float, ...], ...], int] = {}
            of: list[int] = []
            chances: list[list[float]] = []
            for faults in self._faults:
                key = _pair(rows, faults) if len(faults) == 2 else tuple(sorted(rows[f] for f in faults))
                place = seen.get(key)
                if place is None:
                    place = seen[key] = len(chances)
                    chances.append(_chances(leak, [rows[f] for f in faults]))
                of.append(place)
            self._alike[question.id] = (of, chances)
        return self._alike[question.id]

    def _one(self, question: Question) -> float:
        if question.id not in self._single:
            self._single[question.id] = self._joint([question])
        return self._single[question.id]

    def _joint(self, questions: Sequence[Question]) -> float:
        classes = [self._classes(q) for q in questions]
        merged: dict[tuple[int, ...], list[float]] = {}
        for i, weight in enumerate(self._weights):
            merged.setdefault(tuple(of[i] for of, _ in classes), []).append(weight)
        answers = [0.0] * math.prod(len(q.states) for q in questions)
        left = 0.0
        for key, weights in sorted(merged.items()):
            share = math.fsum(weights)
            rows = [chances[k] for k, (_, chances) in zip(key, classes, strict=True)]
            left += share * sum(entropy(row) for row in rows)
            outcomes = [share]
            for row in rows:
                outcomes = [o * p for o in outcomes for p in row]
            answers = [a + o for a, o in zip(answers, outcomes, strict=True)]
        return max(0.0, entropy(answers) - left)


def _pair(rows: Sequence[tuple[float, ...]], faults: tuple[int, ...]) -> tuple[tuple[float, ...], ...]:
    a, b = rows[faults[0]], rows[faults[1]]
    return (a, b) if a <= b else (b, a)


def _chances(leak: tuple[float, ...], rows: Sequence[tuple[float, ...]]) -> list[float]:
    """P(each state): the worst of what each fault and chance would make it."""
    cumulative = list(leak)
    for row in rows:
        cumulative = [a * b for a, b in zip(cumulative, row, strict=True)]
    return [c - (cumulative[i - 1] if i else 0.0) for i, c in enumerate(cumulative)]
