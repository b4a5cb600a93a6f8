"""The state of one case: what was told, asked and withdrawn; replaced as a whole by each turn."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from assistant.diagnosis.described import Assumed
from assistant.facts.model import Fact
from assistant.language import Unclear
from assistant.planner import Plan
from assistant.session.own_names import OwnNames


@dataclass(frozen=True)
class Case:
    """Everything that a turn may lean on; a refused line leaves it as it was."""

    facts: tuple[Fact, ...] = ()
    """Every fact that was told and not taken back, in the order of telling."""
    turn: int = 0
    told: int = 0
    """How many facts were ever taken: the next id."""
    pending: Plan | None = None
    """What was asked for last."""
    offered: tuple[Mapping[str, Any], ...] = ()
    """The pickable answers of that step."""
    epoch: int = 0
    answered: Mapping[str, int] = field(default_factory=dict)
    passed: Mapping[str, int] = field(default_factory=dict)
    """Test → how often what is left of it was asked for and something else was told."""
    cannot: frozenset[str] = frozenset()
    setup_asked: frozenset[str] = frozenset()
    hazards: Mapping[str, int] = field(default_factory=dict)
    """Hazard → turn since which it is live without a break."""
    times: Mapping[int, str] = field(default_factory=dict)
    """Turn → recorded time."""
    proved: tuple[str, ...] = ()
    waiting: tuple[str, ...] = ()
    """Proved faults whose part is not called for yet."""
    findings: tuple[str, ...] = ()
    narrowed: tuple[str, ...] = ()
    """What nothing on board told apart after the last turn."""
    assumed: frozenset[Assumed] = frozenset()
    """What was taken for granted and has been said."""
    when_asked: frozenset[str] = frozenset()
    asked_back: tuple[Unclear, ...] = ()
    """What the last line left unclear, with the questions put about it."""
    said: tuple[str, str | None] = ("", None)
    """The last line, where it told something, and the test that it was said to."""
    closed: Mapping[str, Any] | None = None
    opened: frozenset[str] = frozenset()
    """What steps made somebody open or lock and nobody told of as put back, and what was asked for of it."""
    reminded: frozenset[str] = frozenset()
    own_names: OwnNames = field(default_factory=OwnNames)
    """The person's own names for parts."""

    def of_epoch(self, epoch: int) -> Case:
        """The case as an epoch sees it: what was asked and answered before the last repair counts no more."""
        return self if epoch == self.epoch else replace(self, epoch=epoch, answered={}, passed={})

    def passed_over(self, answered: Collection[str]) -> Mapping[str, int]:
        """What is passed over once more by a line that answers these tests, and not the rest that was asked for."""
        rest = self.pending.test if self.pending and self.pending.kind == "test" else ""
        if not self.answered.get(rest) or rest in answered:
            return self.passed
        return {**self.passed, rest: self.passed.get(rest, 0) + 1}

    def last_told(self) -> tuple[Fact, ...]:
        """The facts of the last turn that gave any and that still stand."""
        if not self.facts:
            return ()
        turn = max(f.turn for f in self.facts)
        return tuple(f for f in self.facts if f.turn == turn)
