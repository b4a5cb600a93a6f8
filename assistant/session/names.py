"""Ids in the words of the trade, for replies and for front ends."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from assistant.diagnosis.described import Assumed
from assistant.diagnosis.seen import own_station
from assistant.facts.model import RawFact
from assistant.knowledge import Knowledge

_OTHER = ("other", "nothing_more")


class Names:
    """Names of one rule base."""

    def __init__(self, knowledge: Knowledge) -> None:
        """Keep the rule base."""
        self._knowledge = knowledge
        self._words = knowledge.words
        self._tongue = knowledge.tongue
        self._texts = knowledge.replies
        self.own: Mapping[str, str] = {}
        """Part → the person's own name for it, said beside the trade's."""

    def fault(self, fault_id: str, plain: bool = False) -> str:
        """A fault as a person names it."""
        if fault_id in _OTHER:
            return str(self._knowledge.replies[f"chance_{fault_id}"])
        fault = self._knowledge.faults[fault_id]
        return fault.plain if plain else fault.name

    def part(self, part_id: str) -> str:
        """A part or measuring place."""
        name, own = self._words.part_name(part_id), self.own.get(own_station(part_id, self._words))
        return name if own is None else str(self._knowledge.replies["name_beside"]).format(part=name, name=own)

    def hazard(self, hazard_id: str) -> str:
        """A hazard's short name."""
        return self._knowledge.hazards[hazard_id].name

    def test(self, test_id: str) -> str:
        """A test as a short phrase."""
        return self._tongue.name("tests", test_id)

    def value(self, what: str, value: Any, unit: str | None = None) -> str:
        """A value as a person writes it."""
        attribute = self._words.attributes[what]
        if isinstance(value, bool):
            return attribute.name if value else attribute.negative
        if isinstance(value, str):
            return str(self._texts["choice"]).format(what=attribute.name, value=self._tongue.value(what, value))
        unit = attribute.unit if unit is None else unit
        figure = self._tongue.number(f"{value:g}")
        return f"{attribute.name} {figure}{' ' + self._tongue.name('units', unit) if unit else ''}"

    def fact(self, fact: Mapping[str, Any] | RawFact) -> str:
        """A fact as a short phrase: 'thruster studs voltage 12.4 V, at rest'."""
        if isinstance(fact, RawFact):
            fact = fact.model_dump(by_alias=True)
        scene = [self._words.circumstances[c]["name"] for c in fact.get("while") or ()]
        doubt = "" if fact.get("certain", True) else f" ({self._texts['not_sure']})"
        value = self.value(str(fact["what"]), fact["value"])
        if fact.get("bound"):
            value = str(self._texts[str(fact["bound"])]).format(value=value)
        told = str(self._texts["fact"]).format(part=self.part(str(fact["about"])), value=value)
        return told + "".join(f", {s}" for s in scene) + doubt

    def answer(self, key: str) -> str:
        """`question.state` in words."""
        question, _, state = key.partition(".")
        if question in self._knowledge.questions:
            return self._knowledge.questions[question].states[state].words
        return key

    def assumed(self, assumed: Iterable[Assumed]) -> list[str]:
        """What was taken for granted, each once, as phrases."""
        words = self._knowledge.replies["assumed_words"]
        return list(dict.fromkeys(str(words[name]).format(*values) for name, values in assumed))

    def reason(self, key: str) -> str:
        """What stands under `because` of a suspect in words: the reason of a rule, or an answer."""
        rule = self._knowledge.rules.get(key)
        return rule.because if rule is not None else self.answer(key)

    def listed(self, items: list[str]) -> str:
        """Items with commas and a last 'and'."""
        if len(items) < 2:
            return "".join(items)
        return f"{', '.join(items[:-1])} {self._knowledge.replies['list_and']} {items[-1]}"
