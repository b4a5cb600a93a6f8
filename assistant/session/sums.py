"""The arithmetic of the path, from the facts of a case, in one line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from assistant.diagnosis.seen import HISTORY
from assistant.electrics.figures import figures
from assistant.electrics.ledger import Ledger, path_ledger
from assistant.electrics.path import Cable, Readings
from assistant.facts.model import Fact


def ledger_of(facts: Iterable[Fact]) -> Ledger | None:
    """The ledger of the newest readings, or None while none is worth a sum or they cannot be true together."""
    told = figures("path_readings")
    listed = [f for f in facts if HISTORY not in f.while_ and f.certain]
    values = {name: _newest(listed, rule) for name, rule in told["readings"].items()}
    if not any(values[name] is not None for name in told["worth"]):
        return None
    cable = {name: _newest(listed, rule) for name, rule in told["cable"].items()}
    try:
        sizes = Cable(length=cable["length"], cross_section=cable["cross_section"])
        ledger = path_ledger(Readings.of(values), sizes)
    except ValueError:
        return None  # readings that cannot be true together are named as a conflict elsewhere
    return ledger if ledger.segments else None


def reads_path(fact: Fact) -> bool:
    """Whether a fact is a reading, or a size, of the ledger."""
    told = figures("path_readings")
    return any(_is(fact, rule) for section in ("readings", "cable") for rule in told[section].values())


def _newest(facts: list[Fact], rule: Mapping[str, Any]) -> float | None:
    found = [f for f in facts if _is(f, rule)]
    return abs(float(found[-1].value)) if found else None


def _is(fact: Fact, rule: Mapping[str, Any]) -> bool:
    return f"{fact.about}.{fact.what}" == rule["reads"] and set(rule["while"]) <= set(fact.while_)
