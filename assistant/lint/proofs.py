"""Proofs that another fault would pass as well.

The question is whether one boat with that other fault could show the whole picture. So the uncertain answers
of a fault are not multiplied as if each fell out by itself: how bad the fault is decides them alike, or it
sits on one side, unless the fault is one that comes and goes by chance.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Mapping

from assistant.diagnosis.table import Table
from assistant.knowledge import Knowledge
from assistant.knowledge.model import SIDES, Question
from assistant.planner.proofs import Proofs

_Wanted = Mapping[str, tuple[str, ...]]


class Pictures:
    """How likely a boat with given faults shows the answers that a rule wants."""

    def __init__(self, knowledge: Knowledge, table: Table) -> None:
        """Keep the rule base and its table."""
        self.knowledge = knowledge
        self.table = table
        steps = sorted({0.0, 1.0, *itertools.accumulate([0.0]), *knowledge.scales["scale"].values()})
        self._steps = [(b - a, (a + b) / 2) for a, b in itertools.pairwise(steps)]

    def chance(self, faults: tuple[str, ...], wanted: _Wanted) -> float:
        """Chance that these faults together give every answer wanted."""
        if any(self._barred(f, wanted) for f in faults):
            return 0.0
        questions = [(self.knowledge.questions[q], states) for q, states in wanted.items()]
        asked = [(q, states) for q, states in questions if not q.given]
        modes = [self._modes(f) for f in faults]
        return math.fsum(
            math.prod(weight for weight, _, _ in chosen)
            * math.prod(self._one(q, states, faults, [(u, side) for _, u, side in chosen]) for q, states in asked)
            for chosen in itertools.product(*modes)
        )

    def _barred(self, fault: str, wanted: _Wanted) -> bool:
        only = self.knowledge.faults[fault].only_if
        return any(q in only and not set(only[q]) & set(states) for q, states in wanted.items())

    def _modes(self, fault: str) -> list[tuple[float, float, str]]:
        """(weight, how bad, side) of the ways in which a fault can be; how bad is 2 where chance decides."""
        varies = self.knowledge.faults[fault].varies
        if varies == "by_chance":
            return [(1.0, 2.0, "")]
        if varies == "one_side":
            return [(0.5, 2.0, side) for side in SIDES]
        return [(width, u, "") for width, u in self._steps]

    def _one(
        self, q: Question, states: Iterable[str], faults: tuple[str, ...], modes: list[tuple[float, str]]
    ) -> float:
        cumulative = list(self.table.leak_row(q))
        for fault, (u, side) in zip(faults, modes, strict=True):
            row = self.table.on_side(q, fault, side)
            cumulative = [a * b for a, b in zip(cumulative, self._row(row, u), strict=True)]
        each = [c - (cumulative[i - 1] if i else 0.0) for i, c in enumerate(cumulative)]
        names = list(q.states)
        return math.fsum(each[names.index(s)] for s in states)

    @staticmethod
    def _row(row: tuple[float, ...], u: float) -> tuple[float, ...]:
        """P(state ≤ k) once it is known how bad the fault is."""
        return row if u > 1 else tuple(1.0 if 1 - u <= c or c >= 1 else 0.0 for c in row)


def proof_errors(knowledge: Knowledge, table: Table, proofs: Proofs, pairs: bool) -> tuple[list[str], list[str]]:
    """Proving rules that a single other fault would pass: refused; that a pair would pass: listed.

    Args:
        knowledge: The rule base.
        table: Its table.
        proofs: Its proving rules, findings spelt out.
        pairs: Whether to look at pairs.
    """
    pictures = Pictures(knowledge, table)
    refused: list[str] = []
    listed: list[str] = []
    limit = knowledge.scales["proof_limit"]
    for fault, ways in proofs.wants.items():
        for rule, wanted in ways:
            chances = [(f, pictures.chance((f,), wanted)) for f in table.faults if f != fault]
            weak = [(f, p) for f, p in chances if p > limit]
            place = knowledge.rules[rule].place
            refused += [
                f"{place}: {rule}: {other} would pass this proof of {fault} as well ({p:.2f})" for other, p in weak
            ]
            if pictures.chance((fault,), wanted) < limit:
                refused.append(f"{place}: {rule}: {fault} itself would hardly ever pass this proof")
            if pairs and not weak:
                listed += [
                    f"{rule}: {a} with {b} ({p:.2f})" for a, b, p in _pairs(fault, wanted, knowledge, table, pictures)
                ]
    return refused, listed


def _pairs(
    fault: str, wanted: _Wanted, knowledge: Knowledge, table: Table, pictures: Pictures
) -> list[tuple[str, str, float]]:
    """Pairs without the proved fault that give the same picture; only faults that touch a wanted answer can."""
    questions = [knowledge.questions[n] for n in wanted if not knowledge.questions[n].given]
    touching = [
        f for f in table.faults
        if f != fault and any(f in named for q in questions for t in q.says.values() for named in t.values())
    ]  # fmt: skip
    out = []
    for a, b in itertools.combinations(touching, 2):
        independent = math.prod(_loose(q, wanted[q.id], (a, b), table) for q in questions)
        if independent > 0.02:
            chance = pictures.chance((a, b), wanted)
            if chance > knowledge.scales["proof_limit"]:
                out.append((a, b, chance))
    return out


def _loose(q: Question, states: tuple[str, ...], faults: tuple[str, ...], table: Table) -> float:
    each = dict(zip(q.states, table.chances(q, faults), strict=True))
    return math.fsum(each[s] for s in states)
