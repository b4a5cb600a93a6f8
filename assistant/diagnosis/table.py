"""The one table: how likely each set of faults makes each answer, kept as whole 1e-12 nats.

Sums of integers commute, so neither the order of the answers nor the Python version can matter.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType

from assistant.knowledge import Knowledge
from assistant.knowledge.model import SIDES, Question

UNIT = 10**12
OTHER = "other"
Hypothesis = tuple[str, ...]
Told = tuple[Question, str, str]
"""A question, the state that was told, and the doubt on it."""
_UNKNOWN: Mapping[str, str] = MappingProxyType({})


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
        self.one_sided = frozenset(f.id for f in knowledge.faults.values() if f.varies == "one_side")
        self.sided: tuple[int, ...] = tuple(
            i for i, h in enumerate(self.hypotheses) if not self.one_sided.isdisjoint(h)
        )
        """Places of the hypotheses with a fault that sits on one side; which is not known."""
        self._sided_columns: dict[tuple[str, str, str], list[tuple[int, ...]]] = {}
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

    def on_side(self, question: Question, fault: str, side: str) -> tuple[float, ...]:
        """P(state ≤ k) once it is known on which side a fault sits that is felt on that side only."""
        row = self.rows(question)[self._index.get(fault, len(self.faults))]
        if not (side and question.side and self._is_split(row)):
            return row
        sure = self.knowledge.scales["scale"]["surely"]
        return tuple(1.0 if c >= 1 else (1 - sure if question.side == side else sure) for c in row)

    def _is_split(self, row: Sequence[float]) -> bool:
        """Whether a fault makes the answer bad about every other time: on its own side, not on the other."""
        half, most = (self.knowledge.scales["scale"][word] for word in ("rarely", "mostly"))
        return bool(half < 1 - row[0] < most)

    def chances(self, question: Question, faults: Sequence[str], sides: Mapping[str, str] = _UNKNOWN) -> list[float]:
        """P(each state | exactly these faults): the worst of what each fault and chance would make it.

        Args:
            question: What is asked.
            faults: What is broken.
            sides: Fault → the side on which it sits, for those of which it is to be taken as known.
        """
        rows = self.rows(question)
        cumulative = list(self.leak_row(question))
        for fault in faults:
            row = rows[self._index.get(fault, len(self.faults))]
            row = self.on_side(question, fault, sides[fault]) if fault in sides else row
            cumulative = [a * b for a, b in zip(cumulative, row, strict=True)]
        return [c - (cumulative[i - 1] if i else 0.0) for i, c in enumerate(cumulative)]

    def chance(
        self, question: Question, state: str, faults: Sequence[str], blur: str = "sure",
        sides: Mapping[str, str] = _UNKNOWN,
    ) -> float:  # fmt: skip
        """P(this answer | exactly these faults), blurred by the doubt on it."""
        names = list(question.states)
        b = self.knowledge.scales["blur"][blur]
        return float((1 - b) * self.chances(question, faults, sides)[names.index(state)] + b / len(names))

    def likelihood(self, told: Iterable[Told], faults: Sequence[str]) -> int:
        """Log-likelihood of these answers together, in whole 1e-12 nats.

        Answers are independent of each other, but for those that a fault on one side makes hang together.
        """
        told = list(told)
        return mixed([sum(self._log(t, faults, sides) for t in told) for sides in self._ways(faults)])

    def _log(self, told: Told, faults: Sequence[str], sides: Mapping[str, str]) -> int:
        question, state, blur = told
        return round(math.log(self.chance(question, state, faults, blur, sides)) * UNIT)

    def _ways(self, faults: Iterable[str]) -> list[dict[str, str]]:
        """The sides on which those of these faults can sit that sit on one."""
        able = [f for f in faults if f in self.one_sided]
        return [dict(zip(able, chosen, strict=True)) for chosen in itertools.product(SIDES, repeat=len(able))]

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

    def weights(self, told: Sequence[Told]) -> list[int]:
        """Log weight of every hypothesis after these answers, in whole 1e-12 nats, not yet made to sum to 1."""
        sums = [sum(column) for column in zip(self.start, *(self.column(*t) for t in told), strict=True)]
        for place, each in zip(self.sided, zip(*(self._on_sides(t) for t in told), strict=True), strict=False):
            sums[place] = self.start[place] + mixed([sum(logs) for logs in zip(*each, strict=True)])
        return sums

    def _on_sides(self, told: Told) -> list[tuple[int, ...]]:
        """For each hypothesis with a fault on one side: the log-likelihood of an answer for each side."""
        question, state, blur = told
        key = (question.id, state, blur)
        if key not in self._sided_columns:
            column, split = self.column(question, state, blur), self._splits(question)
            self._sided_columns[key] = [
                tuple(self._log(told, self.hypotheses[i], sides) if split else column[i] for sides in ways)
                for i, ways in ((i, self._ways(self.hypotheses[i])) for i in self.sided)
            ]
        return self._sided_columns[key]

    def _splits(self, question: Question) -> bool:
        rows = self.rows(question)
        return bool(question.side) and any(self._is_split(rows[self._index[f]]) for f in self.one_sided)

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


def mixed(logs: Sequence[int]) -> int:
    """Log of the mean of what these are the logs of, all in whole 1e-12 nats."""
    if len(logs) == 1:
        return logs[0]
    top = max(logs)
    return top + round(math.log(math.fsum(math.exp((log - top) / UNIT) for log in logs) / len(logs)) * UNIT)


def _cumulative(row: Sequence[float]) -> tuple[float, ...]:
    sums = list(itertools.accumulate(row))
    sums[-1] = 1.0
    return tuple(sums)


def shared(logs: Sequence[int]) -> list[float]:
    """Log weights in whole 1e-12 nats → shares that sum to 1."""
    top = max(logs)
    weights = [math.exp((log - top) / UNIT) for log in logs]
    total = math.fsum(weights)
    return [w / total for w in weights]
