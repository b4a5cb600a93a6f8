"""Whether an epoch may prove a fault at all, told from its facts without working the proofs out."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import Any

from assistant.diagnosis.seen import Seen, Told
from assistant.facts.model import Fact
from assistant.knowledge import Knowledge
from assistant.knowledge.model import Question


def in_reach(facts: Iterable[Fact], fault: str, told: Told, knowledge: Knowledge) -> bool:
    """Whether some rule that proves a fault has something told for each of its questions that may satisfy it.

    It errs on the side of yes: what a reading is worth, and what stands against it, is not looked at.

    Args:
        facts: Of one epoch.
        fault: A fault.
        told: The whole case.
        knowledge: The rule base.
    """
    seen = [s for fact in facts for s in told.of(fact)]
    return any(
        all(
            _may_stand(knowledge.questions[question], states, seen)
            for question, states in rule.conditions.items()
            if question in knowledge.questions
        )
        for rule in knowledge.rules.values()
        if rule.proves == fault
    )


def _may_stand(question: Question, states: Collection[str], seen: list[Seen]) -> bool:
    if question.given:
        return True
    return any(
        (s.about, s.what) == (question.about, question.what)
        and (not question.only_asked or s.fact.asked in question.only_asked)
        and any(_may_be(question, name, s.value) for name in states)
        for s in seen
    )


def _may_be(question: Question, state: str, value: Any) -> bool:
    values = question.states[state].values
    return bool(question.compute) or values is None or value in values
