"""`springline rules check`: every way in which a rule base can be well formed and still wrong."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from assistant.diagnosis.table import Table
from assistant.knowledge import BASE, Knowledge, languages, load
from assistant.lint.gaps import gaps_of
from assistant.lint.ids import unknown_ids
from assistant.lint.proofs import proof_errors
from assistant.lint.twice import read_twice
from assistant.planner.proofs import Proofs


@dataclass(frozen=True)
class Report:
    """What the check found."""

    errors: tuple[str, ...]
    listed: tuple[str, ...]
    """Pairs of faults that would pass a proof without the proved one: known, not refused."""
    groups: tuple[tuple[str, ...], ...]
    """Faults that all questions answer alike."""
    counts: tuple[tuple[str, int], ...]
    lacks: tuple[tuple[str, int], ...] = ()
    """Language and how many texts it lacks, see `gaps`."""

    def lines(self) -> list[str]:
        """The report as text."""
        out = ["Rule base: " + ", ".join(f"{n} {what}" for what, n in self.counts) + "."]
        out += [f"ERROR  {e}" for e in self.errors]
        out.append(f"{len(self.errors)} errors.")
        out.append(f"Pairs of faults that would pass a proof of neither: {len(self.listed)}.")
        out += [f"  {line}" for line in self.listed]
        out.append(
            "Faults that no question tells apart:" if self.groups else "Every fault is told apart by some question."
        )
        out += ["  " + ", ".join(g) for g in self.groups]
        out += [f"Texts that the language {name} lacks: {n}." for name, n in self.lacks]
        return out


def check_rules(knowledge: Knowledge, pairs: bool = True) -> Report:
    """Check the sense of a rule base.

    Args:
        knowledge: The rule base.
        pairs: Whether to look for pairs of faults that pass a proof as well (the longest part).
    """
    table, proofs = Table(knowledge), None
    errors = list(unknown_ids(knowledge))
    listed: list[str] = []
    if not errors:
        proofs = Proofs(knowledge, table)
        errors += _tables(knowledge)
        errors += _unreachable(knowledge)
        refused, listed = proof_errors(knowledge, table, proofs, pairs)
        errors += refused
        errors += read_twice(knowledge)
        errors += _hazards(knowledge)
        errors += _faults(knowledge, table, proofs)
        errors += _tests(knowledge)
    counts = tuple(
        (name, len(getattr(knowledge, name)))
        for name in ("faults", "tests", "questions", "rules", "contradictions", "hazards", "repairs")
    )
    groups = () if errors and proofs is None else tuple(ambiguity_groups(knowledge, table))
    lacks = tuple((name, len(gaps_of(load(name)))) for name in languages() if name != BASE)
    return Report(tuple(errors), tuple(listed), groups, counts, lacks)


def ambiguity_groups(knowledge: Knowledge, table: Table) -> list[tuple[str, ...]]:
    """Faults whose rows are equal in every question."""
    questions = [q for q in knowledge.questions.values() if not q.given]
    rows: dict[tuple[tuple[float, ...], ...], list[str]] = {}
    for place, fault in enumerate(table.faults):
        rows.setdefault(tuple(table.rows(q)[place] for q in questions), []).append(fault)
    return [tuple(g) for g in rows.values() if len(g) > 1]


def _tables(knowledge: Knowledge) -> Iterator[str]:
    """Chances of a question's states must leave something for the normal one."""
    scale = knowledge.scales["scale"]
    for q in knowledge.questions.values():
        if q.normal in q.says:
            yield f"{q.place}: {q.id}: {q.normal} is its normal state and needs no faults"
        totals: dict[str, float] = {}
        for state, table in q.says.items():
            for word, faults in table.items():
                for fault in faults:
                    totals[fault] = totals.get(fault, 0.0) + scale[word]
            named = [f for faults in table.values() for f in faults]
            for fault in sorted({f for f in named if named.count(f) > 1}):
                yield f"{q.place}: {q.id}: {fault} stands twice under {state}"
        for fault, total in totals.items():
            if total > 1:
                yield f"{q.place}: {q.id}: the chances of {fault} add up to more than one"


def _unreachable(knowledge: Knowledge) -> Iterator[str]:
    """Rules that can never fire: a finding that no rule states, or a circle of findings."""
    stated = {r.finding for r in knowledge.rules.values() if r.finding}
    reached: set[str] = set()
    grew = True
    while grew:
        grew = False
        for rule in knowledge.rules.values():
            if rule.finding and rule.finding not in reached and set(rule.conditions.get("finding", ())) <= reached:
                reached.add(rule.finding)
                grew = True
    for rule in knowledge.rules.values():
        for name in rule.conditions.get("finding", ()):
            if name not in stated:
                yield f"{rule.place}: {rule.id} can never fire: nothing states the finding {name}"
            elif name not in reached:
                yield f"{rule.place}: {rule.id} can never fire: the finding {name} rests on itself"


def _hazards(knowledge: Knowledge) -> Iterator[str]:
    for hazard in knowledge.hazards.values():
        if not hazard.raised_when and not (hazard.with_step or hazard.with_attempt or hazard.with_scene):
            yield f"hazard {hazard.id}: nothing raises it"
        by_removal = any(f["about"] == "bridge" for option in hazard.raised_when for f in option)
        if hazard.raised_when and not (hazard.cleared_when or hazard.cleared_same_part or by_removal):
            yield f"hazard {hazard.id}: nothing clears it"
        if hazard.stop_text and not hazard.stop_facts:
            yield f"hazard {hazard.id}: its stop never ends"


def _faults(knowledge: Knowledge, table: Table, proofs: Proofs) -> Iterator[str]:
    limit = knowledge.scales["acquit_limit"]
    acquitted: set[str] = set()
    for q in knowledge.questions.values():
        if q.given or not q.acquits:
            continue
        leak = table.leak_row(q)[0]
        acquitted |= {f for f, row in zip(table.faults, table.rows(q), strict=False) if row[0] * leak <= limit}
    for fault in knowledge.faults.values():
        provable = bool(proofs.wants.get(fault.id))
        if not provable and not fault.workshop:
            yield f"fault {fault.id}: nothing proves it, and it is not marked with a workshop test"
        if not provable and fault.id not in acquitted and not fault.workshop:
            yield f"fault {fault.id}: nothing acquits it"
        if not any(
            fault.id in named for q in knowledge.questions.values() for t in q.says.values() for named in t.values()
        ):
            yield f"fault {fault.id}: no question speaks of it"


def _tests(knowledge: Knowledge) -> Iterator[str]:
    """Every test must answer something that matters."""
    for test in knowledge.tests.values():
        questions = [q for q in knowledge.questions.values() if test.id in q.tests or test.id in q.may_tell]
        matters = [q for q in questions if q.given or any(t for table in q.says.values() for t in table.values())]
        free = test.id == knowledge.limits["first_question"] or test.settles
        if not matters and not free:
            yield f"test {test.id}: nobody's answer to it matters"
