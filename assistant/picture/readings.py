"""The readings of the path out of the facts of a case, as the conversation writes them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from assistant.diagnosis.seen import HISTORY
from assistant.electrics.figures import figures
from assistant.electrics.ledger import Ledger, path_ledger
from assistant.electrics.path import Cable, Readings

FactData = Mapping[str, Any]


def path_read(facts: Iterable[FactData]) -> Ledger | None:
    """The ledger of the newest readings among these facts, or None while nothing along the path was read.

    Args:
        facts: Facts that stand, oldest first, in the form of the conversation.

    Raises:
        ValueError: The readings cannot belong to one run.
    """
    listed = [f for f in facts if f.get("certain", True) and HISTORY not in _scene(f)]
    rules = figures("path_readings")
    values = {name: _newest(listed, rule) for name, rule in rules["readings"].items()}
    if not any(value is not None for value in values.values()):
        return None
    cable = {name: _newest(listed, rule) for name, rule in rules["cable"].items()}
    return path_ledger(Readings.of(values), Cable(length=cable["length"], cross_section=cable["cross_section"]))


def describes_cable(fact: FactData) -> bool:
    """Whether a fact tells what the cable is like, and so holds before and after a repair."""
    return any(_fits(fact, rule) for rule in figures("path_readings")["cable"].values())


def _scene(fact: FactData) -> tuple[str, ...]:
    return tuple(str(name) for name in fact.get("while") or ())


def _newest(facts: list[FactData], rule: Mapping[str, Any]) -> float | None:
    values = [fact.get("value") for fact in facts if _fits(fact, rule)]
    numbers = [value for value in values if isinstance(value, int | float) and not isinstance(value, bool)]
    return abs(float(numbers[-1])) if numbers else None


def _fits(fact: FactData, rule: Mapping[str, Any]) -> bool:
    return f"{fact.get('about')}.{fact.get('what')}" == rule["reads"] and set(rule["while"]) <= set(_scene(fact))
