"""One entry of the rule base as a person would want to read it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from assistant.errors import KnowledgeError
from assistant.knowledge.base import Knowledge
from assistant.knowledge.model import Fault, Hazard, Question, Repair, Rule, Test


def show(knowledge: Knowledge, entry: str) -> str:
    """Print a fault, test, question, rule, hazard or repair.

    Raises:
        KnowledgeError: There is no such entry; the nearest ids are named.
    """
    found = list(_entries(knowledge, entry))
    if not found:
        near = ", ".join(_near(knowledge, entry)) or "see the files under rules/"
        raise KnowledgeError(f"there is no entry {entry}; did you mean: {near}?")
    return "\n\n".join("\n".join(lines) for lines in found)


def _entries(knowledge: Knowledge, entry: str) -> Iterator[list[str]]:
    if entry in knowledge.faults:
        yield list(_fault(knowledge, knowledge.faults[entry]))
    if entry in knowledge.tests:
        yield list(_test(knowledge, knowledge.tests[entry]))
    if entry in knowledge.questions:
        yield list(_question(knowledge, knowledge.questions[entry]))
    if entry in knowledge.rules:
        yield list(_rule(knowledge, knowledge.rules[entry]))
    if entry in knowledge.hazards:
        yield list(_hazard(knowledge.hazards[entry]))
    if entry in knowledge.repairs:
        yield list(_repair(knowledge.repairs[entry]))


def _near(knowledge: Knowledge, entry: str) -> list[str]:
    from rapidfuzz import process

    sections = (
        knowledge.faults,
        knowledge.tests,
        knowledge.questions,
        knowledge.rules,
        knowledge.hazards,
        knowledge.repairs,
    )
    return [
        str(found[0]) for found in process.extract(entry, [i for s in sections for i in s], limit=4, score_cutoff=55)
    ]


def _listed(head: str, items: Iterable[str]) -> list[str]:
    lines = [f"  - {item}" for item in items]
    return [f"{head}:", *lines] if lines else []


def _fault(knowledge: Knowledge, fault: Fault) -> Iterator[str]:
    yield f"Fault {fault.id}: {fault.name}"
    yield fault.means
    yield f"To a caller: {fault.plain}."
    yield f"How common: {fault.prior:g} ({fault.prior_source})"
    if fault.only_if:
        yield "Only if: " + ", ".join(f"{q} is {' or '.join(s)}" for q, s in fault.only_if.items())
    for q in knowledge.questions.values():
        for state, table in q.says.items():
            yield from (f"  {word:<7} {q.states[state].words}" for word, named in table.items() if fault.id in named)
    proofs = [r for r in knowledge.rules.values() if r.proves == fault.id]
    yield from _listed("Proved by", (f"{r.id}: {r.because}" for r in proofs))
    if fault.workshop:
        yield f"In the workshop: {fault.workshop}"
    yield f"Repair: {knowledge.repairs[fault.repair].text}"
    if fault.check_cause:
        yield f"Afterwards: {fault.check_cause}"
    yield from _listed("Often brings", (knowledge.faults[f].name for f in fault.leads_to))


def _test(knowledge: Knowledge, test: Test) -> Iterator[str]:
    yield f"Test {test.id} ({test.minutes:g} minutes, {test.skill})"
    yield test.text
    yield f"To a caller: {test.plain}"
    yield f"Why: {test.because} ({test.source})"
    yield from _listed("Set-up", (s.text for s in test.setup))
    yield from _listed("Put back", (s.text for s in test.restore))
    yield from _listed("Tools", test.tools)
    yield from _listed("Risks", test.risks)
    yield from _listed("Answers", (q.asks for q in knowledge.questions_of(test.id)))


def _question(knowledge: Knowledge, q: Question) -> Iterator[str]:
    scene = f", while {', '.join(q.scene)}" if q.scene else ""
    yield f"Question {q.id}: {q.asks}"
    yield f"Reads {q.about}.{q.what}{scene}"
    if q.needs:
        yield "Set-up: " + ", ".join(f"{a}.{w} {v}" for a, w, v in q.needs)
    for state, rule in q.states.items():
        yield f"  {state}: {rule.words}"
        for word, named in q.says.get(state, {}).items():
            yield f"    {word}: {', '.join(named)}"
    for question, states in q.acquits_unless.items():
        words = [knowledge.questions[question].states[s].words for s in states]
        yield f"Rules nothing out while {' or '.join(words)}"
    yield f"Why: {q.because} ({q.source})"


def _rule(knowledge: Knowledge, rule: Rule) -> Iterator[str]:
    yield f"Rule {rule.id}: " + (f"proves {rule.proves}" if rule.proves else f"finds {rule.finding}")
    for question, states in rule.conditions.items():
        if question == "finding":
            yield f"  if it was found that: {', '.join(s.replace('_', ' ') for s in states)}"
            continue
        words = [knowledge.questions[question].states[s].words for s in states]
        yield f"  if {' or '.join(words)}"
    for question, states in rule.unless.items():
        words = [knowledge.questions[question].states[s].words for s in states]
        yield f"  unless {' or '.join(words)}"
    yield f"Because: {rule.because} ({rule.source})"


def _hazard(hazard: Hazard) -> Iterator[str]:
    yield f"Hazard {hazard.id}: {hazard.level.upper()}"
    yield hazard.text
    yield f"To a caller: {hazard.plain}"
    yield from _listed("Raised when", (_facts(option) for option in hazard.raised_when))
    yield from _listed("Cleared when", (_facts(option) for option in hazard.cleared_when))
    if hazard.stop_text:
        yield f"Stops everything: {hazard.stop_text}"
    yield f"Source: {hazard.source}"


def _facts(facts: Iterable[Mapping[str, Any]]) -> str:
    return " and ".join(f"{f['about']}.{f['what']} {f['value']}" for f in facts)


def _repair(repair: Repair) -> Iterator[str]:
    yield f"Repair {repair.id}"
    yield repair.text
    yield f"To a caller: {repair.plain}"
    for head, items in (
        ("Parts", repair.renewed),
        ("Tools", repair.tools),
        ("Care", repair.cautions),
        ("Verify by", repair.verify),
    ):
        yield from _listed(head, items)
    yield f"Source: {repair.source}"
