"""Faults that came back after their repair: something does that to the part, and is to be found first."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from assistant.diagnosis.epochs import Epoch, mends
from assistant.facts.model import Fact
from assistant.knowledge import Knowledge
from assistant.knowledge.model import Question


def came_back(epochs: Sequence[Epoch], proved: Sequence[Mapping[str, str]], knowledge: Knowledge) -> tuple[str, ...]:
    """Faults proved now that had been proved before, and whose part has been worked on since.

    Args:
        epochs: The case, cut at its repairs.
        proved: What each epoch proves by itself: fault → rule.
        knowledge: The rule base.
    """
    return tuple(
        fault
        for fault in proved[-1]
        if any(f.what in ("replaced", "repaired") for f in _mending(fault, epochs, proved, knowledge))
    )


def mended(fault: str, epochs: Sequence[Epoch], proved: Sequence[Mapping[str, str]], knowledge: Knowledge) -> bool:
    """Whether an epoch after the one that proved a fault begins with work on its part, or with its right state."""
    return bool(_mending(fault, epochs, proved, knowledge))


def _mending(
    fault: str, epochs: Sequence[Epoch], proved: Sequence[Mapping[str, str]], knowledge: Knowledge
) -> list[Fact]:
    """What began the epochs after the one that proved a fault, as far as it was done to the fault's part."""
    first = next((i for i, one in enumerate(proved) if fault in one), len(epochs))
    begun = [e.facts[0] for e in epochs[first + 1 :] if e.facts]
    return [f for f in begun if mends(f, {fault}, knowledge)]


def does_it(cause: str, fault: str, knowledge: Knowledge) -> bool:
    """Whether one fault often brings the other."""
    return cause in knowledge.faults and fault in knowledge.faults[cause].leads_to


def uncaused(returned: Iterable[str], proved: Iterable[str], knowledge: Knowledge) -> tuple[str, ...]:
    """Those that came back and have no proved cause yet, where the rule base knows causes at all."""
    causes = list(proved)
    return tuple(
        f for f in returned
        if any(does_it(c, f, knowledge) for c in knowledge.faults) and not any(does_it(c, f, knowledge) for c in causes)
    )  # fmt: skip


def struck_since(
    fault: str, witness: Fact, deciding: Iterable[Fact], facts: Iterable[Fact], knowledge: Knowledge
) -> bool:
    """Whether a fault may have come in a run between the reading that acquits it and the readings that prove it.

    Args:
        fault: A fault.
        witness: The reading that acquits it.
        deciding: The readings that prove it.
        facts: The facts of the epoch.
        knowledge: The rule base.
    """
    if not knowledge.faults[fault].comes_in_a_run:
        return False
    later = [f for f in deciding if f.order > witness.order]
    if not later:
        return False
    first = min(f.order for f in later)
    return any(f.what == "runs" and witness.turn <= f.turn and f.order < first for f in facts)


def without_power(returned: Iterable[str], knowledge: Knowledge) -> bool:
    """Whether one that came back struck in a run, so that nobody knows since when the power was gone."""
    return any(knowledge.faults[f].comes_in_a_run for f in returned)


def counts_without_power(question: Question, knowledge: Knowledge) -> bool:
    """Whether an answer tells something of the cause although the power may have been gone."""
    tests = [knowledge.tests[t] for t in (*question.tests, *question.may_tell)]
    return not question.complaint and not any(t.powered or t.runs_motor or t.live for t in tests)
