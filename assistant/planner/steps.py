"""What the planner hands out: the next step, and what it was told of the steps before."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from assistant.facts.model import Fact

Kind = Literal["test", "settle", "setup", "scene", "confirm", "verify", "first"]


@dataclass(frozen=True)
class Asked:
    """What has been asked and answered so far in this epoch."""

    answered: Mapping[str, int] = field(default_factory=dict)
    """Test → how often it was answered."""
    cannot: frozenset[str] = frozenset()
    passed: Mapping[str, int] = field(default_factory=dict)
    """Test → how often what is left of it was asked for and something else was told."""
    setup: frozenset[str] = frozenset()
    """Ids of the readings whose set-up or scene has been asked for."""


@dataclass(frozen=True)
class Plan:
    """The next step, or what cannot be told apart."""

    kind: Kind
    test: str
    reason: str
    """Key of the sentence that says why, with what it names."""
    names: Mapping[str, object] = field(default_factory=dict)
    questions: tuple[str, ...] = ()
    fact: Fact | None = None
    needs: tuple[tuple[str, str, object], ...] = ()


@dataclass(frozen=True)
class Outcome:
    """What the planner found."""

    plan: Plan | None
    narrowed: tuple[str, ...] = ()
    """Faults that nothing left tells apart; empty while there is a next step."""
    beyond: bool = False
    """Whether a better test was there that this person cannot do."""
    waiting: tuple[str, ...] = ()
    """Proved faults whose part is not to be changed before their reading was confirmed."""
