"""The one table: how likely each set of faults makes each answer, kept as whole 1e-12 nats.

Sums of integers commute, so neither the order of the answers nor the Python version can matter.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from assistant.knowledge import Knowledge
from assistant.knowledge.model import Question

UNIT = 10**12
OTHER = "other"
Hypothesis = tuple[str, ...]


class Table:
    """Priors and likelihoods of one rule base; columns are built when first needed and kept."""

    def __init__(self, knowledge: Knowledge) -> None:
        """Lay out the hypotheses: every fault, every pair of faults, and a cause not listed."""
        self.knowledge = knowledge
        self.faults: tuple[str, ...] = tuple(knowledge.faults)
        self.hypotheses: tuple[Hypothesis, ...] = (
            *((f,) for f in self.faults),
            *itertools.combinations(self.faults, 2),
            (OTHER,),
        )
        self._index = {f: i for i, f in enumerate(self.faults)}
        self._columns: dict[tuple[str, str, str], list[int]] = {}
        self._excluded: dict[tuple[str, str], tuple[str, ...]] = {}
        self._rows: dict[str, tuple[tuple[float, ...], ...]] = {}
        self._shares = self._priors()
        self.start: list[int] = [self._start(h) for h in self.hypotheses]

    def _priors(self) -> dict[str, float]:
        total = math.fsum(f.prior for f in self.knowledge.faults.values())
        rest = 1 - self.knowledge.scales["other"]
        shares = {k: f.prior / total * rest for k, f in self.knowledge.faults.items()}
        shares[OTHER] = self.knowledge.scales["other"]
        return shares

    def prior_of(self, fault: str) -> float:
        """Share of a fault, or of the unknown cause, before anything is known."""
        return self._shares[fault]

    def second_factor(self, a: str, b: str) -> float:
        """How much likelier or less likely two faults are together than their shares say."""
        scales, faults = self.knowledge.scales, self.knowledge.faults
        chained = b in faults[a].leads_to or a in faults[b].leads_to
        return float(scales["second_after_chain"] if chained else scales["second"])

    def _start(self, hypothesis: Hypothesis) -> int:
        weight = math.prod(self._shares[f] for f in hypothesis)
        if len(hypothesis) == 2:
            weight *= self.second_factor(*hypothesis)
        return round(math.log(weight) * UNIT)

    def rows(self, question: Question) -> tuple[tuple[float, ...], ...]:
        """For each fault, in order, and last for the unknown cause: P(state ≤ k), cumulative from the normal one."""
        rows = self._rows.get(question.id)
        if rows is None:
            rows = self._rows[question.id] = tuple(_cumulative(self._row(question, f)) for f in (*self.faults, OTHER))
        return rows

    def _row(self, question: Question, fault: str) -> list[float]:
        names = list(question.states)
        if fault == OTHER:
            share = self.knowledge.scales["other_spoils"] / (len(names) - 1)
            return [1 - share * (len(names) - 1), *([share] * (len(names) - 1))]
        scale = self.knowledge.scales["scale"]
        row = [0.0] * len(names)
        for state, table in question.says.items():
            for word, named in table.items():
                if fault in named:
                    row[names.index(state)] += scale[word]
        row[0] = 1 - math.fsum(row)
        return row

    def leak_row(self, question: Question) -> tuple[float, ...]:
        """P(state ≤ k) with no fault that explains it."""
        leak = self.knowledge.scales["leak"] if question.leak is None else question.leak
        others = len(question.states) - 1
        return _cumulative([1 - leak, *([leak / others] * others)])

    def chances(self, question: Question, faults: Sequence[str]) -> list[float]:
        """P(each state | exactly these faults): the worst of what each fault and chance would make it."""
        rows = self.rows(question)
        cumulative = list(self.leak_row(question))
        for fault in faults:
            row = rows[self._index.get(fault, len(self.faults))]
            cumulative = [a * b for a, b in zip(cumulative, row, strict=True)]
        return [c - (cumulative[i - 1] if i else 0.0) for i, c in enumerate(cumulative)]

    def chance(self, question: Question, state: str, faults: Sequence[str], blur: str = "sure") -> float:
        """P(this answer | exactly these faults), blurred by the doubt on it."""
        names = list(question.states)
        b = self.knowledge.scales["blur"][blur]
        return float((1 - b) * self.chances(question, faults)[names.index(state)] + b / len(names))

    def brings(self, question: Question, state: str, fault: str) -> bool:
        """Whether this fault alone would make the answer so at least every other time."""
        return self.chance(question, state, (fault,)) >= float(self.knowledge.scales["brings"])

    def excluded(self, question: Question, state: str) -> tuple[str, ...]:
        """The faults that would hardly leave this answer so good, in order."""
        key = (question.id, state)
        if key not in self._excluded:
            place, limit = list(question.states).index(state), self.knowledge.scales["acquit_limit"]
            leak, rows = self.leak_row(question)[place], self.rows(question)
            self._excluded[key] = tuple(
                f for f, row in zip(self.faults, rows, strict=False) if row[place] * leak <= limit
            )
        return self._excluded[key]

    def column(self, question: Question, state: str, blur: str) -> list[int]:
        """Log-likelihood of one answer under every hypothesis, in whole 1e-12 nats."""
        key = (question.id, state, blur)
        if key not in self._columns:
            self._columns[key] = self._build(question, state, blur)
        return self._columns[key]

    def _build(self, question: Question, state: str, blur: str) -> list[int]:
        rows = self.rows(question)
        kinds: dict[tuple[float, ...], int] = {}
        of = [kinds.setdefault(row, len(kinds)) for row in rows]
        example = {kind: f for f, kind in zip((*self.faults, OTHER), of, strict=True)}
        cache: dict[tuple[int, ...], int] = {}

        def log_of(which: tuple[int, ...]) -> int:
            if which not in cache:
                chance = self.chance(question, state, [example[k] for k in which], blur)
                cache[which] = round(math.log(chance) * UNIT)
            return cache[which]

        n = len(self.faults)
        singles = [log_of((of[i],)) for i in range(n)]
        pairs = [
            log_of((of[i], of[j]) if of[i] <= of[j] else (of[j], of[i])) for i in range(n) for j in range(i + 1, n)
        ]
        return [*singles, *pairs, log_of((of[n],))]


def _cumulative(row: Sequence[float]) -> tuple[float, ...]:
    sums = list(itertools.accumulate(row))
    sums[-1] = 1.0
    return tuple(sums)


def weigh(columns: Sequence[Sequence[int]]) -> list[float]:
    """Log weights added up, exponentiated and made to sum to 1."""
    return shared([sum(column) for column in zip(*columns, strict=True)])


def shared(logs: Sequence[int]) -> list[float]:
    """Log weights in whole 1e-12 nats → shares that sum to 1."""
    top = max(logs)
    weights = [math.exp((log - top) / UNIT) for log in logs]
    total = math.fsum(weights)
    return [w / total for w in weights]
