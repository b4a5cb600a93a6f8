"""The cheapest way to a proof: which answers a rule still wants, and which tests bring them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from assistant.diagnosis.answers import Said
from assistant.diagnosis.table import Table
from assistant.knowledge import Knowledge
from assistant.knowledge.model import Rule

Cost = Callable[[str], float | None]
"""Test → minutes now, or None when it is not to be had."""


@dataclass(frozen=True)
class Way:
    """One way to prove a fault."""

    fault: str
    rule: str
    minutes: float
    chance: float
    """Chance that the missing answers come out as the rule wants, if the fault is there."""
    tests: tuple[str, ...]


class Proofs:
    """Ways to proofs in one rule base."""

    def __init__(self, knowledge: Knowledge, table: Table) -> None:
        """Spell out each proving rule: findings replaced by what they rest on."""
        self.knowledge = knowledge
        self.table = table
        by_finding: dict[str, list[Rule]] = {}
        for rule in knowledge.rules.values():
            if rule.finding:
                by_finding.setdefault(rule.finding, []).append(rule)
        self._by_finding = by_finding
        self.wants: dict[str, list[tuple[str, Mapping[str, tuple[str, ...]]]]] = {}
        for rule in knowledge.rules.values():
            if rule.proves:
                for wanted in self.spelt_out(rule):
                    self.wants.setdefault(rule.proves, []).append((rule.id, wanted))

    def spelt_out(self, rule: Rule) -> list[Mapping[str, tuple[str, ...]]]:
        """Every way to satisfy a rule, as question → states, findings replaced by what they rest on."""
        ways: list[dict[str, tuple[str, ...]]] = [{q: s for q, s in rule.conditions.items() if q != "finding"}]
        for name in rule.conditions.get("finding", ()):
            found = [inner for r in self._by_finding.get(name, []) for inner in self.spelt_out(r)]
            ways = [{**way, **inner} for way in ways for inner in found]
        return list(ways)

    def ways(
        self, fault: str, answers: Mapping[str, Said], cost: Cost, tests: Mapping[str, tuple[str, ...]]
    ) -> list[Way]:
        """Every way to prove this fault that the answers leave open, cheapest first.

        Args:
            fault: The fault.
            answers: What stands answered.
            cost: Minutes of a test now, None when it cannot be asked for.
            tests: Question → tests that answer it.
        """
        out = []
        for rule, wanted in self.wants.get(fault, []):
            way = self._way(fault, rule, wanted, answers, cost, tests)
            if way:
                out.append(way)
        return sorted(out, key=lambda w: (-round(w.chance / (w.minutes + 1), 9), w.rule))

    def _way(
        self,
        fault: str,
        rule: str,
        wanted: Mapping[str, tuple[str, ...]],
        answers: Mapping[str, Said],
        cost: Cost,
        tests: Mapping[str, tuple[str, ...]],
    ) -> Way | None:
        chosen: dict[str, float] = {}
        chance = 1.0
        for question, states in wanted.items():
            said = answers.get(question)
            if said and said.sure:
                if said.state not in states:
                    return None
                continue
            offers = [(c, t) for t in tests.get(question, ()) if (c := cost(t)) is not None]
            if not offers:
                return None
            already = [o for o in offers if o[1] in chosen]
            minutes, test = min(already or offers)
            chosen[test] = minutes
            chance *= self._likely(question, states, fault)
        if not chosen or chance < 0.02:
            return None
        return Way(fault, rule, sum(chosen.values()), chance, tuple(sorted(chosen, key=lambda t: (chosen[t], t))))

    def _likely(self, question: str, states: tuple[str, ...], fault: str) -> float:
        q = self.knowledge.questions[question]
        if q.given:
            return 0.5
        chances = self.table.chances(q, (fault,))
        return sum(chances[list(q.states).index(s)] for s in states)
