"""Small models of a search: a few causes, tests that tell them apart, and rules that look one or two tests ahead."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from assistant.diagnosis.table import Table
from assistant.knowledge.model import Question
from assistant.planner.gain import entropy

Group = frozenset[int]
"""Faults still possible, by their place in the model."""
SetUp = frozenset[str]
"""Set-up that stands."""


@dataclass(frozen=True)
class SmallTest:
    """One test of a small model; it tells the faults apart by its outcome and never errs."""

    name: str
    minutes: float
    outcomes: tuple[str, ...]
    """Outcome with each fault, in the order of the faults."""
    setup: SetUp = frozenset()
    """Set-up that is left standing for the next test."""


@dataclass(frozen=True)
class SmallModel:
    """One fault out of a few, and tests with their minutes."""

    faults: tuple[str, ...]
    weights: tuple[float, ...]
    """How likely each fault is; they need not sum to 1."""
    tests: tuple[SmallTest, ...]
    setup_minutes: Mapping[str, float] = field(default_factory=dict)
    """The part of a test's minutes that is saved when the set-up stands already."""

    def everything(self) -> Group:
        """All faults."""
        return frozenset(range(len(self.faults)))

    def weight(self, group: Group) -> float:
        """How likely the group is."""
        return math.fsum(self.weights[i] for i in sorted(group))

    def minutes(self, test: SmallTest, standing: SetUp) -> float:
        """Minutes of a test where this set-up stands: at least one, unless it takes less anyway."""
        saved = math.fsum(self.setup_minutes.get(s, 0.0) for s in sorted(test.setup & standing))
        return max(min(1.0, test.minutes), test.minutes - saved)

    def split(self, group: Group, test: SmallTest) -> list[Group]:
        """The group by outcome of the test."""
        parts: dict[str, set[int]] = {}
        for i in sorted(group):
            parts.setdefault(test.outcomes[i], set()).add(i)
        return [frozenset(p) for p in parts.values()]

    def useful(self, group: Group) -> list[SmallTest]:
        """Tests that tell something in this group."""
        return [t for t in self.tests if len(self.split(group, t)) > 1]

    def entropy(self, group: Group) -> float:
        """Uncertainty within the group, in bits."""
        whole = self.weight(group)
        return entropy([self.weights[i] / whole for i in sorted(group)])

    def expected_entropy(self, group: Group, test: SmallTest) -> float:
        """Uncertainty left after the test, in bits, on average."""
        whole = self.weight(group)
        return math.fsum(self.weight(p) / whole * self.entropy(p) for p in self.split(group, test))

    def gain_rate(self, group: Group, test: SmallTest, standing: SetUp) -> float:
        """Bits a minute."""
        return (self.entropy(group) - self.expected_entropy(group, test)) / self.minutes(test, standing)


def likeliest(table: Table, questions: Iterable[Question], faults: Sequence[str]) -> str:
    """The outcome that a test most likely has with exactly these faults: the likeliest state of each question."""
    return " ".join(_state(table.chances(q, faults), list(q.states)) for q in questions)


def _state(chances: Sequence[float], names: Sequence[str]) -> str:
    return names[max(range(len(names)), key=lambda i: (round(chances[i], 9), -i))]


Rule = Callable[[SmallModel, Group, SetUp], SmallTest | None]
"""Chooses the next test; None when nothing tells the group apart."""


def expected_minutes(model: SmallModel, rule: Rule, group: Group | None = None, standing: SetUp = frozenset()) -> float:
    """Expected minutes of a search that follows a rule."""
    group = model.everything() if group is None else group
    test = rule(model, group, standing)
    if test is None:
        return 0.0
    whole = model.weight(group)
    later = (model.weight(p) / whole * expected_minutes(model, rule, p, test.setup) for p in model.split(group, test))
    return model.minutes(test, standing) + math.fsum(later)


def is_small(causes: int, tests: int, most: int) -> bool:
    """Whether a search is small enough, and large enough, to look two tests ahead."""
    return 2 < causes <= most and 1 < tests <= most


def one_ahead(model: SmallModel, group: Group, standing: SetUp) -> SmallTest | None:
    """Most bits a minute."""
    useful = model.useful(group)
    rated = [(-round(model.gain_rate(group, t, standing), 9), place) for place, t in enumerate(useful)]
    return useful[min(rated)[1]] if rated else None


def ahead(depth: int) -> Rule:
    """Look so many tests ahead; what comes after them goes by bits a minute.

    Args:
        depth: Tests looked at together, at least 1.
    """

    def least(model: SmallModel, group: Group, standing: SetUp, left: int) -> float:
        if left == 0:
            return expected_minutes(model, one_ahead, group, standing)
        options = [after(model, group, t, standing, left) for t in model.useful(group)]
        return min(options, default=0.0)

    def after(model: SmallModel, group: Group, test: SmallTest, standing: SetUp, left: int) -> float:
        whole = model.weight(group)
        parts = model.split(group, test)
        later = math.fsum(model.weight(p) / whole * least(model, p, test.setup, left - 1) for p in parts)
        return model.minutes(test, standing) + later

    def rule(model: SmallModel, group: Group, standing: SetUp) -> SmallTest | None:
        useful = model.useful(group)
        rated = [(round(after(model, group, t, standing, depth), 9), place) for place, t in enumerate(useful)]
        return useful[min(rated)[1]] if rated else None

    return rule
