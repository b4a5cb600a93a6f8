"""Ids put into words, with a plain fallback that never fails."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Protocol

from assistant.journal.shown import one_line

FactData = Mapping[str, Any]
"""A fact as the conversation writes it."""


class Names(Protocol):
    """Ids in the words of the trade; a rule base supplies them."""

    def fault(self, fault_id: str) -> str:
        """A fault as a person would name it."""

    def fact(self, fact: FactData) -> str:
        """A fact as a short phrase, for example 'supply voltage 12.4 V, at rest'."""

    def part(self, part_id: str) -> str:
        """The name of a part or measuring place."""

    def hazard(self, hazard_id: str) -> str:
        """A hazard's short name."""

    def test(self, test_id: str) -> str:
        """A test's short name."""


class PlainNames:
    """The ids themselves, spelt as words: they are plain trade words already."""

    def fault(self, fault_id: str) -> str:
        """`part.failure` as 'part: failure'."""
        return fault_id.replace(".", ": ").replace("_", " ")

    def part(self, part_id: str) -> str:
        """`main_fuse` as 'main fuse'."""
        return part_id.replace("_", " ")

    hazard = part
    test = part

    def rule(self, rule_id: str) -> str:
        """A rule's id as words."""
        return rule_id.replace("_", " ")

    def fact(self, fact: FactData) -> str:
        """Subject, attribute, value, unit and circumstances."""
        value = fact.get("value")
        told = ("yes" if value else "no") if isinstance(value, bool) else value
        bound = {"at_least": "at least ", "at_most": "at most "}.get(str(fact.get("bound")), "")
        unit = f" {fact['unit']}" if fact.get("unit") else ""
        around = "".join(f", {c}" for c in fact.get("while") or ())
        return f"{fact.get('about')} {fact.get('what')}: {bound}{told}{unit}{around}".replace("_", " ")


class SafeNames:
    """Names for one line of text: what a rule base does not know is spelt from its id."""

    def __init__(self, names: Names | None = None) -> None:
        """Keep the names of a rule base, or none."""
        self._names = names
        self._plain = PlainNames()

    def _named(self, kind: str, key: Any) -> str:
        try:
            text = getattr(self._names, kind)(key) if self._names is not None else ""
        except (LookupError, AttributeError, TypeError, ValueError):
            text = ""
        return one_line(str(text or getattr(self._plain, kind)(key)))

    def fault(self, fault_id: str) -> str:
        """A fault's name."""
        return self._named("fault", str(fault_id))

    def part(self, part_id: str) -> str:
        """A part's name."""
        return self._named("part", str(part_id))

    def hazard(self, hazard_id: str) -> str:
        """A hazard's name."""
        return self._named("hazard", str(hazard_id))

    def test(self, test_id: str) -> str:
        """A test's name."""
        return self._named("test", str(test_id))

    def rule(self, rule_id: str) -> str:
        """What a rule says, where the names tell it."""
        return self._named("rule", str(rule_id))

    def fact(self, fact: FactData) -> str:
        """A fact as a phrase, without its doubt, which each reader of a record marks in its own way."""
        return self._named("fact", {**fact, "certain": True})
