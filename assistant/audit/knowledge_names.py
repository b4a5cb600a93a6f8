"""The names that a rule base gives to its ids, for those who read a record."""

from __future__ import annotations

from assistant.knowledge import Knowledge
from assistant.session.names import Names


class KnowledgeNames(Names):
    """Names drawn from a loaded rule base; what it does not know raises KeyError."""

    def __init__(self, knowledge: Knowledge, plain: bool = False) -> None:
        """Keep the rule base, and whether the reader is no professional."""
        super().__init__(knowledge)
        self._rules, self._questions, self._is_plain = knowledge.rules, knowledge.questions, plain

    def fault(self, fault_id: str, plain: bool = False) -> str:
        """A fault as a person names it."""
        return super().fault(fault_id, plain or self._is_plain)

    def part(self, part_id: str) -> str:
        """A part or measuring place."""
        return self._words.part_name(part_id, plain=self._is_plain)

    def rule(self, rule_id: str) -> str:
        """What a rule gives as its reason; for an answer, what was answered."""
        rule = self._rules.get(rule_id)
        if rule is not None:
            return rule.plain or rule.because if self._is_plain else rule.because
        question, _, state = rule_id.partition(".")
        return self._questions[question].states[state].words
