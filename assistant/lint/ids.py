"""Ids that stand somewhere and are known nowhere."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from assistant.knowledge import Knowledge
from assistant.knowledge.model import Question


def unknown_ids(knowledge: Knowledge) -> Iterator[str]:
    """Every id that is used without being known, with the place where it is used."""
    yield from _questions(knowledge)
    for rule in knowledge.rules.values():
        yield from _conditions(rule.conditions, f"{rule.place}: {rule.id}", knowledge)
        yield from _conditions(rule.unless, f"{rule.place}: {rule.id}", knowledge)
        if rule.unless and not rule.proves:
            yield f"{rule.place}: {rule.id}: only a proof may have `unless`"
        if bool(rule.proves) == bool(rule.finding):
            yield f"{rule.place}: {rule.id} must either prove a fault or state a finding"
        if rule.proves and rule.proves not in knowledge.faults:
            yield f"{rule.place}: {rule.id}: unknown fault {rule.proves}"
    for one in knowledge.contradictions.values():
        yield from _conditions(one.conditions, f"contradiction {one.id}", knowledge)
        if one.settle not in knowledge.tests:
            yield f"contradiction {one.id}: unknown test {one.settle}"
    yield from _faults(knowledge)
    yield from _tests(knowledge)
    yield from _hazards(knowledge)


def _questions(knowledge: Knowledge) -> Iterator[str]:
    words = knowledge.words
    made = {f"{what}_{d}" for what in words.split_by_direction for d in ("port", "starboard", "at_all")}
    extra = {a["also"] for a in words.aliases} | set(words.stations.values())
    for q in knowledge.questions.values():
        where = f"{q.place}: {q.id}"
        if not words.knows_part(q.about) and q.about not in extra:
            yield f"{where}: unknown subject {q.about}"
        if q.what not in words.attributes and q.what not in made:
            yield f"{where}: unknown attribute {q.what}"
        for name in (*q.scene, *q.not_while):
            if name not in words.circumstances:
                yield f"{where}: unknown circumstance {name}"
        for test in (*q.tests, *q.may_tell, *q.only_asked, *q.not_asked):
            if test not in knowledge.tests:
                yield f"{where}: unknown test {test}"
        yield from _question_says(q, where, knowledge)
        yield from _conditions(q.acquits_unless, where, knowledge)
        for about, what, _ in (*q.needs, *q.when_setup, *q.unless_setup):
            if not words.knows_part(about) or what not in words.attributes:
                yield f"{where}: unknown set-up {about}.{what}"


def _question_says(q: Question, where: str, knowledge: Knowledge) -> Iterator[str]:
    for state, table in q.says.items():
        if state not in q.states:
            yield f"{where}: unknown state {state}"
        for word, faults in table.items():
            if word not in knowledge.scales["scale"]:
                yield f"{where}: unknown word {word} of the scale"
            yield from (f"{where}: unknown fault {f}" for f in faults if f not in knowledge.faults)
    yield from (f"{where}: unknown question {s}" for s in q.same_as if s not in knowledge.questions)


def _conditions(conditions: Mapping[str, Iterable[str]], where: str, knowledge: Knowledge) -> Iterator[str]:
    for question, states in conditions.items():
        if question == "finding":
            continue
        if question not in knowledge.questions:
            yield f"{where}: unknown question {question}"
            continue
        known = knowledge.questions[question].states
        yield from (f"{where}: {question} has no state {s}" for s in states if s not in known)


def _faults(knowledge: Knowledge) -> Iterator[str]:
    for fault in knowledge.faults.values():
        where = f"fault {fault.id}"
        if fault.repair not in knowledge.repairs:
            yield f"{where}: unknown repair {fault.repair}"
        yield from (f"{where}: unknown fault {f} in leads_to" for f in fault.leads_to if f not in knowledge.faults)
        yield from _conditions(fault.only_if, where, knowledge)
        yield from _facts(fault.put_right_by, where, knowledge)
    for repair in knowledge.repairs.values():
        yield from (f"repair {repair.id}: unknown test {t}" for t in repair.verify if t not in knowledge.tests)


def _tests(knowledge: Knowledge) -> Iterator[str]:
    for test in knowledge.tests.values():
        where = f"test {test.id}"
        for conditions in (test.only_if, test.not_if, test.only_after, test.pointless_after):
            yield from _conditions(conditions, where, knowledge)
        for pair in test.only_after_any:
            question, _, state = pair.partition(".")
            yield from _conditions({question: (state,)}, where, knowledge)
        yield from (f"{where}: unknown hazard {h}" for h in (*test.warns, *test.settles) if h not in knowledge.hazards)
        yield from (f"{where}: unknown circumstance {s}" for s in test.scenes if s not in knowledge.words.circumstances)
        for facts in [s.facts for s in (*test.setup, *test.restore)] + [a.facts for a in test.answers]:
            yield from _facts(facts, where, knowledge)


def _hazards(knowledge: Knowledge) -> Iterator[str]:
    for hazard in knowledge.hazards.values():
        options = (
            *hazard.raised_when,
            *hazard.cleared_when,
            *hazard.step_when,
            *hazard.step_unless,
        )
        for facts in (*options, hazard.clear_facts, hazard.stop_facts):
            yield from _facts(facts, f"hazard {hazard.id}", knowledge)


def _facts(facts: Iterable[Mapping[str, Any]], where: str, knowledge: Knowledge) -> Iterator[str]:
    words = knowledge.words
    for fact in facts:
        about, what, value = str(fact["about"]), str(fact["what"]), fact["value"]
        if not words.knows_part(about) and about != words.stations["any"]:
            yield f"{where}: unknown subject {about}"
        if what not in words.attributes:
            yield f"{where}: unknown attribute {what}"
            continue
        choices = words.attributes[what].choices
        values = value if isinstance(value, list) else [value]
        yield from (f"{where}: {what} has no value {v}" for v in values if choices and v not in choices)
        yield from (f"{where}: unknown circumstance {c}" for c in fact.get("while", ()) if c not in words.circumstances)
