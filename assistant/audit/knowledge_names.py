"""The names that a rule base gives to its ids, in the words of the trade or of a caller."""

from __future__ import annotations

from assistant.audit.names import FactData
from assistant.knowledge.base import Knowledge


class KnowledgeNames:
    """Names drawn from a loaded rule base; what it does not know raises KeyError."""

    def __init__(self, knowledge: Knowledge, plain: bool = False) -> None:
        """Keep the rule base, and whether the reader is no professional."""
        self._knowledge, self._is_plain = knowledge, plain

    def fault(self, fault_id: str) -> str:
        """A fault's name."""
        fault = self._knowledge.faults[fault_id]
        return fault.plain if self._is_plain else fault.name

    def part(self, part_id: str) -> str:
        """A part's name."""
        return self._knowledge.words.part_name(part_id, plain=self._is_plain)

    def hazard(self, hazard_id: str) -> str:
        """A hazard's short name."""
        return self._knowledge.hazards[hazard_id].name

    def test(self, test_id: str) -> str:
        """A test's id, spelt as words: its text is a whole instruction."""
        return self._knowledge.tests[test_id].id.replace("_", " ")

    def fact(self, fact: FactData) -> str:
        """Part, what is said of it, value and circumstances."""
        words = self._knowledge.words
        attribute = words.attributes[str(fact.get("what"))]
        value, part = fact.get("value"), self.part(str(fact.get("about")))
        around = "".join(f", {words.circumstances[c]['name']}" for c in fact.get("while") or ())
        if isinstance(value, bool):
            told = attribute.name if value else attribute.negative or f"not {attribute.name}"
            return f"{part}: {told}{around}"
        bound = {"at_least": "at least ", "at_most": "at most "}.get(str(fact.get("bound")), "")
        unit = f" {fact['unit']}" if fact.get("unit") else ""
        return f"{part}: {attribute.name} {bound}{str(value).replace('_', ' ')}{unit}{around}"

    def rule(self, rule_id: str) -> str:
        """A rule in the words that it gives as its reason."""
        return self._knowledge.rules[rule_id].because
