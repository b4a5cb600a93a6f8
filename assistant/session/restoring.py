"""What steps made somebody open or lock, until it is told as put back; asked for once, and no bar to closing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from assistant.facts.model import Fact
from assistant.knowledge import Knowledge
from assistant.session.case import Case


def opened_after(
    opened: frozenset[str], tests: Iterable[str], told: Sequence[Fact], knowledge: Knowledge
) -> frozenset[str]:
    """What stands opened after a line.

    Args:
        opened: What stood opened before it.
        tests: Tests that the line answers, whose set-up was therefore done.
        told: Facts that it brought.
        knowledge: The rule base.
    """
    done = [knowledge.tests[t] for t in tests]
    facts = [{"about": f.about, "what": f.what, "value": f.value} for f in told if f.certain]
    set_up = [fact for test in done for step in test.setup for fact in step.facts]
    out = set(opened)
    for name, entry in _entries(knowledge).items():
        if _any(entry["opened_facts"], [*set_up, *facts]):
            out.add(name)
        powered = entry.get("undone_by_power") and any(test.powered for test in done)
        if powered or _any(entry["put_back_facts"], facts):
            out.discard(name)
    return frozenset(out)


def due(case: Case, verified: bool) -> frozenset[str]:
    """What is to be asked for now: when the repair is proved, or the case ends, and not a second time."""
    return case.opened - case.reminded if verified or case.closed is not None else frozenset()


def in_words(names: frozenset[str], knowledge: Knowledge) -> list[str]:
    """What is to be put back, in the order of the rule base."""
    return [str(knowledge.replies["put_back"][name]) for name in _entries(knowledge) if name in names]


def _entries(knowledge: Knowledge) -> Mapping[str, Mapping[str, Any]]:
    entries: Mapping[str, Mapping[str, Any]] = knowledge.limits["put_back"]
    return entries


def _any(wanted: Iterable[Mapping[str, Any]], facts: Iterable[Mapping[str, Any]]) -> bool:
    listed = list(facts)
    return any(all(f[k] == w[k] for k in ("about", "what", "value")) for w in wanted for f in listed)
