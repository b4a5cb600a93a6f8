"""A repair ends an epoch: evidence before it is frozen, evidence after it verifies and explains what is left."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from assistant.diagnosis.seen import HISTORY, own_station
from assistant.facts.model import Fact
from assistant.knowledge import Knowledge

Proofs = Callable[[list[Fact]], set[str]]
"""Facts of one epoch → faults proved in it."""
InReach = Callable[[list[Fact], str], bool]
"""Facts of one epoch, a fault → whether they may prove it at all, so that working the proofs out can be spared."""
FoundWrong = Callable[[list[Fact]], set[str]]
"""Facts of one epoch → parts of which something wrong was surely found in it."""


@dataclass(frozen=True)
class Epoch:
    """The facts told between two repairs."""

    facts: list[Fact]


def split_epochs(
    facts: list[Fact], knowledge: Knowledge, proofs: Proofs, in_reach: InReach, found_wrong: FoundWrong
) -> tuple[list[Epoch], tuple[Fact, ...]]:
    """Cut a case at its repairs.

    A part replaced or repaired counts as done now when it stands in the verdict, when something was found wrong
    with it before, or when it has been told twice (the second time answers the question when it was done); a
    setting counts when it stands in the verdict and its right state is told.

    Args:
        facts: The whole case, oldest first.
        knowledge: The rule base.
        proofs: Works out what an epoch proves.
        in_reach: Whether an epoch may prove a fault at all.
        found_wrong: Tells the parts of which something wrong was found.

    Returns:
        The epochs, and the repairs of which it must be asked whether they were done just now.
    """
    epochs: list[Epoch] = []
    current: list[Fact] = []
    proved: set[str] = set()
    put_right: set[str] = set()
    asked: list[Fact] = []
    for fact in facts:
        cures = _cures(fact, knowledge) - put_right
        if not is_work(fact) and not any(f in proved or in_reach(current, f) for f in sorted(cures)):
            current.append(fact)
            continue
        standing = proved | proofs(current)
        settings = cures & standing
        told_before = [f for f in asked if _same_work(f, fact)]
        done_now = is_work(fact) and (
            mends(fact, standing, knowledge)
            or bool(told_before)
            or own_station(fact.about, knowledge.words) in found_wrong(current)
        )
        if settings or done_now:
            put_right |= settings
            asked = [f for f in asked if f not in told_before]
            epochs.append(Epoch(current))
            current, proved = [], standing
        elif is_work(fact):
            asked.append(fact)
        current.append(fact)
    return [*epochs, Epoch(current)], tuple(asked)


def is_work(fact: Fact) -> bool:
    """Whether this tells of a part replaced or repaired in this case."""
    return _counts(fact) and fact.what in ("replaced", "repaired") and fact.value is True


def _same_work(a: Fact, b: Fact) -> bool:
    return is_work(b) and a.about == b.about and a.turn != b.turn


def _counts(fact: Fact) -> bool:
    return HISTORY not in fact.while_ and fact.certain


def _cures(fact: Fact, knowledge: Knowledge) -> frozenset[str]:
    """The faults that are put right by what is told here, a mere setting."""
    if not _counts(fact):
        return frozenset()
    return knowledge.puts_right.get((fact.about, fact.what, fact.value), frozenset())


def mends(fact: Fact, standing: set[str], knowledge: Knowledge) -> bool:
    """Whether a repair was done to the part of one of these faults."""
    about = own_station(fact.about, knowledge.words)
    part = knowledge.words.parts.get(about, {}).get("of", about)
    stations = knowledge.words.stations["part"]
    if about.startswith(f"{stations}_"):
        part = stations
    return any(part == knowledge.faults[f].part or about == "repair" for f in standing)
