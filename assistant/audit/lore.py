"""What the rule base says about the safety of a test, in the shape the finders ask for."""

from __future__ import annotations

from functools import cached_property
from typing import Any

from assistant.audit.record import same_thing
from assistant.journal.turn import Data
from assistant.knowledge.base import Knowledge


class RuleBaseLore:
    """Lore drawn from a loaded rule base."""

    def __init__(self, knowledge: Knowledge) -> None:
        """Keep the rule base."""
        self._knowledge = knowledge

    def safety_steps(self, test: str) -> tuple[tuple[str, tuple[Data, ...]], ...]:
        """The set-up steps of a test that clear a hazard: their text, and the facts that report them."""
        known = self._knowledge.tests.get(test)
        if known is None:
            return ()
        steps = ((step.text, tuple(step.facts)) for step in known.setup)
        return tuple((text, facts) for text, facts in steps if any(self._clears(fact) for fact in facts))

    def is_powered(self, test: str) -> bool:
        """Whether power is on while the test is done."""
        known = self._knowledge.tests.get(test)
        return known is not None and (known.powered or known.live or known.runs_motor)

    def reported_by(self, circumstance: str) -> Data | None:
        """The state that a circumstance beside a reading reports."""
        state = self._knowledge.words.reports.get(circumstance)
        return None if state is None else dict(zip(("about", "what", "value"), state, strict=True))

    def is_state(self, what: str) -> bool:
        """Whether people change this by an act."""
        return what in self._knowledge.words.states

    @cached_property
    def _clearing(self) -> tuple[Data, ...]:
        hazards = self._knowledge.hazards.values()
        alone: list[Any] = [fact for hazard in hazards for fact in hazard.clear_facts]
        return (*alone, *(fact for hazard in hazards for group in hazard.cleared_when for fact in group))

    def _clears(self, fact: Data) -> bool:
        return any(same_thing(fact, c) and fact.get("value") == c.get("value") for c in self._clearing)
