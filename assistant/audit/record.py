"""A record as the finders see it: its turns, the facts that stood, which test a turn answered."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, Protocol

from assistant.audit.names import SafeNames
from assistant.journal.shown import one_line
from assistant.journal.turn import Data, Turn, items, mapping

REPLACED, REPAIRED, FITTED, REMOVED, ALL = "replaced", "repaired", "fitted", "removed", "all"
HISTORY = "before_the_trouble"


class Lore(Protocol):
    """What a rule base says about the safety of a test."""

    def safety_steps(self, test: str) -> tuple[tuple[str, tuple[Data, ...]], ...]:
        """The set-up steps of a test that clear a hazard: their text, and the facts that report them."""

    def is_powered(self, test: str) -> bool:
        """Whether power is on while the test is done."""

    def reported_by(self, circumstance: str) -> Data | None:
        """The state that a circumstance beside a reading reports."""

    def is_state(self, what: str) -> bool:
        """Whether people change this by an act, so that another value later corrects nothing."""


@dataclass(frozen=True)
class Record:
    """The turns of a case, with what is needed to put them into words."""

    header: Mapping[str, Any]
    turns: tuple[Turn, ...]
    names: SafeNames = field(default_factory=SafeNames)
    lore: Lore | None = None

    def pairs(self) -> Iterator[tuple[Turn, Turn]]:
        """Every turn with the one before it."""
        return zip(self.turns, self.turns[1:], strict=False)

    def facts(self) -> Iterator[tuple[Turn, Data]]:
        """Every fact that was ever taken, with its turn."""
        for turn in self.turns:
            for fact in turn.understood:
                yield turn, fact

    def words(self, turn: Turn, *facts: Data) -> str:
        """What was said: the words of the facts, else of the line, else the facts as phrases."""
        said = [one_line(str(fact["words"])) for fact in facts if fact.get("words")]
        if said:
            return "; ".join(dict.fromkeys(said))
        if facts:
            return "; ".join(self.names.fact(fact) for fact in facts)
        told = [self.names.fact(fact) for fact in turn.understood]
        return one_line(turn.said) or "; ".join(told)


def answered_test(before: Turn, turn: Turn) -> str | None:
    """The test that a turn answered: as the line says, else the one asked for where a fact fits it."""
    answer = mapping(turn.line.get("answer"))
    if answer is not None and "cannot" in answer:
        return None
    if turn.answered is not None:
        return turn.answered
    placed = next((fact["asked"] for fact in turn.facts if isinstance(fact.get("asked"), str)), None)
    if placed is not None or before.next is None:
        return placed
    wanted = [fact for option in items(before.next.get("answers")) for fact in items(option.get("facts"))]
    fits = any(same_thing(fact, want) for fact in turn.understood for want in wanted)
    test = before.next.get("test")
    return test if fits and isinstance(test, str) else None


def same_thing(fact: Data, other: Data) -> bool:
    """Whether two facts are about the same thing, whatever they say of it."""
    return fact.get("about") == other.get("about") and fact.get("what") == other.get("what")


def reports(fact: Data, state: Data) -> bool:
    """Whether a fact says, with certainty, just what a state asks for."""
    same = fact.get("value") == state.get("value") and sure(fact)
    return same_thing(fact, state) and same


def sure(fact: Data) -> bool:
    """Whether the speaker had no doubt."""
    return fact.get("certain", True) is True


def is_history(fact: Data) -> bool:
    """Whether a fact was so before the trouble began."""
    around = fact.get("while")
    return isinstance(around, list) and HISTORY in around


def ids(value: Any) -> frozenset[str]:
    """Ids in a list of ids or of facts."""
    if not isinstance(value, list):
        return frozenset()
    found = (item.get("id") if isinstance(item, Mapping) else item for item in value)
    return frozenset(item for item in found if isinstance(item, str))


def gone_by(turn: Turn) -> frozenset[str]:
    """Ids of the facts that a turn superseded or withdrew."""
    return ids(turn.out.get("replaced")) | frozenset(turn.taken_back)
